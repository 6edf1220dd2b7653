//! Cure as equivalent age: how much of a data sheet's time has passed, given the room the pieces stood in.
//!
//! `age(t) = ∫ k(T) dt / k(T_ref)`, in hours of the sheet (the maturity idea of ASTM C1074, from memory and public summaries;
//! the standard itself was not read). Two clocks, each on its careful side:
//!
//! - *no sooner* (cure, shortest recoat): nothing below the sheet's lowest temperature or above its highest humidity, and
//!   never faster than the sheet;
//! - *no later* (the recoat window's end): never slower than the sheet, and uncapped above, since warmth shuts the window.
//!
//! Humidity (but for the dampest limit), light and the thickness of the film are not in the rate, though all three matter.

pub(crate) mod assumed;
pub(crate) mod course;
pub(crate) mod hours;
pub(crate) mod lately;
pub(crate) mod rate;
pub(crate) mod season;
pub(crate) mod touch;

use chrono::{DateTime, TimeDelta, Utc};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::units::{Celsius, Humidity, Q10, Warmer};
pub use assumed::{Assumed, Why};
pub use course::Course;
pub use hours::{Days, LOOK_BACK, NEAR};
pub(crate) use lately::SEASONED;
pub use touch::{Factor, TouchTest, fit};

/// What is in no rate here and has to be said beside every age.
pub(crate) const NOT_IN_THE_RATE: &str =
    "humidity below the sheet's limit, light and film thickness are not in the rate";

/// Longest time between two readings that is bridged by a straight line: 3 h (a choice, no source).
pub(crate) const LONGEST_STRAIGHT: TimeDelta = TimeDelta::hours(3);

/// Longest time between two readings that is taken at the careful end of the two, as of a room read by hand within a day: 6 h
/// (a choice, no source). Longer is unread.
pub(crate) const LONGEST_HELD: TimeDelta = TimeDelta::hours(6);

/// How much colder than the coldest reading of two weeks the nights are taken to be in a room that is heated by day and
/// not read at night, °C (tried on simulated rooms).
pub(crate) const COLDER_AT_NIGHT: Warmer = Warmer::degrees(8.0);

/// The conditions for which a sheet gives its times, and what it allows.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Conditions {
    /// The temperature for which the times are given, `T_ref`.
    pub at: Celsius,
    /// Below this nothing counts.
    pub lowest: Option<Celsius>,
    /// Above this nothing counts.
    pub dampest: Option<Humidity>,
    /// How the rate depends on temperature; `None` is taken as [`Q10::COMMON_PRACTICE`] and marked.
    pub q10: Option<Q10>,
}

/// Which of the two clocks runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Clock {
    /// The earliest that something may follow: slow where in doubt.
    NoSooner,
    /// The latest that something may follow: fast where in doubt.
    NoLater,
}

impl Clock {
    /// The careful one of two rates.
    pub(crate) fn careful(self, a: f64, b: f64) -> f64 {
        match self {
            Self::NoSooner => a.min(b),
            Self::NoLater => a.max(b),
        }
    }
}

/// What hours of a kind that nobody reads are taken as.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Strange {
    /// As the careful one of the readings around them: a room that is always heated, or never.
    AsRead,
    /// At least as careful as this.
    Taken(Celsius),
    /// Colder than anything read: a room heated by day.
    ColderThanRead,
}

impl Strange {
    /// What such hours are taken as, °C, by what was read.
    fn temp(self, read: impl Iterator<Item = f64>) -> Option<f64> {
        match self {
            Self::AsRead => None,
            Self::Taken(temp) => Some(temp.get()),
            Self::ColderThanRead => {
                read.min_by(f64::total_cmp).map(|coldest| coldest - COLDER_AT_NIGHT.get())
            }
        }
    }
}

/// What the room's log says of one moment, and with a thermometer that keeps its extremes of the time since the reading before.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Reading {
    pub at: DateTime<Utc>,
    /// None where the extremes alone were read.
    pub temp: Option<Celsius>,
    /// How damp, if it was read.
    pub humidity: Option<Humidity>,
    /// The coldest and the warmest since the reading before.
    pub extremes: Option<Extremes>,
}

/// What a minimum and maximum thermometer shows.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Extremes {
    pub lowest: Celsius,
    pub highest: Celsius,
}

impl Extremes {
    /// The one that a clock has to take: the coldest for *no sooner*, the warmest for *no later*.
    pub(crate) const fn careful(self, clock: Clock) -> Celsius {
        match clock {
            Clock::NoSooner => self.lowest,
            Clock::NoLater => self.highest,
        }
    }
}
