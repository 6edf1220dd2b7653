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
mod bounds;
mod calendar;
mod choose;
mod compile;
mod components;
mod contended;
mod critical;
mod disjunctive;
mod fault;
mod forbidden;
mod found;
mod index;
mod justify;
mod known;
mod limits;
mod machines;
mod model;
mod neighbourhood;
mod place;
mod posed;
mod problem;
mod profile;
mod random;
mod rate;
mod rules;
mod schedule;
mod search;
mod shift;
mod shifted;
mod solve;
mod value;
mod wait;

pub use answer::{Answer, Bound, Late, Limit, Limiter, Plan, Reason, Refusal, Spent, Violation};
pub use fault::{Fault, List};
pub use problem::{
    Activity, Demand, Expect, Hold, Job, Lag, Minute, Modal, Objective, Of, OpenHours, Problem,
    Rate, Resource, Since, Soft, Until,
};
pub(in crate::plan) use random::Chance;
pub use value::Values;

pub(crate) use found::Found;
pub use solve::{Failure, Progress, Settings, solve};
pub(crate) use solve::{ends, find};
