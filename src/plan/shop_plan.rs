//! The plan of the shop: lots still to start are sized, the engine is asked, its answer put back into the shop's words.

pub(super) mod outcome;
mod stays;

use std::sync::OnceLock;

use crate::plan::draft::{Draft, HORIZONS, ToStart, What};
use crate::plan::effort::Effort;
use crate::plan::engine::{self, Failure, Found, Plan, Progress, Settings, find};
use crate::plan::headway::{Headway, Watch};
use crate::plan::sizes::{LEAST_EFFORT, best_sizes, choices, first};
use crate::shop::Shop;
use crate::shop::entry::Entry;
use crate::shop::plan::{NotPlanned, ShopPlan};
use crate::time::Instant;
use crate::units::Sureness;

/// A search that finds nothing better for so many plans, beyond as many as it took before, ends: a bound is seldom met (a
/// choice).
const PATIENCE: u64 = 200;

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
    /// Of the batch asked about as many pieces as were promised are ready, or have left.
    AllDone {
        batch: String,
    },
    /// Of the batch asked about less is planned than was ordered, and some is held.
    Held {
        batch: String,
    },
    /// No rack will do for a lot of the batch asked about.
    NotPlanned(Box<NotPlanned>),
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

/// The problem put, and what the engine found.
pub(crate) struct Solved {
    /// The whole shop as one.
    pub(crate) draft: Draft,
    pub(crate) found: Found,
    /// The sizes chosen for lots still to start.
    pub(crate) to_start: Vec<ToStart>,
}

impl Solved {
    /// What it is worth, as [`Draft::worth`] says.
    pub(super) fn worth(&self) -> Vec<i64> {
        self.draft.worth(self.found.values())
    }

    /// How many windows it misses.
    pub(super) fn missed(&self) -> usize {
        usize::try_from(self.found.values().violations).unwrap_or(0)
    }

    /// Planned again from itself, its lots in their sizes, in two goes: a search that begins again from what a short one found
    /// gets further than one as long (tried on the demo's shop).
    pub(super) fn again(self, asked: &Asked<'_>, watch: Watch<'_>) -> Result<Self, NoPlan> {
        let Self { mut draft, found, to_start } = self;
        let effort = asked.effort.for_problem(&draft.problem);
        let headway = Headway::new(watch, effort.saturating_add(LEAST_EFFORT));
        let go =
            |from, effort| ask_again(&draft, from, effort, asked.seed, &mut headway.of_search());
        let found = go(go(found, LEAST_EFFORT.min(effort))?, effort)?;
        draft.number_by_start(&found);
        Ok(Self { draft, found, to_start })
    }
}

pub fn plan(shop: &Shop, asked: &Asked<'_>, watch: Watch<'_>) -> Result<ShopPlan, NoPlan> {
    solved(shop, asked, watch).map(|solved| solved.shop_plan(shop, asked))
}

/// What is in hand as a problem, for each horizon: made when it is first asked for, since all rooms are counted hour by hour.
pub(super) struct InHand<'a> {
    pub(super) shop: &'a Shop,
    now: Instant,
    /// Another shop with the same rooms and hours.
    like: Option<&'a Self>,
    ahead: [OnceLock<Option<Draft>>; HORIZONS.len()],
}

impl<'a> InHand<'a> {
    pub(super) fn of(shop: &'a Shop, now: Instant) -> Self {
        Self { shop, now, like: None, ahead: Default::default() }
    }

    /// Of a shop in whose rooms time counts as in those of this one.
    pub(super) fn like(&'a self, shop: &'a Shop) -> Self {
        Self { like: Some(self), ..Self::of(shop, self.now) }
    }

    fn ahead(&self, horizon: usize) -> Option<&Draft> {
        let draft = || {
            let like = self.like.and_then(|like| like.ahead(horizon));
            Draft::new(self.shop, self.now, *HORIZONS.get(horizon)?, like)
        };
        self.ahead.get(horizon)?.get_or_init(draft).as_ref()
    }
}

