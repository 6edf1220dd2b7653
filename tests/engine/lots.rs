//! Lots with holds: nine small shops with the best plans known, and a large one.

use serde_json::to_value;
use tackfree::plan::engine::{Answer, Settings, solve};

use super::checker::broken;
use super::{read, settings};

/// The best plan known of a shop.
#[derive(serde::Deserialize)]
struct Best {
    scenario: String,
    misses: i64,
    lateness: i64,
    makespan: i64,
}

fn best() -> Vec<Best> {
    let table = include_bytes!("../data/plan/best_known.csv");
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(&table[..]);
    let best: Vec<Best> = reader.deserialize().map(Result::unwrap).collect();
    assert_eq!(best.len(), 9);
    best
}

fn solved(name: &str, settings: &Settings<'_>) -> Answer {
    let problem = read(&format!("{name}.json"));
    let answer = solve(&problem, settings, &mut |_| true).unwrap();
    let wrong = broken(&to_value(&problem).unwrap(), &to_value(&answer).unwrap());
    assert!(wrong.is_empty(), "{name}: {wrong:?}");
    answer
}

#[test]
fn the_best_plans_known_are_reached() {
    for Best { scenario, misses, lateness, makespan } in best() {
        let values = solved(&scenario, &settings(0, 1)).values;
        let reached = (values.violations, values.tardiness, values.makespan);
        assert_eq!(reached, (misses, lateness, makespan), "{scenario}");
    }
}

#[test]
fn bounds_are_near_where_no_date_binds() {
    for Best { scenario, misses, lateness, makespan } in best() {
        let bound = solved(&scenario, &settings(6, 1)).bound;
        assert!(bound.makespan <= makespan && bound.tardiness <= lateness, "{scenario}: {bound:?}");
        if misses == 0 && lateness == 0 {
            let gap = makespan - bound.makespan;
            assert!(gap * 200 < makespan, "{scenario}: {gap} minutes from {makespan}");
        }
    }
}

#[test]
fn late_batches_are_proved_to_be_no_less_late_in_any_plan() {
    for (name, lateness) in [("batches", 252), ("midway", 108)] {
        let bound = solved(name, &settings(0, 1)).bound;
        assert_eq!(bound.tardiness, lateness, "{name}: {bound:?}");
        let shares = bound.late_by.iter().map(|late| late.tardiness).sum::<i64>();
        assert_eq!(shares, lateness, "{name}: {bound:?}");
    }
}

#[test]
fn forty_lots_of_two_thousand_pieces_have_a_plan() {
    let answer = solved("made/forty", &settings(60, 1));
    assert_eq!((answer.values.violations, answer.values.tardiness), (0, 0));
    assert!(answer.bound.makespan <= answer.values.makespan);
}

/// With the move form a lot waits on its drying rack until there is room to cure.
#[test]
fn a_lot_waits_on_its_rack_for_a_place_to_cure() {
    let problem = read("made/waiting.json");
    let answer = solve(&problem, &settings(200, 1), &mut |_| true).unwrap();
    let wrong = broken(&to_value(&problem).unwrap(), &to_value(&answer).unwrap());
    assert!(wrong.is_empty(), "{wrong:?}");
    assert_eq!(answer.values.makespan, problem.expect.unwrap().optimum.unwrap());
}

#[test]
fn what_a_job_waits_for_is_named() {
    let problem = read("tight.json");
    let answer = solved("tight", &settings(6, 1));
    assert_eq!(answer.limits.len(), problem.jobs.len());
    let last = (0..problem.jobs.len()).max_by_key(|&job| answer.ends[12 * job + 11]).unwrap();
    let limit = &answer.limits[last];
    assert!(limit.waits.iter().all(|wait| wait.1 > 0));
    assert!(
        matches!(limit.by, tackfree::plan::engine::Limiter::Resource(_)),
        "the last of nine lots on two racks waits for one: {limit:?}"
    );
}
