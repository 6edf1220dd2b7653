//! The course of a room's air as one clock counts it: built once for a room and a finish, asked for many lots.

use chrono::{DateTime, TimeDelta, Utc};

use super::forecast::{Assumed, Basis, Why};
use super::rate::{Air, Pace};
use super::{Clock, Conditions, LONGEST_STRAIGHT, LOOK_BACK, Reading};
use crate::units::Celsius;

/// What two ages may differ by and still be the same, hours: far below a second, far above rounding.
const SAME_AGE: f64 = 1e-9;

/// Longest forecast worth naming: a hundred years, in hours.
const FARTHEST: f64 = 876_600.0;

/// Hours from one moment to another, negative if it lies before.
pub(super) fn hours_between(from: DateTime<Utc>, until: DateTime<Utc>) -> f64 {
    hours(until.signed_duration_since(from))
}

/// A length of time in hours.
#[expect(clippy::cast_precision_loss, reason = "milliseconds of 285,000 years are exact in a f64")]
pub(super) fn hours(span: TimeDelta) -> f64 {
    span.num_milliseconds() as f64 / 3_600_000.0
}

/// `moment` and so many whole seconds; `None` beyond the calendar.
#[expect(
    clippy::cast_possible_truncation,
    reason = "the value is whole, and a cast that does not fit saturates and is then refused"
)]
fn seconds_after(moment: DateTime<Utc>, seconds: f64) -> Option<DateTime<Utc>> {
    moment.checked_add_signed(TimeDelta::try_seconds(seconds as i64)?)
}

/// A reading with the age the clock has counted from the first reading up to it.
#[derive(Debug, Clone, Copy)]
struct Knot {
    at: DateTime<Utc>,
    air: Air,
    total: f64,
}

/// What the future is taken to be like.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Future {
    pub(super) rate: f64,
    pub(super) basis: Basis,
}

/// A room's log as one clock counts it for one finish, up to `now` and beyond.
///
/// Between readings up to 3 h apart the air runs in a straight line; a longer gap, the time before the first reading and
/// the time after the last take the careful end. From `now` on the mean rate of the last 7 days is taken, or 1. Built
/// in one pass over the readings; an age is then found by binary search.
#[derive(Debug, Clone)]
pub struct Course {
    pub(super) clock: Clock,
    pub(super) now: DateTime<Utc>,
    pub(super) default_rate: bool,
    pub(super) future: Future,
    pace: Pace,
    knots: Vec<Knot>,
    /// What had to be assumed between the first reading and the last, in order of time.
    inside: Vec<Assumed>,
    /// The age counted up to `now`, on the scale of the knots' totals.
    total_now: f64,
}

impl Course {
    /// Counts the readings up to `now`, in whatever order they come; later ones are left out.
    pub fn new(
        clock: Clock,
        conditions: &Conditions,
        readings: &[Reading],
        now: DateTime<Utc>,
    ) -> Self {
        let pace = Pace::new(clock, conditions);
        let mut knots: Vec<Knot> = readings
            .iter()
            .filter(|reading| reading.at <= now)
            .map(|reading| Knot {
                at: reading.at,
                air: Air {
                    temp: reading.temp.get(),
                    humidity: reading.humidity.map(crate::units::Humidity::get),
                },
                total: 0.0,
            })
            .collect();
        knots.sort_by(|a, b| a.at.cmp(&b.at).then(a.air.temp.total_cmp(&b.air.temp)));
        let mut course = Self {
            clock,
            now,
            default_rate: conditions.law.is_none(),
            future: Future { rate: 1.0, basis: Basis::SheetsOwn },
            pace,
            knots,
            inside: Vec::new(),
            total_now: 0.0,
        };
        course.count();
        course.total_now = course.total(now, 1.0);
        course.future = course.last_days();
        course
    }

    /// Fills in the totals and notes what had to be assumed between readings.
    fn count(&mut self) {
        let mut total = 0.0;
        let mut previous: Option<Knot> = None;
        for knot in &mut self.knots {
            if let Some(before) = previous {
                let gap = is_gap(before.at, knot.at);
                let (start, end) = held(self.clock, before, *knot);
                let rate = self.pace.mean_rate(start, end);
                total += rate * hours_between(before.at, knot.at);
                let unread = self.pace.minds_humidity()
                    && before.air.humidity.or(knot.air.humidity).is_none();
                if gap || unread {
                    let why = if gap { Why::Gap } else { Why::HumidityNotRead };
                    let temp = gap.then_some(start.temp);
                    note(&mut self.inside, Assumed::new(why, before.at, knot.at, temp));
                }
            }
            knot.total = total;
            previous = Some(*knot);
        }
    }

