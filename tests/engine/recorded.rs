//! What the search did before it does again: problems of every kind with the worth of their plans, their bounds, and a digest
//! of the whole answer. A change of the engine that changes an answer shows here, on a line that can be read.

use tackfree::plan::engine::{Answer, Failure, Plan, Problem, Settings, solve};

use super::made::tiny;
use super::rooms::tiny_shop;
use super::shops::shop;
use super::{read, settings};
use crate::harness::digest;

const READ: [&str; 9] = [
    "batches",
    "closedweek",
    "made/waiting",
    "midway",
    "one",
    "order132",
    "order210",
    "tight",
    "window",
];
const PUBLISHED: [&str; 8] =
    ["abz5", "ft06", "la31", "j301_1", "j6041_2", "j10_psp4", "ubo20_psp16", "ubo50_psp16"];

/// One line of the record.
fn line(name: &str, answer: &Result<Answer, Failure>) -> String {
    let Ok(answer) = answer else { return format!("{name}: {answer:?}\n") };
    let (worth, bound) = (&answer.values, &answer.bound);
    let text = serde_json::to_string(answer).unwrap();
    format!(
        "{name}: {} windows missed by {}, late {}, end {}, waiting {}; no plan is below late {}, end {}; {} plans, {}\n",
        worth.violations,
        worth.overrun,
        worth.tardiness,
        worth.makespan,
        worth.waiting_time,
        bound.tardiness,
        bound.makespan,
        answer.spent.evaluations,
        digest(&text),
    )
}

/// The answer, and the one that starts from it an hour later with one more of everything.
fn both(record: &mut String, name: &str, problem: &Problem, found: &Settings<'_>) {
    let answer = solve(problem, found, &mut |_| true);
    record.push_str(&line(name, &answer));
    let Ok(answer) = answer else { return };
    let mut later = problem.clone();
    later.now = later.now.map(|now| now + 60);
    later.resources.iter_mut().for_each(|resource| resource.capacity += 1);
    let start: Option<&Plan> = Some(&answer.plan);
    let again = Settings { start, patience: Some(30), ..*found };
    record.push_str(&line(&format!("{name}, from it"), &solve(&later, &again, &mut |_| true)));
}

#[test]
fn answers_are_as_recorded() {
    let mut record = String::new();
    for seed in 0..120 {
        both(&mut record, &format!("tiny {seed}"), &tiny(seed), &settings(40, seed));
    }
    for seed in 0..60 {
        both(&mut record, &format!("shop {seed}"), &shop(seed), &settings(150, seed));
    }
    for seed in 0..60 {
        both(&mut record, &format!("rooms {seed}"), &tiny_shop(seed), &settings(60, seed));
    }
    for name in READ {
        both(&mut record, name, &read(&format!("{name}.json")), &settings(200, 1));
    }
    for name in PUBLISHED {
        let name = format!("published/{name}");
        both(&mut record, &name, &read(&format!("{name}.json")), &settings(200, 1));
    }
    snapbox::assert_data_eq!(record, snapbox::file!["../snapshots/engine.txt"].raw());
}
