//! What the season does to a room, by the shop's time zone: a log of a few weeks has hardly seen any of it.

use std::f64::consts::TAU;

use chrono::{Datelike as _, NaiveDate};

use crate::shop::setup::Heated;
use crate::time::local::offset_at;
use crate::time::{Instant, Zone, first_instant_of, local_date};
use crate::units::Q10;

/// By how many degrees the warmest weeks outside lie above the year's mean: between London and Berlin (climate normals, from
/// memory).
const SWING: f64 = 7.0;
/// The day of the year about which the warmest weeks lie, north of the tropics.
const WARMEST: f64 = 205.0;
const YEAR: f64 = 365.25;

/// How the rate at which a room dries is expected to change from week to week.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Season {
    /// As a cosine about the warmest weeks.
    Year {
        /// Days since the warmest.
        since: f64,
        /// By how much its logarithm then lies above the year's mean.
        swing: f64,
        /// Whether it is to count only where it slows.
        slows: bool,
    },
    /// Nobody knows how.
    Unknown,
}

impl Season {
    /// Where clocks go forward for the summer it is known which half of the year that is; elsewhere nothing is.
    pub(super) fn of(zone: Zone, heated: Option<Heated>, q10: Q10, now: Instant) -> Self {
        let today = local_date(now, zone);
        let clock = |month| {
            let date = NaiveDate::from_ymd_opt(today.year(), month, 1).unwrap_or(today);
            offset_at(first_instant_of(date, zone), zone).local_minus_utc()
        };
        let warmest = match clock(7).cmp(&clock(1)) {
            std::cmp::Ordering::Greater => WARMEST,
            std::cmp::Ordering::Less => WARMEST - YEAR / 2.0,
            std::cmp::Ordering::Equal => return Self::Unknown,
        };
        // Heat takes the season away for as long as it is on. Of a room of which nobody said it, the slower holds.
        let reaches = match heated {
            Some(Heated::No) => 1.0,
            Some(Heated::ByDay) | None => 0.5,
            Some(Heated::Always) => 0.0,
        };
        let since = f64::from(today.ordinal()) - warmest;
        let swing = reaches * SWING * q10.get().ln() / 10.0;
        Self::Year { since, swing, slows: heated.is_none() }
    }

    /// The logarithm of the rate so many weeks from now, but for a constant.
    pub(super) fn at(self, week: f64) -> f64 {
        let Self::Year { since, swing, slows } = self else { return 0.0 };
        let then = |week: f64| swing * ((since + 7.0 * week) / YEAR * TAU).cos();
        if !slows {
            then(week)
        } else if week < 0.0 {
            then(week).max(then(0.0))
        } else {
            then(week).min(then(0.0))
        }
    }
}
