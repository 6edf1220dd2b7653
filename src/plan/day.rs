//! The plan that is followed, and the plan to keep: the kept one, mended where a step was early or late, or a fresh one where none
//! is kept.

use crate::plan::drift::{Drift, drift};
use crate::plan::effort::Effort;
use crate::plan::headway::Watch;
use crate::plan::shop_plan::{Asked, InHand, NoPlan, solved_from};
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

/// The kept plan with as little changed as can be: only where that makes a batch ready on a later day, or misses a window, is a
/// better one looked for, which is no worse than the kept one gone on with.
pub(crate) fn followed(
    shop: &Shop,
    asked: &Asked<'_>,
    watch: Watch<'_>,
) -> Result<Followed, NoPlan> {
    let in_hand = InHand::of(shop, asked.now);
    let Some(kept) = asked.kept else {
        return Ok(Followed { plan: in_hand.plan(asked, watch)?, drift: None });
    };
    let mended = in_hand.plan(&Asked { effort: Effort::Plans(1), ..*asked }, watch);
    let planned = |batch: &BatchPlan| {
        let before = kept.batches.iter().find(|old| old.batch == batch.batch);
        before.is_some_and(|before| before.ready_at.is_some() || batch.ready_at.is_none())
    };
    let holds = |plan: &ShopPlan| {
        let all = plan.batches.iter().all(planned);
        all && plan.missed.is_empty() && slipped(shop, kept, plan) <= 0
    };
    let plan = match mended {
        Ok(mended) if holds(&mended) => mended,
        _ => best_from(kept, &in_hand, asked, watch)?,
    };
    let drift = Some(drift(shop, kept, &plan));
    Ok(Followed { plan, drift })
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
        None => in_hand.plan(asked, watch)?,
    };
    for _ in 0..MOST_AGAIN {
        let again = in_hand.plan(&Asked { kept: Some(&best), ..*asked }, watch)?;
        let sooner = slipped(shop, &again, &best) > 0;
        best = again;
        if !sooner {
            break;
        }
    }
    Ok(best)
}

/// The best plan that is found from the kept one, or, where that is far behind it, from nothing: a search gets only so far from
/// where it starts.
fn best_from(
    kept: &ShopPlan,
    in_hand: &InHand<'_>,
    asked: &Asked<'_>,
    watch: Watch<'_>,
) -> Result<ShopPlan, NoPlan> {
    let shop = in_hand.shop;
    let search = |kept| {
        let asked = Asked { kept, ..*asked };
        let solved = solved_from(in_hand, &asked, watch)?;
        Ok((solved.worth(), solved.shop_plan(shop, &asked)))
    };
    let found = search(Some(kept));
    let near = |plan: &ShopPlan| {
        plan.missed.len() <= kept.missed.len() && slipped(shop, kept, plan) <= NEAR_ENOUGH
    };
    let best = match found {
        Ok((_, plan)) if near(&plan) => return Ok(plan),
        Ok(found) => match search(None) {
            Ok(fresh) if fresh.0 < found.0 => fresh,
            _ => found,
        },
        Err(_) => search(None)?,
    };
    Ok(best.1)
}

/// The days by which the batch that slipped most is ready later than in the kept plan.
fn slipped(shop: &Shop, kept: &ShopPlan, plan: &ShopPlan) -> i64 {
    let day = |batch: &BatchPlan| batch.ready_at.map(|at| local_date(at, shop.zone()));
    let late = |batch: &BatchPlan| {
        let before = kept.batches.iter().find(|old| old.batch == batch.batch)?;
        Some(day(batch)?.signed_duration_since(day(before)?).num_days())
    };
    plan.batches.iter().filter_map(late).max().unwrap_or(0)
}
