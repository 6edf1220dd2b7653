//! The plan of the shop: lots still to start are sized, the engine is asked, its answer put back into the shop's words.

mod outcome;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::craft::spares::{Prior, Seen, Stage, to_start};
use crate::plan::draft::{Draft, NoDraft, ToStart, What};
use crate::plan::engine::{self, Answer, Failure, Minute, Progress, Settings, solve};
use crate::plan::lots::ways;
use crate::shop::{Batch, Shop};
use crate::time::Instant;
use crate::units::Sureness;

/// How sure the number promised is to be reached by the pieces a plan starts, %: four in five (a choice; `spares` answers
/// for any other).
pub const SURE: f64 = 80.0;

/// How far ahead is looked, in days; the next one where no plan fits.
const HORIZONS: [Minute; 3] = [180, 540, 1100];

/// Minutes of a day.
const DAY: Minute = 1440;

/// A plan of the shop.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ShopPlan {
    /// The moment it was made for.
    pub now: Instant,
    /// When each batch is ready.
    pub batches: Vec<BatchPlan>,
    /// Every step still to come, in order of time.
    pub steps: Vec<StepPlan>,
    /// Where pieces stand from when until when.
    pub stays: Vec<StayPlan>,
    /// Recoat windows that no plan keeps, with the abrading each costs.
    pub missed: Vec<MissedWindow>,
    /// When the last good piece is ready.
    pub ready_at: Instant,
    /// What no plan can better.
    pub bound: PlanBound,
    /// Piece-days late.
    pub lateness: i64,
    /// Piece-minutes between the end of a wait and the start it allows.
    pub idle: i64,
    /// Lots that wait for a decision, and so are in no plan.
    pub held: Vec<String>,
    /// Plans looked at.
    pub evaluations: u64,
    /// Where chance began.
    pub seed: u64,
}

/// One batch in a plan.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct BatchPlan {
    /// Its name.
    pub batch: String,
    /// When its last piece is ready; none where nothing of it is to be done.
    pub ready_at: Option<Instant>,
    /// The date promised.
    pub due: Option<NaiveDate>,
    /// Whole local days past the date promised; negative is early.
    pub days_late: Option<i64>,
    /// What it waits for most.
    pub limited_by: LimitedBy,
    /// Pieces still to start.
    pub to_start: u32,
}

/// What a batch waits for most.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LimitedBy {
    /// Hands.
    Hands,
    /// Slots of this rack.
    Rack(String),
    /// Closed hours.
    OpenHours,
    /// The rests and the cure the sheets ask for.
    Drying,
    /// Nothing.
    Nothing,
}

/// One step in a plan.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct StepPlan {
    /// The lot.
    pub lot: String,
    /// Its batch.
    pub batch: String,
    /// Pieces.
    pub pieces: u32,
    /// Whether the lot is still to start.
    pub to_start: bool,
    /// The step, from 1.
    pub step: u32,
    /// What a person calls it.
    pub name: String,
    /// work, sand, raise, coat, rub.
    pub kind: String,
    /// When it starts.
    pub start: Instant,
    /// When it ends.
    pub end: Instant,
    /// The latest start with which no batch is later.
    pub latest_start: Instant,
    /// Where the lot stands.
    pub rack: Option<String>,
}

/// Where a lot stands for a while.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct StayPlan {
    /// The lot.
    pub lot: String,
    /// Pieces.
    pub pieces: u32,
    /// The rack.
    pub rack: String,
    /// Whether it cures there.
    pub cures: bool,
    /// From when.
    pub from: Instant,
    /// Until when.
    pub until: Instant,
}

/// A recoat window that no plan keeps.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct MissedWindow {
    /// The lot.
    pub lot: String,
    /// The coat that comes too late.
    pub step: u32,
    /// What a person calls it.
    pub name: String,
    /// When the abrading before it starts.
    pub abrade_from: Instant,
    /// When it ends.
    pub abrade_until: Instant,
}

/// What no plan can better.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PlanBound {
    /// No plan is ready before.
    pub ready_at: Instant,
    /// How far the plan is from that, % of the time from now; none where a promised date binds.
    pub gap_percent: Option<f64>,
    /// No plan has fewer piece-days late.
    pub lateness: i64,
    /// Why, as the engine proves it.
    pub by: BoundBy,
}

