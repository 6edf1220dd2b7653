//! When an age will be reached, and everything that was assumed in saying so.

use chrono::{DateTime, TimeDelta, Utc};
use serde::{Deserialize, Serialize};

use super::course::{hours, hours_between};
use super::{Clock, Course};
use crate::units::Celsius;

/// Why something had to be assumed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Why {
    /// The room has no readings: the sheet's own interval.
    NoReadings,
    /// More than 3 h between two readings: the careful end of the two.
    Gap,
    /// Before the first reading: as that reading, on the careful side.
    BeforeFirst,
    /// After the last reading: as that reading, on the careful side.
    AfterLast,
    /// The sheet names a highest humidity and none was read: taken as not above it.
    HumidityNotRead,
    /// The sheet gives no rate: Q10 2.5, common practice.
    DefaultRate,
}

/// A stretch of time for which something was assumed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Assumed {
    pub why: Why,
    pub from: DateTime<Utc>,
    pub until: DateTime<Utc>,
    /// For how many hours of elapsed time.
    pub hours: f64,
    /// The reading that was taken for all of it, °C; each clock counts it no faster (no sooner) or no slower (no later)
    /// than the sheet's own temperature.
    pub temp: Option<f64>,
}

impl Assumed {
    pub(super) fn new(
        why: Why,
        from: DateTime<Utc>,
        until: DateTime<Utc>,
        temp: Option<f64>,
    ) -> Self {
        Self { why, from, until, hours: hours_between(from, until), temp }
    }

    /// The part between two moments, if there is any.
    pub(super) fn clip(&self, from: DateTime<Utc>, until: DateTime<Utc>) -> Option<Self> {
        let (from, until) = (self.from.max(from), self.until.min(until));
        (from < until).then(|| Self::new(self.why, from, until, self.temp))
    }
}

/// What the rate from now on rests on.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Basis {
    /// The mean rate of the room's last 7 days.
    LastDays {
        /// Hours of them that were read.
        hours_read: f64,
    },
    /// Nothing was read in the last 7 days: the sheet's own rate, 1.
    SheetsOwn,
}

/// The same forecast in a room that stays at one temperature from now on, and no damper than the sheet allows.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Outlook {
    /// That temperature.
    pub temp: Celsius,
    /// Hours of the sheet an hour then counts for.
    pub rate: f64,
    /// When the age is reached; `None` if not within a hundred years.
    pub at: Option<DateTime<Utc>>,
}

/// When an age is reached, and what that rests on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Forecast {
    pub clock: Clock,
    /// The end of the last coat.
    pub from: DateTime<Utc>,
    /// When this was asked.
    pub now: DateTime<Utc>,
    /// The age at `now`, hours of the sheet.
    pub age_hours: f64,
    /// The age that is needed, hours of the sheet.
    pub needs_hours: f64,
    /// No sooner: whether the age is there. No later: whether the window has shut.
    pub reached: bool,
    /// No sooner: the first second at which the age is there. No later: the last at which the window is open.
    /// `None` if not within a hundred years.
    pub at: Option<DateTime<Utc>>,
    /// The rate from `now` on.
    pub future_rate: f64,
    /// What that rate rests on.
    pub basis: Basis,
    /// If the room stays at the coldest reading of the last 7 days.
    pub if_coldest: Option<Outlook>,
    /// If the room stays at the warmest reading of the last 7 days.
    pub if_warmest: Option<Outlook>,
    /// What was assumed, up to `now` or until the age was reached if that is earlier.
    pub assumed: Vec<Assumed>,
}

impl Course {
    /// When `needed` of the sheet will have passed since `from`, the end of the last coat.
    pub fn forecast(&self, from: DateTime<Utc>, needed: TimeDelta) -> Forecast {
        let at = self.reaches(from, needed);
        let reached = at.is_some_and(|at| match self.clock {
            Clock::NoSooner => at <= self.now,
            Clock::NoLater => at < self.now,
        });
        let outlook =
            |(temp, rate)| Outlook { temp, rate, at: self.reaches_at_rate(from, needed, rate) };
        let extremes = self.extremes();
        Forecast {
            clock: self.clock,
            from,
            now: self.now,
            age_hours: self.age(from, self.now),
            needs_hours: hours(needed).max(0.0),
            reached,
            at,
            future_rate: self.future.rate,
            basis: self.future.basis,
            if_coldest: extremes.map(|[coldest, _]| outlook(coldest)),
            if_warmest: extremes.map(|[_, warmest]| outlook(warmest)),
            assumed: self.assumptions(from, at),
        }
    }

    /// Every stretch that was assumed until the age was reached; with no readings the sheet's own interval to its end,
    /// and the default rate for all of the time.
    fn assumptions(&self, from: DateTime<Utc>, at: Option<DateTime<Utc>>) -> Vec<Assumed> {
        let end = at.unwrap_or(self.now);
        let mut list = self.assumed(from, end);
        if self.has_no_readings() {
            list = vec![Assumed::new(Why::NoReadings, from, end.max(from), None)];
        } else if self.default_rate {
            list.push(Assumed::new(Why::DefaultRate, from, end.min(self.now).max(from), None));
        }
        list
    }
}