    /// The age from `from` to `until`, in hours of the sheet; 0 if `until` is not after `from`.
    pub fn age(&self, from: DateTime<Utc>, until: DateTime<Utc>) -> f64 {
        if until <= from {
            return 0.0;
        }
        (self.total(until, self.future.rate) - self.total(from, self.future.rate)).max(0.0)
    }

    /// The whole second at which the age since `from` is `needed`: on the *no sooner* clock the first with no less, on
    /// the *no later* clock the last with no more. `None` if it is not within a hundred years.
    pub fn reaches(&self, from: DateTime<Utc>, needed: TimeDelta) -> Option<DateTime<Utc>> {
        self.reaches_at_rate(from, needed, self.future.rate)
    }

    /// [`Course::reaches`] with another rate from `now` on.
    pub(super) fn reaches_at_rate(
        &self,
        from: DateTime<Utc>,
        needed: TimeDelta,
        rate: f64,
    ) -> Option<DateTime<Utc>> {
        let needed = hours(needed).max(0.0);
        let start = self.total(from, rate);
        let so_far = self.total_now.max(start) - start;
        if from < self.now && self.is_past(so_far, needed) {
            return self.within_readings(from, start, needed);
        }
        let seconds = (needed - so_far).max(0.0) / rate * 3600.0;
        if !seconds.is_finite() || seconds > FARTHEST * 3600.0 {
            return None;
        }
        // A thousandth of a second absorbs rounding; it can't move a whole second.
        let whole = match self.clock {
            Clock::NoSooner => (seconds - 1e-3).ceil().max(0.0),
            Clock::NoLater => (seconds + 1e-3).floor(),
        };
        seconds_after(from.max(self.now), whole)
    }

    /// Whether `age` ends the wait: on the *no sooner* clock by reaching what is needed, on the other by going over it.
    fn is_past(&self, age: f64, needed: f64) -> bool {
        match self.clock {
            Clock::NoSooner => age >= needed - SAME_AGE,
            Clock::NoLater => age > needed + SAME_AGE,
        }
    }

    /// The exact second between `from` and `now`, by bisection over whole seconds (the age never falls).
    fn within_readings(
        &self,
        from: DateTime<Utc>,
        start: f64,
        needed: f64,
    ) -> Option<DateTime<Utc>> {
        let (mut not_yet, mut past) =
            (-1_i64, self.now.signed_duration_since(from).num_seconds() + 1);
        while past - not_yet > 1 {
            let middle = not_yet + (past - not_yet) / 2;
            let moment = from.checked_add_signed(TimeDelta::try_seconds(middle)?)?;
            if self.is_past(self.total(moment, self.future.rate) - start, needed) {
                past = middle;
            } else {
                not_yet = middle;
            }
        }
        let seconds = match self.clock {
            Clock::NoSooner => past,
            Clock::NoLater => not_yet.max(0),
        };
        from.checked_add_signed(TimeDelta::try_seconds(seconds)?)
    }

    /// The age on the scale of the totals: 0 at the first reading (at `now` if there is none), negative before.
    fn total(&self, moment: DateTime<Utc>, future: f64) -> f64 {
        if moment > self.now {
            return self.total_now + future * hours_between(self.now, moment);
        }
        let (Some(first), Some(last)) = (self.knots.first(), self.knots.last()) else {
            return hours_between(self.now, moment);
        };
        if moment < first.at {
            return self.pace.rate(first.air) * hours_between(first.at, moment);
        }
        if moment >= last.at {
            return last.total + self.pace.rate(last.air) * hours_between(last.at, moment);
        }
        let after = self.knots.partition_point(|knot| knot.at <= moment);
        match (self.knots.get(after.saturating_sub(1)), self.knots.get(after)) {
            (Some(before), Some(next)) => {
                before.total + self.between(*before, *next, before.at, moment)
            }
            _ => last.total,
        }
    }

    /// The age from `from` to `until`, both between two neighbouring readings.
    fn between(&self, a: Knot, b: Knot, from: DateTime<Utc>, until: DateTime<Utc>) -> f64 {
        let whole = hours_between(a.at, b.at);
        if whole <= 0.0 {
            return 0.0;
        }
        let (start, end) = held(self.clock, a, b);
        let left = start.towards(end, hours_between(a.at, from) / whole);
        let right = start.towards(end, hours_between(a.at, until) / whole);
        self.pace.mean_rate(left, right) * hours_between(from, until)
    }

