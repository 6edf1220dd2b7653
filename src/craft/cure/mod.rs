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

pub mod course;
pub mod forecast;
pub mod rate;
pub mod touch;

use chrono::{DateTime, TimeDelta, Utc};
use serde::{Deserialize, Serialize};

use crate::units::{Celsius, Humidity};
pub use course::Course;
pub use forecast::{Assumed, Basis, Forecast, Outlook, Why};
pub use rate::Law;
pub use touch::{Factor, TouchTest, fit};

/// What is in no rate here and has to be said beside every age.
pub const NOT_IN_THE_RATE: &str =
    "humidity below the sheet's limit, light and film thickness are not in the rate";

/// Longest time between two readings that is bridged by a straight line: 3 h (a choice, no source).
pub const LONGEST_STRAIGHT: TimeDelta = TimeDelta::hours(3);

/// How far back the forecast looks: 7 days (a choice, no source).
pub const LOOK_BACK: TimeDelta = TimeDelta::days(7);

/// The conditions for which a sheet gives its times, and what it allows.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Conditions {
    /// The temperature for which the times are given, `T_ref`.
    pub at: Celsius,
    /// Below this nothing counts.
    pub lowest: Option<Celsius>,
    /// Above this nothing counts.
    pub dampest: Option<Humidity>,
    /// The rate's law; `None` is taken as [`Law::COMMON_PRACTICE`] and marked.
    pub law: Option<Law>,
}

/// Which of the two clocks runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Clock {
    /// The earliest that something may follow: slow where in doubt.
    NoSooner,
    /// The latest that something may follow: fast where in doubt.
    NoLater,
}

/// What the room's log says of one moment.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Reading {
    pub at: DateTime<Utc>,
    pub temp: Celsius,
    /// How damp, if it was read.
    pub humidity: Option<Humidity>,
}

/// When `time` of the sheet will have passed on the *no sooner* clock, counted from `from`, the end of the last coat.
///
/// `factor` is what the shop's own touch tests ask for ([`fit`]) and lengthens the time.
pub fn no_sooner(
    time: TimeDelta,
    factor: Factor,
    conditions: &Conditions,
    from: DateTime<Utc>,
    readings: &[Reading],
    now: DateTime<Utc>,
) -> Forecast {
    Course::new(Clock::NoSooner, conditions, readings, now).forecast(from, factor.needed(time))
}

/// When `time` of the sheet will have passed on the *no later* clock: the last moment for the next coat.
///
/// No factor: the shop's own tests may lengthen a cure, never a window.
pub fn no_later(
    time: TimeDelta,
    conditions: &Conditions,
    from: DateTime<Utc>,
    readings: &[Reading],
    now: DateTime<Utc>,
) -> Forecast {
    Course::new(Clock::NoLater, conditions, readings, now).forecast(from, time)
}
