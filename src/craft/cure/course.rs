//! The course of a room's air as one clock counts it: built once for a room and a finish, asked for many lots.

use std::sync::OnceLock;

use chrono::{DateTime, TimeDelta, Utc};

use super::assumed::{Assumed, Why, note};
use super::hours::{Days, HourTable, Rates, hours_read};
use super::lately::Lately;
use super::rate::{Air, Pace};
use super::season::{STEPS, Season};
use super::{Clock, Conditions, LONGEST_HELD, LONGEST_STRAIGHT, Reading, Strange};
use crate::units::{Celsius, Humidity};

/// What two ages may differ by and still be the same, hours: far below a second, far above rounding.
const SAME_AGE: f64 = 1e-9;

/// Longest wait worth naming: a year.
const FARTHEST: TimeDelta = TimeDelta::days(366);

/// Hours from one moment to another, negative if it lies before.
pub(super) fn hours_between(from: DateTime<Utc>, until: DateTime<Utc>) -> f64 {
    hours(until.signed_duration_since(from))
}

/// A length of time in hours.
#[expect(clippy::cast_precision_loss, reason = "milliseconds of 285,000 years are exact in a f64")]
pub(super) fn hours(span: TimeDelta) -> f64 {
    span.num_milliseconds() as f64 / 3_600_000.0
}

/// A moment so much later, or the same at the calendar's end.
pub(super) fn after(moment: DateTime<Utc>, by: TimeDelta) -> DateTime<Utc> {
    moment.checked_add_signed(by).unwrap_or(moment)
}

/// `moment` and so many whole seconds; `None` beyond the calendar.
#[expect(
    clippy::cast_possible_truncation,
    reason = "the value is whole, and a cast that does not fit saturates and is then refused"
)]
fn seconds_after(moment: DateTime<Utc>, seconds: f64) -> Option<DateTime<Utc>> {
    moment.checked_add_signed(TimeDelta::try_seconds(seconds as i64)?)
}

/// A reading, the age counted up to it since the first, and how the time after it is counted.
#[derive(Debug, Clone)]
pub(super) struct Knot {
    pub(super) at: DateTime<Utc>,
    pub(super) air: Air,
    total: f64,
    pub(super) after: After,
}

/// The time from one reading to the next.
#[derive(Debug, Clone)]
pub(super) enum After {
    /// Read: the air runs in a straight line between these.
    Line(Air, Air),
    /// Not read: by the hours of the two weeks before.
    Unread(Box<HourTable>),
}

/// A room's log as one clock counts it for one finish, without end.
///
/// Between readings up to 3 h apart the air runs in a straight line, up to 6 h it is at the careful end of the two; where a
/// minimum and maximum thermometer was read, it was at its careful end since the reading before. All other time, past or to come,
/// is unread: each hour as the slowest (no later: the fastest) that hour of the day was in the two weeks before, open and closed
/// days apart, from the eleventh day on as their mean (tried against nine other rules on 72 simulated room-years); after the last
/// reading it is the mean of eight weeks and follows the season where one is known ([`Course::following`]). An age so depends on the readings, the room
/// and the moment alone, not on when it is asked for.
#[derive(Debug, Clone)]
pub struct Course {
    pub(super) pace: Pace,
    pub(super) days: Days,
    pub(super) strange: Strange,
    pub(super) season: Season,
    /// What was read of late, and the mean rates of the hours to come by whole degrees that they are warmer, from the coldest on:
    /// each made when it's first asked for.
    pub(super) lately: OnceLock<Box<Lately>>,
    pub(super) warmed: [OnceLock<Box<Rates>>; STEPS],
    pub(super) knots: Vec<Knot>,
    /// What had to be assumed between readings, in order of time.
    pub(super) inside: Vec<Assumed>,
}

impl Course {
    /// Counts the readings, in whatever order they come.
    pub fn new(
        clock: Clock,
        conditions: &Conditions,
        readings: &[Reading],
        days: &Days,
        strange: Strange,
    ) -> Self {
        let mut readings = readings.to_vec();
        readings.sort_by_key(|reading| reading.at);
        let pace = Pace::new(clock, conditions);
        let mut course = Self {
            pace,
            days: days.clone(),
            strange,
            season: Season::None,
            lately: OnceLock::new(),
            warmed: [const { OnceLock::new() }; STEPS],
            knots: Vec::new(),
            inside: Vec::new(),
        };
        course.lines(&readings);
        course.unread();
        course.count();
        course
    }

