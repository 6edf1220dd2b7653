//! What must hold for any problem: order of things, time and names do not matter, more room never
//! harms, and a plan that is followed never gets worse.

use std::cmp::Ordering;

use serde_json::to_value;
use tackfree::plan::engine::{Answer, Objective, Plan, Problem, Settings, Since, Values, solve};

use super::checker::broken;
use super::made::{reordered, shifted, tiny};
use super::{read, settings};

const LOTS: [&str; 4] = ["order132.json", "midway.json", "batches.json", "tight.json"];
const EFFORT: u64 = 250;

fn answered(problem: &Problem, start: Option<&Plan>) -> Answer {
    let settings = Settings { start, ..settings(EFFORT, 3) };
    let answer = solve(problem, &settings, &mut |_| true)
        .unwrap_or_else(|why| panic!("{why}\n{}", serde_json::to_string(problem).unwrap()));
    let wrong = broken(&to_value(problem).unwrap(), &to_value(&answer).unwrap());
    assert!(wrong.is_empty(), "{wrong:?}");
    answer
}

fn compare(a: &Values, b: &Values) -> Ordering {
    let differ = |objective: &Objective| a.get(*objective).cmp(&b.get(*objective));
    Objective::DEFAULT.iter().map(differ).find(|order| order.is_ne()).unwrap_or(Ordering::Equal)
}

#[test]
fn the_same_seed_gives_the_same_plan() {
    for name in LOTS {
        let problem = read(name);
        assert_eq!(answered(&problem, None), answered(&problem, None), "{name}");
    }
}

#[test]
fn later_by_a_week_is_the_same_plan_a_week_later() {
    for name in LOTS {
        let (problem, by) = (read(name), 7 * 1440);
        let (answer, later) = (answered(&problem, None), answered(&shifted(&problem, by), None));
        let moved: Vec<i64> = answer.plan.starts.iter().map(|start| start + by).collect();
        assert_eq!(moved, later.plan.starts, "{name}");
        assert_eq!(answer.bound.makespan + by, later.bound.makespan, "{name}");
        assert_eq!(
            (answer.values.tardiness, answer.values.waiting_time),
            (later.values.tardiness, later.values.waiting_time)
        );
    }
}

#[test]
fn names_and_order_change_no_value() {
    for name in ["order132.json", "midway.json", "tight.json"] {
        let problem = read(name);
        let (a, b) = (answered(&problem, None).values, answered(&reordered(&problem), None).values);
        assert_eq!(
            (a.violations, a.tardiness, a.makespan),
            (b.violations, b.tardiness, b.makespan),
            "{name}"
        );
    }
}

/// More hands, more slots, later dates, longer windows: from the old plan never worse.
#[test]
fn more_room_never_harms() {
    for name in LOTS {
        let problem = read(name);
        let old = answered(&problem, None);
        for resource in 0..problem.resources.len() {
            let mut more = problem.clone();
            more.resources[resource].capacity += 1;
            let new = answered(&more, Some(&old.plan));
            assert!(compare(&new.values, &old.values).is_le(), "{name}: one more of {resource}");
        }
        let mut later = problem.clone();
        later.jobs.iter_mut().for_each(|job| job.due = job.due.map(|due| due + 1440));
        let new = answered(&later, Some(&old.plan));
        assert!(compare(&new.values, &old.values).is_le(), "{name}: later dates");
        let mut longer = problem.clone();
        longer.lags.iter_mut().filter(|lag| lag.soft.is_some()).for_each(|lag| {
            lag.max = lag.max.map(|max| max + 600);
        });
        let new = answered(&longer, Some(&old.plan));
        assert!(new.values.violations <= old.values.violations, "{name}: longer windows");
    }
}

/// The problem as it stands at `now` when a plan has been followed: what has begun is fixed.
fn followed(problem: &Problem, plan: &Plan, now: i64) -> Problem {
    let mut later = problem.clone();
    later.now = Some(now);
    for (activity, &start) in later.activities.iter_mut().zip(&plan.starts) {
        if start < now {
            (activity.earliest, activity.latest) = (Some(start), Some(start));
        }
    }
    for (hold, &resource) in later.holds.iter_mut().zip(&plan.holds) {
        let begun = match hold.since {
            Since::Start(act) => plan.starts[act] < now,
            Since::At(_) => true,
        };
        if begun {
            hold.any_of = vec![resource];
        }
    }
    later
}

#[test]
fn replanning_on_the_way_never_gives_a_later_date() {
    for name in LOTS {
        let problem = read(name);
        let mut answer = answered(&problem, None);
        for now in [600, 2_000, 5_000, 9_000, 15_000, 24_000, 33_000, 45_000] {
            if answer.plan.violations.iter().any(|miss| miss.start < now && miss.end > now) {
                continue;
            }
            let later = followed(&problem, &answer.plan, now);
            let new = answered(&later, Some(&answer.plan));
            assert!(compare(&new.values, &answer.values).is_le(), "{name} at {now}");
            answer = new;
        }
    }
}

#[test]
fn bounds_are_below_every_plan() {
    for seed in 0..150 {
        if let Ok(answer) = solve(&tiny(seed + 1_000), &settings(60, seed), &mut |_| true) {
            assert!(answer.bound.makespan <= answer.values.makespan, "seed {seed}");
            assert!(answer.bound.tardiness <= answer.values.tardiness, "seed {seed}");
        }
    }
}

#[test]
fn an_answer_reads_back_from_its_json() {
    let answer = answered(&read("midway.json"), None);
    let text = serde_json::to_string(&answer).unwrap();
    assert_eq!(serde_json::from_str::<Answer>(&text).unwrap(), answer);
    let problem = read("midway.json");
    let again: Problem = serde_json::from_str(&serde_json::to_string(&problem).unwrap()).unwrap();
    assert_eq!(again, problem);
}

#[test]
fn more_effort_is_never_worse() {
    for name in LOTS {
        let problem = read(name);
        let few = solve(&problem, &settings(20, 5), &mut |_| true).unwrap();
        let from_few = Settings { start: Some(&few.plan), ..settings(200, 5) };
        let more = solve(&problem, &from_few, &mut |_| true).unwrap();
        assert!(compare(&more.values, &few.values).is_le(), "{name}");
    }
}
