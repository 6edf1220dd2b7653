//! What makes no sense is said, and nothing panics.

use serde_json::{Value, json};
use tackfree::plan::engine::{Failure, Fault, List, Problem, Refusal, Settings, solve};

use super::made::{Dice, activity, resource, tiny};
use super::{read, settings};

fn outcome(problem: &Value) -> Result<i64, Failure> {
    let problem: Problem = serde_json::from_value(problem.clone()).unwrap();
    solve(&problem, &Settings::default(), &mut |_| true).map(|answer| answer.values.makespan)
}

fn faults(problem: &Value) -> Vec<Fault> {
    match outcome(problem) {
        Err(Failure::Faulty(faults)) => faults,
        other => panic!("faults were expected, not {other:?}"),
    }
}

#[test]
fn all_faults_are_named_at_once() {
    let found = faults(&json!({
        "format": 1,
        "calendars": [{ "name": "shop", "open": [[10, 20], [20, 30], [5, 5]] }],
        "resources": [{ "name": "hands", "capacity": -1 }],
        "activities": [
            { "duration": -5, "calendar": 1, "needs": [[7, 1], [0, -2]] },
            { "duration": 5 }],
        "lags": [{ "after": 1, "min": 3 }, { "before": 1, "after": 1 }, { "before": 9, "after": 0 },
            { "before": 0, "after": 1, "soft": { "extra": 5 } }],
        "holds": [{ "units": 1, "any_of": [], "since": { "start": 4 }, "until": { "end": 5 } }],
        "jobs": [{ "activities": [] }, { "activities": [3], "weight": -1 }],
        "alike": [[2]]
    }));
    for wanted in [
        Fault::Unordered { index: 0, stretch: 1 },
        Fault::Unordered { index: 0, stretch: 2 },
        Fault::Unknown { list: List::Activities, index: 0, among: List::Calendars, found: 1 },
        Fault::Unknown { list: List::Activities, index: 0, among: List::Resources, found: 7 },
        Fault::NoStart { index: 0 },
        Fault::ToItself { index: 1 },
        Fault::Unknown { list: List::Lags, index: 2, among: List::Activities, found: 9 },
        Fault::SoftWithoutMax { index: 3 },
        Fault::Empty { list: List::Holds, index: 0 },
        Fault::Unknown { list: List::Holds, index: 0, among: List::Activities, found: 4 },
        Fault::Empty { list: List::Jobs, index: 0 },
        Fault::Unknown { list: List::Interchangeable, index: 0, among: List::Jobs, found: 2 },
    ] {
        assert!(found.contains(&wanted), "{wanted:?} is missing in {found:?}");
    }
    assert_eq!(found.len(), 18, "{found:?}");
}

#[test]
fn another_format_is_not_read() {
    assert_eq!(faults(&json!({ "format": 2, "activities": [] })), [Fault::Format { found: 2 }]);
}

#[test]
fn nothing_to_do_is_done_at_once() {
    assert_eq!(outcome(&json!({ "format": 1, "activities": [] })), Ok(0));
}

fn refusal(problem: &Value) -> Refusal {
    match outcome(problem) {
        Err(Failure::Refused(refusal)) => refusal,
        other => panic!("a refusal was expected, not {other:?}"),
    }
}

#[test]
fn what_cannot_be_is_refused_with_its_reason() {
    let needs_more = json!({ "format": 1, "resources": [{ "capacity": 1 }],
        "activities": [{ "duration": 3, "needs": [[0, 2]] }] });
    assert_eq!(refusal(&needs_more), Refusal::TooMuch { activity: 0, resource: 0 });
    let racks_too_small = json!({ "format": 1, "resources": [{ "capacity": 3 }, { "capacity": 4 }],
        "activities": [{ "duration": 3 }],
        "holds": [{ "units": 5, "any_of": [0, 1], "since": { "start": 0 }, "until": { "end": 0 } }] });
    assert_eq!(refusal(&racks_too_small), Refusal::FitsNowhere { hold: 0 });
    let never_open = json!({ "format": 1, "now": 100, "horizon": 1000,
        "calendars": [{ "open": [[0, 90]] }], "activities": [{ "duration": 3, "calendar": 0 }] });
    assert_eq!(refusal(&never_open), Refusal::NoPlace { activity: 0 });
    let too_long_for_a_day = json!({ "format": 1, "horizon": 1000, "calendars": [{ "open": [[0, 90], [100, 190]] }],
        "activities": [{ "duration": 91, "calendar": 0, "pausable": false }] });
    assert_eq!(refusal(&too_long_for_a_day), Refusal::NoPlace { activity: 0 });
    let round_in_a_circle = json!({ "format": 1, "activities": [{ "duration": 3 }, { "duration": 3 }],
        "lags": [{ "before": 0, "after": 1, "min": 0 }, { "before": 1, "after": 0, "min": 0 }] });
    assert!(matches!(refusal(&round_in_a_circle), Refusal::NoPlace { .. }));
    let too_late_already = json!({ "format": 1, "now": 50, "activities": [{ "duration": 3 }],
        "lags": [{ "at": 10, "after": 0, "max": 20 }] });
    assert!(refusal(&too_late_already).is_proved());
    let two_at_once = json!({ "format": 1, "resources": [{ "capacity": 1 }],
        "activities": [{ "duration": 3, "needs": [[0, 1]] }, { "duration": 3, "needs": [[0, 1]] }],
        "lags": [{ "before": 0, "after": 1, "of": "start", "max": 2 }, { "before": 1, "after": 0, "of": "start", "max": 2 }] });
    assert!(refusal(&two_at_once).is_proved());
}

