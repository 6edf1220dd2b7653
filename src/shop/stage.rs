//! Stages of drying as a finger finds them.
//!
//! The words are those of ASTM D1640. That standard's tests are made on smooth panels with instruments; here each is a
//! plain check by hand, and says nothing about the depth of the film or about wood.

use std::fmt;
use std::str::FromStr;

use serde::Serialize;

/// What a touch test found, least dry first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Stage {
    /// Finish comes off on the finger.
    Wet,
    /// Nothing comes off, but it grabs.
    Tacky,
    /// A light touch takes nothing with it, though it may feel sticky.
    SetToTouch,
    /// Loose fibres can be blown off.
    DustFree,
    /// The surface no longer grabs.
    TackFree,
    /// No longer clings to a finger rubbed lightly over it.
    DryToTouch,
    /// A second coat can go on without lifting it.
    DryToRecoat,
    /// The strongest squeeze leaves no lasting mark.
    DryHard,
    /// A thumb pressed and turned doesn't loosen or wrinkle it.
    DryThrough,
    /// Cloth pressed on it leaves no print.
    PrintFree,
}

impl Stage {
    /// All stages, least dry first.
    pub const ALL: [Self; 10] = [
        Self::Wet,
        Self::Tacky,
        Self::SetToTouch,
        Self::DustFree,
        Self::TackFree,
        Self::DryToTouch,
        Self::DryToRecoat,
        Self::DryHard,
        Self::DryThrough,
        Self::PrintFree,
    ];

    /// The word as it is typed.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Wet => "wet",
            Self::Tacky => "tacky",
            Self::SetToTouch => "set-to-touch",
            Self::DustFree => "dust-free",
            Self::TackFree => "tack-free",
            Self::DryToTouch => "dry-to-touch",
            Self::DryToRecoat => "dry-to-recoat",
            Self::DryHard => "dry-hard",
            Self::DryThrough => "dry-through",
            Self::PrintFree => "print-free",
        }
    }

    /// Whether the surface still grabs: such a lot is held, whatever its age says.
    pub(crate) fn grabs(self) -> bool {
        self < Self::TackFree
    }
}

impl fmt::Display for Stage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.word())
    }
}

impl FromStr for Stage {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, String> {
        let typed = text.trim().to_lowercase().replace([' ', '_'], "-");
        Self::ALL.into_iter().find(|stage| stage.word() == typed).ok_or_else(|| {
            let words: Vec<_> = Self::ALL.iter().map(|stage| stage.word()).collect();
            format!("{text:?} isn't a stage of drying: expected one of {}", words.join(", "))
        })
    }
}
