//! The nouns of the shop and its ledger: entries, the fold that turns them into what each lot is and may do next, and
//! the rules that refuse. No input, no output; the time is passed in.

pub(crate) mod air;
pub(crate) mod check;
pub(crate) mod clash;
pub mod climate;
pub(crate) mod closed_window;
pub(crate) mod count;
pub(crate) mod cover;
pub(crate) mod cure;
pub mod due;
pub(crate) mod due_date;
pub mod entry;
pub mod fact;
pub mod fold;
pub(crate) mod group;
pub(crate) mod join;
pub mod journal;
pub(crate) mod left;
pub(crate) mod line;
pub mod logger;
pub mod lot;
pub mod name;
pub(crate) mod nearest;
pub(crate) mod origin;
pub mod pace;
pub mod plan;
pub mod rags;
pub mod refusal;
pub(crate) mod rest;
pub(crate) mod rule;
pub(crate) mod scrap;
pub mod setup;
pub mod stage;
pub(crate) mod stock;
pub mod stopwatch;
pub(crate) mod subject;
pub(crate) mod undo;

pub(crate) use count::{Count, all_of, one_of};
pub use entry::{Anyway, Entry, EntryId, Fact, Subject, SubjectKind};
pub use journal::Journal;
pub use lot::Lot;
pub use name::LotName;
pub use refusal::Refusal;

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use crate::craft::cure::TouchTest;
use crate::shop::climate::RoomLog;
use crate::shop::fact::StockChange;
use crate::shop::pace::{Sample, TimedStep};
use crate::shop::plan::ShopPlan;
use crate::shop::setup::{Recipe, Setup, Step};
use crate::time::{Instant, Viewpoint, Zone};
use crate::units::{Litres, System};

/// What is: the fold over the entries read so far.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Shop {
    /// The setup in force, once one is loaded.
    pub setup: Option<Setup>,
    /// Its file as the person wrote it, where that is known.
    pub(crate) setup_text: Option<String>,
    /// Each recipe's revision in that setup.
    pub revisions: BTreeMap<String, u32>,
    /// Batches, open ones and whichever closed ones were read.
    pub batches: BTreeMap<String, Batch>,
    /// Their lots; a lot without pieces is over.
    pub lots: BTreeMap<LotName, Lot>,
    /// Cans, open ones and whichever others were read.
    pub cans: BTreeMap<String, Can>,
    /// Rags not yet dealt with, by the coat's entry.
    pub rags: BTreeMap<EntryId, Rags>,
    /// Touch tests of each finish after its last coat, those of lots long gone too.
    pub(crate) tests: BTreeMap<String, Vec<TouchTest>>,
    /// Times of single pieces by recipe and step, oldest first: of batches in hand, and the newest of those long gone.
    pub(crate) samples: BTreeMap<String, BTreeMap<TimedStep, Vec<Sample>>>,
    /// Shipments read, by their entry.
    pub shipments: BTreeMap<EntryId, Sent>,
    /// What was written down about what was read.
    pub notes: BTreeMap<Subject, Vec<Note>>,
    /// What was counted, added and measured of what is on hand, by item, in the order recorded.
    pub stock: BTreeMap<String, Vec<(Instant, StockChange)>>,
    /// The plan kept last.
    pub(crate) kept: Option<ShopPlan>,
    /// Each room's log as far back as open lots need it, in order of time. It isn't part of the fold: the store reads it.
    pub climate: BTreeMap<String, RoomLog>,
}

/// An order's run.
#[derive(Debug, Clone, PartialEq)]
pub struct Batch {
    pub name: String,
    pub recipe: String,
    /// Good pieces promised.
    pub(crate) pieces: u32,
    pub(crate) due: Option<NaiveDate>,
    /// The date the customer would like.
    pub(crate) wanted: Option<NaiveDate>,
    pub(crate) customer: Option<String>,
    /// When it was opened.
    pub(crate) opened: Instant,
    /// When it was closed.
    pub closed: Option<Instant>,
    /// Why it was cancelled, if it was.
    pub(crate) cancelled: Option<String>,
    /// Pieces started.
    pub started: u32,
    /// Pieces thrown out.
    pub rejected: u32,
    /// Pieces shipped.
    pub(crate) shipped: u32,
    /// Pieces of those that came back.
    pub(crate) returned: u32,
    /// Its lots so far.
    pub lots: u32,
}

/// One container of a finish.
#[derive(Debug, Clone, PartialEq)]
pub struct Can {
    pub name: String,
    pub finish: String,
    /// When it was opened.
    pub(crate) opened: Instant,
    /// How much there was.
    pub(crate) litres: Option<Litres>,
    /// The maker's lot number.
    pub(crate) maker_lot: Option<String>,
    /// When it was emptied.
    pub emptied: Option<Instant>,
    /// Coats laid from it.
    pub(crate) coats: u32,
    /// What those coats took, as far as that is known.
    pub(crate) drawn: Litres,
    /// Coats among them of which it is not known.
    pub(crate) not_reckoned: u32,
}

/// Pieces that left the shop together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sent {
    pub(crate) at: Instant,
    pub(crate) to: String,
    /// The pieces of each lot.
    pub lots: Vec<(LotName, u32)>,
    /// Why it did not go, if it was cancelled.
    pub(crate) cancelled: Option<String>,
    /// Pieces of each lot that came back.
    pub(crate) returned: BTreeMap<LotName, u32>,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Note {
    pub(crate) at: Instant,
    pub(crate) text: String,
}

/// The rags of one coat, not yet dealt with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rags {
    pub lot: LotName,
    pub(crate) finish: String,
    pub(crate) since: Instant,
}

