//! The scheduling engine: activities, hours, resources, waits and holds, and nothing of any trade.
//!
//! [`solve`] takes a [`Problem`] and gives an [`Answer`]: a start for every activity, a resource for
//! every hold, what it is worth, and a bound below which nothing can be. The effort is counted in
//! evaluations and the engine never asks the time, so the same problem, settings and start give the
//! same answer on any machine.

mod adopt;
mod answer;
mod bound;
mod build;
mod calendar;
mod compile;
mod critical;
mod fault;
mod items;
mod justify;
mod late;
mod limits;
mod machines;
mod model;
mod moves;
mod place;
mod problem;
mod profile;
mod random;
mod refute;
mod rules;
mod search;
mod solve;
mod tangle;
mod value;
mod ways;

pub use answer::{Answer, Bound, Late, Limit, Limiter, Miss, Plan, Reason, Refusal, Spent};
pub use fault::{Fault, List};
pub use problem::{
    Activity, Expect, Hold, Job, Lag, Minute, Objective, Of, OpenHours, Problem, Resource, Since,
    Soft, Until,
};
pub(in crate::plan) use random::Chance;
pub use value::Values;

pub use solve::{Failure, Progress, Settings, solve};
