//! A plan as the shop keeps it: every step still to come with its time, where pieces stand, when each batch is ready.
//!
//! Plain data. It is made in `plan` and kept in the ledger, so that what was promised can be held against what is.

use std::fmt;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize, Serializer};

use crate::shop::setup::Recipe;
use crate::shop::{Count, Shop};
use crate::time::{Instant, Stamp, Viewpoint};

#[derive(Debug, Clone, PartialEq)]
pub struct ShopPlan {
    /// The moment it was made for.
    pub now: Instant,
    /// When each batch is ready.
    pub batches: Vec<BatchPlan>,
    /// Every step still to come, in order of time.
    pub steps: Vec<StepPlan>,
    /// Where pieces stand from when until when.
    pub stays: Vec<StayPlan>,
    /// Lots to carry from one rack to another, in order of time.
    pub moves: Vec<MovePlan>,
    /// Lots that can't get through their rests, and so are in no plan.
    pub not_planned: Vec<NotPlanned>,
    /// Recoat windows that no plan keeps, with the abrading each costs.
    pub missed: Vec<MissedWindow>,
    /// The waits each finish was expected to ask for from then on.
    pub waits: Vec<WaitPlan>,
    /// When the last good piece is ready.
    pub ready_at: Instant,
    /// What no plan can better.
    pub bound: PlanBound,
    /// Piece-days late.
    pub lateness: i64,
    /// Piece-minutes between the end of a wait, where it is soonest over, and the start it allows; and by which cures take longer.
    pub idle: i64,
    /// Lots that wait for a decision, and so are in no plan.
    pub held: Vec<String>,
    /// Plans looked at.
    pub evaluations: u64,
    pub seed: u64,
}

#[derive(Debug, Clone, PartialEq)]
pub struct BatchPlan {
    pub batch: String,
    /// When its last promised piece is ready; none where nothing of it is to be done.
    pub ready_at: Option<Instant>,
    /// How many pieces are ready by when, those done counted, in order of time.
    pub ready: Vec<ReadyPlan>,
    pub due: Option<NaiveDate>,
    /// Whole local days past the date promised; negative is early.
    pub days_late: Option<i64>,
    /// What it waits for most.
    pub limited_by: LimitedBy,
    /// Pieces still to start.
    pub to_start: u32,
}

/// So many pieces of a batch are ready by then.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema, Serialize)]
#[schemars(rename = "ReadyLine")]
pub struct ReadyPlan<T = Instant> {
    pub at: T,
    pub pieces: u32,
}

/// What a batch waits for most.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LimitedBy {
    Hands,
    /// Slots of this rack.
    Rack(String),
    /// Closed hours.
    OpenHours,
    /// The rests and the cure the sheets ask for.
    Drying,
    Nothing,
}

/// One step in a plan.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct StepPlan<T = Instant> {
    pub lot: String,
    pub batch: String,
    pub pieces: u32,
    /// Whether the lot is still to start.
    pub to_start: bool,
    /// Whether it is begun already: what stands here is what is left of it.
    pub begun: bool,
    /// The step, from 1.
    pub step: u32,
    /// What a person calls it.
    pub name: String,
    /// work, sand, raise, coat, rub.
    pub kind: String,
    pub start: T,
    pub end: T,
    /// The latest start with which no batch is later.
    pub latest_start: T,
    /// Where the lot stands.
    pub rack: Option<String>,
}

/// Where a lot stands for a while.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct StayPlan<T = Instant> {
    pub lot: String,
    pub pieces: u32,
    pub rack: String,
    /// Whether it cures there.
    pub cures: bool,
    pub from: T,
    pub until: T,
}

/// A lot to carry.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema, Serialize)]
#[schemars(rename = "MoveLine")]
pub struct MovePlan<T = Instant> {
    pub lot: String,
    pub pieces: u32,
    pub from: String,
    pub to: String,
    pub at: T,
    /// In words.
    #[schemars(with = "String")]
    pub why: MoveWhy,
}

/// What a move is good for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum MoveWhy {
    /// It is cured so many minutes sooner there.
    Sooner(i64),
    /// Where it stands it never cures.
    OnlyThere,
    /// This lot comes to where it stands.
    MakesRoom(String),
    /// The drying rack is free for what comes.
    FreesDrying,
}

/// "makes room for salt-3".
impl fmt::Display for MoveWhy {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Sooner(minutes) => {
                write!(f, "cures {} sooner there", Count(minutes / (24 * 60), "day"))
            }
            Self::OnlyThere => f.write_str("it cures too slowly where it is"),
            Self::MakesRoom(lot) => write!(f, "makes room for {lot}"),
            Self::FreesDrying => f.write_str("frees its drying slots"),
        }
    }
}

impl Serialize for MoveWhy {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

/// A lot to be carried, until that is recorded.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ToMove<'a> {
    /// Where it stands, on record or by the stay before.
    pub(crate) off: String,
    /// Where it is to stand.
    pub(crate) stay: &'a StayPlan,
}

impl<T> StepPlan<T> {
    /// Whether a lot is started with it.
    pub(crate) const fn starts_lot(&self) -> bool {
        self.to_start && self.step == 1
    }
}

