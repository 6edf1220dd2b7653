//! The plan of the shop: lots still to start are sized, the engine is asked, its answer put back into the shop's words.

pub(super) mod outcome;
mod stays;

use crate::plan::draft::{Draft, HORIZONS, ToStart, What};
use crate::plan::effort::Effort;
use crate::plan::engine::{self, Answer, Failure, Minute, Plan, Progress, Settings, solve};
use crate::plan::headway::{Headway, Watch};
use crate::plan::sizes::{Sized, best_sizes, choices, first};
use crate::shop::Shop;
use crate::shop::entry::Entry;
use crate::shop::plan::ShopPlan;
use crate::time::Instant;
use crate::units::Sureness;

/// How often a plan to keep is planned again.
const MOST_AGAIN: usize = 3;

/// A search that finds nothing better for so many plans, beyond as many as it took before, ends: a bound is seldom met (a
/// choice).
const PATIENCE: u64 = 400;

/// Why there is no plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoPlan {
    NoSetup,
    /// The shop is never open, or not long enough, within three years.
    NoHours,
    /// A lot's step finds no place.
    NoPlace {
        lot: String,
        step: String,
    },
    /// A lot finds no rack: more pieces than any has slots left.
    NoRack {
        lot: String,
        pieces: u32,
    },
    /// No plan was found with that effort, and none was proved impossible.
    NotFound,
    /// The problem put to the engine can't be read, or its answer breaks a rule: a fault of this program.
    Faulty(String),
    /// Every order of the steps was tried, and none keeps the waits.
    Impossible,
    /// A lot of the batch asked about never gets through its rests in the rooms as they are.
    NeverDry {
        lot: String,
    },
}

/// What is asked of a plan.
#[derive(Debug, Clone, Copy)]
pub struct Asked<'a> {
    /// The moment it is made for.
    pub now: Instant,
    /// Plans to look at.
    pub effort: Effort,
    pub seed: u64,
    /// Whether lots still to start come in.
    pub with_new_lots: bool,
    /// How sure the number promised of each batch is to be reached by the pieces a plan starts, where somebody says.
    pub sure: Option<Sureness>,
    /// The ledger's entries, for the scrap seen stage by stage.
    pub entries: &'a [Entry],
    /// The plan kept so far: while it still can be followed the answer is never worse.
    pub kept: Option<&'a ShopPlan>,
}

impl<'a> Asked<'a> {
    /// What a screen asks unless it is told otherwise: the whole shop, starting from the kept plan.
    pub(crate) fn usual(shop: &'a Shop, entries: &'a [Entry], now: Instant) -> Self {
        Self {
            now,
            effort: Effort::USUAL,
            seed: 1,
            with_new_lots: true,
            sure: None,
            entries,
            kept: shop.kept.as_ref(),
        }
    }
}

/// The problem put, and the engine's answer.
#[derive(Debug, Clone)]
pub(crate) struct Solved {
    /// What is in hand as a problem.
    pub(crate) in_hand: Draft,
    /// The whole shop as one.
    pub(crate) draft: Draft,
    pub(crate) answer: Answer,
    /// The sizes chosen for lots still to start.
    pub(crate) to_start: Vec<ToStart>,
}

pub fn plan(shop: &Shop, asked: &Asked<'_>, watch: Watch<'_>) -> Result<ShopPlan, NoPlan> {
    solved(shop, asked, watch).map(|solved| solved.shop_plan(shop, asked))
}

/// The plan to keep: planned again from itself, its lots in their sizes, for as long as that finds a better one, so that whoever
/// follows it finds none.
pub(crate) fn plan_to_keep(
    shop: &Shop,
    asked: &Asked<'_>,
    watch: Watch<'_>,
) -> Result<ShopPlan, NoPlan> {
    let mut best = plan(shop, asked, watch)?;
    for _ in 0..MOST_AGAIN {
        let again = plan(shop, &Asked { kept: Some(&best), ..*asked }, watch)?;
        let settled = again.batches == best.batches;
        best = again;
        if settled {
            break;
        }
    }
    Ok(best)
}

