//! Justification: a plan pushed to its end and back to its beginning is often shorter
//! (Valls, Ballestín, Quintanilla 2005).

use super::compile::mirror;
use super::model::{Act, Model};
use super::neighbourhood::ActivityList;
use super::problem::Minute;
use super::profile::FAR;
use super::schedule::Schedule;
use super::shifted::Reinsertion;
use super::value::Aim;

/// The model with time reversed, and how plans are pushed to their end in it.
pub(super) enum Justify {
    /// Nothing is bound to a moment: placed anew in the order of the ends.
    Free(Model),
    /// With holds: component by component, each on the resources it has. Beside it the floors that depend on no plan; both are
    /// made for the first plan, since many a search pushes none.
    Bound(Option<(Model, Vec<Minute>)>),
}

impl Justify {
    /// The reversed model, if the problem is of a kind that gains by it.
    pub(super) fn of(model: &Model) -> Option<Self> {
        if !model.holds.is_empty() {
            return Some(Self::Bound(None));
        }
        let floor = model.acts.first().map_or(0, |act| act.floor);
        let bound = |act: &Act| act.floor != floor || act.ceiling < FAR;
        let machines = model.capacity.iter().all(|&units| units == 1);
        let hours = !model.calendars.is_empty() || !model.windows.is_empty();
        let free = !hours && !machines && !model.acts.iter().any(bound);
        free.then(|| Self::Free(reversed(model, 0)))
    }

    /// The order of starts after pushing a plan to its end, or `None` where that fails.
    pub(super) fn order(&mut self, plan: &Schedule<'_>, aim: &Aim) -> Option<ActivityList> {
        match self {
            Self::Free(mirrored) => {
                let late = ActivityList::by(mirrored, |act| -plan.end[act]);
                let mut pushed = Schedule::new(mirrored);
                (pushed.run(late.rank()) == 0)
                    .then(|| ActivityList::by(plan.model, |act| -pushed.end[act]))
            }
            // Reversed with every window kept, it is of no use to a plan that overruns one.
            Self::Bound(_) if plan.missed.contains(&true) => None,
            Self::Bound(made) => {
                let (mirrored, floors) = made.get_or_insert_with(|| {
                    let mirrored = reversed(plan.model, FAR);
                    let floors = mirrored.acts.iter().map(|act| act.floor).collect();
                    (mirrored, floors)
                });
                let last = aim.allowed_ends(plan);
                for ((act, &floor), &last) in mirrored.acts.iter_mut().zip(&*floors).zip(&last) {
                    act.floor = floor.max(-last);
                }
                let mut late = Reinsertion::pushing(mirrored, plan);
                for index in late.components() {
                    late.push(index);
                }
                Some(ActivityList::by(plan.model, |act| -late.schedule.end[act]))
            }
        }
    }
}

/// A model with time reversed, every window kept, nothing to end later than `last`.
fn reversed(model: &Model, last: Minute) -> Model {
    let lengths: Vec<_> = model.acts.iter().map(|act| act.length).collect();
    mirror(model, &vec![false; model.windows.len()], &vec![last; model.acts.len()], &lengths)
}
