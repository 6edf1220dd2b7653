//! What an entry is about: readers find a subject's entries by it.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::shop::entry::{Entry, Fact, RagsOf};
use crate::shop::name::LotName;

/// What an entry is about; readers find a subject's entries by it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Subject {
    pub kind: SubjectKind,
    pub name: String,
}

/// The kinds of thing an entry can be about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SubjectKind {
    Setup,
    Batch,
    Lot,
    Can,
    Rack,
    /// The rags of a coat, by the coat's entry.
    Rags,
    /// A shipment, by its entry.
    Shipment,
    /// A finish, as touch tests find it.
    Finish,
    Room,
    /// A recipe, by the batches opened for it.
    Recipe,
    /// A recipe's pace, by what was timed.
    Pace,
    /// A kept plan, by its entry.
    Plan,
}

impl SubjectKind {
    /// All kinds, in order.
    pub const ALL: [Self; 12] = [
        Self::Setup,
        Self::Batch,
        Self::Lot,
        Self::Can,
        Self::Rack,
        Self::Rags,
        Self::Shipment,
        Self::Finish,
        Self::Room,
        Self::Recipe,
        Self::Pace,
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
            Self::Recipe => "recipe",
            Self::Pace => "pace",
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
        use SubjectKind::{Batch, Can, Finish, Pace, Rack, Rags, Recipe, Room, Setup};
        let on =
            |rack: &Option<String>| rack.iter().map(|r| Subject::new(Rack, r)).collect::<Vec<_>>();
        match self {
            Self::SetupLoaded { .. } => vec![Subject::new(Setup, "setup")],
            Self::CanOpened { can, .. } | Self::CanEmptied { can } => vec![Subject::new(Can, can)],
            Self::BatchOpened { batch, recipe, .. } => {
                vec![Subject::new(Batch, batch), Subject::new(Recipe, recipe)]
            }
            Self::BatchClosed { batch } => vec![Subject::new(Batch, batch)],
            Self::LotStarted { lot, rack, .. }
            | Self::LotMoved { lot, rack }
            | Self::StepBegun { lot, rack, .. } => [&Subject::lot(lot)[..], &on(rack)].concat(),
            Self::LotSplit { lot, into, rack, .. } => {
                [&Subject::lot(lot)[..], &Subject::lot(into)[..], &on(rack)].concat()
            }
            Self::PaceTimed { lot, recipe, .. } => {
                [&Subject::lot(lot)[..], &[Subject::new(Pace, recipe)]].concat()
            }
            Self::StepDone { lot, coat, rack, timed, .. } => {
                let can = coat.iter().filter_map(|coat| coat.can.as_ref());
                let can: Vec<_> = can.map(|can| Subject::new(Can, can)).collect();
                let pace = timed.iter().map(|timed| Subject::new(Pace, &timed.recipe));
                let pace: Vec<_> = pace.collect();
                [&Subject::lot(lot)[..], &on(rack), &can, &pace].concat()
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
}
