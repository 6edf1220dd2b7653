//! How much of a sheet's time has passed for a lot, by the rooms it stood in: the two clocks of `craft::cure`, put to
//! a lot's own course.

use chrono::TimeDelta;

use crate::craft::cure::{
    Assumed, Basis, Clock, Conditions, Course, Factor, Law, Outlook, Why, fit,
};
use crate::shop::Shop;
use crate::shop::climate::Stay;
use crate::shop::lot::Lot;
use crate::shop::setup::Finish;
use crate::time::{Instant, Span};

/// When so much of a sheet's time has passed for a lot, and what that rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct Reckoning {
    /// The moment; `None` where the room as it is never lets it come.
    pub at: Option<Instant>,
    /// The age at the moment of asking, hours of the sheet.
    pub age_hours: f64,
    /// The age that is needed, hours of the sheet.
    pub needs_hours: f64,
    pub assumed: Vec<Assumed>,
    /// Hours of the sheet that an hour counts for from now on.
    pub future_rate: f64,
    /// What that rate rests on.
    pub basis: Basis,
    /// If the room stays as the coldest of its last 7 days.
    pub if_coldest: Option<Outlook>,
    /// If the room stays as the warmest.
    pub if_warmest: Option<Outlook>,
}

/// A room that a lot stood in, and how much its log tells of that time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RoomUsed {
    /// The room; none where it stood on no rack and never had.
    pub room: Option<String>,
    pub from: Instant,
    /// Until when; none is still.
    pub until: Option<Instant>,
    /// Readings taken while it stood there.
    pub readings: usize,
    pub first: Option<Instant>,
    pub last: Option<Instant>,
}

/// How far a reckoned moment rests on readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ground {
    /// On readings throughout, as far as there is time behind it.
    Readings,
    /// In part on what had to be assumed.
    PartAssumed,
    /// On the sheet's own interval: no readings, or no temperature on the sheet.
    Sheet,
}

impl Reckoning {
    /// How far it rests on readings.
    pub fn ground(&self) -> Ground {
        let sheet = |assumed: &Assumed| assumed.why == Why::NoReadings;
        if self.assumed.iter().any(sheet) {
            return Ground::Sheet;
        }
        // The default rate is marked beside every age; it is no gap in what was read.
        if self.assumed.iter().any(|assumed| assumed.why != Why::DefaultRate) {
            return Ground::PartAssumed;
        }
        Ground::Readings
    }
}

impl Shop {
    /// What the shop's own touch tests say of a finish's cure time.
    pub fn factor(&self, finish: &str) -> Factor {
        self.tests.get(finish).map_or(Factor::SHEET, |tests| fit(tests))
    }

    /// The rooms a lot stood in since `since`, with the readings up to `now` that tell of it there.
    pub fn rooms_used(&self, lot: &Lot, since: Instant, now: Instant) -> Vec<RoomUsed> {
        let used = |stay: &Stay| {
            let end = stay.until.unwrap_or(now).min(now);
            let log = stay.room.as_ref().and_then(|room| self.climate.get(room));
            let mut inside = log
                .into_iter()
                .flatten()
                .map(|reading| reading.at)
                .filter(|at| (stay.from..=end).contains(at));
            RoomUsed {
                room: stay.room.clone(),
                from: stay.from,
                until: stay.until,
                readings: inside.clone().count(),
                first: inside.clone().next(),
                last: inside.next_back(),
            }
        };
        self.stays(lot, since).iter().map(used).collect()
    }

    /// When a finish's `time`, counted on a clock from `from`, has passed for a lot, as it looks at `now`.
    pub fn reckon(
        &self,
        clock: Clock,
        time: Span,
        finish: &Finish,
        lot: &Lot,
        from: Instant,
        now: Instant,
    ) -> Reckoning {
        let Some(conditions) = conditions(finish) else { return by_the_sheet(time, from, now) };
        let stays = self.stays(lot, from);
        let rooms: Vec<(Course, &Stay)> = stays
            .iter()
            .map(|stay| {
                let readings = self.readings(stay.room.as_deref());
                (Course::new(clock, &conditions, &readings, now), stay)
            })
            .collect();
        course_of(&rooms, time.as_delta(), now).unwrap_or_else(|| by_the_sheet(time, from, now))
    }

