//! What the engine answers: a plan, what it is worth, what nothing can better, and why.

use serde::{Deserialize, Serialize};

use super::problem::Minute;
use super::value::Values;

/// A plan: a start for each activity and a resource for each hold.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Plan {
    /// Start of each activity.
    pub starts: Vec<Minute>,
    /// Resource of each hold.
    pub holds: Vec<usize>,
    /// The soft lags that are overrun.
    #[serde(rename = "misses")]
    pub violations: Vec<Violation>,
}

/// A soft lag overrun, with its extra activity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Violation {
    /// Place of the lag in the problem.
    pub lag: usize,
    /// Start of the extra activity.
    pub start: Minute,
    pub end: Minute,
}

/// What the engine found.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Answer {
    #[serde(flatten)]
    pub plan: Plan,
    /// End of each activity.
    pub ends: Vec<Minute>,
    /// What the plan is worth.
    pub values: Values,
    /// What no plan can better.
    pub bound: Bound,
    /// For each job, what it waits for.
    pub limits: Vec<Limit>,
    /// For each activity the latest start, if all that follows is as late as it can be: together they
    /// are a plan in which no job ends later than in this one. An extra before it begins so much sooner.
    pub(crate) latest: Vec<Minute>,
    pub spent: Spent,
    /// The seed it was found with.
    pub(crate) seed: u64,
}

/// The effort of an answer.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Spent {
    /// Plans built.
    pub evaluations: u64,
}

/// Proven: no plan is below.
///
/// While the answer misses only windows that no plan can keep, `makespan` and `tardiness` hold for all
/// plans that miss no others (and violations come first in the objective); otherwise for all plans whatever
/// they miss.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Bound {
    /// No plan ends before.
    pub makespan: Minute,
    pub(crate) by: Reason,
    /// No plan is less late: Σ weight × days.
    #[serde(rename = "lateness")]
    pub tardiness: i64,
    /// Why, for each job that is late in every plan or share in the sum.
    pub late_by: Vec<Late>,
}

impl Bound {
    /// One that claims nothing.
    pub(super) const fn nothing() -> Self {
        Self { makespan: Minute::MIN, by: Reason::Nothing, tardiness: 0, late_by: Vec::new() }
    }
}

/// What makes a bound.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Reason {
    /// There is nothing to do.
    Nothing,
    /// Work and waits along a path, with nothing else in the way; the activity it ends with.
    Path(usize),
    /// All that has to be done on this resource, and the way from there to the end.
    Work(usize),
    /// Things alike following each other over this resource.
    Queue(usize),
}

/// A share of the bound on tardiness.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Late {
    /// The jobs that together are at least so late.
    pub(crate) jobs: Vec<usize>,
    /// Σ weight × days.
    #[serde(rename = "lateness")]
    pub tardiness: i64,
    pub(crate) by: Reason,
}

/// What a job waits for, summed over its activities.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Limit {
    /// What keeps it longest: a resource or the closed hours; its own waits where those are a small part of them.
    pub by: Limiter,
    /// Minutes waited for each, the longest first.
    pub waits: Vec<(Limiter, Minute)>,
}

/// Something a job waits for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Limiter {
    /// This resource was taken by something else.
    Resource(usize),
    /// This calendar was closed.
    Hours(usize),
    /// Its own waits and what runs without hours; the longest of them is before, or is, this activity.
    Activity(usize),
    /// It may not start sooner.
    Start,
}

/// Why there is no plan.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Refusal {
    /// An activity needs more of a resource than there is.
    #[error("activity {activity} needs more of resource {resource} than there is")]
    TooMuch { activity: usize, resource: usize },
    /// No resource of a hold is large enough.
    #[error("hold {hold} fits on none of its resources")]
    FitsNowhere { hold: usize },
    /// Even with nothing else to do the activity finds no place: its waits contradict each other, its
    /// latest start is past, or the open hours end before it does.
    #[error("activity {activity} has no place between its earliest start and the horizon")]
    NoPlace { activity: usize },
    /// Every way of putting the activities one behind the other was tried.
    #[error("every order was tried ({tried}); none keeps the longest waits")]
    EveryOrder {
        /// How many orders were looked into.
        tried: u64,
    },
    /// No plan was found, and none was proved impossible.
    #[error("no plan was found in {evaluations} evaluations; activity {activity} found no place")]
    NotFound {
        /// Plans tried.
        evaluations: u64,
        /// An activity that found no place in the last of them.
        activity: usize,
    },
}

impl Refusal {
    /// Whether it is proved that there is no plan, not merely that none was found.
    pub fn is_proved(&self) -> bool {
        !matches!(self, Self::NotFound { .. })
    }
}
