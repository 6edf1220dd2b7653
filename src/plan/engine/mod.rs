//! The scheduling engine: activities, hours, resources, waits and holds, and nothing of any trade.
//!
//! [`solve`] takes a [`Problem`] and gives an [`Answer`]: a start for every activity, a resource for
//! every hold, what it is worth, and a bound below which nothing can be. The effort is counted in
//! evaluations and the engine never asks the time, so the same problem, settings and start give the
//! same answer on any machine.

mod build;
mod calendar;
mod compile;
mod critical;
mod fault;
mod items;
mod justify;
mod model;
mod moves;
mod place;
mod problem;
mod profile;
mod random;
mod rules;
mod search;
mod tangle;
mod value;

pub use fault::{Fault, List};
pub use problem::{
    Activity, Expect, Hold, Job, Lag, Minute, Objective, Of, OpenHours, Problem, Resource, Since, Soft,
    Until,
};
pub use value::Values;

/// Trial.
pub fn trial(problem: &Problem, effort: u64, seed: u64) -> (Option<Values>, u64) {
    let model = compile::compile(problem);
    let aim = value::Aim::new(problem, &model);
    let target = problem.expect.and_then(|e| e.optimum).unwrap_or(-1);
    let task = search::Task {
        model: &model,
        aim: &aim,
        effort,
        seed,
        start: None,
        good_enough: &|v: &Values| v.makespan <= target,
    };
    let found = search::search(task, &mut |_, _| true);
    (found.best.map(|b| b.values), found.spent)
}
