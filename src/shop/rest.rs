//! Rests: from when, and until when, a lot's next step may be done, by the recipe and the finish's sheet.

use crate::shop::Shop;
use crate::shop::lot::{Lot, StepDone};
use crate::shop::refusal::Wait;
use crate::shop::setup::finish::Finish;
use crate::shop::setup::recipe::Rest;
use crate::time::Instant;

/// When a step may be begun.
#[derive(Debug, Clone, PartialEq)]
pub struct Window {
    /// No sooner.
    pub from: Instant,
    /// No later; for a rub, the end of the window of the coat that follows it.
    pub until: Option<Instant>,
    /// What the wait until `from` is for, if there is one.
    pub wait: Option<Wait>,
    /// Whether `from` rests on the sheet's own interval for want of readings.
    pub assumed: bool,
}

/// A moment reckoned from a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Reckoned {
    /// The moment.
    pub at: Instant,
    /// Whether it is the sheet's own interval for want of readings.
    pub assumed: bool,
}

impl Shop {
    /// When a step of a lot may be begun.
    pub fn window(&self, lot: &Lot, step: u32) -> Window {
        let before = lot.done.last();
        let start = before
            .map_or_else(|| lot.standing.first().map_or(lot.last_at, |s| s.from), |d| d.ended);
        let mut window = Window { from: start, until: None, wait: None, assumed: false };
        let Some(before) = before else { return window };
        let rest = lot.recipe.step(before.step).and_then(|step| step.rest);
        match rest {
            Some(Rest::AtLeast(span)) => window.wait_until(span.after(before.ended), Wait::Rest),
            Some(Rest::Between(range)) => {
                window.wait_until(range.min.after(before.ended), Wait::Rest);
                window.until = Some(range.max.after(before.ended));
            }
            None => {}
        }
        let Some((coat, finish)) = self.last_coat(lot) else { return window };
        let opens = self.recoat_opens(finish, coat);
        if opens.at > window.from {
            window.wait_until(opens.at, Wait::Recoat);
            window.assumed = opens.assumed;
        }
        let cure_between = lot
            .recipe
            .numbered()
            .any(|(number, s)| s.is_cure() && coat.step < number && number < step);
        if cure_between {
            let cured = self.cure_reached(finish, coat);
            if cured.at > window.from {
                window.wait_until(cured.at, Wait::Cure);
                window.assumed = cured.assumed;
            }
        }
        if leads_to_coat(lot, step) {
            let shuts = self.recoat_shuts(finish, coat).at;
            window.until = Some(window.until.map_or(shuts, |until| until.min(shuts)));
        }
        window
    }

    /// When a lot's cure is reached; `None` before its last coat.
    pub fn cured_at(&self, lot: &Lot) -> Option<Reckoned> {
        if !lot.coats_done() {
            return None;
        }
        self.last_coat(lot).map(|(coat, finish)| self.cure_reached(finish, coat))
    }

    /// When the shortest rest after the coat last laid is over: after the recipe's last coat, the moment from which the
    /// lot may stand on a curing rack. `None` before any coat.
    pub fn may_leave_at(&self, lot: &Lot) -> Option<Reckoned> {
        self.last_coat(lot).map(|(coat, finish)| self.recoat_opens(finish, coat))
    }

    /// While a coat soaks: from when, and until when, it is to be wiped off.
    pub fn wipe_window(&self, lot: &Lot) -> Option<Window> {
        let begun = lot.begun?;
        let finish = lot.next_step().and_then(|(_, step)| step.coat())?;
        let soak = self.setup.as_ref()?.finish(finish)?.soak;
        Some(Window {
            from: soak.min.after(begun),
            until: Some(soak.max.after(begun)),
            wait: Some(Wait::Soak),
            assumed: false,
        })
    }

    fn last_coat<'a>(&'a self, lot: &'a Lot) -> Option<(&'a StepDone, &'a Finish)> {
        let coat = lot.last_coat()?;
        let finish = self.setup.as_ref()?.finish(&coat.coat.as_ref()?.finish)?;
        Some((coat, finish))
    }

    /// When the next coat may follow: the sheet's shortest interval, counted from the coat's end.
    fn recoat_opens(&self, finish: &Finish, coat: &StepDone) -> Reckoned {
        Reckoned { at: finish.recoat.min.after(coat.ended), assumed: true }
    }

    /// When the window for the next coat shuts.
    fn recoat_shuts(&self, finish: &Finish, coat: &StepDone) -> Reckoned {
        Reckoned { at: finish.recoat.max.after(coat.ended), assumed: true }
    }

    /// When the sheet's cure time is reached, counted from the last coat's end.
    fn cure_reached(&self, finish: &Finish, coat: &StepDone) -> Reckoned {
        Reckoned { at: finish.cure.after(coat.ended), assumed: true }
    }
}

impl Window {
    fn wait_until(&mut self, at: Instant, wait: Wait) {
        self.from = at;
        self.wait = Some(wait);
    }

    /// Whether it is past its end.
    pub fn shut(&self, at: Instant) -> bool {
        self.until.is_some_and(|until| at > until)
    }
}

/// Whether the step is a coat, or only a rub (or the like) lies between it and the next coat.
fn leads_to_coat(lot: &Lot, step: u32) -> bool {
    lot.recipe.last_coat().is_some_and(|last| step <= last)
}
