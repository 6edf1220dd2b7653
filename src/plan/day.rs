//! The plan that is followed, and the plan to keep: the kept one, mended where a step was early or late, or a fresh one where none
//! is kept.

use crate::plan::drift::{Drift, drift};
use crate::plan::effort::Effort;
use crate::plan::headway::Watch;
use crate::plan::shop_plan::outcome::Ready;
use crate::plan::shop_plan::{Asked, InHand, NoPlan, Solved, solved_from};
use crate::shop::Shop;
use crate::shop::plan::{BatchPlan, ShopPlan};
use crate::time::local_date;

/// How often a plan to keep is planned again.
const MOST_AGAIN: usize = 3;

/// A plan searched from the kept one is taken as it is where no batch is later by more days than these: hands are late by that
/// now and then, and another search takes as long again (a choice).
const NEAR_ENOUGH: i64 = 3;

/// The plan to go by.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Followed {
    pub(crate) plan: ShopPlan,
    /// What moved since the plan was kept; none where none is kept.
    pub(crate) drift: Option<Drift>,
}

/// The plan to go by, and how far it is from the kept one.
pub(crate) fn followed(
    shop: &Shop,
    asked: &Asked<'_>,
    watch: Watch<'_>,
) -> Result<Followed, NoPlan> {
    let plan = gone_on_with(shop, asked, watch)?.shop_plan(shop, asked);
    let drift = asked.kept.map(|kept| drift(shop, kept, &plan));
    Ok(Followed { plan, drift })
}

/// The kept plan with as little changed as can be: only where that makes a batch ready on a later day, or misses more windows, is
/// a better one looked for, which is no worse than the kept one gone on with; and where it misses any, one that misses fewer.
pub(crate) fn gone_on_with(
    shop: &Shop,
    asked: &Asked<'_>,
    watch: Watch<'_>,
) -> Result<Solved, NoPlan> {
    let in_hand = InHand::of(shop, asked.now);
    let Some(kept) = asked.kept else { return solved_from(&in_hand, asked, watch) };
    let mended = Asked { effort: Effort::Plans(1), ..*asked };
    let before = ready(kept);
    let planned = |ready: &Ready| {
        let before = before.iter().find(|old| old.batch == ready.batch);
        before.is_some_and(|before| before.at.is_some() || ready.at.is_none())
    };
    let holds = |solved: &Solved| {
        let ready = solved.ready(shop, asked);
        let all = ready.iter().all(planned);
        all && solved.missed() <= kept.missed.len() && slipped(shop, &before, &ready) <= 0
    };
    let best = || best_from(kept, &in_hand, asked, watch);
    match solved_from(&in_hand, &mended, watch) {
        Ok(mended) if holds(&mended) => {
            let missed = mended.missed();
            // A reading that came since may let more windows be kept.
            let fewer = (missed > 0).then(best).and_then(Result::ok);
            Ok(fewer.filter(|best| best.missed() < missed).unwrap_or(mended))
        }
        _ => best(),
    }
}

/// The plan to keep: planned again from itself, its lots in their sizes, for as long as that has a batch ready on an earlier day, so
/// that whoever follows it finds none.
pub(crate) fn plan_to_keep(
    shop: &Shop,
    asked: &Asked<'_>,
    watch: Watch<'_>,
) -> Result<ShopPlan, NoPlan> {
    let in_hand = InHand::of(shop, asked.now);
    let mut best = match asked.kept {
        Some(kept) => best_from(kept, &in_hand, asked, watch)?,
        None => solved_from(&in_hand, asked, watch)?,
    };
    for _ in 0..MOST_AGAIN {
        let before = best.ready(shop, asked);
        best = best.again(asked, watch)?;
        let sooner = slipped(shop, &best.ready(shop, asked), &before) > 0;
        if !sooner {
            break;
        }
    }
    Ok(best.shop_plan(shop, asked))
}

/// The best plan that is found from the kept one, or, where that is far behind it, from nothing: a search gets only so far from
/// where it starts.
fn best_from(
    kept: &ShopPlan,
    in_hand: &InHand<'_>,
    asked: &Asked<'_>,
    watch: Watch<'_>,
) -> Result<Solved, NoPlan> {
    let shop = in_hand.shop;
    let search = |kept| solved_from(in_hand, &Asked { kept, ..*asked }, watch);
    let before = ready(kept);
    let near = |solved: &Solved| {
        let late = slipped(shop, &before, &solved.ready(shop, asked));
        solved.missed() <= kept.missed.len() && late <= NEAR_ENOUGH
    };
    match search(Some(kept)) {
        Ok(found) if near(&found) => Ok(found),
        Ok(found) => Ok(match search(None) {
            Ok(fresh) if fresh.worth() < found.worth() => fresh,
            _ => found,
        }),
        Err(_) => search(None),
    }
}

/// When the batches of a plan are ready.
fn ready(plan: &ShopPlan) -> Vec<Ready> {
    let of = |batch: &BatchPlan| Ready { batch: batch.batch.clone(), at: batch.ready_at };
    plan.batches.iter().map(of).collect()
}

/// The days by which the batch that slipped most is ready later than before.
fn slipped(shop: &Shop, before: &[Ready], now: &[Ready]) -> i64 {
    let day = |ready: &Ready| ready.at.map(|at| local_date(at, shop.zone()));
    let late = |ready: &Ready| {
        let before = before.iter().find(|old| old.batch == ready.batch)?;
        Some(day(ready)?.signed_duration_since(day(before)?).num_days())
    };
    now.iter().filter_map(late).max().unwrap_or(0)
}
