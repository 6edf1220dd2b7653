//! Oil: which finishes run out, by the coats a plan lays and what is left in the cans.

use schemars::JsonSchema;
use serde::Serialize;

use crate::shop::cover::Left;
use crate::shop::plan::{ShopPlan, StepPlan};
use crate::shop::setup::Recipe;
use crate::shop::{Can, Shop};
use crate::time::{Instant, Stamp, Viewpoint};
use crate::units::{Litres, Shown};

/// What a rounding of sums may leave over, litres.
const NOTHING: f64 = 1e-6;

// Nothing is planned otherwise for it: a can is soon bought.
/// A finish that runs out.
#[derive(Debug, Clone, JsonSchema, Serialize)]
#[schemars(rename = "OilOutLine")]
pub(crate) struct RunsOut {
    pub(crate) finish: String,
    /// Open cans of it, whatever their time.
    pub(crate) cans: usize,
    /// The lot of the first coat that they don't last for.
    pub(crate) lot: String,
    /// That coat, from 1.
    pub(crate) step: u32,
    /// When it is laid.
    pub(crate) start: Stamp,
    /// What is missing from that coat on; null where nothing is known of it.
    pub(crate) missing_litres: Option<Shown<Litres>>,
    /// about, at least, unknown.
    #[schemars(with = "String")]
    pub(crate) missing: Missing,
    /// Cans that hold some and are past their time by then.
    pub(crate) past: Vec<CanPast>,
}

/// How a number of missing litres is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub(crate) enum Missing {
    /// Nobody knows what these coats take.
    #[serde(rename = "unknown")]
    Unknown,
    /// By the areas and spreads of the setup.
    #[serde(rename = "about")]
    About,
    /// And what those coats take of which nobody knows.
    #[serde(rename = "at least")]
    AtLeast,
}

/// A can past its time.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct CanPast {
    pub(crate) can: String,
    /// The end of its time.
    pub(crate) kept_until: Stamp,
}

/// A coat of a plan.
struct Coat<'a> {
    planned: &'a StepPlan,
    finish: &'a str,
    recipe: &'a Recipe,
}

struct InHand<'a> {
    can: &'a Can,
    /// Litres, no more; none where nobody said what it held.
    left: Option<f64>,
    until: Option<Instant>,
}

/// The finishes that run out, in the order of the setup. Where a can of unknown amount is left nothing is said.
pub(crate) fn run_out(shop: &Shop, plan: &ShopPlan, view: Viewpoint) -> Vec<RunsOut> {
    let Some(setup) = &shop.setup else { return Vec::new() };
    let coat = |planned| {
        let recipe = shop.recipe_planned(planned)?;
        Some(Coat { planned, finish: recipe.step(planned.step)?.coat()?, recipe })
    };
    let coats: Vec<Coat<'_>> = plan.steps.iter().filter_map(coat).collect();
    let runs_out = |finish: &str| {
        let of_finish = coats.iter().filter(|coat| coat.finish == finish);
        runs_out(shop, finish, of_finish, view)
    };
    setup.finishes.iter().filter_map(|finish| runs_out(&finish.name)).collect()
}

/// Draws one coat after the other from the cans.
fn runs_out<'a>(
    shop: &Shop,
    finish: &str,
    coats: impl Iterator<Item = &'a Coat<'a>>,
    view: Viewpoint,
) -> Option<RunsOut> {
    let mut cans = in_hand(shop, finish);
    let mut first: Option<RunsOut> = None;
    let (mut missing, mut known, mut unknown) = (0.0, false, false);
    for Coat { planned, recipe, .. } in coats {
        let needed = shop.oil_for(recipe, planned.step, planned.pieces)?.ok();
        let lacking = match needed {
            Some(needed) => draw(&mut cans, needed.get(), planned.end),
            None if cans.iter().any(|can| can.usable(planned.end)) => 0.0,
            None => f64::INFINITY,
        };
        if lacking <= NOTHING {
            continue;
        }
        if lacking.is_finite() {
            (missing, known) = (missing + lacking, true);
        } else {
            unknown = true;
        }
        first.get_or_insert_with(|| RunsOut {
            finish: finish.to_owned(),
            cans: cans.len(),
            lot: planned.lot.clone(),
            step: planned.step,
            start: view.stamp(planned.start),
            missing_litres: None,
            missing: Missing::Unknown,
            past: past(&cans, planned.end, view),
        });
    }
    let litres = Litres::new(missing).ok().filter(|_| known);
    let missing = match litres {
        None => Missing::Unknown,
        Some(_) if unknown => Missing::AtLeast,
        Some(_) => Missing::About,
    };
    let missing_litres = litres.map(|litres| view.shown(litres));
    first.map(|first| RunsOut { missing_litres, missing, ..first })
}

/// Open cans of a finish: what is known to be there first, what keeps the shortest before the rest.
fn in_hand<'a>(shop: &'a Shop, finish: &str) -> Vec<InHand<'a>> {
    let mut cans: Vec<InHand<'a>> = shop
        .open_cans(finish)
        .map(|can| {
            let left = match can.left() {
                Left::Unknown => None,
                Left::About(litres) | Left::AtMost(litres) => Some(litres.get()),
            };
            InHand { can, left, until: shop.keeps_until(can) }
        })
        .collect();
    cans.sort_by_key(|can| (can.left.is_none(), can.until.unwrap_or(Instant::MAX_UTC)));
    cans
}

/// Takes what a coat needs from the cans that may still be used at `at`; gives what they lack.
fn draw(cans: &mut [InHand<'_>], needed: f64, at: Instant) -> f64 {
    let mut lacking = needed;
    for can in cans.iter_mut().filter(|can| can.usable(at)) {
        let Some(left) = &mut can.left else { return 0.0 };
        let taken = left.min(lacking);
        *left -= taken;
        lacking -= taken;
    }
    lacking
}

fn past(cans: &[InHand<'_>], at: Instant, view: Viewpoint) -> Vec<CanPast> {
    let holding = cans.iter().filter(|can| can.holds_some());
    let past = holding.filter_map(|can| {
        let until = can.until.filter(|until| at > *until)?;
        Some(CanPast { can: can.can.name.clone(), kept_until: view.stamp(until) })
    });
    past.collect()
}

impl InHand<'_> {
    fn holds_some(&self) -> bool {
        self.left.is_none_or(|left| left > NOTHING)
    }

    fn usable(&self, at: Instant) -> bool {
        self.holds_some() && self.until.is_none_or(|until| at <= until)
    }
}