impl Shop {
    /// The shop's time zone; UTC before any setup.
    pub fn zone(&self) -> Zone {
        self.setup.as_ref().map_or(Zone::UTC, |setup| setup.shop.zone)
    }

    pub fn viewpoint(&self, now: Instant) -> Viewpoint {
        Viewpoint { now, zone: self.zone(), units: self.units() }
    }

    /// Whose units it reads and writes; metric before any setup.
    pub(crate) fn units(&self) -> System {
        self.setup.as_ref().map_or(System::Metric, |setup| setup.shop.units)
    }

    /// Each recipe's revision once `new` is in force: one more where its steps or its piece change, 1 where it is new.
    pub fn revisions_with(&self, new: &Setup) -> BTreeMap<String, u32> {
        let revision = |recipe: &Recipe| {
            let so_far = self.revisions.get(&recipe.name).copied().unwrap_or(0);
            let old = self.setup.as_ref().and_then(|setup| setup.recipe(&recipe.name));
            if old == Some(recipe) { so_far } else { so_far + 1 }
        };
        // A recipe that goes and comes back goes on counting.
        let mut revisions = self.revisions.clone();
        revisions.extend(new.recipes.iter().map(|recipe| (recipe.name.clone(), revision(recipe))));
        revisions
    }

    pub fn next_lot(&self, batch: &str) -> Result<LotName, Refusal> {
        let number = self.known_batch(batch)?.lots.saturating_add(1);
        Ok(LotName { batch: batch.to_owned(), number })
    }

    /// Whether rags can catch fire by themselves, as far as the setup says.
    pub(crate) fn self_heating(&self, rags: &Rags) -> Option<bool> {
        self.setup.as_ref()?.finish(&rags.finish)?.self_heating
    }

    /// Lots with pieces in hand, by name.
    pub fn open_lots(&self) -> impl Iterator<Item = &Lot> {
        self.lots.values().filter(|lot| lot.pieces > 0)
    }

    /// The finishes that open orders lay, by the recipes of their lots and of what is still to start.
    pub(crate) fn finishes_laid(&self) -> BTreeSet<&str> {
        let batches = self.batches.values().filter(|batch| batch.closed.is_none());
        let to_start = batches.filter_map(|batch| self.recipe_of(batch));
        let recipes = self.open_lots().map(|lot| &lot.recipe).chain(to_start);
        recipes.flat_map(|recipe| recipe.steps.iter().filter_map(Step::coat)).collect()
    }

    /// Lots with pieces on that rack now, by name.
    pub(crate) fn lots_on(&self, rack: &str) -> impl Iterator<Item = &Lot> {
        self.open_lots().filter(move |lot| lot.rack() == Some(rack))
    }

    /// Pieces in hand of a batch.
    pub fn in_hand(&self, batch: &str) -> u32 {
        self.open_lots().filter(|lot| lot.name.batch == batch).map(|lot| lot.pieces).sum()
    }

    /// Pieces on a rack now.
    pub fn taken(&self, rack: &str) -> u32 {
        self.lots_on(rack).map(|lot| lot.pieces).sum()
    }

    /// The most pieces on a rack at any moment from `at` on, as recorded, leaving one lot out.
    pub(crate) fn most_taken(&self, rack: &str, at: Instant, without: Option<&LotName>) -> u32 {
        let others = || self.lots.values().filter(move |lot| Some(&lot.name) != without);
        let moments: BTreeSet<Instant> = others()
            .flat_map(|lot| lot.standing.iter().map(|standing| standing.from))
            .filter(|from| *from > at)
            .chain([at])
            .collect();
        let at_moment = |moment| others().map(|lot| lot.on_rack(rack, moment)).sum();
        moments.into_iter().map(at_moment).max().unwrap_or(0)
    }

    /// What an index must know to read this shop again: everything that is open.
    pub(crate) fn live(&self) -> BTreeSet<Subject> {
        // A cancelled order's pieces, and those that came back after it was closed, are still in hand.
        let in_hand: BTreeSet<&str> = self.open_lots().map(|lot| lot.name.batch.as_str()).collect();
        let open = |batch: &&Batch| batch.closed.is_none() || in_hand.contains(batch.name.as_str());
        let batches = self.batches.values().filter(open);
        let cans = self.cans.values().filter(|can| can.emptied.is_none());
        batches
            .map(|batch| Subject::new(SubjectKind::Batch, &batch.name))
            .chain(cans.map(|can| Subject::new(SubjectKind::Can, &can.name)))
            .chain(self.rags.keys().map(|coat| Subject::new(SubjectKind::Rags, coat)))
            .collect()
    }
}

impl Batch {
    /// An order of which nothing is made yet.
    pub(crate) fn order(name: &str, recipe: &str, pieces: u32, opened: Instant) -> Self {
        Self {
            name: name.to_owned(),
            recipe: recipe.to_owned(),
            pieces,
            due: None,
            wanted: None,
            customer: None,
            opened,
            closed: None,
            cancelled: None,
            started: 0,
            rejected: 0,
            shipped: 0,
            returned: 0,
            lots: 0,
        }
    }

    /// Pieces that left the shop and did not come back.
    pub const fn gone(&self) -> u32 {
        self.shipped.saturating_sub(self.returned)
    }
}

impl Sent {
    /// Pieces of a lot in it that are still away.
    pub(crate) fn away(&self, lot: &LotName) -> u32 {
        let sent: u32 =
            self.lots.iter().filter(|(name, _)| name == lot).map(|(_, pieces)| pieces).sum();
        sent.saturating_sub(self.returned.get(lot).copied().unwrap_or(0))
    }

    pub(crate) fn came_back(&self) -> u32 {
        self.returned.values().sum()
    }
}
