//! The air of the weeks before the last reading, brought to the season of that day: what weeks to come are expected by.

use chrono::{DateTime, TimeDelta, Utc};

use super::course::{Course, after, hours_between};
use super::hours::{ENOUGH_READ, Kind, LOOK_BACK, Rates};
use super::rate::{Air, Pace};
use crate::time::local_date;

/// How far back the air is looked at where a season is known: eight weeks (tried against 2, 4, 6 and 12 on simulated rooms: the
/// weather of two weeks is gone within days, and of more than eight the heating has changed).
pub(crate) const SEASONED: TimeDelta = TimeDelta::days(56);

/// An hour that was read, or a stretch that was not, with the careful end of the readings around it.
#[derive(Debug, Clone, Copy)]
struct Sample {
    /// None where it was not read.
    kind: Option<Kind>,
    begins: DateTime<Utc>,
    hours: f64,
    air: Air,
}

/// The air of the weeks before the last reading, as it would have been about the day of that reading.
#[derive(Debug, Clone)]
pub(super) struct Lately {
    /// Degrees by which that day is expected to lie above the year's mean.
    pub(super) above: f64,
    samples: Vec<Sample>,
    /// What the room says of hours that nobody reads, °C.
    strange: Option<f64>,
    /// The careful end of all that was read.
    careful: Air,
}

/// A mean in the making.
#[derive(Clone, Copy, Default)]
struct Mean {
    hours: f64,
    sum: f64,
}

impl Mean {
    fn add(&mut self, hours: f64, value: f64) {
        self.hours += hours;
        self.sum += hours * value;
    }

    fn get(self) -> Option<f64> {
        (self.hours > 0.0).then(|| self.sum / self.hours)
    }
}

impl Lately {
    pub(super) fn of(course: &Course) -> Self {
        let clock = course.pace.clock;
        let none = Air { temp: 0.0, humidity: None };
        let last = course.knots.last().map_or(DateTime::UNIX_EPOCH, |knot| knot.at);
        let back = if course.follows() { SEASONED } else { LOOK_BACK };
        let first = course.knots.first().map_or(last, |knot| knot.at);
        let since = after(last, -back).max(first);
        let date = |at| local_date(at, course.days.zone);
        let above = course.season.above(date(last));
        let brought = |air: Air, date| air.warmer_by(above - course.season.above(date));
        let read = course.days.hours(since, last).filter_map(|hour| {
            let (hours, air) = course.air_read(hour.begins, hour.ends)?;
            let air = brought(air, hour.date);
            let sample = Sample { kind: Some(hour.kind), begins: hour.begins, hours, air };
            (hours >= ENOUGH_READ).then_some(sample)
        });
        let gaps = course.gaps_since(since).map(|(knot, next)| {
            let air = brought(knot.air.careful(next.air, clock), date(knot.at));
            let hours = hours_between(knot.at, next.at);
            Sample { kind: None, begins: knot.at, hours, air }
        });
        let samples = read.chain(gaps).collect();
        let knots = course.knots.iter().filter(|knot| knot.at >= since);
        let airs: Vec<Air> = knots.map(|knot| brought(knot.air, date(knot.at))).collect();
        let strange = course.strange.temp(airs.iter().map(|air| air.temp));
        let careful = airs.into_iter().reduce(|a, b| a.careful(b, clock)).unwrap_or(none);
        Self { above, samples, strange, careful }
    }

    /// The mean rate of each kind of hour if all that air were so many degrees warmer; of one that was not read that of the
    /// stretches that were not.
    pub(super) fn rates(&self, pace: &Pace, warmer: f64) -> Rates {
        let rate = |air: Air| pace.rate(air.warmer_by(warmer));
        let unread = |air: Air| {
            let strange = self.strange.map(|temp| rate(Air { temp, humidity: None }));
            strange.map_or(rate(air), |strange| pace.clock.careful(strange, rate(air)))
        };
        let (mut read, mut gaps) = ([Mean::default(); 48], Mean::default());
        for Sample { kind, hours, air, .. } in &self.samples {
            match kind.and_then(|kind| read.get_mut(kind.place())) {
                Some(mean) => mean.add(*hours, rate(*air)),
                None => gaps.add(*hours, unread(*air)),
            }
        }
        let rest = gaps.get().unwrap_or_else(|| unread(self.careful));
        read.map(|mean| mean.get().unwrap_or(rest))
    }

    /// By how many degrees the air between two moments lay above the mean of such hours.
    pub(super) fn off(&self, from: DateTime<Utc>, until: DateTime<Utc>) -> Option<f64> {
        let place = |sample: &Sample| sample.kind.map_or(48, Kind::place);
        let mut means = [Mean::default(); 49];
        for sample in &self.samples {
            if let Some(mean) = means.get_mut(place(sample)) {
                mean.add(sample.hours, sample.air.temp);
            }
        }
        let mut off = Mean::default();
        for sample in self.samples.iter().filter(|s| from <= s.begins && s.begins < until) {
            if let Some(mean) = means.get(place(sample)).and_then(|mean| mean.get()) {
                off.add(sample.hours, sample.air.temp - mean);
            }
        }
        off.get()
    }
}
