//! What the season does to a room's air, by the shop's time zone: a log of a few weeks has hardly seen any of it.

use std::f64::consts::TAU;

use chrono::{DateTime, Datelike as _, NaiveDate, Utc};

use super::course::{Course, Knot, after};
use super::hours::{HourTable, Rates, hours_read};
use super::{Clock, LOOK_BACK};
use crate::time::local::offset_at;
use crate::time::{Zone, first_instant_of, local_date};

/// By how many degrees the warmest weeks outside lie above the year's mean: between London and Berlin (climate normals, from
/// memory).
const SWING: f64 = 7.0;
/// The day of the year about which the warmest weeks lie, north of the tropics.
const WARMEST: f64 = 205.0;
const YEAR: f64 = 365.25;

/// Whole degrees that a season can make warmer or colder, from its coldest to its warmest: none leaves them by its own swing.
pub(super) const DEGREES: usize = 31;

/// How warm a room is expected to be as the year goes, against the year's mean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Season {
    /// As a cosine about the warmest weeks.
    Year {
        /// The date from which days are counted.
        from: NaiveDate,
        /// Days from the warmest to that date.
        since: f64,
        /// Degrees by which the warmest weeks lie above the mean.
        swing: f64,
    },
    /// Nobody knows, or heat takes it away.
    None,
}

impl Season {
    /// Of a room that so large a share of the season reaches. Where clocks go forward for the summer it is known which half
    /// of the year that is; elsewhere nothing is.
    pub fn of(zone: Zone, reach: f64, from: DateTime<Utc>) -> Self {
        let from = local_date(from, zone);
        let clock = |month| {
            let date = NaiveDate::from_ymd_opt(from.year(), month, 1).unwrap_or(from);
            offset_at(first_instant_of(date, zone), zone).local_minus_utc()
        };
        let warmest = match clock(7).cmp(&clock(1)) {
            _ if reach <= 0.0 => return Self::None,
            std::cmp::Ordering::Greater => WARMEST,
            std::cmp::Ordering::Less => WARMEST - YEAR / 2.0,
            std::cmp::Ordering::Equal => return Self::None,
        };
        Self::Year { from, since: f64::from(from.ordinal()) - warmest, swing: reach * SWING }
    }

    /// Degrees above the year's mean so many days from its date.
    pub(crate) fn at(self, days: f64) -> f64 {
        let Self::Year { since, swing, .. } = self else { return 0.0 };
        swing * ((since + days) / YEAR * TAU).cos()
    }

    /// The whole degrees by which a clock takes a date to be warmer than the season's own date: to its careful side all that is
    /// expected, to the other half of it (a choice), since no season keeps to its mean.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_precision_loss,
        reason = "days of a calendar, and degrees within twice the swing"
    )]
    pub(super) fn warmer(self, clock: Clock, date: NaiveDate) -> i32 {
        let Self::Year { from, .. } = self else { return 0 };
        let by = self.at((date - from).num_days() as f64) - self.at(0.0);
        match clock {
            Clock::NoSooner => by.min(by / 2.0).floor() as i32,
            Clock::NoLater => by.max(by / 2.0).ceil() as i32,
        }
    }
}

impl Course {
    /// The same in a room that so large a share of the season reaches: from the eleventh day after the last reading on an hour
    /// counts as its mean would if the two weeks had been as much warmer or colder as it's expected to be by then.
    #[must_use]
    pub fn following(mut self, reach: f64) -> Self {
        self.season = self.season(reach);
        self
    }

    pub(super) fn season(&self, reach: f64) -> Season {
        let middle = self.knots.last().map(|last| after(last.at, -LOOK_BACK / 2));
        middle.map_or(Season::None, |middle| Season::of(self.days.zone, reach, middle))
    }

    /// Whether a season is counted in it.
    pub(crate) fn follows(&self) -> bool {
        self.season != Season::None
    }

    /// The mean rates of the hours on a date, by a table.
    pub(super) fn means<'a>(&'a self, table: &'a HourTable, date: NaiveDate) -> &'a Rates {
        // What lies between readings is over: they tell of it.
        let ahead = self.knots.last().is_some_and(|knot| knot.at == table.last);
        let degrees = if ahead { self.season.warmer(self.clock, date) } else { 0 };
        if degrees == 0 {
            return &table.means;
        }
        let middle = i32::try_from(DEGREES / 2).unwrap_or(0);
        let place = usize::try_from(degrees + middle).ok();
        let made = place.and_then(|place| self.warmed.get(place));
        made.map_or(&table.means, |made| made.get_or_init(|| Box::new(self.warmer_by(degrees))))
    }

    /// The mean rates after the last reading if all readings of the two weeks before it were so many degrees warmer.
    fn warmer_by(&self, degrees: i32) -> Rates {
        let Some(last) = self.knots.last() else { return [1.0; 48] };
        let since = after(last.at, -LOOK_BACK);
        // The lines of the knot before may reach into them.
        let first = self.knots.partition_point(|knot| knot.at < since).saturating_sub(1);
        let knots: Vec<Knot> = self.knots.iter().skip(first).cloned().collect();
        let place = knots.len().saturating_sub(1);
        let pace = self.pace.in_air_warmer_by(f64::from(degrees));
        let warmer = Self::bare(self.clock, pace, self.days.clone(), self.strange, knots);
        let hours = hours_read(&self.days, since, last.at, |from, until| warmer.read(from, until));
        warmer.table(place, last.at, &hours).means
    }
}
