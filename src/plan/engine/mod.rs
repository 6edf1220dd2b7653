//! The scheduling engine: activities, hours, resources, waits and holds, and nothing of any trade.
//!
//! [`solve`] takes a [`Problem`] and gives an [`Answer`]: a start for every activity, a resource for
//! every hold, what it is worth, and a bound below which nothing can be. The effort is counted in
//! evaluations and the engine never asks the time, so the same problem, settings and start give the
//! same answer on any machine.

#![expect(clippy::similar_names, reason = "model, mode and modal are the words of the field")]

mod adopt;
mod answer;
mod asks;
mod bound;
mod build;
mod calendar;
mod choose;
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
mod rate;
mod refute;
mod rules;
mod search;
mod shift;
mod solve;
mod tangle;
mod value;
mod ways;

pub use answer::{Answer, Bound, Late, Limit, Limiter, Miss, Plan, Reason, Refusal, Spent};
pub use fault::{Fault, List};
pub use problem::{
    Activity, Demand, Expect, Hold, Job, Lag, Minute, Modal, Objective, Of, OpenHours, Problem,
    Rate, Resource, Since, Soft, Until,
};
pub(in crate::plan) use random::Chance;
pub(crate) use rate::Count;
pub use value::Values;

pub use solve::{Failure, Progress, Settings, solve};