    /// Whether it was built for these.
    pub(crate) fn is_for(
        &self,
        clock: Clock,
        conditions: &Conditions,
        days: &Days,
        (strange, reach): (Strange, f64),
    ) -> bool {
        self.pace == Pace::new(clock, conditions)
            && self.strange == strange
            && self.season == self.season(reach)
            && self.days == *days
    }

    /// Whether the room has no log at all.
    pub(crate) fn has_no_readings(&self) -> bool {
        self.knots.is_empty()
    }

    /// The knots with the lines between them; where there is none the knot is left with an empty one.
    fn lines(&mut self, readings: &[Reading]) {
        for reading in readings {
            let read = |temp: Celsius| temp.get();
            let careful = reading.extremes.map(|extremes| extremes.careful(self.pace.clock));
            // A reading has the one or the other.
            let Some(temp) = reading.temp.or(careful).map(read) else { continue };
            let air = Air { temp, humidity: reading.humidity.map(Humidity::get) };
            if let Some(before) = self.knots.last_mut() {
                let apart = reading.at.signed_duration_since(before.at);
                let held = before.air.careful(air, self.pace.clock);
                let coldest = careful.map(|temp| Air { temp: read(temp), ..held });
                before.after = match coldest {
                    Some(coldest) => After::Line(coldest, coldest),
                    None if apart <= LONGEST_STRAIGHT => After::Line(before.air, air),
                    None if apart <= LONGEST_HELD => After::Line(held, held),
                    None => before.after.clone(),
                };
            }
            let after = After::Unread(Box::new(HourTable::empty(reading.at)));
            self.knots.push(Knot { at: reading.at, air, total: 0.0, after });
        }
    }

    /// Makes the table of hours of each stretch that was not read.
    fn unread(&mut self) {
        let (Some(first), Some(last)) = (self.knots.first(), self.knots.last()) else { return };
        let hours = hours_read(&self.days, first.at, last.at, |from, until| self.read(from, until));
        let tables: Vec<Option<HourTable>> = self
            .knots
            .iter()
            .enumerate()
            .map(|(place, knot)| match knot.after {
                After::Line(..) => None,
                After::Unread(_) => Some(self.table(place, knot.at, &hours)),
            })
            .collect();
        for (knot, table) in self.knots.iter_mut().zip(tables) {
            if let Some(table) = table {
                knot.after = After::Unread(Box::new(table));
            }
        }
    }

    /// Fills in the totals and notes what had to be assumed between readings.
    fn count(&mut self) {
        let mut total = 0.0;
        for place in 0..self.knots.len() {
            if let Some(knot) = self.knots.get_mut(place) {
                knot.total = total;
            }
            let Some([knot, next]) = self.knots.get(place..place + 2) else { break };
            total += self.within(place, knot.at, next.at);
            let stretch = match &knot.after {
                After::Unread(table) => Some(self.unread_stretch(place, table, knot.at, next.at)),
                After::Line(a, b) if self.pace.minds_humidity() => {
                    let none = a.humidity.or(b.humidity).is_none();
                    none.then(|| Assumed::new(Why::HumidityNotRead, knot.at, next.at))
                }
                After::Line(..) => None,
            };
            if let Some(stretch) = stretch {
                note(&mut self.inside, stretch);
            }
        }
    }

    /// The age from `from` to `until`, in hours of the sheet; 0 if `until` is not after `from`.
    pub fn age(&self, from: DateTime<Utc>, until: DateTime<Utc>) -> f64 {
        if until <= from {
            return 0.0;
        }
        let stretch = |at: DateTime<Utc>| self.knots.partition_point(|knot| knot.at <= at);
        match stretch(from).checked_sub(1) {
            // Straight through, not as the difference of two long sums.
            Some(place) if stretch(until) == place + 1 => self.within(place, from, until),
            _ => (self.total(until) - self.total(from)).max(0.0),
        }
    }

