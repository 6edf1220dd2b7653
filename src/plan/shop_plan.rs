//! The plan of the shop: lots still to start are sized, the engine is asked, its answer put back into the shop's words.

mod outcome;

use crate::plan::draft::{Draft, NoDraft, ToStart, What};
use crate::plan::engine::{self, Answer, Failure, Minute, Plan, Progress, Settings, solve};
use crate::plan::sizes::{Sized, best_sizes};
use crate::shop::Shop;
use crate::shop::entry::Entry;
use crate::shop::plan::ShopPlan;
use crate::shop::setup::Rack;
use crate::time::Instant;
use crate::units::Sureness;

/// How far ahead is looked, in days; the next one where no plan fits.
const HORIZONS: [Minute; 3] = [180, 540, 1100];

/// Minutes of a day.
pub(super) const DAY: Minute = 1440;

/// Is told how far the engine is and says whether to go on.
pub type Watch<'w> = &'w mut dyn FnMut(&Progress<'_>) -> bool;

/// Why there is no plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoPlan {
    /// The shop can't be put as a problem.
    NoDraft(NoDraft),
    /// The shop is never open, or not long enough, within three years.
    NoHours,
    /// A lot's step finds no place.
    NoPlace {
        /// The lot.
        lot: String,
        /// The step.
        step: String,
    },
    /// A lot finds no rack: more pieces than any has slots left.
    NoRack {
        /// The lot.
        lot: String,
        /// Its pieces.
        pieces: u32,
    },
    /// No plan was found with that effort, and none was proved impossible.
    NotFound,
    /// Every order of the steps was tried, and none keeps the waits.
    Impossible,
}

impl From<NoDraft> for NoPlan {
    fn from(none: NoDraft) -> Self {
        Self::NoDraft(none)
    }
}

/// What is asked of a plan.
#[derive(Debug, Clone, Copy)]
pub struct Asked<'a> {
    /// The moment it is made for.
    pub now: Instant,
    /// Plans to look at.
    pub effort: u64,
    /// Where chance begins.
    pub seed: u64,
    /// Whether lots still to start come in.
    pub with_new_lots: bool,
    /// Whether the kept plan's lots stay as they are: nothing is looked for that would be better.
    pub mend: bool,
    /// How sure the number promised of each batch is to be reached by the pieces a plan starts.
    pub sure: Sureness,
    /// The ledger's entries, for the scrap seen stage by stage.
    pub entries: &'a [Entry],
    /// The plan kept so far: while it still can be followed the answer is never worse.
    pub kept: Option<&'a ShopPlan>,
}

/// The problem put, and the engine's answer.
#[derive(Debug, Clone)]
pub struct Solved {
    /// The shop as a problem.
    pub draft: Draft,
    /// The answer.
    pub answer: Answer,
    /// The sizes chosen for lots still to start.
    pub to_start: Vec<ToStart>,
}

/// Lots up to which a plan gets the engine's usual effort.
const FEW_LOTS: u64 = 14;

/// How many lots there are and will be, if the drying racks are filled one after the other.
fn lots_to_come(shop: &Shop) -> u64 {
    let racks = || shop.setup.iter().flat_map(|setup| &setup.racks);
    let slots: Vec<u64> =
        racks().filter(|rack| rack.purpose.dries()).map(|rack| u64::from(rack.slots)).collect();
    let racks = u64::try_from(slots.len()).unwrap_or(u64::MAX).max(1);
    let slots = slots.iter().sum::<u64>().max(1);
    let open = shop.batches.values().filter(|batch| batch.closed.is_none());
    let new = open.map(|batch| {
        let missing = u64::from(batch.pieces.saturating_sub(shop.in_hand(&batch.name)));
        missing.saturating_mul(racks).div_ceil(slots)
    });
    new.sum::<u64>() + u64::try_from(shop.open_lots().count()).unwrap_or(u64::MAX)
}

/// The effort that keeps a person waiting about as long whatever the shop: a plan of many lots takes longer to look at, by
/// about the square of their number.
pub fn usual_effort(shop: &Shop) -> u64 {
    let lots = lots_to_come(shop).max(FEW_LOTS);
    (Settings::EFFORT.saturating_mul(FEW_LOTS * FEW_LOTS) / lots.saturating_mul(lots)).max(200)
}

/// Plans the shop.
pub fn plan(shop: &Shop, asked: &Asked<'_>, watch: Watch<'_>) -> Result<ShopPlan, NoPlan> {
    solved(shop, asked, watch).map(|solved| solved.shop_plan(shop, asked))
}

/// Plans the shop and keeps the problem beside the answer.
pub fn solved(shop: &Shop, asked: &Asked<'_>, watch: Watch<'_>) -> Result<Solved, NoPlan> {
    let setup = shop.setup.as_ref().ok_or(NoDraft::NoSetup)?;
    if setup.shop.hours.next_open(setup.shop.zone, asked.now).is_none() {
        return Err(NoPlan::NoHours);
    }
    let mut failed = NoPlan::NotFound;
    for days in HORIZONS {
        match within(shop, asked, days * DAY, watch) {
            Ok(solved) => return Ok(solved),
            Err(failure @ NoPlan::NoDraft(_)) => return Err(failure),
            Err(failure) => failed = failure,
        }
    }
    Err(failed)
}

fn within(
    shop: &Shop,
    asked: &Asked<'_>,
    horizon: Minute,
    watch: Watch<'_>,
) -> Result<Solved, NoPlan> {
    let Sized { to_start, plan } = best_sizes(shop, asked, horizon, watch)?;
    let mut draft = Draft::new(shop, &to_start, asked.now, horizon)?;
    let mut answer = ask(&draft, Some(&plan), asked.effort, asked.seed, watch)?;
    draft.carry_early(&mut answer, &both_uses(shop));
    draft.number_by_start(&answer.plan.starts);
    Ok(Solved { draft, answer, to_start })
}

/// The racks for both uses, as resources.
pub(super) fn both_uses(shop: &Shop) -> Vec<usize> {
    let racks = shop.setup.iter().flat_map(|setup| (1..).zip(&setup.racks));
    let both = |(_, rack): &(usize, &Rack)| rack.purpose.dries() && rack.purpose.cures();
    racks.filter(both).map(|(resource, _)| resource).collect()
}

/// Asks the engine.
pub(super) fn ask(
    draft: &Draft,
    start: Option<&Plan>,
    effort: u64,
    seed: u64,
    watch: Watch<'_>,
) -> Result<Answer, NoPlan> {
    let settings = Settings { effort, seed, start };
    solve(&draft.problem, &settings, watch).map_err(|failure| no_plan(draft, &failure))
}

fn no_plan(draft: &Draft, failure: &Failure) -> NoPlan {
    let named = |activity: usize| {
        let found = draft.activities.get(activity);
        let (run, what) = found.copied().unwrap_or((0, What::Move));
        let step = match (what, draft.runs.get(run)) {
            (What::Step(number), Some(run)) => {
                run.recipe.step(number).map(super::super::shop::setup::recipe::Step::name)
            }
            (What::Cure, _) => Some("cure".to_owned()),
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
        Failure::Refused(engine::Refusal::NotFound { .. }) | Failure::Faulty(_) => NoPlan::NotFound,
    }
}