/// Plans the shop and keeps the problem beside the answer.
pub(crate) fn solved(shop: &Shop, asked: &Asked<'_>, watch: Watch<'_>) -> Result<Solved, NoPlan> {
    solved_from(&InHand::of(shop, asked.now), asked, watch)
}

/// Plans what is in hand, and what is still to start.
pub(super) fn solved_from(
    in_hand: &InHand<'_>,
    asked: &Asked<'_>,
    watch: Watch<'_>,
) -> Result<Solved, NoPlan> {
    let shop = in_hand.shop;
    let setup = shop.setup.as_ref().ok_or(NoPlan::NoSetup)?;
    if setup.shop.hours.next_open(setup.shop.zone, asked.now).is_none() {
        return Err(NoPlan::NoHours);
    }
    let mut failed = NoPlan::NotFound;
    let mut horizons = 0..HORIZONS.len();
    while let Some(drafted) = horizons.next().and_then(|horizon| in_hand.ahead(horizon)) {
        match within(shop, asked, drafted, watch) {
            Ok(solved) => {
                let left_out = solved.draft.left_out();
                if left_out == 0 {
                    return Ok(solved);
                }
                // What doesn't dry before winter may in spring.
                let mut further = horizons.filter_map(|horizon| in_hand.ahead(horizon));
                let fewer = |in_hand: &&Draft| {
                    in_hand.starting(shop, &solved.to_start).left_out() < left_out
                };
                let further = further.find(fewer);
                let better = further.and_then(|further| within(shop, asked, further, watch).ok());
                return Ok(better.unwrap_or(solved));
            }
            Err(failure) => failed = failure,
        }
    }
    Err(failed)
}

fn within(
    shop: &Shop,
    asked: &Asked<'_>,
    in_hand: &Draft,
    watch: Watch<'_>,
) -> Result<Solved, NoPlan> {
    let choices = choices(shop, asked);
    let draft = in_hand.starting(shop, &first(&choices));
    let effort = asked.effort.for_problem(&draft.problem);
    // Sizes take half as much again as the plan itself.
    let headway = Headway::new(watch, effort.saturating_mul(3) / 2);
    let sized = best_sizes(shop, asked, in_hand, (&choices, effort), &headway)?;
    let watch = &mut headway.of_search();
    let mut solved = match sized {
        Some((solved, spent)) if spent >= effort => solved,
        Some((Solved { draft, found, to_start }, _)) => {
            let found = ask_again(&draft, found, effort, asked.seed, watch)?;
            Solved { draft, found, to_start }
        }
        None => {
            let start = asked.kept.map(|kept| draft.adopted(kept));
            let found = ask(&draft, start.as_ref(), effort, asked.seed, watch)?;
            Solved { draft, found, to_start: first(&choices) }
        }
    };
    solved.draft.number_by_start(&solved.found);
    Ok(solved)
}

/// Asks the engine.
pub(super) fn ask(
    draft: &Draft,
    start: Option<&Plan>,
    effort: u64,
    seed: u64,
    watch: &mut dyn FnMut(&Progress<'_>) -> bool,
) -> Result<Found, NoPlan> {
    find(&draft.problem, &settings(effort, seed, start), watch)
        .map_err(|failure| no_plan(draft, &failure))
}

/// Asks the engine to search on from what it found.
fn ask_again(
    draft: &Draft,
    found: Found,
    effort: u64,
    seed: u64,
    watch: &mut dyn FnMut(&Progress<'_>) -> bool,
) -> Result<Found, NoPlan> {
    found.again(&settings(effort, seed, None), watch).map_err(|failure| no_plan(draft, &failure))
}

const fn settings(effort: u64, seed: u64, start: Option<&Plan>) -> Settings<'_> {
    Settings { effort, seed, patience: Some(PATIENCE), start }
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
