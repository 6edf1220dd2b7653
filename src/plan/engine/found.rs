//! The plan that was found, and all that can be said of it.

use super::answer::{Answer, Plan, Spent};
use super::bounds::Bounds;
use super::known::Known;
use super::limits::limits;
use super::posed::Posed;
use super::problem::Minute;
use super::search::Complete;
use super::shifted::latest;
use super::value::Values;

/// The best plan of a search; it keeps every constraint.
pub(crate) struct Found {
    pub(super) posed: Posed,
    pub(super) bounds: Bounds,
    pub(super) known: Option<Known>,
    pub(super) best: Complete,
    pub(super) spent: u64,
    pub(super) seed: u64,
}

impl Found {
    pub(crate) fn plan(&self) -> Plan {
        self.best.plan(&self.posed.model)
    }

    /// The end of each activity.
    pub(crate) fn ends(&self) -> &[Minute] {
        &self.best.end[..self.posed.model.real]
    }

    pub(crate) const fn values(&self) -> &Values {
        &self.best.values
    }

    /// The plan with its bound, what each job waits for, and the latest starts.
    pub(crate) fn answer(&self) -> Answer {
        let Self { posed, bounds, best, spent, seed, .. } = self;
        let mut schedule = best.schedule(&posed.model);
        for index in 0..posed.model.components.len() {
            schedule.book(index, 1);
        }
        Answer {
            plan: schedule.plan(),
            ends: self.ends().to_vec(),
            values: best.values,
            bound: bounds.raised(posed, &best.values, spent / 2),
            limits: limits(&posed.aim, &mut schedule),
            latest: latest(&posed.model, &posed.aim, best),
            spent: Spent { evaluations: *spent },
            seed: *seed,
        }
    }
}
