//! What an hour that nobody read counts as: the slowest that hour of the day was in the two weeks before.

use chrono::{DateTime, NaiveDate, TimeDelta, Timelike as _, Utc};

use super::Clock;
use super::course::{Course, Knot, after, hours_between};
use super::rate::Air;
use crate::time::local::wall;
use crate::time::{OpenHours, Zone};

/// How far back the hours are looked at: two weeks (tried against 7 and 28 days on simulated rooms).
pub const LOOK_BACK: TimeDelta = TimeDelta::days(14);

/// How long after the last reading the slowest of them counts; their mean from then on. Tried likewise: a slowest hour that
/// counts for ever gives dates without end.
pub const NEAR: TimeDelta = TimeDelta::days(10);

/// An hour counts as read where at least so much of it was, hours.
pub(super) const ENOUGH_READ: f64 = 0.5;

/// Seconds of a quarter of an hour: every zone's clock changes at one.
const QUARTER: i64 = 900;

/// An hour of the local day, open and closed days apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Kind {
    closed: bool,
    hour: usize,
}

impl Kind {
    /// Its place in a table of 48.
    pub(super) const fn place(self) -> usize {
        self.hour + if self.closed { 24 } else { 0 }
    }

    /// What a table says of it.
    pub(super) fn of(self, rates: &Rates) -> f64 {
        rates.get(self.place()).copied().unwrap_or_default()
    }
}

/// A stretch within one clock hour.
#[derive(Debug, Clone, Copy)]
pub(super) struct Hour {
    pub(super) kind: Kind,
    pub(super) date: NaiveDate,
    pub(super) begins: DateTime<Utc>,
    /// Always after the moment it was asked for.
    pub(super) ends: DateTime<Utc>,
}

/// The shop's days: the clock on its wall, and when it is closed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Days {
    pub zone: Zone,
    pub hours: OpenHours,
}

impl Days {
    /// The clock hour a moment lies in.
    fn hour_of(&self, at: DateTime<Utc>) -> Hour {
        let local = wall(at, self.zone);
        let closed = self.hours.is_closed_day(local.date());
        let kind = Kind { closed, hour: local.hour() as usize };
        let into = i64::from(local.minute() * 60 + local.second());
        let whole = after(at, TimeDelta::seconds(3600 - into));
        let last = after(whole, TimeDelta::seconds(-1));
        let changes = wall(last, self.zone) - local != last - at;
        let quarter = TimeDelta::seconds(QUARTER - into.rem_euclid(QUARTER));
        let ends = if changes { after(at, quarter) } else { whole };
        Hour { kind, date: local.date(), begins: after(at, TimeDelta::seconds(-into)), ends }
    }

    /// The first beginning of a clock hour that is not before a moment.
    pub(super) fn next_hour(&self, at: DateTime<Utc>) -> DateTime<Utc> {
        let hour = self.hour_of(at);
        if hour.begins == at { at } else { hour.ends }
    }

    /// The hours from one moment to another, cut to them, in order.
    pub(super) fn hours(
        &self,
        from: DateTime<Utc>,
        until: DateTime<Utc>,
    ) -> impl Iterator<Item = Hour> {
        let mut at = from;
        std::iter::from_fn(move || {
            let begins = at;
            (begins < until).then(|| {
                let hour = self.hour_of(begins);
                at = hour.ends;
                Hour { begins, ends: hour.ends.min(until), ..hour }
            })
        })
    }

    /// The date that begins at a moment, where it has 24 hours.
    fn whole_day(&self, at: DateTime<Utc>) -> Option<(NaiveDate, DateTime<Utc>)> {
        let local = wall(at, self.zone);
        let end = after(at, TimeDelta::days(1));
        let whole =
            local.num_seconds_from_midnight() == 0 && wall(end, self.zone) - local == end - at;
        whole.then_some((local.date(), end))
    }
}

/// One clock hour that was read.
#[derive(Debug, Clone, Copy)]
pub(super) struct HourRead {
    kind: Kind,
    pub(super) begins: DateTime<Utc>,
    rate: f64,
}

