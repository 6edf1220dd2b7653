//! A notice: what a person is told, and how loudly.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::shop::LotName;

/// What a notice is about.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, JsonSchema, Serialize, Deserialize,
)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// The soak is nearly over: wipe the oil off.
    Wipe,
    /// The rags of a coat are not recorded as dealt with.
    Rags,
    /// A recoat window is about to shut, or has.
    Closing,
    /// Hands may begin a step.
    Ready,
    /// A lot's cure time is reached.
    Cured,
    /// A lot is to be carried to another rack, or off the racks.
    Move,
    /// A batch will not be ready on its promised day.
    Slipping,
    /// A room is too cold, or too near the dew point, for a coat that is due; or no longer.
    Room,
    /// What the day brings, at its opening.
    Opening,
}

/// How loud a notice is, as the Desktop Notifications Specification counts it (hint `urgency`: 0, 1, 2).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Urgency {
    /// Good to know.
    Low,
    /// Work to do.
    Normal,
    /// Pieces or the shop itself are at stake: it stays until it is answered.
    Critical,
}

/// An answer that a person may give on the notice itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Button {
    Wiped,
    /// In two minutes.
    Later,
}

/// A sound by its name in the freedesktop Sound Naming Specification; a desktop without sounds passes over it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize)]
pub(crate) enum Sound {
    /// A timer has run out.
    #[serde(rename = "alarm-clock-elapsed")]
    TimerElapsed,
    /// Something is wrong.
    #[serde(rename = "dialog-warning")]
    Warning,
}

#[derive(Debug, Clone, PartialEq, Eq, JsonSchema, Serialize)]
pub struct Notice {
    /// One for a lot and kind: the next stage replaces what still stands on the screen under it.
    pub(crate) key: String,
    /// What it is about.
    pub(crate) kind: Kind,
    /// One line.
    pub(crate) summary: String,
    /// What, where, until when, and the command that records it; plain text, lines parted by `\n`.
    pub(crate) body: String,
    pub(crate) urgency: Urgency,
    pub(crate) sound: Option<Sound>,
    /// The lots it speaks of.
    pub(crate) lots: Vec<LotName>,
    /// Whether recording it takes the name of a can, which no button knows.
    #[serde(skip)]
    pub(crate) asks_which_can: bool,
}

impl Kind {
    /// All kinds, the most pressing first.
    pub(crate) const ALL: [Self; 9] = [
        Self::Wipe,
        Self::Rags,
        Self::Closing,
        Self::Ready,
        Self::Cured,
        Self::Move,
        Self::Slipping,
        Self::Room,
        Self::Opening,
    ];

    /// The kind of that word.
    pub(crate) fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.word() == word)
    }

    /// The word that is stored and shown.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Wipe => "wipe",
            Self::Rags => "rags",
            Self::Closing => "closing",
            Self::Ready => "ready",
            Self::Cured => "cured",
            Self::Move => "move",
            Self::Slipping => "slipping",
            Self::Room => "room",
            Self::Opening => "opening",
        }
    }

    /// Whether it is said at any hour: oil sets and rags heat whether the shop is open or not.
    pub(crate) const fn at_any_hour(self) -> bool {
        matches!(self, Self::Wipe | Self::Rags)
    }

    /// Whether it stands until it is answered or settled.
    pub(crate) const fn stays(self) -> bool {
        matches!(self, Self::Wipe | Self::Rags | Self::Opening)
    }

    pub(crate) const fn urgency(self) -> Urgency {
        match self {
            Self::Wipe | Self::Rags => Urgency::Critical,
            _ => Urgency::Normal,
        }
    }

    pub(crate) const fn sound(self) -> Option<Sound> {
        match self {
            Self::Wipe => Some(Sound::TimerElapsed),
            Self::Rags => Some(Sound::Warning),
            _ => None,
        }
    }
}

impl Notice {
    /// The answers it can be given; of several lots nobody could say which one is meant.
    pub(crate) const fn buttons(&self) -> &'static [Button] {
        match (self.kind, self.lots.as_slice()) {
            (Kind::Wipe, [_]) if self.asks_which_can => &[Button::Later],
            (Kind::Wipe, [_]) => &Button::ALL,
            _ => &[],
        }
    }
}

impl Button {
    const ALL: [Self; 2] = [Self::Wiped, Self::Later];

    /// The button of that key.
    pub(crate) fn of_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|button| button.key() == key)
    }

    /// What a notification service calls it when it is pressed.
    pub(crate) const fn key(self) -> &'static str {
        match self {
            Self::Wiped => "wiped",
            Self::Later => "later",
        }
    }

    pub(crate) const fn label(self) -> &'static str {
        match self {
            Self::Wiped => "Wiped",
            Self::Later => "In 2 min",
        }
    }
}

impl Sound {
    /// Its name in the Sound Naming Specification.
    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::TimerElapsed => "alarm-clock-elapsed",
            Self::Warning => "dialog-warning",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Kind;
    use crate::shop::setup::remind::KINDS;

    #[test]
    fn the_setup_names_every_kind() {
        assert_eq!(Kind::ALL.map(Kind::word), KINDS);
    }
}