/// Why no plan is ready sooner.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum BoundBy {
    /// There is nothing to do.
    Nothing,
    /// The steps and rests of this lot, one after the other.
    Path(String),
    /// All the work there is for hands.
    Hands,
    /// Lots following each other over this rack.
    Rack(String),
}

/// Why there is no plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoPlan {
    /// The shop can't be put as a problem.
    NoDraft(NoDraft),
    /// The shop is never open, or not long enough, within three years.
    NoHours,
    /// A lot's step finds no place: its name and the lot's.
    NoPlace {
        /// The lot.
        lot: String,
        /// The step.
        step: String,
    },
    /// No plan was found with that effort, and none was proved impossible.
    NotFound,
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
    /// The plan kept so far: while it still can be followed the answer is never worse.
    pub kept: Option<&'a ShopPlan>,
}

/// Plans the shop. `watch` is told how far the engine is and says whether to go on.
pub fn plan(
    shop: &Shop,
    asked: &Asked<'_>,
    watch: &mut dyn FnMut(&Progress<'_>) -> bool,
) -> Result<ShopPlan, NoPlan> {
    let mut failed = NoPlan::NoHours;
    for days in HORIZONS {
        match within(shop, asked, days * DAY, watch) {
            Ok(plan) => return Ok(plan),
            Err(failure @ NoPlan::NoDraft(_)) => return Err(failure),
            Err(failure) => failed = failure,
        }
    }
    let open = shop
        .setup
        .as_ref()
        .is_some_and(|setup| setup.shop.hours.next_open(setup.shop.zone, asked.now).is_some());
    Err(if open { failed } else { NoPlan::NoHours })
}

fn within(
    shop: &Shop,
    asked: &Asked<'_>,
    horizon: Minute,
    watch: &mut dyn FnMut(&Progress<'_>) -> bool,
) -> Result<ShopPlan, NoPlan> {
    let choices = if asked.with_new_lots { choices(shop, asked.kept) } else { Vec::new() };
    let sizes = best_sizes(shop, asked, horizon, &choices, watch)?;
    let draft = Draft::new(shop, &sizes, asked.now, horizon)?;
    let answer = ask(&draft, asked, asked.effort, watch)?;
    Ok(outcome::shop_plan(shop, &draft, &answer, &sizes, asked))
}

/// Asks the engine.
fn ask(
    draft: &Draft,
    asked: &Asked<'_>,
    effort: u64,
    watch: &mut dyn FnMut(&Progress<'_>) -> bool,
) -> Result<Answer, NoPlan> {
    let start = asked.kept.map(|kept| outcome::adopted(draft, kept));
    let settings = Settings { effort, seed: asked.seed, start: start.as_ref() };
    solve(&draft.problem, &settings, watch).map_err(|failure| no_plan(draft, &failure))
}

fn no_plan(draft: &Draft, failure: &Failure) -> NoPlan {
    let named = |activity: usize| {
        let found = draft.activities.get(activity);
        let (run, what) = found.copied().unwrap_or((0, What::Move));
        let step = match (what, draft.runs.get(run)) {
            (What::Step(number), Some(run)) => run.recipe.step(number).map(|step| step.name()),
            (What::Cure, _) => Some("cure".to_owned()),
            _ => Some("move to a curing rack".to_owned()),
        };
        let lot = draft.runs.get(run).map_or_else(String::new, |run| run.lot.to_string());
        NoPlan::NoPlace { lot, step: step.unwrap_or_default() }
    };
    match failure {
        Failure::Refused(
            engine::Refusal::NoPlace { activity }
            | engine::Refusal::TooMuch { activity, .. }
            | engine::Refusal::NotFound { activity, .. },
        ) => named(*activity),
        Failure::Refused(engine::Refusal::FitsNowhere { hold }) => {
            let run = draft.holds.get(*hold).map_or(0, |(run, _)| *run);
            let lot = draft.runs.get(run).map_or_else(String::new, |run| run.lot.to_string());
            NoPlan::NoPlace { lot, step: "find a rack".to_owned() }
        }
        Failure::Refused(engine::Refusal::EveryOrder { .. }) | Failure::Faulty(_) => {
            NoPlan::NotFound
        }
    }
}

/// A batch with pieces still to start, and the ways to part them.
struct Choice {
    batch: String,
    ways: Vec<Vec<u32>>,
}

fn choices(shop: &Shop, kept: Option<&ShopPlan>) -> Vec<Choice> {
    let Some(setup) = &shop.setup else { return Vec::new() };
    let open = shop.batches.values().filter(|batch| batch.closed.is_none());
    let choice = |batch: &Batch| {
        let recipe = setup.recipe(&batch.recipe)?;
        let pieces = pieces_to_start(shop, batch);
        let mut ways = ways(setup, recipe, pieces);
        if let Some(kept) =
            kept.map(|kept| sizes_in(kept, batch)).filter(|way| way.iter().sum::<u32>() == pieces)
        {
            ways.retain(|way| *way != kept);
            ways.insert(0, kept);
        }
        (pieces > 0).then(|| Choice { batch: batch.name.clone(), ways })
    };
    open.filter_map(choice).collect()
}

/// The sizes of the lots a kept plan has still to start.
fn sizes_in(kept: &ShopPlan, batch: &Batch) -> Vec<u32> {
    let mut lots: Vec<(u32, u32)> = kept
        .steps
        .iter()
        .filter(|step| step.batch == batch.name)
        .filter_map(|step| Some((step.lot.rsplit_once('-')?.1.parse().ok()?, step.pieces)))
        .filter(|(number, _)| *number > batch.lots)
        .collect();
    lots.sort_unstable();
    lots.dedup();
    lots.into_iter().map(|(_, pieces)| pieces).collect()
}

/// Pieces still to start so that the number promised comes out as sure as [`SURE`], from the scrap seen in the batch.
pub fn pieces_to_start(shop: &Shop, batch: &Batch) -> u32 {
    let need = batch.pieces.saturating_sub(batch.shipped);
    let waiting = shop.in_hand(&batch.name);
    let seen = Seen::new(batch.rejected, batch.started).unwrap_or_default();
    let sure = Sureness::new(SURE).ok();
    let start =
        sure.and_then(|sure| to_start(need, &[Stage { seen, waiting }], Prior::USUAL, sure).ok());
    start.map_or_else(|| need.saturating_sub(waiting), |start| start.pieces)
}

/// The sizes with the best plan: all batches along the same way first, then each batch by itself.
fn best_sizes(
    shop: &Shop,
    asked: &Asked<'_>,
    horizon: Minute,
    choices: &[Choice],
    watch: &mut dyn FnMut(&Progress<'_>) -> bool,
) -> Result<Vec<ToStart>, NoPlan> {
    let most = choices.iter().map(|choice| choice.ways.len()).max().unwrap_or(0);
    let mut chosen = vec![0; choices.len()];
    if most <= 1 {
        return Ok(sized(choices, &chosen));
    }
    let effort = (asked.effort / 16).max(50);
    let mut try_it = |chosen: &[usize]| -> Result<(i64, i64, i64, i64, i64), NoPlan> {
        let draft = Draft::new(shop, &sized(choices, chosen), asked.now, horizon)?;
        let values = ask(&draft, asked, effort, watch)?.values;
        Ok((values.misses, values.overrun, values.lateness, values.makespan, values.idle))
    };
    let mut best = None;
    let mut failure = NoPlan::NotFound;
    for way in 0..most {
        let these: Vec<usize> =
            choices.iter().map(|choice| way.min(choice.ways.len().saturating_sub(1))).collect();
        match try_it(&these) {
            Ok(worth) if best.is_none_or(|best| worth < best) => {
                best = Some(worth);
                chosen = these;
            }
            Ok(_) => {}
            Err(other) => failure = other,
        }
    }
    let Some(mut best) = best else { return Err(failure) };
    if choices.len() > 1 {
        for (place, choice) in choices.iter().enumerate() {
            for way in 0..choice.ways.len() {
                let mut these = chosen.clone();
                these[place] = way;
                if these != chosen
                    && let Ok(worth) = try_it(&these)
                    && worth < best
                {
                    best = worth;
                    chosen = these;
                }
            }
        }
    }
    Ok(sized(choices, &chosen))
}

fn sized(choices: &[Choice], chosen: &[usize]) -> Vec<ToStart> {
    let size = |(choice, way): (&Choice, &usize)| ToStart {
        batch: choice.batch.clone(),
        sizes: choice.ways.get(*way).cloned().unwrap_or_default(),
    };
    choices.iter().zip(chosen).map(size).collect()
}