    /// The mean rate of the last 7 days, weighted by the time that was read. A reading beside a longer gap stands for
    /// an hour and a half of it, at its own rate. The mean of the rate, not the rate of the mean temperature, which in a swinging
    /// room says "ready" too soon.
    fn last_days(&self) -> Future {
        let since = self.look_back();
        let (mut age, mut read) = (0.0, 0.0);
        let mut add = |rate: f64, from: DateTime<Utc>, until: DateTime<Utc>| {
            let hours = hours_between(from.max(since), until.min(self.now)).max(0.0);
            age += rate * hours;
            read += hours;
        };
        let first = self.knots.partition_point(|knot| knot.at < since);
        let recent = self.knots.get(first.saturating_sub(1)..).unwrap_or_default();
        for (a, b) in recent.iter().zip(recent.iter().skip(1)) {
            if is_gap(a.at, b.at) {
                add(self.pace.rate(a.air), a.at, later(a.at, LONGEST_STRAIGHT / 2));
                add(self.pace.rate(b.air), later(b.at, -LONGEST_STRAIGHT / 2), b.at);
            } else {
                let from = a.at.max(since);
                let hours = hours_between(from, b.at);
                let rate = if hours > 0.0 { self.between(*a, *b, from, b.at) / hours } else { 0.0 };
                add(rate, from, b.at);
            }
        }
        if let (Some(first), Some(last)) = (self.knots.first(), self.knots.last()) {
            add(self.pace.rate(first.air), later(first.at, -LONGEST_STRAIGHT / 2), first.at);
            add(self.pace.rate(last.air), last.at, later(last.at, LONGEST_STRAIGHT / 2));
        }
        if read > 0.0 {
            Future { rate: age / read, basis: Basis::LastDays { hours_read: read } }
        } else {
            Future { rate: 1.0, basis: Basis::SheetsOwn }
        }
    }

    pub(super) fn has_no_readings(&self) -> bool {
        self.knots.is_empty()
    }

    fn look_back(&self) -> DateTime<Utc> {
        self.now.checked_sub_signed(LOOK_BACK).unwrap_or(DateTime::<Utc>::MIN_UTC)
    }

    /// The coldest and the warmest reading of the last 7 days, with the rate in a room that stays so.
    pub(super) fn extremes(&self) -> Option<[(Celsius, f64); 2]> {
        let since = self.look_back();
        let first = self.knots.partition_point(|knot| knot.at < since);
        let temps = self.knots.get(first..)?.iter().map(|knot| knot.air.temp);
        let stays = |temp: f64| {
            let rate = self.pace.rate(Air { temp, humidity: None });
            Celsius::new(temp).ok().map(|temp| (temp, rate))
        };
        let coldest = stays(temps.clone().min_by(f64::total_cmp)?)?;
        let warmest = stays(temps.max_by(f64::total_cmp)?)?;
        Some([coldest, warmest])
    }

    /// What had to be assumed from `from` to `until` (no later than `now`): stretches without readings, in order of time.
    pub fn assumed(&self, from: DateTime<Utc>, until: DateTime<Utc>) -> Vec<Assumed> {
        let until = until.min(self.now);
        let (Some(first), Some(last)) = (self.knots.first(), self.knots.last()) else {
            return Assumed::new(Why::NoReadings, from, until, None)
                .clip(from, until)
                .into_iter()
                .collect();
        };
        let before = Assumed::new(Why::BeforeFirst, from, first.at, Some(first.air.temp));
        let after = Assumed::new(Why::AfterLast, last.at, until, Some(last.air.temp));
        let skipped = self.inside.partition_point(|stretch| stretch.until <= from);
        let inside = self.inside.iter().skip(skipped).take_while(|stretch| stretch.from < until);
        std::iter::once(&before)
            .chain(inside)
            .chain(std::iter::once(&after))
            .filter_map(|stretch| stretch.clip(from, until))
            .collect()
    }
}

/// A moment so much later, or the same at the calendar's end.
fn later(moment: DateTime<Utc>, by: TimeDelta) -> DateTime<Utc> {
    moment.checked_add_signed(by).unwrap_or(moment)
}

/// Whether two readings are too far apart for a straight line.
fn is_gap(a: DateTime<Utc>, b: DateTime<Utc>) -> bool {
    b.signed_duration_since(a) > LONGEST_STRAIGHT
}

/// The air at the ends of the stretch between two readings: as read, or the careful end of the two all through a gap.
fn held(clock: Clock, a: Knot, b: Knot) -> (Air, Air) {
    if is_gap(a.at, b.at) {
        let careful = a.air.careful(b.air, clock);
        (careful, careful)
    } else {
        (a.air, b.air)
    }
}

/// Adds a stretch, or lengthens the last one if it goes on for the same reason.
fn note(notes: &mut Vec<Assumed>, stretch: Assumed) {
    match notes.last_mut() {
        Some(before)
            if stretch.why == Why::HumidityNotRead
                && before.why == stretch.why
                && before.until == stretch.from =>
        {
            *before = Assumed::new(before.why, before.from, stretch.until, None);
        }
        _ => notes.push(stretch),
    }
}