#[test]
fn a_window_shorter_than_the_weekend_is_missed_and_said() {
    let problem: Problem = serde_json::from_value(json!({ "format": 1, "horizon": 500,
        "calendars": [{ "open": [[0, 10], [100, 150]] }], "resources": [{ "capacity": 1 }],
        "activities": [{ "duration": 5, "calendar": 0, "earliest": 5, "latest": 5, "needs": [[0, 1]] },
            { "duration": 5, "calendar": 0, "needs": [[0, 1]] }],
        "lags": [{ "before": 0, "after": 1, "min": 20 },
            { "before": 0, "after": 1, "max": 40, "soft": { "extra": 7 } }] }))
    .unwrap();
    let answer = solve(&problem, &Settings::default(), &mut |_| true).unwrap();
    assert_eq!((answer.values.violations, answer.values.overrun), (1, 57));
    let miss = answer.plan.violations[0];
    assert_eq!((miss.lag, miss.start, miss.end), (1, 100, 107));
    assert_eq!(answer.plan.starts, [5, 107]);
}

/// Of two windows one of which has to be overrun, it is the one that is overrun by less: the second, by 32 minutes; the first
/// would be by 52.
#[test]
fn the_windows_given_up_are_those_overrun_least() {
    let problem: Problem = serde_json::from_value(json!({
        "format": 1,
        "calendars": [{ "name": "shop", "open": [[0, 10], [100, 200]] }],
        "resources": [{ "name": "hands", "capacity": 1 }],
        "activities": [
            { "duration": 3, "needs": [[0, 1]], "calendar": 0, "pausable": false },
            { "duration": 3, "needs": [[0, 1]], "calendar": 0, "pausable": false }],
        "lags": [
            { "at": 0, "after": 0, "max": 50, "soft": { "extra": 2 } },
            { "before": 0, "after": 1, "min": 30 },
            { "before": 0, "after": 1, "max": 60, "soft": { "extra": 2 } }],
        "jobs": [{ "activities": [0, 1] }]
    }))
    .unwrap();
    let answer = solve(&problem, &Settings::default(), &mut |_| true).unwrap();
    assert_eq!((answer.values.violations, answer.values.overrun), (1, 32));
    assert_eq!(answer.plan.starts, [7, 102]);
}

/// Numbers and places changed at random: an answer, a refusal or faults, never a panic.
#[test]
fn no_document_makes_it_panic() {
    let mut dice = Dice::new(7);
    for seed in 0..300 {
        let mut document = serde_json::to_value(tiny(seed)).unwrap();
        for _ in 0..dice.roll(1, 3) {
            spoil(&mut dice, &mut document);
        }
        if let Ok(problem) = serde_json::from_value::<Problem>(document) {
            let _outcome = solve(&problem, &settings(40, seed), &mut |_| true);
        }
    }
}

fn spoil(dice: &mut Dice, value: &mut Value) {
    match value {
        Value::Array(entries) if !entries.is_empty() => {
            let at = dice.place(entries.len());
            if dice.chance(1) {
                entries.remove(at);
            } else {
                spoil(dice, &mut entries[at]);
            }
        }
        Value::Object(fields) if !fields.is_empty() => {
            let at = dice.place(fields.len());
            if let Some(field) = fields.values_mut().nth(at) {
                spoil(dice, field);
            }
        }
        other => {
            let wild = [-1, 0, 1, 2, 3, 1_000, 99_999_999, -99_999_999, i64::MAX, i64::MIN];
            *other = json!(wild[dice.place(wild.len())]);
        }
    }
}

#[test]
fn stopping_gives_the_best_so_far() {
    let problem = read("batches.json");
    let mut told = 0;
    let answer = solve(&problem, &settings(u64::MAX, 1), &mut |progress| {
        told += 1;
        progress.evaluations < 100
    });
    assert!(answer.unwrap().spent.evaluations < 1_000 && told > 1);
}

#[test]
fn a_start_of_another_size_is_only_not_used() {
    let problem = Problem {
        format: 1,
        resources: vec![resource(1)],
        activities: vec![activity(3, &[(0, 1)]), activity(4, &[(0, 1)])],
        ..Problem::default()
    };
    let start =
        tackfree::plan::engine::Plan { starts: vec![0], holds: vec![5], violations: Vec::new() };
    let settings = Settings { start: Some(&start), ..settings(10, 1) };
    assert_eq!(solve(&problem, &settings, &mut |_| true).unwrap().values.makespan, 7);
}

/// Nobody has to say how far to look: it is at least as far as all work and all waits one after the other.
#[test]
fn without_a_horizon_the_longest_waits_have_their_place() {
    let problem = json!({
        "format": 1,
        "resources": [{ "name": "hands", "capacity": 1 }],
        "activities": [
            { "duration": 5, "needs": [[0, 1]] }, { "duration": 7, "needs": [[0, 1]] },
            { "duration": 3, "needs": [[0, 1]] }],
        "lags": [
            { "before": 0, "after": 1, "min": 20000 },
            { "before": 1, "after": 2, "min": 300 },
            { "before": 1, "after": 2, "max": 400, "soft": { "extra": 50 } }],
        "jobs": [{ "activities": [0, 1, 2] }]
    });
    assert_eq!(outcome(&problem).unwrap(), 5 + 20_000 + 7 + 300 + 3);
}