/// The clock hours of a log that were read, in order. `read` gives the hours read between two moments and their age.
pub(super) fn hours_read(
    days: &Days,
    from: DateTime<Utc>,
    until: DateTime<Utc>,
    read: impl Fn(DateTime<Utc>, DateTime<Utc>) -> (f64, f64),
) -> Vec<HourRead> {
    let hour = |Hour { kind, begins, ends, .. }| {
        let (hours, age) = read(begins, ends);
        (hours >= ENOUGH_READ).then(|| HourRead { kind, begins, rate: age / hours })
    };
    days.hours(from, until).filter_map(hour).collect()
}

/// A rate for each kind of hour.
pub(super) type Rates = [f64; 48];

/// What an hour of a kind that nobody read counts as.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rest {
    pub(super) careful: f64,
    pub(super) mean: f64,
}

/// What each hour counts as after a last reading.
#[derive(Debug, Clone)]
pub(super) struct HourTable {
    /// That reading.
    pub(super) last: DateTime<Utc>,
    /// From when on the hours were read.
    pub(super) since: DateTime<Utc>,
    /// For each kind of hour the careful end.
    careful: Rates,
    /// For each kind of hour the mean.
    pub(super) means: Rates,
    /// Which of them were read.
    read: [bool; 48],
}

impl HourTable {
    /// The table after a reading at `last`, from the hours read in the two weeks before it; `rest` is for an hour of a kind
    /// that none of them is.
    pub(super) fn new(
        clock: Clock,
        last: DateTime<Utc>,
        hours: impl Iterator<Item = HourRead>,
        rest: Rest,
    ) -> Self {
        let mut counts = [0.0; 48];
        let (mut careful, mut means) = ([rest.careful; 48], [rest.mean; 48]);
        let mut since = last;
        for HourRead { kind, begins, rate } in hours {
            let place = kind.place();
            let (Some(count), Some(careful), Some(mean)) =
                (counts.get_mut(place), careful.get_mut(place), means.get_mut(place))
            else {
                continue;
            };
            *careful = if *count == 0.0 { rate } else { clock.careful(*careful, rate) };
            *mean = (*mean * *count + rate) / (*count + 1.0);
            *count += 1.0;
            since = since.min(begins);
        }
        Self { last, since, careful, means, read: counts.map(|count| count > 0.0) }
    }

    /// A table still to be made.
    pub(super) const fn empty(last: DateTime<Utc>) -> Self {
        Self { last, since: last, careful: [1.0; 48], means: [1.0; 48], read: [false; 48] }
    }

    fn rate(&self, course: &Course, hour: Hour) -> f64 {
        // A clock hour is one or the other: the one under way ten days on is careful to its end.
        let near = hour.begins < after(self.last, NEAR);
        let rates = if near { &self.careful } else { course.means(self, hour.date) };
        hour.kind.of(rates)
    }

    /// The age gathered from one moment to another, or until `enough` says that it has gone past what is wanted: then the
    /// beginning and the rate of the hour in which it does.
    pub(super) fn run(
        &self,
        course: &Course,
        from: DateTime<Utc>,
        until: DateTime<Utc>,
        enough: impl Fn(f64) -> bool,
    ) -> Run {
        let mut at = from;
        let mut age = 0.0;
        while at < until {
            if let Some((end, gathered)) = self.whole_day(course, at)
                && end <= until
                && !enough(age + gathered)
            {
                (at, age) = (end, age + gathered);
                continue;
            }
            let hour = course.days.hour_of(at);
            let (end, rate) = (hour.ends.min(until), self.rate(course, hour));
            let gathered = rate * hours_between(at, end);
            if enough(age + gathered) {
                return Run { age, past: Some((at, rate)) };
            }
            (at, age) = (end, age + gathered);
        }
        Run { age, past: None }
    }

    /// The rate of each clock hour from one moment to another, days at a time: a plan asks for a year of them.
    pub(super) fn rates(
        &self,
        course: &Course,
        from: DateTime<Utc>,
        until: DateTime<Utc>,
    ) -> Vec<(DateTime<Utc>, f64)> {
        let (mut at, mut rates) = (from, Vec::new());
        while at < until {
            let whole = self.far_day(course, at).filter(|(end, _)| *end <= until);
            if let Some((end, means)) = whole {
                let hour = |(hour, mean): (i64, &f64)| (after(at, TimeDelta::hours(hour)), *mean);
                rates.extend((0..).zip(means).map(hour));
                at = end;
            } else {
                let hour = course.days.hour_of(at);
                rates.push((at, self.rate(course, hour)));
                at = hour.ends;
            }
        }
        rates
    }

