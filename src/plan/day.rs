//! The plan that is followed: the kept one, mended where a step was early or late, or a fresh one where none is kept.

use crate::plan::drift::{Drift, drift};
use crate::plan::effort::Effort;
use crate::plan::headway::Watch;
use crate::plan::shop_plan::{Asked, NoPlan, plan};
use crate::shop::Shop;
use crate::shop::plan::ShopPlan;

/// The plan to go by.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Followed {
    pub(crate) plan: ShopPlan,
    /// What moved since the plan was kept; none where none is kept.
    pub(crate) drift: Option<Drift>,
}

/// The kept plan with as little changed as can be: only where that makes a date later is a better one looked for.
pub(crate) fn followed(
    shop: &Shop,
    asked: &Asked<'_>,
    watch: Watch<'_>,
) -> Result<Followed, NoPlan> {
    let Some(kept) = asked.kept else {
        return Ok(Followed { plan: plan(shop, asked, watch)?, drift: None });
    };
    let mended = plan(shop, &Asked { effort: Effort::Plans(1), mend: true, ..*asked }, watch);
    let plan = match mended {
        Ok(mended) if !later(kept, &mended) => mended,
        _ => plan(shop, asked, watch)?,
    };
    let drift = Some(drift(shop, kept, &plan));
    Ok(Followed { plan, drift })
}

/// Whether a batch is later than it was, or more windows are missed.
fn later(kept: &ShopPlan, plan: &ShopPlan) -> bool {
    let date = |batch: &crate::shop::plan::BatchPlan| {
        let before = kept.batches.iter().find(|old| old.batch == batch.batch);
        before.is_none_or(|before| batch.ready_at > before.ready_at)
    };
    plan.missed.len() > kept.missed.len() || plan.batches.iter().any(date)
}
