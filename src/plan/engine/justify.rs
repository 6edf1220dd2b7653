//! Justification: a plan pushed to its end and back to its beginning is often shorter
//! (Valls, Ballestín, Quintanilla 2005). Only where nothing is bound to a moment.

use super::compile::mirror;
use super::model::Model;
use super::neighbourhood::ActivityList;
use super::profile::FAR;
use super::schedule::Schedule;

/// The model with time reversed.
pub(super) struct Justify {
    mirrored: Model,
}

impl Justify {
    /// The reversed model, if the problem is of a kind that gains by it.
    pub(super) fn of(model: &Model) -> Option<Self> {
        let floor = model.acts.first().map_or(0, |act| act.floor);
        let bound = |act: &super::model::Act| act.floor != floor || act.ceiling < FAR;
        let machines = model.capacity.iter().all(|&units| units == 1);
        if !model.calendars.is_empty()
            || !model.holds.is_empty()
            || !model.windows.is_empty()
            || machines
            || model.acts.iter().any(bound)
        {
            return None;
        }
        let acts = model.acts.len();
        let lengths: Vec<_> = model.acts.iter().map(|act| act.length).collect();
        Some(Self { mirrored: mirror(model, &[], &vec![0; acts], &lengths) })
    }

    /// The order of starts after pushing a plan to its end, or `None` where that fails.
    pub(super) fn order(&self, plan: &Schedule<'_>) -> Option<ActivityList> {
        let late = ActivityList::by(&self.mirrored, |act| -plan.end[act]);
        let mut pushed = Schedule::new(&self.mirrored);
        if pushed.run(late.rank()) > 0 {
            return None;
        }
        Some(ActivityList::by(plan.model, |act| -pushed.end[act]))
    }
}