/// Plans the shop and keeps the problem beside the answer.
pub(crate) fn solved(shop: &Shop, asked: &Asked<'_>, watch: Watch<'_>) -> Result<Solved, NoPlan> {
    let setup = shop.setup.as_ref().ok_or(NoPlan::NoSetup)?;
    if setup.shop.hours.next_open(setup.shop.zone, asked.now).is_none() {
        return Err(NoPlan::NoHours);
    }
    let mut failed = NoPlan::NotFound;
    let mut ahead = HORIZONS.into_iter();
    while let Some(horizon) = ahead.next() {
        match within(shop, asked, horizon, watch) {
            Ok(solved) => {
                // What doesn't dry before winter may in spring.
                let left_out = solved.draft.not_planned.len();
                let fewer = |horizon: &Minute| left_out_by(shop, asked, *horizon) < left_out;
                match ahead.find(|horizon| left_out > 0 && fewer(horizon)) {
                    Some(further) => return within(shop, asked, further, watch).or(Ok(solved)),
                    None => return Ok(solved),
                }
            }
            Err(NoPlan::NoSetup) => return Err(NoPlan::NoSetup),
            Err(failure) => failed = failure,
        }
    }
    Err(failed)
}

/// How many lots have no rack on which they would dry and cure within so long.
fn left_out_by(shop: &Shop, asked: &Asked<'_>, horizon: Minute) -> usize {
    let drafted = Draft::new(shop, asked.now, horizon);
    let drafted = drafted.map(|in_hand| in_hand.starting(shop, &first(&choices(shop, asked))));
    drafted.map_or(0, |draft| draft.not_planned.len())
}

fn within(
    shop: &Shop,
    asked: &Asked<'_>,
    horizon: Minute,
    watch: Watch<'_>,
) -> Result<Solved, NoPlan> {
    let in_hand = Draft::new(shop, asked.now, horizon).ok_or(NoPlan::NoSetup)?;
    let choices = choices(shop, asked);
    let draft = in_hand.starting(shop, &first(&choices));
    let effort = asked.effort.for_problem(&draft.problem);
    // Sizes take half as much again as the plan itself.
    let headway = Headway::new(watch, effort.saturating_mul(3) / 2);
    let Sized { to_start, plan } = best_sizes(shop, asked, &in_hand, (&choices, effort), &headway)?;
    // Where there was nothing to choose from it is the first way.
    let mut draft = if plan.is_some() { in_hand.starting(shop, &to_start) } else { draft };
    let watch = &mut headway.of_search();
    let start = plan.or_else(|| asked.kept.map(|kept| draft.adopted(kept)));
    let answer = ask(&draft, start.as_ref(), effort, asked.seed, watch)?;
    draft.number_by_start(&answer.plan.starts);
    Ok(Solved { in_hand, draft, answer, to_start })
}

/// Asks the engine.
pub(super) fn ask(
    draft: &Draft,
    start: Option<&Plan>,
    effort: u64,
    seed: u64,
    watch: &mut dyn FnMut(&Progress<'_>) -> bool,
) -> Result<Answer, NoPlan> {
    let settings = Settings { effort, seed, patience: Some(PATIENCE), start };
    solve(&draft.problem, &settings, watch).map_err(|failure| no_plan(draft, &failure))
}

fn no_plan(draft: &Draft, failure: &Failure) -> NoPlan {
    let named = |activity: usize| {
        let found = draft.activities.get(activity);
        let (run, what) = found.copied().unwrap_or((0, What::Move));
        let step = match (what, draft.runs.get(run)) {
            (What::Step(number), Some(run)) => Some(run.recipe.words(number)),
            (What::Cure, _) => Some("cure".to_owned()),
            (What::Touch, _) => Some("touch test".to_owned()),
            _ => Some("move to a curing rack".to_owned()),
        };
        let lot = draft.runs.get(run).map_or_else(String::new, |run| run.lot.to_string());
        NoPlan::NoPlace { lot, step: step.unwrap_or_default() }
    };
    match failure {
        Failure::Refused(
            engine::Refusal::NoPlace { activity } | engine::Refusal::TooMuch { activity, .. },
        ) => named(*activity),
        Failure::Refused(engine::Refusal::FitsNowhere { hold }) => {
            let run = draft.holds.get(*hold).and_then(|(run, _)| draft.runs.get(*run));
            let lot = run.map_or_else(String::new, |run| run.lot.to_string());
            NoPlan::NoRack { lot, pieces: run.map_or(0, |run| run.pieces) }
        }
        Failure::Refused(engine::Refusal::EveryOrder { .. }) => NoPlan::Impossible,
        Failure::Refused(engine::Refusal::NotFound { .. }) => NoPlan::NotFound,
        Failure::Faulty(faults) => {
            NoPlan::Faulty(faults.first().map_or_else(String::new, ToString::to_string))
        }
        Failure::Unsound => NoPlan::Faulty(failure.to_string()),
    }
}
