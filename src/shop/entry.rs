//! The ledger's entries: every fact recorded, in order, never changed.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::shop::name::LotName;
use crate::shop::pace::{Timed, TimedSplit};
use crate::shop::plan::ShopPlan;
use crate::shop::setup::{Recipe, Setup};
use crate::shop::stage::Stage;
pub use crate::shop::subject::{Subject, SubjectKind};
use crate::time::Instant;
use crate::units::Litres;

/// An entry's number in the ledger, from 1.
pub type EntryId = i64;

/// One fact, as the ledger holds it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Entry {
    pub id: EntryId,
    pub at: Instant,
    /// When it was written down.
    pub recorded: Instant,
    pub fact: Fact,
    /// Set when rules stood against it and it was recorded all the same.
    pub anyway: Option<Anyway>,
}

/// What a person overruled, and why.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Anyway {
    pub reason: String,
    /// The rules that stood against it, by their short names.
    pub overruled: Vec<String>,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "fact", rename_all = "snake_case")]
pub enum Fact {
    /// A setup file was stored; with each recipe's revision in it.
    SetupLoaded {
        setup: Box<Setup>,
        /// Revision of each recipe, by name, from 1.
        revisions: std::collections::BTreeMap<String, u32>,
    },
    /// A container was opened (or mixed).
    CanOpened {
        can: String,
        finish: String,
        /// How much, if said.
        litres: Option<Litres>,
        /// The maker's lot number, if said.
        maker_lot: Option<String>,
    },
    /// A container is empty or thrown away.
    CanEmptied { can: String },
    /// An order's run was taken on.
    BatchOpened {
        batch: String,
        recipe: String,
        /// Good pieces promised.
        pieces: u32,
        /// The date promised for.
        due: Option<NaiveDate>,
        /// For whom, or any note.
        customer: Option<String>,
    },
    /// The run is over.
    BatchClosed { batch: String },
    /// Pieces that move through the recipe together were started.
    LotStarted {
        lot: LotName,
        /// The recipe as it stood: the lot keeps it whatever the setup says later.
        recipe: Recipe,
        revision: u32,
        pieces: u32,
        /// Where they stand, if anywhere yet.
        rack: Option<String>,
        /// The first step still to do, from 1; the steps before it are taken as done, the last of them at this moment.
        from_step: u32,
    },
    /// Some pieces of a lot go on by themselves.
    LotSplit {
        lot: LotName,
        into: LotName,
        /// Pieces in the new lot.
        pieces: u32,
        /// Where the new lot stands, if it moved.
        rack: Option<String>,
    },
    /// A lot was carried to another rack, or off the racks.
    LotMoved {
        lot: LotName,
        /// The rack; none is off the racks.
        rack: Option<String>,
    },
    /// A lot waits for a decision.
    LotHeld { lot: LotName, why: String },
    /// A held lot goes on.
    LotReleased { lot: LotName },
    /// Pieces were thrown out.
    PiecesRejected {
        lot: LotName,
        pieces: u32,
        why: String,
        /// The step they failed at, from 1 (the next step to do, or the last one done when all are).
        step: u32,
    },
    StepBegun {
        lot: LotName,
        /// The step, from 1.
        step: u32,
        /// Where it was put, if this is its first coat.
        rack: Option<String>,
    },
    StepDone {
        lot: LotName,
        /// The step, from 1.
        step: u32,
        /// Pieces at that time.
        pieces: u32,
        /// For a coat: what was laid on.
        coat: Option<CoatLaid>,
        /// Hands' time it took, if said.
        minutes: Option<u32>,
        /// Where it was put, if this is its first coat.
        rack: Option<String>,
        /// With the minutes: which step's pace they tell of.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        timed: Option<Timed>,
    },
    /// Pieces were timed at the bench.
    PaceTimed { lot: LotName, recipe: String, splits: Vec<TimedSplit> },
    /// A resting or curing lot was touched.
    Touched {
        lot: LotName,
        stage: Stage,
        /// After the last coat: what it says of the finish.
        of_cure: Option<CureTest>,
    },
    /// A room's readings were taken in.
    ReadingsAdded {
        room: String,
        /// How many were new.
        readings: u32,
        first: Instant,
        last: Instant,
        /// The file they came from; none for one taken by hand.
        file: Option<String>,
        /// SHA-256 over their rows, so that they are proved with the ledger.
        digest: String,
    },
    /// How the rags of a coat were dealt with.
    RagsDealtWith { rags: Vec<RagsOf>, how: String },
    /// Pieces left the shop; the shipment's number is this entry's.
    Shipped {
        to: String,
        /// The pieces of each lot.
        lots: Vec<(LotName, u32)>,
    },
    /// A plan is what the shop follows from now on.
    PlanKept { plan: Box<ShopPlan> },
    /// An earlier entry is taken back.
    Voided {
        entry: EntryId,
        why: String,
        /// What that entry touched, so that readers of those find this one.
        touched: Vec<Subject>,
    },
}

/// What a coat was laid with.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CoatLaid {
    pub finish: String,
    /// The can it came from, if known.
    pub can: Option<String>,
    /// What it took, reckoned from the setup of its time; none where an area or a spread was not known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub drawn: Option<Litres>,
}

/// A touch test after the last coat, with the age it was made at.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CureTest {
    pub finish: String,
    /// The lot's age over the sheet's cure time.
    pub share: f64,
}

/// The rags of one coat.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct RagsOf {
    /// The entry of the coat.
    pub coat: EntryId,
    /// The lot coated, so that whoever reads its batch reads of its rags too.
    pub lot: LotName,
}

impl Fact {
    /// The word for this kind of fact, as `ledger list` and the store show it.
    pub const fn word(&self) -> &'static str {
        match self {
            Self::SetupLoaded { .. } => "setup load",
            Self::CanOpened { .. } => "can open",
            Self::CanEmptied { .. } => "can empty",
            Self::BatchOpened { .. } => "batch open",
            Self::BatchClosed { .. } => "batch close",
            Self::LotStarted { .. } => "lot start",
            Self::LotSplit { .. } => "lot split",
            Self::LotMoved { .. } => "lot move",
            Self::LotHeld { .. } => "lot hold",
            Self::LotReleased { .. } => "lot release",
            Self::PiecesRejected { .. } => "lot reject",
            Self::StepBegun { .. } => "begin",
            Self::StepDone { .. } => "done",
            Self::PaceTimed { .. } => "pace time",
            Self::Touched { .. } => "touch",
            Self::ReadingsAdded { .. } => "climate",
            Self::RagsDealtWith { .. } => "rags done",
            Self::Shipped { .. } => "ship",
            Self::PlanKept { .. } => "plan keep",
            Self::Voided { .. } => "undo",
        }
    }
}
