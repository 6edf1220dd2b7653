//! What the season does to a room's air, by the shop's time zone: a log of a few weeks has hardly seen any of it.

use std::f64::consts::TAU;

use chrono::{DateTime, Datelike as _, NaiveDate, Utc};

use super::course::{After, Course, Knot, after, hours_between};
use super::hours::{Hour, HourTable, Rates, hours_read};
use super::{Clock, LOOK_BACK};
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

    /// The degrees by which a date is expected to be warmer than the season's own date.
    #[expect(clippy::cast_precision_loss, reason = "days of a calendar")]
    fn warmer(self, date: NaiveDate) -> f64 {
        let Self::Year { from, since, swing } = self else { return 0.0 };
        let above = |days: i64| swing * ((since + days as f64) / YEAR * TAU).cos();
        above((date - from).num_days()) - above(0)
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
        if ahead {
            self.means_in(table, date, Side::Careful(self.pace.clock))
        } else {
            &table.means
        }
    }

    fn means_in<'a>(&'a self, table: &'a HourTable, date: NaiveDate, side: Side) -> &'a Rates {
        let degrees = side.taken(self.season.warmer(date));
        if degrees == 0 {
            return &table.means;
        }
        let middle = i32::try_from(DEGREES / 2).unwrap_or(0);
        let place = usize::try_from(degrees + middle).ok();
        let made = place.and_then(|place| self.warmed.get(place));
        made.map_or(&table.means, |made| made.get_or_init(|| Box::new(self.warmer_by(degrees))))
    }

    /// The age that the hours between two moments would gather, past or to come, if each were as the two weeks before the last
    /// reading were in their mean, but for the season: what is expected, to neither side.
    pub fn expected(&self, from: DateTime<Utc>, until: DateTime<Utc>) -> f64 {
        let Some(After::Unread(table)) = self.knots.last().map(|knot| &knot.after) else {
            return self.age(from, until);
        };
        let gathered = |hour: Hour| {
            let rates = self.means_in(table, hour.date, Side::Mean);
            hour.kind.of(rates) * hours_between(hour.begins, hour.ends)
        };
        self.days.hours(from, until).map(gathered).sum()
    }

    /// The mean rates after the last reading if all readings of the two weeks before it were so many degrees warmer.
    fn warmer_by(&self, degrees: i32) -> Rates {
        let Some(last) = self.knots.last() else { return [1.0; 48] };
        let since = after(last.at, -LOOK_BACK);
        // The lines of the knot before may reach into them.
        let first = self.knots.partition_point(|knot| knot.at < since).saturating_sub(1);
        let knots: Vec<Knot> = self.knots.iter().skip(first).cloned().collect();
        let newest = knots.len().saturating_sub(1);
        let pace = self.pace.in_air_warmer_by(f64::from(degrees));
        let warmer = Self::bare(pace, self.days.clone(), self.strange, knots);
        let hours = hours_read(&self.days, since, last.at, |from, until| warmer.read(from, until));
        warmer.table(newest, last.at, &hours).means
    }
}
