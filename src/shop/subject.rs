//! What an entry is about: readers find a subject's entries by it.

use std::fmt;

use serde::Serialize;

use crate::shop::LotName;

/// What an entry is about; readers find a subject's entries by it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Subject {
    pub kind: SubjectKind,
    pub name: String,
}

/// The kinds of thing an entry can be about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
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
    /// The shop itself, by notes about it.
    Shop,
    /// A lot given from batch to batch, by the entry: whoever reads one batch reads the other.
    Given,
    /// What is on hand of something, by its name.
    Stock,
}

impl SubjectKind {
    /// The word the store keeps.
    pub(crate) const fn word(self) -> &'static str {
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
            Self::Shop => "shop",
            Self::Given => "given",
            Self::Stock => "stock",
        }
    }
}

impl fmt::Display for SubjectKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

impl Subject {
    pub fn new(kind: SubjectKind, name: impl fmt::Display) -> Self {
        Self { kind, name: name.to_string() }
    }

    /// A lot, its batch, and the rack it was put on, if any.
    pub(crate) fn of_lot(lot: &LotName, rack: Option<&String>) -> Vec<Self> {
        let mut subjects =
            vec![Self::new(SubjectKind::Lot, lot), Self::new(SubjectKind::Batch, &lot.batch)];
        subjects.extend(rack.map(|rack| Self::new(SubjectKind::Rack, rack)));
        subjects
    }
}