    /// How long a finish's `time` takes on a clock in a room from now on, as the room is expected to be; `None` where it
    /// never passes.
    pub fn ahead(
        &self,
        clock: Clock,
        time: Span,
        finish: &Finish,
        room: &str,
        now: Instant,
    ) -> Option<Span> {
        let Some(conditions) = conditions(finish) else { return Some(time) };
        let course = Course::new(clock, &conditions, &self.readings(Some(room)), now);
        course.reaches(now, time.as_delta()).map(|end| Span::between(now, end))
    }

    /// The share of the sheet's cure time a lot has behind it at `at`; `None` before its last coat.
    pub fn cure_share(&self, lot: &Lot, at: Instant) -> Option<(String, f64)> {
        if !lot.coats_done() {
            return None;
        }
        let coat = lot.last_coat()?;
        let finish = self.setup.as_ref()?.finish(&coat.coat.as_ref()?.finish)?;
        let age = self.reckon(Clock::NoSooner, finish.cure, finish, lot, coat.ended, at).age_hours;
        let share = age / finish.cure.as_hours();
        share.is_finite().then(|| (finish.name.clone(), share))
    }
}

/// What the sheet's times are given for; `None` where it names no temperature, so that no room can be held against it.
fn conditions(finish: &Finish) -> Option<Conditions> {
    let law = finish.q10.map(Law::Q10);
    Some(Conditions {
        at: finish.sheet_temp?,
        lowest: finish.min_temp,
        dampest: finish.max_humidity,
        law,
    })
}

/// Runs through the rooms in turn; each takes its share of the age.
fn course_of(rooms: &[(Course, &Stay)], needed: TimeDelta, now: Instant) -> Option<Reckoning> {
    let (last, earlier) = rooms.split_last()?;
    let mut left = needed;
    let mut age_hours = 0.0;
    let mut assumed = Vec::new();
    let mut reached = None;
    for (course, stay) in earlier {
        let until = stay.until.unwrap_or(now);
        if reached.is_none() {
            let passed = course.age(stay.from, until);
            let at = course.reaches(stay.from, left).filter(|at| *at <= until);
            assumed.extend(course.assumed(stay.from, until.min(now)));
            reached = at;
            left -= of_hours(passed);
        }
        age_hours += course.age(stay.from, until.min(now));
    }
    let (course, stay) = last;
    let forecast = course.forecast(stay.from, left.max(TimeDelta::zero()));
    age_hours += forecast.age_hours;
    if reached.is_none() {
        assumed.extend(forecast.assumed);
    }
    Some(Reckoning {
        at: reached.or(forecast.at),
        age_hours,
        needs_hours: needed.as_seconds_f64() / 3600.0,
        assumed,
        future_rate: forecast.future_rate,
        basis: forecast.basis,
        if_coldest: forecast.if_coldest,
        if_warmest: forecast.if_warmest,
    })
}

/// Down to the millisecond, so that what is left is never too little.
#[expect(clippy::cast_possible_truncation, reason = "a cast that does not fit saturates")]
fn of_hours(hours: f64) -> TimeDelta {
    TimeDelta::try_milliseconds((hours * 3_600_000.0).floor() as i64).unwrap_or(TimeDelta::MAX)
}

/// The sheet's own interval, for want of a temperature on the sheet.
fn by_the_sheet(time: Span, from: Instant, now: Instant) -> Reckoning {
    let at = time.after(from);
    let hours = Span::between(from, at).as_hours();
    Reckoning {
        at: Some(at),
        age_hours: if now > from { Span::between(from, now).as_hours() } else { 0.0 },
        needs_hours: hours,
        assumed: vec![Assumed { why: Why::NoReadings, from, until: at, hours, temp: None }],
        future_rate: 1.0,
        basis: Basis::SheetsOwn,
        if_coldest: None,
        if_warmest: None,
    }
}
