//! Published instances with known optima; sources and licences stand beside the files.

use serde_json::to_value;
use tackfree::plan::engine::{Failure, Refusal, solve};

use super::checker::broken;
use super::{read, settings};

const MACHINES: [&str; 8] = ["abz5", "ft06", "ft10", "la01", "la03", "la19", "la31", "orb01"];
const PROJECTS: [&str; 8] =
    ["j301_1", "j3029_4", "j305_2", "j309_2", "j6041_2", "j605_2", "j901_3", "j9037_1"];
const WINDOWS: [&str; 8] = [
    "j10_psp1",
    "j10_psp4",
    "j20_psp7",
    "j20_psp17",
    "ubo10_psp2",
    "ubo20_psp1",
    "ubo20_psp16",
    "ubo50_psp16",
];

/// By how many per cent the answer is above the optimum; checks it on the way.
fn above(name: &str, effort: u64) -> f64 {
    let problem = read(&format!("published/{name}.json"));
    let optimum = problem.expect.unwrap().optimum.unwrap();
    let answer = solve(&problem, &settings(effort, 1), &mut |_| true).unwrap();
    let wrong = broken(&to_value(&problem).unwrap(), &to_value(&answer).unwrap());
    assert!(wrong.is_empty(), "{name}: {wrong:?}");
    let value = answer.values.makespan;
    assert!(value >= optimum, "{name}: {value} is better than the optimum {optimum}");
    assert!(answer.bound.makespan <= optimum, "{name}: the bound is above the optimum {optimum}");
    100.0 * (i32::try_from(value - optimum).map(f64::from).unwrap())
        / f64::from(i32::try_from(optimum).unwrap())
}

fn average(names: &[&str], effort: u64) -> f64 {
    let all: Vec<f64> = names.iter().map(|name| above(name, effort)).collect();
    all.iter().sum::<f64>() / f64::from(u32::try_from(all.len()).unwrap())
}

#[test]
fn machines_come_near_the_optimum() {
    let average = average(&MACHINES, 4_000);
    assert!(average <= 3.0, "{average} % above on average");
}

#[test]
fn projects_come_near_the_optimum() {
    let average = average(&PROJECTS, 3_000);
    assert!(average <= 2.5, "{average} % above on average");
}

#[test]
fn longest_waits_are_kept_and_the_optimum_nearly_met() {
    let average = average(&WINDOWS, 600);
    assert!(average <= 1.0, "{average} % above on average");
}

#[test]
fn the_small_ones_are_solved() {
    let small = ["j10_psp1", "j10_psp4", "ubo10_psp2", "j20_psp7", "ft06", "la01", "la31"];
    for name in small {
        assert!(above(name, 1_000) <= 0.0, "{name} is not solved");
    }
    assert!(above("la03", 20_000) <= 0.0);
    assert!(above("j20_psp17", 8_000) <= 0.0);
}

#[test]
fn what_has_no_plan_is_refused() {
    for name in ["j10_psp2", "ubo10_psp1"] {
        let problem = read(&format!("published/{name}.json"));
        match solve(&problem, &settings(1_000, 1), &mut |_| true) {
            Err(Failure::Refused(Refusal::EveryOrder { .. })) => {}
            other => panic!("{name}: {other:?}"),
        }
    }
}
