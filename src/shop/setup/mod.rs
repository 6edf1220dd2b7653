//! What changes rarely: the shop, its rooms, racks, finishes, pieces and recipes, as the setup file describes them.

pub(crate) mod change;
pub(crate) mod fault;
pub(crate) mod finish;
pub(crate) mod piece;
pub mod read;
pub mod recipe;
pub mod remind;
pub(crate) mod start;
pub(crate) mod write;

use schemars::JsonSchema;
use serde::Serialize;

use crate::time::{OpenHours, Zone};
use crate::units::{Celsius, Money, System};
pub use change::{Change, changes};
pub use fault::Fault;
pub use finish::{AirLimit, Finish, Sheet};
pub use piece::{Piece, Size};
pub use read::{KEYS, Key, read};
pub(crate) use recipe::in_words;
pub use recipe::{Recipe, Rest, Step, StepWork};
pub(crate) use remind::Remind;
pub use start::starting_file;
pub use write::to_toml;

/// Everything a setup file says, checked: every name in it is unique in its kind and everything referred to is there.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct Setup {
    pub shop: Workshop,
    /// Where the climate is read.
    pub rooms: Vec<Room>,
    pub racks: Vec<Rack>,
    /// Products as their makers' data sheets describe them.
    pub finishes: Vec<Finish>,
    pub pieces: Vec<Piece>,
    pub recipes: Vec<Recipe>,
    /// How reminders reach a person besides the desktop.
    #[serde(default, skip_serializing_if = "Remind::is_empty")]
    pub remind: Remind,
}

/// The workshop: its time zone, open hours, closed days, hands.
#[derive(Debug, Clone, Default, PartialEq, JsonSchema, Serialize)]
pub struct Workshop {
    /// What it is called on printed pages.
    pub name: String,
    /// The time zone of everything local.
    #[schemars(with = "String")]
    pub zone: Zone,
    /// People who can work at once, at least 1.
    pub hands: u32,
    /// Open hours and closed days.
    pub hours: OpenHours,
    #[serde(default, skip_serializing_if = "is_usual")]
    pub units: System,
    /// Who made it, on slips and records.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub maker: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub address: Option<String>,
    /// By its two letters of ISO 3166.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub country: Option<String>,
    /// The folder for a backup a day.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub backup: Option<String>,
    /// What an hour of hands costs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hour_rate: Option<Money>,
    /// What a strip of abrasive costs, of whatever grit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub strip_cost: Option<Money>,
}

fn is_usual<T: Default + PartialEq>(value: &T) -> bool {
    *value == T::default()
}

/// A room whose climate is read.
#[derive(Debug, Clone, Default, PartialEq, JsonSchema, Serialize)]
pub struct Room {
    pub name: String,
    /// Whether and when it is heated, where somebody said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heated: Option<Heated>,
    /// What it is taken to be in hours that nobody reads.
    #[serde(rename = "unread_temp_c", skip_serializing_if = "Option::is_none")]
    pub unread_temp: Option<Celsius>,
}

/// When a room is heated.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Heated {
    /// In open hours.
    ByDay,
    Always,
    No,
}

impl Heated {
    /// The share of the season outside that reaches the room: heat takes it away for as long as it is on, by day in about three hours
    /// of ten (a choice; half of it was a third worse on simulated rooms).
    pub(crate) const fn lets_in(self) -> f64 {
        match self {
            Self::ByDay => 0.7,
            Self::Always => 0.0,
            Self::No => 1.0,
        }
    }
}

/// A place with a number of slots in a room.
#[derive(Debug, Clone, Default, PartialEq, Eq, JsonSchema, Serialize)]
pub struct Rack {
    pub name: String,
    /// The room it stands in.
    pub room: String,
    /// How many pieces it holds, at least 1.
    pub slots: u32,
    /// What may stand on it.
    pub purpose: Purpose,
}

/// What a rack is used for (`use` in the file).
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Purpose {
    /// Pieces between coats.
    #[default]
    Dry,
    /// Pieces after the last coat.
    Cure,
    /// Either.
    DryAndCure,
}

impl Setup {
    pub(crate) fn room(&self, name: &str) -> Option<&Room> {
        self.rooms.iter().find(|room| room.name == name)
    }

    pub fn rack(&self, name: &str) -> Option<&Rack> {
        self.racks.iter().find(|rack| rack.name == name)
    }

    pub fn finish(&self, name: &str) -> Option<&Finish> {
        self.finishes.iter().find(|finish| finish.name == name)
    }

    pub(crate) fn piece(&self, name: &str) -> Option<&Piece> {
        self.pieces.iter().find(|piece| piece.name == name)
    }

    pub fn recipe(&self, name: &str) -> Option<&Recipe> {
        self.recipes.iter().find(|recipe| recipe.name == name)
    }
}

impl Purpose {
    /// Whether pieces may stand there between coats.
    pub(crate) const fn dries(self) -> bool {
        matches!(self, Self::Dry | Self::DryAndCure)
    }

    /// Whether pieces may stand there after the last coat.
    pub(crate) const fn cures(self) -> bool {
        matches!(self, Self::Cure | Self::DryAndCure)
    }
}