impl ShopPlan {
    /// Pieces of a batch that are held while less of it is planned than was ordered.
    pub(crate) fn held_back(&self, batch: &BatchPlan, shop: &Shop) -> u32 {
        let ordered = shop.batches.get(&batch.batch).map_or(0, |order| order.pieces);
        if batch.ready.last().is_some_and(|all| all.pieces >= ordered) {
            return 0;
        }
        let held = self.held.iter().filter_map(|lot| shop.lots.get(&lot.parse().ok()?));
        held.filter(|lot| lot.name.batch == batch.batch).map(|lot| lot.pieces).sum()
    }

    /// Lots that stand on another rack than the plan has them on, in order of time.
    pub(crate) fn to_move<'a>(&'a self, shop: &'a Shop) -> impl Iterator<Item = ToMove<'a>> {
        self.stays.iter().enumerate().filter_map(|(place, stay)| {
            let mut before = self.stays.iter().take(place).rev();
            let off = match before.find(|before| before.lot == stay.lot) {
                Some(before) => before.rack.clone(),
                None => shop.lots.get(&stay.lot.parse().ok()?)?.rack()?.to_owned(),
            };
            (off != stay.rack).then_some(ToMove { off, stay })
        })
    }

    /// Why a lot goes to a rack, where the plan says so.
    pub(crate) fn why_moved(&self, lot: &str, to: &str) -> Option<String> {
        let planned = self.moves.iter().find(|planned| planned.lot == lot && planned.to == to);
        planned.map(|planned| planned.why.to_string())
    }
}

/// A lot that can't be planned.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotPlanned {
    pub lot: String,
    pub batch: String,
    pub pieces: u32,
    pub to_start: bool,
    pub why: WhyNot,
}

/// Why a lot can't be planned.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WhyNot {
    /// The rooms as they are taken to be never let its rests end.
    NeverDries {
        finish: String,
        rooms: Vec<String>,
        /// Racks with slots free for it on which they would end.
        elsewhere: Vec<String>,
        /// Minutes the cure takes at the sheet's own temperature.
        warm: i64,
    },
    /// No rack of that use ("dry" or "cure") on which the pieces would has slots for so many; the most that one has, if any.
    TooMany { wanted: String, most: u32 },
}

/// What a coat of a finish asks of the time after it, as the rooms were expected to be, in minutes.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema, Serialize)]
pub struct WaitPlan {
    pub finish: String,
    /// The room; a plan kept before rooms were told apart has none.
    #[serde(default)]
    pub room: Option<String>,
    /// To the next step, no sooner.
    pub shortest: i64,
    /// To the next coat, no later.
    pub longest: i64,
    /// From the last coat to the end of its cure.
    pub cure: i64,
}

/// A recoat window, or a rest of the recipe, that no plan keeps.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct MissedWindow<T = Instant> {
    pub lot: String,
    /// The step that comes too late.
    pub step: u32,
    /// What a person calls it.
    pub name: String,
    /// Whether it is a coat, whose film has to be abraded first.
    pub coat: bool,
    /// When the abrading before it starts.
    pub abrade_from: T,
    pub abrade_until: T,
}

/// The same with its moments as they are seen from somewhere: what stays as it is; the moments.
macro_rules! seen {
    ($plan:ident: $($same:ident),+; $($moment:ident),+) => {
        impl $plan {
            pub(crate) fn seen(&self, view: Viewpoint) -> $plan<Stamp> {
                $plan {
                    $($same: self.$same.clone(),)+
                    $($moment: view.stamp(self.$moment),)+
                }
            }
        }
    };
}

seen!(StepPlan: lot, batch, pieces, to_start, begun, step, name, kind, rack; start, end, latest_start);
seen!(StayPlan: lot, pieces, rack, cures; from, until);
seen!(MovePlan: lot, pieces, from, to, why; at);
seen!(ReadyPlan: pieces; at);
seen!(MissedWindow: lot, step, name, coat; abrade_from, abrade_until);

/// What no plan can better.
#[derive(Debug, Clone, PartialEq)]
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
#[derive(Debug, Clone, PartialEq, Eq)]
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

impl Shop {
    /// A planned step in words; its name where the recipe has changed since.
    pub(crate) fn planned_words(&self, step: &StepPlan) -> String {
        let same = |recipe: &&Recipe| {
            recipe.step(step.step).is_some_and(|known| known.name() == step.name)
        };
        let recipe = self.recipe_planned(step).filter(same);
        recipe.map_or_else(|| step.name.clone(), |recipe| recipe.words(step.step))
    }

    /// The recipe a planned step is of: the lot's own, or for a lot still to start its batch's.
    pub(crate) fn recipe_planned(&self, step: &StepPlan) -> Option<&Recipe> {
        let lot = step.lot.parse().ok().and_then(|lot| self.lots.get(&lot));
        let known = lot.filter(|_| !step.to_start);
        let batch = self.batches.get(&step.batch)?;
        known.map(|lot| &lot.recipe).or_else(|| self.recipe_of(batch))
    }
}
