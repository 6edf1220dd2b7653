//! What a failed touch test asks of a plan.

use crate::plan::draft::run::idle;
use crate::plan::draft::{Draft, What};
use crate::plan::engine::Activity;
use crate::shop::Shop;
use crate::shop::lot::Lot;
use crate::time::{Instant, first_instant_of, local_date};

/// The soonest that what would be from `at` on is planned for. A lot whose surface still grabbed when it was last touched
/// waits for a test that passes, whatever its age says. Nobody knows when that will be: not before the next day on which the
/// shop is open (a choice, no source), each day anew.
pub(super) fn no_sooner(shop: &Shop, lot: &Lot, at: Instant, now: Instant) -> Instant {
    next_day(shop, now).filter(|_| lot.still_grabs().is_some()).map_or(at, |day| day.max(at))
}

impl Draft {
    /// The next test of pieces that don't ship before one passes. Steps recorded against the rules since the last one don't
    /// wait for it; that the pieces are ready does.
    pub(super) fn test_before_shipping(
        &mut self,
        shop: &Shop,
        run: usize,
        lot: &Lot,
        now: Instant,
    ) -> Option<usize> {
        let day = next_day(shop, now).filter(|_| lot.barred_from_shipping().is_some())?;
        let then = Some(self.origin.no_sooner(day));
        let test = Activity { earliest: then, latest: then, ..idle("touch test") };
        Some(self.push(run, What::Touch, test))
    }
}

fn next_day(shop: &Shop, now: Instant) -> Option<Instant> {
    let workshop = &shop.setup.as_ref()?.shop;
    let tomorrow = local_date(now, workshop.zone).succ_opt()?;
    workshop.hours.next_open(workshop.zone, first_instant_of(tomorrow, workshop.zone))
}
