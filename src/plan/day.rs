//! The plan that is followed: the kept one, mended where a step was early or late, or a fresh one where none is kept.

use crate::plan::drift::{Drift, drift};
use crate::plan::effort::Effort;
use crate::plan::headway::Watch;
use crate::plan::shop_plan::{Asked, NoPlan, plan};
use crate::shop::Shop;
use crate::shop::plan::{BatchPlan, ShopPlan};
use crate::time::local_date;

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
    let Some(kept) = asked.kept else {
        return Ok(Followed { plan: plan(shop, asked, watch)?, drift: None });
    };
    let mended = plan(shop, &Asked { effort: Effort::Plans(1), ..*asked }, watch);
    let plan = match mended {
        Ok(mended) if mended.missed.is_empty() && !later(shop, kept, &mended) => mended,
        _ => plan(shop, asked, watch)?,
    };
    let drift = Some(drift(shop, kept, &plan));
    Ok(Followed { plan, drift })
}

/// Whether a batch is ready on a later day than it was.
fn later(shop: &Shop, kept: &ShopPlan, plan: &ShopPlan) -> bool {
    let day = |batch: &BatchPlan| batch.ready_at.map(|at| local_date(at, shop.zone()));
    let later = |batch: &BatchPlan| {
        let before = kept.batches.iter().find(|old| old.batch == batch.batch);
        before.is_none_or(|before| day(batch) > day(before))
    };
    plan.batches.iter().any(later)
}