    /// How fast the age grows in each clock hour from one moment to another: when the hour begins, and its mean rate.
    pub(crate) fn rates(
        &self,
        from: DateTime<Utc>,
        until: DateTime<Utc>,
    ) -> Vec<(DateTime<Utc>, f64)> {
        let ahead = self.knots.last().filter(|knot| knot.at <= from).map(|knot| &knot.after);
        if let Some(After::Unread(table)) = ahead {
            return table.rates(self, from, until);
        }
        let hours = self.days.hours(from, until).map(|hour| {
            let next = self.knots.partition_point(|knot| knot.at <= hour.begins);
            let one_stretch = self.knots.get(next).is_none_or(|knot| knot.at >= hour.ends);
            let age = match next.checked_sub(1).filter(|_| one_stretch) {
                // Not from the last reading on each time: that is months of hours.
                Some(place) => self.within(place, hour.begins, hour.ends),
                None => self.age(hour.begins, hour.ends),
            };
            (hour.begins, age / hours_between(hour.begins, hour.ends))
        });
        hours.collect()
    }

    /// The whole second at which the age since `from` is `needed`: on the *no sooner* clock the first with no less, on
    /// the *no later* clock the last with no more. `None` if it is not within a year.
    pub fn reaches(&self, from: DateTime<Utc>, needed: TimeDelta) -> Option<DateTime<Utc>> {
        let needed = hours(needed).max(0.0);
        if self.pace.clock == Clock::NoSooner && needed <= SAME_AGE {
            return Some(from);
        }
        let Some(first) = self.knots.first() else { return self.at_rate(from, needed, 1.0) };
        let start = self.total(from);
        let past = |age: f64| self.is_past(age - start, needed);
        let next = self.knots.partition_point(|knot| !past(knot.total));
        let Some(place) = next.checked_sub(1) else {
            let rate = self.pace.rate(first.air);
            return self.at_rate(from, needed, rate);
        };
        // `from` may lie in the very stretch in which the age goes past.
        let knot = self.knots.get(place)?;
        let (begins, so_far) =
            if from > knot.at { (from, 0.0) } else { (knot.at, knot.total - start) };
        match &knot.after {
            After::Unread(table) => {
                let enough = |age: f64| self.is_past(so_far + age, needed);
                let run = table.run(self, begins, after(begins, FARTHEST), enough);
                let (at, rate) = run.past?;
                self.at_rate(at, needed - so_far - run.age, rate)
            }
            After::Line(..) => {
                let end = self.knots.get(next).map_or(begins, |knot| knot.at);
                self.on_line(place, begins, end, needed - so_far)
            }
        }
    }

    /// The second at which so many hours of the sheet have passed since `from` at a rate.
    fn at_rate(&self, from: DateTime<Utc>, needed: f64, rate: f64) -> Option<DateTime<Utc>> {
        let seconds = if needed <= SAME_AGE { 0.0 } else { needed / rate * 3600.0 };
        if !seconds.is_finite() {
            return None;
        }
        // So little absorbs rounding, and can't move a whole second.
        let whole = match self.pace.clock {
            Clock::NoSooner => (seconds - 1e-5).ceil().max(0.0),
            Clock::NoLater => (seconds + 1e-5).floor(),
        };
        seconds_after(from, whole)
    }

    /// Whether `age` ends the wait: on the *no sooner* clock by reaching what is needed, on the other by going over it.
    fn is_past(&self, age: f64, needed: f64) -> bool {
        match self.pace.clock {
            Clock::NoSooner => age >= needed - SAME_AGE,
            Clock::NoLater => age > needed + SAME_AGE,
        }
    }

