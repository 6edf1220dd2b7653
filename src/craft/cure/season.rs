//! What the season does to a room's air, by the shop's time zone: a log of a few weeks has hardly seen any of it.

use std::f64::consts::TAU;
use std::sync::OnceLock;

use chrono::{DateTime, Datelike as _, NaiveDate, Utc};

use super::Clock;
use super::course::{After, Course, hours_between};
use super::hours::{Hour, HourTable, Rates};
use super::lately::Lately;
use crate::time::local::offset_at;
use crate::time::{Zone, first_instant_of, local_date};

/// By how many degrees the warmest weeks outside lie above the year's mean: between London and Berlin (climate normals, from
/// memory).
const SWING: f64 = 7.0;
/// By how many degrees a month is colder than its season no more often than once in ten (climate normals, from memory: 1.5 °C is
/// its standard deviation).
const SPELL: f64 = 2.0;
/// The day of the year about which the warmest weeks lie, north of the tropics.
const WARMEST: f64 = 205.0;
const YEAR: f64 = 365.25;

/// Degrees to either side by which a season can make warmer or colder, and weather on top of it.
const DEGREES: i32 = 22;
/// The same counted, none included.
pub(super) const STEPS: usize = 2 * DEGREES.unsigned_abs() as usize + 1;

/// How warm a room is expected to be as the year goes, against the year's mean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Season {
    /// As a cosine about the warmest weeks.
    Year {
        /// The day of the year about which they lie.
        warmest: f64,
        /// Degrees by which they lie above the mean.
        swing: f64,
    },
    /// Nobody knows, or heat takes it away.
    None,
}

impl Season {
    /// Of a room that so large a share of the season reaches. Where clocks go forward for the summer it is known which half
    /// of the year that is; elsewhere nothing is.
    fn of(zone: Zone, reach: f64, at: DateTime<Utc>) -> Self {
        let date = local_date(at, zone);
        let clock = |month| {
            let first = NaiveDate::from_ymd_opt(date.year(), month, 1).unwrap_or(date);
            offset_at(first_instant_of(first, zone), zone).local_minus_utc()
        };
        let warmest = match clock(7).cmp(&clock(1)) {
            _ if reach <= 0.0 => return Self::None,
            std::cmp::Ordering::Greater => WARMEST,
            std::cmp::Ordering::Less => WARMEST - YEAR / 2.0,
            std::cmp::Ordering::Equal => return Self::None,
        };
        Self::Year { warmest, swing: reach * SWING }
    }

    /// Degrees by which a date is expected to lie above the year's mean.
    pub(super) fn above(self, date: NaiveDate) -> f64 {
        match self {
            Self::Year { warmest, swing } => {
                swing * ((f64::from(date.ordinal()) - warmest) / YEAR * TAU).cos()
            }
            Self::None => 0.0,
        }
    }
}

/// To which side a season is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Side {
    /// To the clock's careful side all that is expected, to the other half of it, and all but a spell of weather of what is more.
    Careful(Clock),
    /// To neither.
    Mean,
}

impl Side {
    /// Whole degrees of so many that are expected.
    #[expect(clippy::cast_possible_truncation, reason = "degrees within twice the swing")]
    fn taken(self, warmer: f64) -> i32 {
        let part = warmer - (warmer / 2.0).clamp(-SPELL, SPELL);
        match self {
            Self::Careful(Clock::NoSooner) => warmer.min(part).floor() as i32,
            Self::Careful(Clock::NoLater) => warmer.max(part).ceil() as i32,
            Self::Mean => warmer.round() as i32,
        }
    }
}

impl Course {
    /// The same in a room that so large a share of the season reaches: from the eleventh day after the last reading on an hour
    /// counts as its mean would if all that was read of late were as much warmer or colder as it's expected to be by then.
    #[must_use]
    pub fn following(mut self, reach: f64) -> Self {
        self.season = self.season(reach);
        (self.lately, self.warmed) = (OnceLock::new(), [const { OnceLock::new() }; STEPS]);
        self
    }

    pub(super) fn season(&self, reach: f64) -> Season {
        self.knots.last().map_or(Season::None, |last| Season::of(self.days.zone, reach, last.at))
    }

    /// Whether a season is counted in it.
    pub(crate) fn follows(&self) -> bool {
        self.season != Season::None
    }

    /// The mean rates of the hours on a date, by a table.
    pub(super) fn means<'a>(&'a self, table: &'a HourTable, date: NaiveDate) -> &'a Rates {
        // What lies between readings is over: they tell of it.
        let ahead = self.knots.last().is_some_and(|knot| knot.at == table.last);
        if ahead && self.follows() {
            let warmer = self.season.above(date) - self.lately().above;
            self.warmer_by(Side::Careful(self.pace.clock).taken(warmer))
        } else {
            &table.means
        }
    }

    /// The age that the hours between two moments would gather, past or to come, if each were as those read of late were in
    /// their mean, but for the season and so many degrees: what is expected, to neither side.
    pub fn expected(&self, from: DateTime<Utc>, until: DateTime<Utc>, warmer: i32) -> f64 {
        let Some(After::Unread(table)) = self.knots.last().map(|knot| &knot.after) else {
            return self.age(from, until);
        };
        let lately = self.lately();
        let gathered = |hour: Hour| {
            let degrees = warmer + Side::Mean.taken(self.season.above(hour.date) - lately.above);
            let as_read = degrees == 0 && !self.follows();
            let rates = if as_read { &table.means } else { self.warmer_by(degrees) };
            hour.kind.of(rates) * hours_between(hour.begins, hour.ends)
        };
        self.days.hours(from, until).map(gathered).sum()
    }

    /// By how many degrees what was read between two moments lay above what is expected of those hours.
    pub(crate) fn off(&self, from: DateTime<Utc>, until: DateTime<Utc>) -> Option<f64> {
        self.lately().off(from, until)
    }

    fn lately(&self) -> &Lately {
        self.lately.get_or_init(|| Box::new(Lately::of(self)))
    }

    /// The mean rates after the last reading if the air were so many degrees warmer.
    fn warmer_by(&self, degrees: i32) -> &Rates {
        let degrees = degrees.clamp(-DEGREES, DEGREES);
        let place = usize::try_from(degrees + DEGREES).unwrap_or_default();
        let make = || Box::new(self.lately().rates(&self.pace, f64::from(degrees)));
        // As many as there are degrees to either side.
        self.warmed.get(place).map_or(&[0.0; 48], |made| made.get_or_init(make))
    }
}
