//! What is odd about the date an order is promised for, told when it is opened or changed.

use chrono::NaiveDate;

use crate::shop::setup::recipe::Rest;
use crate::shop::{Batch, Shop};
use crate::time::{Instant, Span, first_instant_of, local_date};

/// Something a person may not have meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum DueRemark {
    Past(NaiveDate),
    /// It is before the day on which the customer would like it, the second.
    BeforeWanted(NaiveDate, NaiveDate),
    /// The shop is closed that day.
    Closed(NaiveDate),
    /// The rests between coats and the cure, by the sheets alone, take until the second day.
    SoonerThanRests(NaiveDate, NaiveDate),
}

impl Shop {
    /// What is odd about a batch's promised date, as it looks at `now`.
    pub(crate) fn due_remarks(&self, batch: &Batch, now: Instant) -> Vec<DueRemark> {
        let (Some(due), Some(setup)) = (batch.due, &self.setup) else { return Vec::new() };
        let zone = setup.shop.zone;
        if due < local_date(now, zone) {
            return vec![DueRemark::Past(due)];
        }
        let mut remarks = Vec::new();
        let wanted = batch.wanted.filter(|wanted| *wanted > due);
        remarks.extend(wanted.map(|wanted| DueRemark::BeforeWanted(due, wanted)));
        let (from, until) =
            (first_instant_of(due, zone), due.succ_opt().map(|day| first_instant_of(day, zone)));
        if until.is_some_and(|until| setup.shop.hours.stretches(zone, from, until).is_empty()) {
            remarks.push(DueRemark::Closed(due));
        }
        let earliest = self.rests(batch).map(|rests| local_date(rests.after(now), zone));
        if let Some(earliest) = earliest.filter(|earliest| due < *earliest && batch.started == 0) {
            remarks.push(DueRemark::SoonerThanRests(due, earliest));
        }
        remarks
    }

    /// The recipe's rests, the shortest recoats between its coats and its cure, one after the other, by the sheets.
    fn rests(&self, batch: &Batch) -> Option<Span> {
        let (setup, recipe) = (self.setup.as_ref()?, self.recipe_of(batch)?);
        let mut seconds = 0;
        let mut last = None;
        for (number, step) in recipe.numbered() {
            let rest = match step.rest {
                Some(Rest::AtLeast(span)) => span.as_seconds(),
                Some(Rest::Between(range)) => range.min.as_seconds(),
                None => 0,
            };
            seconds += rest;
            let finish = step.coat().and_then(|finish| setup.finish(finish));
            if let Some(finish) = finish {
                if recipe.last_coat().is_some_and(|coat| number < coat) {
                    seconds += finish.recoat.min.as_seconds();
                }
                last = Some(finish);
            }
        }
        let cures = recipe.steps.iter().any(crate::shop::setup::recipe::Step::is_cure);
        seconds += last.filter(|_| cures).map_or(0, |finish| finish.cure.as_seconds());
        Some(Span::seconds(seconds))
    }
}
