//! Rests: from when, and until when, a lot's next step may be done, by the recipe, the finish's sheet and the room's log.

use crate::craft::cure::Clock;
use crate::shop::cure::{Ground, Reckoning};
use crate::shop::lot::DoneStep;
use crate::shop::refusal::Wait;
use crate::shop::setup::Finish;
use crate::shop::setup::recipe::Rest;
use crate::shop::stage::Stage;
use crate::shop::{Lot, Shop};
use crate::time::{Instant, Span};

/// When a step may be begun.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Window {
    /// No sooner; `None` where the room as it is never lets it come.
    pub(crate) from: Option<Instant>,
    /// No later; for what lies between a coat and the next, the end of the next coat's window.
    pub(crate) until: Option<Instant>,
    /// What the wait until `from` is for, if there is one.
    pub(crate) wait: Option<Wait>,
    /// How far `from` rests on readings.
    pub(crate) ground: Ground,
}

impl Shop {
    /// When a step of a lot may be begun, as it looks at `now`.
    pub(crate) fn window(&self, lot: &Lot, step: u32, now: Instant) -> Window {
        let windows = lot.histories().map(|part| self.own_window(part, step, now));
        let both = |mut window: Window, other: Window| {
            if other.from.is_none_or(|from| window.from.is_some_and(|first| from > first)) {
                window = Window { until: window.until, ..other.clone() };
            }
            window.until = [window.until, other.until].into_iter().flatten().min();
            window
        };
        windows.reduce(both).unwrap_or_else(|| self.own_window(lot, step, now))
    }

    /// The same for the lot's own history alone.
    fn own_window(&self, lot: &Lot, step: u32, now: Instant) -> Window {
        let begins = lot.standing.first().map_or(lot.last_at, |standing| standing.from);
        let mut window =
            Window { from: Some(begins), until: None, wait: None, ground: Ground::Readings };
        let Some(before) = lot.done_since().last() else { return window };
        window.from = Some(before.ended);
        match lot.recipe.step(before.step).and_then(|step| step.rest) {
            Some(Rest::AtLeast(span)) => window.waits(Wait::Rest, Some(span.after(before.ended))),
            Some(Rest::Between(range)) => {
                window.waits(Wait::Rest, Some(range.min.after(before.ended)));
                window.until = Some(range.max.after(before.ended));
            }
            None => {}
        }
        // A coat under pieces that went back to be worked again has no say in when they are.
        let last_coat = self.last_coat(lot);
        let worked_again =
            |coat: &DoneStep| leads_to_coat(lot, step) && !lot.done_since().contains(coat);
        let Some((coat, finish)) = last_coat.filter(|(coat, _)| !worked_again(coat)) else {
            return window;
        };
        let opens = self.no_sooner(finish.recoat.min, finish, lot, coat, now);
        window.waits_for(Wait::Recoat, &opens);
        if cure_between(lot, coat.step, step) {
            window.waits_for(Wait::Cure, &self.cure_of(finish, lot, coat, now));
        }
        if leads_to_coat(lot, step) && coat.recorded {
            let clock = Clock::NoLater;
            let shuts = finish
                .recoat
                .longest()
                .and_then(|longest| self.reckon(clock, longest, finish, lot, coat.ended, now).at);
            window.until = [window.until, shuts].into_iter().flatten().min();
        }
        window
    }

    /// How the cure of a lot stands at `now`; `None` before its last coat.
    pub(crate) fn cure(&self, lot: &Lot, now: Instant) -> Option<Reckoning> {
        if !lot.coats_done() {
            return None;
        }
        Self::slowest(lot, |part| {
            let (coat, finish) = self.last_coat(part)?;
            Some(self.cure_of(finish, part, coat, now))
        })
    }

    /// When the shortest rest after the coat last laid is over: after the recipe's last coat, the moment from which the
    /// lot may stand on a curing rack. `None` before any coat.
    pub(crate) fn may_leave(&self, lot: &Lot, now: Instant) -> Option<Reckoning> {
        self.since_last_coat(lot, now, |finish| finish.recoat.min)
    }

    /// When the sheet's own cure time has passed, whatever the shop's tests ask for; `None` before any coat.
    pub(crate) fn cure_by_the_sheet(&self, lot: &Lot, now: Instant) -> Option<Reckoning> {
        self.since_last_coat(lot, now, |finish| finish.cure)
    }

