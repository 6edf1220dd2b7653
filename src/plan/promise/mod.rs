//! A promise: the plan run again and again over scrap, pace, rooms and lost days as the shop's own records spread them.

mod again;
mod air;
mod draws;
mod spread;
mod weeks;

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::plan::day::gone_on_with;
use crate::plan::engine::Minute;
use crate::plan::headway::Watch;
use crate::plan::shop_plan::{Asked, NoPlan, Solved, solved};
use crate::shop::Shop;
use crate::shop::entry::Entry;
use crate::shop::plan::ShopPlan;
use crate::time::local_date;
use again::Again;

pub(crate) use spread::{Ground, LOST_DAYS, Spreads};

/// What is asked of a promise.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Wanted<'a> {
    /// The batch it is for; it is in the shop, if only for this question.
    pub(crate) batch: &'a str,
    /// How often it is planned.
    pub(crate) runs: u64,
    /// What was recorded within [`LOST_DAYS`], and all that was recorded before of whatever that is about.
    pub(crate) days: &'a [Entry],
}

/// The odds of a batch's date.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Odds {
    pub(crate) batch: String,
    /// When it was ready in each run that found a plan, soonest first.
    pub(crate) ready: Vec<Minute>,
    /// Runs that found no plan.
    pub(crate) without: usize,
    /// In how many of them it was past its date.
    pub(crate) late: usize,
}

pub(crate) struct Promise {
    /// The plan it stands on.
    pub(crate) plan: ShopPlan,
    /// The problem of that plan, to turn minutes into moments.
    pub(crate) base: Solved,
    /// The odds, a batch each.
    pub(crate) odds: Vec<Odds>,
    /// What they rest on.
    pub(crate) spreads: Spreads,
    /// Runs that were made.
    pub(crate) runs: usize,
}

impl Odds {
    /// The minute by which it is ready in that share of the runs; where too many found no plan, the latest that any found.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "a share of a count of runs"
    )]
    pub(crate) fn by(&self, share: f64) -> Option<Minute> {
        let place = ((self.runs() as f64 * share).ceil() as usize).saturating_sub(1);
        self.ready.get(place).or(self.ready.last()).copied()
    }

    /// The minute by which half the runs are ready, or the last one before its day if that halves them better: a promise is a day,
    /// and by its end more than half may be ready.
    pub(crate) fn even(&self, day_of: impl Fn(Minute) -> NaiveDate) -> Option<Minute> {
        let half = self.by(0.5)?;
        let day = day_of(half);
        let before = self.ready.partition_point(|minute| day_of(*minute) < day);
        let by_then = self.ready.partition_point(|minute| day_of(*minute) <= day);
        let off = |ready: usize| (2 * ready).abs_diff(self.runs());
        match self.ready[..before].last() {
            Some(sooner) if off(before) < off(by_then) => Some(*sooner),
            _ => Some(half),
        }
    }

    /// Runs that were made.
    const fn runs(&self) -> usize {
        self.ready.len() + self.without
    }
}

/// Plans the shop, then again for every run. `watch` is told how many runs are done and says whether to go on.
pub(crate) fn promise(
    shop: &Shop,
    asked: &Asked<'_>,
    wanted: Wanted<'_>,
    watch: Watch<'_>,
) -> Result<Promise, NoPlan> {
    // What is told of an order taken on is told of the plan that is followed.
    let known = |kept: &ShopPlan| kept.batches.iter().any(|batch| batch.batch == wanted.batch);
    let first = |_, of| watch(0, of);
    let base = if asked.kept.is_some_and(known) {
        gone_on_with(shop, asked, &first)?
    } else {
        solved(shop, asked, &first)?
    };
    if let Some(lot) = base.draft.not_planned.iter().find(|lot| lot.batch == wanted.batch) {
        return Err(NoPlan::NotPlanned(Box::new(lot.clone())));
    }
    let batch = shop.batches.get(wanted.batch).ok_or(NoPlan::NotFound)?;
    if base.draft.done(shop, batch) >= batch.pieces {
        return Err(NoPlan::AllDone { batch: batch.name.clone() });
    }
    let plan = base.shop_plan(shop, asked);
    let own = plan.batches.iter().find(|of| of.batch == batch.name);
    if own.is_some_and(|own| plan.held_back(own, shop) > 0) {
        return Err(NoPlan::Held { batch: batch.name.clone() });
    }
    let spreads = Spreads::of(shop, asked, (batch, &plan), wanted.days);
    let again = Again::new(shop, asked, wanted, &base, &plan, &spreads)?;
    let results = again.all(watch);
    let odds = plan.batches.iter().map(|of| odds(shop, &of.batch, &results, &base)).collect();
    Ok(Promise { odds, spreads, runs: results.len(), plan, base })
}

/// Ready minutes of every batch in one run; none where no plan was found.
type Readies = Option<BTreeMap<String, Minute>>;

fn odds(shop: &Shop, batch: &str, results: &[Readies], base: &Solved) -> Odds {
    let mut ready: Vec<Minute> =
        results.iter().flatten().filter_map(|run| run.get(batch).copied()).collect();
    ready.sort_unstable();
    let due = shop.batches.get(batch).and_then(|batch| batch.due);
    let late = |minute: &&Minute| {
        let date = local_date(base.draft.origin.of(**minute), shop.zone());
        due.is_some_and(|due| date > due)
    };
    let without = results.iter().filter(|run| run.is_none()).count();
    let late = ready.iter().filter(late).count() + if due.is_some() { without } else { 0 };
    Odds { batch: batch.to_owned(), ready, without, late }
}

#[cfg(test)]
mod tests {
    use chrono::{NaiveDate, TimeDelta};

    use super::Odds;

    const DAY: i64 = 24 * 60;

    /// Runs ready on each day from the first on, a minute apart.
    fn odds(days: &[i64], without: usize) -> Odds {
        let day = |(day, runs): (i64, &i64)| (0..*runs).map(move |run| day * DAY + run);
        Odds {
            batch: String::new(),
            ready: (0..).zip(days).flat_map(day).collect(),
            without,
            late: 0,
        }
    }

    fn even(days: &[i64], without: usize) -> Option<i64> {
        let day_of = |minute| NaiveDate::default() + TimeDelta::days(minute / DAY);
        odds(days, without).even(day_of).map(|minute| minute / DAY)
    }

    #[test]
    fn the_day_of_even_odds_is_the_one_by_whose_end_the_half_is_nearest() {
        assert_eq!(even(&[45, 20, 35], 0), Some(0));
        assert_eq!(even(&[30, 25, 45], 0), Some(1));
        assert_eq!(even(&[30, 16, 0, 14, 40], 0), Some(1), "not a day on which none is ready");
        assert_eq!(even(&[100], 0), Some(0), "there is no day before");
        assert_eq!(even(&[10, 30], 60), Some(1), "the latest of those with a plan");
        assert_eq!(even(&[], 100), None);
    }
}