    /// A whole day further off than the slowest hours count, and what it adds.
    fn whole_day(&self, course: &Course, at: DateTime<Utc>) -> Option<(DateTime<Utc>, f64)> {
        self.far_day(course, at).map(|(end, means)| (end, means.iter().sum()))
    }

    /// The mean rates of the 24 hours of such a day, and its end.
    fn far_day<'a>(
        &'a self,
        course: &'a Course,
        at: DateTime<Utc>,
    ) -> Option<(DateTime<Utc>, &'a [f64])> {
        if at < after(self.last, NEAR) {
            return None;
        }
        let (date, end) = course.days.whole_day(at)?;
        let closed = if course.days.hours.is_closed_day(date) { 24 } else { 0 };
        Some((end, course.means(self, date).get(closed..closed + 24)?))
    }

    /// Whether an hour of a kind that was not read lies between two moments.
    pub(super) fn has_strange_hours(
        &self,
        days: &Days,
        from: DateTime<Utc>,
        until: DateTime<Utc>,
    ) -> bool {
        let read = |hour: Hour| self.read.get(hour.kind.place()).copied().unwrap_or(true);
        // A week holds every kind of hour that a longer stretch does, but for those of holidays.
        let until = until.min(after(from, TimeDelta::days(7)));
        self.read.contains(&false) && days.hours(from, until).any(|hour| !read(hour))
    }
}

impl Course {
    pub(super) fn table(&self, place: usize, last: DateTime<Utc>, hours: &[HourRead]) -> HourTable {
        let since = after(last, -LOOK_BACK);
        // The hour in which the two weeks begin counts as far as it lies in them.
        let whole_from = self.days.next_hour(since);
        let begun = hours_read(&self.days, since, whole_from, |from, until| self.read(from, until));
        let first = hours.partition_point(|hour| hour.begins < whole_from);
        let end = hours.partition_point(|hour| hour.begins < last);
        let whole = hours.get(first..end).unwrap_or_default();
        let of_two_weeks = begun.into_iter().chain(whole.iter().copied());
        HourTable::new(self.pace.clock, last, of_two_weeks, self.rest(place, since))
    }

    /// What an hour of a kind not read in the two weeks counts as: the careful one of the readings around the gap, after
    /// the last of all those of two weeks; and as what the room says of such hours. In the mean it counts as what was not read
    /// in the two weeks did: a room read by hand would else stay at its coldest for all time to come.
    fn rest(&self, place: usize, since: DateTime<Utc>) -> Rest {
        let strange = self.strange_temp(place, since).map(|temp| Air { temp, humidity: None });
        let careful = |air: &mut dyn Iterator<Item = Air>| {
            let rates = air.chain(strange).map(|air| self.pace.rate(air));
            rates.reduce(|a, b| self.pace.clock.careful(a, b)).unwrap_or(1.0)
        };
        if let Some(around) = self.knots.get(place..place + 2) {
            let rate = careful(&mut around.iter().map(|knot| knot.air));
            return Rest { careful: rate, mean: rate };
        }
        let coldest = careful(&mut self.since(place, since).map(|knot| knot.air));
        let counted = self.gaps_since(since).map(|(knot, next)| {
            let hours = hours_between(knot.at, next.at);
            (hours, hours * careful(&mut [knot.air, next.air].into_iter()))
        });
        let (hours, age) = counted.fold((0.0, 0.0), |(h, a), (hours, age)| (h + hours, a + age));
        Rest { careful: coldest, mean: if hours > 0.0 { age / hours } else { coldest } }
    }

    /// The readings from that one back to a moment.
    fn since(&self, place: usize, since: DateTime<Utc>) -> impl Iterator<Item = &Knot> {
        self.knots.iter().take(place + 1).rev().take_while(move |knot| knot.at >= since)
    }

    /// What the room says of hours of a kind that nobody reads, °C, by the coldest of the readings since a moment.
    pub(super) fn strange_temp(&self, place: usize, since: DateTime<Utc>) -> Option<f64> {
        self.strange.temp(self.since(place, since).map(|knot| knot.air.temp))
    }
}

/// How far [`HourTable::run`] came.
#[derive(Debug, Clone, Copy)]
pub(super) struct Run {
    /// The age gathered up to the end, or up to the hour in which it goes past.
    pub(super) age: f64,
    /// That hour's beginning and rate.
    pub(super) past: Option<(DateTime<Utc>, f64)>,
}