    fn since_last_coat(
        &self,
        lot: &Lot,
        now: Instant,
        time: impl Fn(&Finish) -> Span,
    ) -> Option<Reckoning> {
        Self::slowest(lot, |part| {
            let (coat, finish) = self.last_coat(part)?;
            Some(self.no_sooner(time(finish), finish, part, coat, now))
        })
    }

    /// Of the histories of a lot the one that is over last.
    fn slowest(lot: &Lot, reckon: impl FnMut(&Lot) -> Option<Reckoning>) -> Option<Reckoning> {
        let end = |reckoning: &Reckoning| (reckoning.at.is_none(), reckoning.at);
        lot.histories().filter_map(reckon).max_by_key(end)
    }

    /// While a coat soaks: from when, and until when, wiping is to begin, as it looks at `now`.
    ///
    /// Of several groups, worked one straight after the other, the one under way then. Where a single piece can't be done within
    /// the soak it is the sheet's soak itself.
    pub(crate) fn wipe_window(&self, lot: &Lot, now: Instant) -> Option<Window> {
        let sheet = self.soak_window(lot)?;
        let under_way = self.group_under_way(lot, now);
        Some(under_way.map_or(sheet.clone(), |group| Window {
            from: Some(group.times.wipe_from),
            until: Some(group.times.wipe_by),
            ..sheet
        }))
    }

    /// The sheet's soak of the coat that a lot is begun with, counted from its beginning.
    pub(super) fn soak_window(&self, lot: &Lot) -> Option<Window> {
        let begun = lot.begun?;
        let finish = lot.next_step().and_then(|(_, step)| step.coat())?;
        let soak = self.setup.as_ref()?.finish(finish)?.soak;
        Some(Window {
            from: Some(soak.min.after(begun)),
            until: Some(soak.max.after(begun)),
            wait: Some(Wait::Soak),
            ground: Ground::Readings,
        })
    }

    /// The coat last laid on a lot, and its finish as the setup has it.
    pub(crate) fn last_coat<'a>(&'a self, lot: &'a Lot) -> Option<(&'a DoneStep, &'a Finish)> {
        let coat = lot.last_coat()?;
        let finish = self.setup.as_ref()?.finish(&coat.coat.as_ref()?.finish)?;
        Some((coat, finish))
    }

    /// By the shop's tests of the finish; pieces that were found hard themselves, past the sheet's time, need no more than that.
    fn cure_of(&self, finish: &Finish, lot: &Lot, coat: &DoneStep, now: Instant) -> Reckoning {
        let hard = lot.touches.last().filter(|test| test.stage >= Stage::DryHard);
        let passed = hard.and_then(|test| {
            let sheet = self.no_sooner(finish.cure, finish, lot, coat, now);
            sheet.at.is_some_and(|over| over <= test.at).then_some(sheet)
        });
        passed.unwrap_or_else(|| self.no_sooner(self.cure_time(finish), finish, lot, coat, now))
    }

    fn no_sooner(
        &self,
        time: Span,
        finish: &Finish,
        lot: &Lot,
        coat: &DoneStep,
        now: Instant,
    ) -> Reckoning {
        self.reckon(Clock::NoSooner, time, finish, lot, coat.ended, now)
    }
}

impl Window {
    fn waits_for(&mut self, wait: Wait, reckoning: &Reckoning) {
        let before = self.from;
        self.waits(wait, reckoning.at);
        if self.from != before {
            self.ground = reckoning.ground();
        }
    }

    /// The longest wait is the one that counts.
    fn waits(&mut self, wait: Wait, until: Option<Instant>) {
        let longer = match (self.from, until) {
            (Some(from), Some(until)) => until > from,
            (Some(_), None) => true,
            (None, _) => false,
        };
        if longer {
            self.from = until;
            self.wait = Some(wait);
        }
    }

    /// Whether it has opened by then.
    pub(crate) fn open_at(&self, at: Instant) -> bool {
        self.from.is_some_and(|from| at >= from)
    }

    /// Whether it is past its end.
    pub(crate) fn shut(&self, at: Instant) -> bool {
        self.until.is_some_and(|until| at > until)
    }
}

/// Whether a cure lies between a coat and a step.
fn cure_between(lot: &Lot, coat: u32, step: u32) -> bool {
    lot.recipe.numbered().any(|(number, s)| s.is_cure() && coat < number && number < step)
}

/// Whether the step is a coat, or lies before one.
fn leads_to_coat(lot: &Lot, step: u32) -> bool {
    lot.recipe.last_coat().is_some_and(|last| step <= last)
}
