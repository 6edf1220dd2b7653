//! The ledger's entries: every fact recorded, in order, never changed.

use std::fmt;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::shop::name::LotName;
use crate::shop::plan::ShopPlan;
use crate::shop::setup::{Recipe, Setup};
use crate::shop::stage::Stage;
use crate::time::Instant;
use crate::units::Litres;

/// An entry's number in the ledger, from 1.
pub type EntryId = i64;

/// One fact, as the ledger holds it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Entry {
    /// Its number.
    pub id: EntryId,
    /// When it happened.
    pub at: Instant,
    /// When it was written down.
    pub recorded: Instant,
    /// What happened.
    pub fact: Fact,
    /// Set when rules stood against it and it was recorded all the same.
    pub anyway: Option<Anyway>,
}

/// What a person overruled, and why.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Anyway {
    /// The reason given.
    pub reason: String,
    /// The rules that stood against it, by their short names.
    pub overruled: Vec<String>,
}

/// What happened.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "fact", rename_all = "snake_case")]
pub enum Fact {
    /// A setup file was stored; with each recipe's revision in it.
    SetupLoaded {
        /// All of it.
        setup: Box<Setup>,
        /// Revision of each recipe, by name, from 1.
        revisions: std::collections::BTreeMap<String, u32>,
    },
    /// A container was opened (or mixed).
    CanOpened {
        /// Its name.
        can: String,
        /// What is in it.
        finish: String,
        /// How much, if said.
        litres: Option<Litres>,
        /// The maker's lot number, if said.
        maker_lot: Option<String>,
    },
    /// A container is empty or thrown away.
    CanEmptied {
        /// Its name.
        can: String,
    },
    /// An order's run was taken on.
    BatchOpened {
        /// Its name.
        batch: String,
        /// The recipe.
        recipe: String,
        /// Good pieces promised.
        pieces: u32,
        /// The date promised for.
        due: Option<NaiveDate>,
        /// For whom, or any note.
        customer: Option<String>,
    },
    /// The run is over.
    BatchClosed {
        /// Its name.
        batch: String,
    },
    /// Pieces that move through the recipe together were started.
    LotStarted {
        /// Its name.
        lot: LotName,
        /// The recipe as it stood: the lot keeps it whatever the setup says later.
        recipe: Recipe,
        /// Its revision.
        revision: u32,
        /// Pieces.
        pieces: u32,
        /// Where they stand, if anywhere yet.
        rack: Option<String>,
        /// The first step still to do, from 1; the steps before it are taken as done, the last of them at this moment.
        from_step: u32,
    },
    /// Some pieces of a lot go on by themselves.
    LotSplit {
        /// The lot.
        lot: LotName,
        /// The new lot.
        into: LotName,
        /// Pieces in the new lot.
        pieces: u32,
        /// Where the new lot stands, if it moved.
        rack: Option<String>,
    },
    /// A lot was carried to another rack, or off the racks.
    LotMoved {
        /// The lot.
        lot: LotName,
        /// The rack; none is off the racks.
        rack: Option<String>,
    },
    /// A lot waits for a decision.
    LotHeld {
        /// The lot.
        lot: LotName,
        /// Why.
        why: String,
    },
    /// A held lot goes on.
    LotReleased {
        /// The lot.
        lot: LotName,
    },
    /// Pieces were thrown out.
    PiecesRejected {
        /// The lot.
        lot: LotName,
        /// How many.
        pieces: u32,
        /// Why.
        why: String,
        /// The step they failed at, from 1 (the next step to do, or the last one done when all are).
        step: u32,
    },
    /// A step was begun.
    StepBegun {
        /// The lot.
        lot: LotName,
        /// The step, from 1.
        step: u32,
        /// Where it was put, if this is its first coat.
        rack: Option<String>,
    },
    /// A step was done.
    StepDone {
        /// The lot.
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
    },
    /// A resting or curing lot was touched.
    Touched {
        /// The lot.
        lot: LotName,
        /// What was found.
        stage: Stage,
        /// After the last coat: what it says of the finish.
        of_cure: Option<CureTest>,
    },
    /// A room's readings were taken in.
    ReadingsAdded {
        /// The room.
        room: String,
        /// How many were new.
        readings: u32,
        /// The first of them.
        first: Instant,
        /// The last.
        last: Instant,
        /// The file they came from; none for one taken by hand.
        file: Option<String>,
        /// SHA-256 over their rows, so that they are proved with the ledger.
        digest: String,
    },
    /// How the rags of a coat were dealt with.
    RagsDealtWith {
        /// Whose rags they are.
        rags: Vec<RagsOf>,
        /// How.
        how: String,
    },
    /// Pieces left the shop; the shipment's number is this entry's.
    Shipped {
        /// To whom.
        to: String,
        /// The pieces of each lot.
        lots: Vec<(LotName, u32)>,
    },
    /// A plan is what the shop follows from now on.
    PlanKept {
        /// The plan.
        plan: Box<ShopPlan>,
    },
    /// An earlier entry is taken back.
    Voided {
        /// The entry.
        entry: EntryId,
        /// Why.
        why: String,
        /// What that entry touched, so that readers of those find this one.
        touched: Vec<Subject>,
    },
}

/// What a coat was laid with.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct CoatLaid {
    /// The finish.
    pub finish: String,
    /// The can it came from, if known.
    pub can: Option<String>,
}

