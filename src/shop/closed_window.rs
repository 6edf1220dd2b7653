//! A coat whose successor's window lies in closed hours: known while the oil is still in its can.

use crate::craft::cure::Clock;
use crate::shop::setup::recipe::Rest;
use crate::shop::{Lot, Shop};
use crate::time::{Instant, Span};

/// A window in which nobody is there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct ClosedWindow {
    pub(crate) from: Instant,
    pub(crate) until: Instant,
    /// The step that would have to begin in it.
    pub(crate) step: u32,
}

impl Shop {
    /// The window that a coat begun at `begun` would leave for what follows it, where no open hour lies in it.
    pub(crate) fn closed_window(
        &self,
        lot: &Lot,
        coat: u32,
        begun: Instant,
    ) -> Option<ClosedWindow> {
        let setup = self.setup.as_ref()?;
        let step = lot.recipe.step(coat)?;
        let finish = setup.finish(step.coat()?)?;
        if lot.recipe.last_coat()? <= coat {
            return None;
        }
        let minutes = i64::from(self.minutes(&lot.recipe, coat, lot.pieces));
        let ended = Span::minutes(minutes).after(begun);
        let reach = |clock, span| self.reckon(clock, span, finish, lot, ended, begun).at;
        let mut from = reach(Clock::NoSooner, finish.recoat.min)?;
        let mut until = finish.recoat.longest().and_then(|longest| reach(Clock::NoLater, longest));
        match step.rest {
            Some(Rest::AtLeast(span)) => from = from.max(span.after(ended)),
            Some(Rest::Between(range)) => {
                from = from.max(range.min.after(ended));
                until = [until, Some(range.max.after(ended))].into_iter().flatten().min();
            }
            None => {}
        }
        let until = until?;
        let hours = &setup.shop.hours;
        let closed = hours.next_open(self.zone(), from).is_none_or(|opens| opens >= until);
        closed.then_some(ClosedWindow { from, until, step: coat.saturating_add(1) })
    }
}