    /// The exact second on a line, by bisection over whole seconds (the age never falls).
    fn on_line(
        &self,
        place: usize,
        from: DateTime<Utc>,
        until: DateTime<Utc>,
        needed: f64,
    ) -> Option<DateTime<Utc>> {
        let (mut not_yet, mut past) = (-1_i64, until.signed_duration_since(from).num_seconds() + 1);
        while past - not_yet > 1 {
            let middle = not_yet + (past - not_yet) / 2;
            let moment = from.checked_add_signed(TimeDelta::try_seconds(middle)?)?;
            if self.is_past(self.within(place, from, moment), needed) {
                past = middle;
            } else {
                not_yet = middle;
            }
        }
        let seconds = match self.pace.clock {
            Clock::NoSooner => past,
            Clock::NoLater => not_yet.max(0),
        };
        from.checked_add_signed(TimeDelta::try_seconds(seconds)?)
    }

    /// The age on the scale of the totals: 0 at the first reading, negative before.
    fn total(&self, moment: DateTime<Utc>) -> f64 {
        let Some(first) = self.knots.first() else {
            return hours_between(DateTime::UNIX_EPOCH, moment);
        };
        let next = self.knots.partition_point(|knot| knot.at <= moment);
        match next.checked_sub(1).and_then(|place| Some((place, self.knots.get(place)?))) {
            None => self.pace.rate(first.air) * hours_between(first.at, moment),
            Some((place, knot)) => knot.total + self.within(place, knot.at, moment),
        }
    }

    /// The age from `from` to `until`, both between a reading and the next.
    fn within(&self, place: usize, from: DateTime<Utc>, until: DateTime<Utc>) -> f64 {
        let Some(knot) = self.knots.get(place) else { return 0.0 };
        match (&knot.after, self.knots.get(place + 1)) {
            (After::Unread(table), _) => table.run(self, from, until, |_| false).age,
            (After::Line(start, end), Some(next)) => {
                let whole = hours_between(knot.at, next.at);
                if whole <= 0.0 {
                    return 0.0;
                }
                let left = start.towards(*end, hours_between(knot.at, from) / whole);
                let right = start.towards(*end, hours_between(knot.at, until) / whole);
                self.pace.mean_rate(left, right) * hours_between(from, until)
            }
            (After::Line(..), None) => 0.0,
        }
    }

    /// What was read between two moments: on a line each, the stretch and the air at both its ends.
    fn lines_read(
        &self,
        from: DateTime<Utc>,
        until: DateTime<Utc>,
    ) -> impl Iterator<Item = (f64, Air, Air)> {
        let first = self.knots.partition_point(|knot| knot.at <= from).saturating_sub(1);
        let pairs = self.knots.iter().zip(self.knots.iter().skip(1)).skip(first);
        pairs.take_while(move |(knot, _)| knot.at < until).filter_map(move |(knot, next)| {
            let (from, until) = (knot.at.max(from), next.at.min(until));
            let After::Line(start, end) = &knot.after else { return None };
            let share = |at| hours_between(knot.at, at) / hours_between(knot.at, next.at);
            let [left, right] = [from, until].map(|at| start.towards(*end, share(at)));
            (from < until).then(|| (hours_between(from, until), left, right))
        })
    }

    /// How much was read between two moments, hours, and the age counted in it.
    pub(super) fn read(&self, from: DateTime<Utc>, until: DateTime<Utc>) -> (f64, f64) {
        self.lines_read(from, until).fold((0.0, 0.0), |(read, age), (hours, left, right)| {
            (read + hours, age + hours * self.pace.mean_rate(left, right))
        })
    }

    /// How much was read between two moments, hours, and the mean of the air.
    pub(super) fn air_read(&self, from: DateTime<Utc>, until: DateTime<Utc>) -> Option<(f64, Air)> {
        let lines = self.lines_read(from, until);
        let middles = lines.map(|(hours, left, right)| (hours, left.towards(right, 0.5)));
        middles.reduce(|(read, air), (hours, more)| {
            (read + hours, air.towards(more, hours / (read + hours)))
        })
    }

    /// The readings on both sides of each stretch since a moment that was not read, the newest first.
    pub(super) fn gaps_since(&self, since: DateTime<Utc>) -> impl Iterator<Item = (&Knot, &Knot)> {
        let pairs = self.knots.windows(2).rev().map_while(move |pair| match pair {
            [knot, next] if knot.at >= since => Some((knot, next)),
            _ => None,
        });
        pairs.filter(|(knot, _)| matches!(knot.after, After::Unread(_)))
    }
}
