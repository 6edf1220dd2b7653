//! What an arc asks of the activity it leads into, in the modes chosen.

use super::model::{Arc, Guard, NONE};
use super::problem::Minute;
use super::profile::FAR;
use super::schedule::{Schedule, UNSET};

impl Schedule<'_> {
    pub(super) fn counts(&self, arc: &Arc) -> bool {
        match arc.guard {
            Guard::Always => true,
            Guard::Kept(window) => !self.missed[window],
            Guard::Extra(act) => self.length[act] > 0,
            Guard::AtOnce(act) => self.at_once[act],
        }
    }

    /// The start an arc asks of the activity it leads into, from one that has a start.
    pub(super) fn asked(&self, arc: &Arc) -> Minute {
        if self.start[arc.from] == UNSET || !self.counts(arc) {
            return UNSET;
        }
        let point = if arc.from_end { self.end[arc.from] } else { self.start[arc.from] };
        if let Some(mode) = arc.modal {
            return self.asked_in(arc, mode, point);
        }
        if let (Guard::AtOnce(act), false) = (arc.guard, arc.open.is_some()) {
            return self.model.asks(arc, self.hours_before(act, point), self.length[arc.to]);
        }
        if arc.to_end {
            let decides = self.model.acts[arc.to].modal;
            // Where no place is chosen yet the end is the soonest of any, and what is asked of it may be met elsewhere.
            if decides.is_some_and(|mode| self.undecided(mode)) {
                return UNSET;
            }
            let end = match decides {
                // The end may be that of another place of what decides it.
                Some(mode) if self.start[arc.to] != UNSET => self.end_in(mode, self.start[arc.to]),
                _ => self.end[arc.to],
            };
            if end >= point + arc.gap {
                return UNSET;
            }
            // However long it takes in this mode, beginning later is no remedy for a transfer that comes too late.
            if decides.is_some() {
                let short = point + arc.gap - end;
                let transfer = self.model.transfers[arc.from] != NONE;
                return if transfer { FAR } else { self.start[arc.to] + short };
            }
        }
        self.model.asks(arc, point, self.length[arc.to])
    }

    /// The same for an arc whose length depends on the mode.
    fn asked_in(&self, arc: &Arc, mode: usize, point: Minute) -> Minute {
        let model = self.model;
        let mode = &model.modes[mode];
        let assigned = mode.holds.first().map_or(NONE, |&hold| self.assigned[hold]);
        let count = match assigned {
            NONE => &model.counts[mode.relaxed],
            assigned => match mode.rate_on(assigned) {
                Some(rate) => &model.counts[rate],
                None if mode.window => return UNSET,
                None => return FAR,
            },
        };
        let bound = match arc.guard {
            Guard::AtOnce(act) => {
                let due = self.hours_before(act, point);
                // A minute that the wait is rounded up by is no delay.
                if count.reach(self.end[arc.to], mode.amount) >= due {
                    return UNSET;
                }
                count.back(due, mode.amount)
            }
            _ => mode.counted(count, point),
        };
        if !arc.to_end {
            return bound;
        }
        let met = self.end[arc.to] >= bound;
        if met { UNSET } else { model.start_for_end(arc.to, bound, self.length[arc.to]) }
    }

    /// The first minute after which a transfer could go no sooner than `point`: the closing before, at an opening.
    fn hours_before(&self, act: usize, point: Minute) -> Minute {
        let calendar =
            self.model.acts[act].calendar.map(|calendar| &self.model.calendars[calendar]);
        calendar.and_then(|calendar| calendar.closed_before(point)).unwrap_or(point)
    }
}