/// A touch test after the last coat, with the age it was made at.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CureTest {
    /// The finish.
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

/// What an entry is about; readers find a subject's entries by it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Subject {
    /// Its kind.
    pub kind: SubjectKind,
    /// Its name.
    pub name: String,
}

/// The kinds of thing an entry can be about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SubjectKind {
    /// The setup.
    Setup,
    /// A batch.
    Batch,
    /// A lot.
    Lot,
    /// A can.
    Can,
    /// A rack.
    Rack,
    /// The rags of a coat, by the coat's entry.
    Rags,
    /// A shipment, by its entry.
    Shipment,
    /// A finish, as touch tests find it.
    Finish,
    /// A room.
    Room,
    /// A kept plan, by its entry.
    Plan,
}

impl SubjectKind {
    /// All kinds, in order.
    pub const ALL: [Self; 10] = [
        Self::Setup,
        Self::Batch,
        Self::Lot,
        Self::Can,
        Self::Rack,
        Self::Rags,
        Self::Shipment,
        Self::Finish,
        Self::Room,
        Self::Plan,
    ];

    /// The word the store keeps.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Setup => "setup",
            Self::Batch => "batch",
            Self::Lot => "lot",
            Self::Can => "can",
            Self::Rack => "rack",
            Self::Rags => "rags",
            Self::Shipment => "shipment",
            Self::Finish => "finish",
            Self::Room => "room",
            Self::Plan => "plan",
        }
    }
}

impl fmt::Display for SubjectKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

impl Subject {
    /// A subject by kind and name.
    pub fn new(kind: SubjectKind, name: impl fmt::Display) -> Self {
        Self { kind, name: name.to_string() }
    }

    fn lot(lot: &LotName) -> [Self; 2] {
        [Self::new(SubjectKind::Lot, lot), Self::new(SubjectKind::Batch, &lot.batch)]
    }
}

impl Entry {
    /// Everything this entry is about, sorted, each once.
    pub fn subjects(&self) -> Vec<Subject> {
        let mut subjects = self.fact.subjects();
        match self.fact {
            Fact::StepDone { coat: Some(_), .. } => {
                subjects.push(Subject::new(SubjectKind::Rags, self.id));
            }
            Fact::Shipped { .. } => subjects.push(Subject::new(SubjectKind::Shipment, self.id)),
            Fact::PlanKept { .. } => subjects.push(Subject::new(SubjectKind::Plan, self.id)),
            _ => {}
        }
        subjects.sort();
        subjects.dedup();
        subjects
    }
}

impl Fact {
    fn subjects(&self) -> Vec<Subject> {
        use SubjectKind::{Batch, Can, Finish, Rack, Rags, Room, Setup};
        let on =
            |rack: &Option<String>| rack.iter().map(|r| Subject::new(Rack, r)).collect::<Vec<_>>();
        match self {
            Self::SetupLoaded { .. } => vec![Subject::new(Setup, "setup")],
            Self::CanOpened { can, .. } | Self::CanEmptied { can } => vec![Subject::new(Can, can)],
            Self::BatchOpened { batch, .. } | Self::BatchClosed { batch } => {
                vec![Subject::new(Batch, batch)]
            }
            Self::LotStarted { lot, rack, .. }
            | Self::LotMoved { lot, rack }
            | Self::StepBegun { lot, rack, .. } => [&Subject::lot(lot)[..], &on(rack)].concat(),
            Self::LotSplit { lot, into, rack, .. } => {
                [&Subject::lot(lot)[..], &Subject::lot(into)[..], &on(rack)].concat()
            }
            Self::StepDone { lot, coat, rack, .. } => {
                let can = coat.iter().filter_map(|coat| coat.can.as_ref());
                let can: Vec<_> = can.map(|can| Subject::new(Can, can)).collect();
                [&Subject::lot(lot)[..], &on(rack), &can].concat()
            }
            Self::LotHeld { lot, .. }
            | Self::LotReleased { lot }
            | Self::PiecesRejected { lot, .. } => Subject::lot(lot).to_vec(),
            Self::Touched { lot, of_cure, .. } => {
                let finish = of_cure.iter().map(|test| Subject::new(Finish, &test.finish));
                Subject::lot(lot).into_iter().chain(finish).collect()
            }
            Self::ReadingsAdded { room, .. } => vec![Subject::new(Room, room)],
            Self::RagsDealtWith { rags, .. } => {
                let of = |rags: &RagsOf| {
                    [&Subject::lot(&rags.lot)[..], &[Subject::new(Rags, rags.coat)]].concat()
                };
                rags.iter().flat_map(of).collect()
            }
            Self::Shipped { lots, .. } => {
                lots.iter().flat_map(|(lot, _)| Subject::lot(lot)).collect()
            }
            // By its entry alone.
            Self::PlanKept { .. } => Vec::new(),
            Self::Voided { touched, .. } => touched.clone(),
        }
    }

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
            Self::Touched { .. } => "touch",
            Self::ReadingsAdded { .. } => "climate",
            Self::RagsDealtWith { .. } => "rags done",
            Self::Shipped { .. } => "ship",
            Self::PlanKept { .. } => "plan keep",
            Self::Voided { .. } => "undo",
        }
    }
}
