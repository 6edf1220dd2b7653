//! How much of a sheet's time has passed for a lot, by the rooms it stood in: the two clocks of `craft::cure`, put to
//! a lot's own course.

use std::sync::Arc;

use chrono::TimeDelta;
use schemars::JsonSchema;
use serde::Serialize;

use crate::craft::cure::{Assumed, Clock, Conditions, Course, Factor, Why, fit};
use crate::shop::climate::Stay;
use crate::shop::setup::Finish;
use crate::shop::{Lot, Shop};
use crate::time::{Instant, Span, Stamp, Viewpoint};

/// When so much of a sheet's time has passed for a lot, and what that rests on.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Reckoning {
    /// The moment; `None` where the room as it is never lets it come.
    pub(crate) at: Option<Instant>,
    /// The age at the moment of asking, hours of the sheet.
    pub(crate) age_hours: f64,
    /// The age that is needed, hours of the sheet.
    pub(crate) needs_hours: f64,
    pub(crate) assumed: Vec<Assumed>,
}

/// A room the lot stood in.
#[derive(Debug, Clone, JsonSchema, Serialize)]
#[schemars(rename = "RoomShown")]
pub(crate) struct RoomUsed {
    /// The room; null where it stood on no rack.
    pub(crate) room: Option<String>,
    pub(crate) from: Stamp,
    /// Until when; null is still.
    pub(crate) until: Option<Stamp>,
    /// How many readings of it were used.
    pub(crate) readings: usize,
    pub(crate) first: Option<Stamp>,
    pub(crate) last: Option<Stamp>,
}

/// How far a reckoned moment rests on readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Ground {
    /// On readings throughout, as far as there is time behind it.
    Readings,
    /// In part on what had to be assumed.
    #[serde(rename = "part assumed")]
    PartAssumed,
    /// On the sheet's own interval: no readings, or no temperature on the sheet.
    Sheet,
}

impl Reckoning {
    /// How far it rests on readings.
    pub(crate) fn ground(&self) -> Ground {
        let sheet = |assumed: &Assumed| assumed.why == Why::NoReadings;
        if self.assumed.iter().any(sheet) {
            return Ground::Sheet;
        }
        // The default rate is marked beside every age; it isn't a gap in what was read.
        if self.assumed.iter().any(|assumed| assumed.why != Why::DefaultRate) {
            return Ground::PartAssumed;
        }
        Ground::Readings
    }
}

impl Shop {
    /// What the shop's own touch tests say of a finish's cure time.
    pub(crate) fn factor(&self, finish: &str) -> Factor {
        self.tests.get(finish).map_or(Factor::SHEET, |tests| fit(tests))
    }

    /// The rooms a lot stood in since `since`, with the readings up to `now` that tell of it there.
    pub(crate) fn rooms_used(&self, lot: &Lot, since: Instant, view: Viewpoint) -> Vec<RoomUsed> {
        let used = |stay: &Stay| {
            let end = stay.until.unwrap_or(view.now).min(view.now);
            let log = stay.room.as_ref().and_then(|room| self.climate.get(room));
            let mut inside = log
                .into_iter()
                .flat_map(|log| log.iter())
                .map(|reading| reading.at)
                .filter(|at| (stay.from..=end).contains(at));
            RoomUsed {
                room: stay.room.clone(),
                from: view.stamp(stay.from),
                until: stay.until.map(|at| view.stamp(at)),
                readings: inside.clone().count(),
                first: inside.clone().next().map(|at| view.stamp(at)),
                last: inside.next_back().map(|at| view.stamp(at)),
            }
        };
        self.stays(lot, since).iter().map(used).collect()
    }

    /// When a finish's `time`, counted on a clock from `from`, has passed for a lot, as it looks at `now`.
    pub(crate) fn reckon(
        &self,
        clock: Clock,
        time: Span,
        finish: &Finish,
        lot: &Lot,
        from: Instant,
        now: Instant,
    ) -> Reckoning {
        self.reckon_along(clock, time, finish, &self.stays(lot, from), now)
    }

    /// The same for pieces that stood, and will stand, in those rooms; the first of them from the end of the coat on.
    fn reckon_along(
        &self,
        clock: Clock,
        time: Span,
        finish: &Finish,
        stays: &[Stay],
        now: Instant,
    ) -> Reckoning {
        let from = stays.first().map_or(now, |stay| stay.from);
        let Some(sheet) = conditions(finish) else { return by_the_sheet(time, from, now) };
        let mut left = time.as_delta();
        let mut reckoning = Reckoning {
            at: None,
            age_hours: 0.0,
            needs_hours: left.as_seconds_f64() / 3600.0,
            assumed: Vec::new(),
        };
        for stay in stays {
            let course = self.course(clock, &sheet, stay.room.as_deref());
            let end = stay.until.unwrap_or(Instant::MAX_UTC);
            reckoning.age_hours += course.age(stay.from, end.min(now));
            if reckoning.at.is_some() {
                continue;
            }
            reckoning.at = course.reaches(stay.from, left).filter(|at| *at <= end);
            let known = reckoning.at.unwrap_or(end);
            let known = if course.has_no_readings() { known } else { known.min(now) };
            reckoning.assumed.extend(course.assumed(stay.from, known));
            if let Some(until) = stay.until {
                left -= of_hours(course.age(stay.from, until));
            }
        }
        if finish.q10.is_none() && self.stands_read(stays) {
            let until = reckoning.at.map_or(now, |at| at.min(now)).max(from);
            reckoning.assumed.push(Assumed::new(Why::DefaultRate, from, until));
        }
        reckoning
    }

    /// Whether any of the rooms has a log.
    fn stands_read(&self, stays: &[Stay]) -> bool {
        let mut rooms = stays.iter().filter_map(|stay| stay.room.as_ref());
        rooms.any(|room| self.climate.get(room).is_some_and(|log| !log.is_empty()))
    }

    /// How a lot's cure would stand if it were carried into another room now.
    pub(crate) fn cure_elsewhere(&self, lot: &Lot, room: &str, now: Instant) -> Option<Reckoning> {
        let (coat, finish) = self.last_coat(lot).filter(|_| lot.coats_done())?;
        let mut stays = self.stays(lot, coat.ended);
        if let Some(stay) = stays.last_mut() {
            stay.until = Some(now.max(stay.from));
        }
        stays.push(Stay { room: Some(room.to_owned()), from: now.max(coat.ended), until: None });
        let needed = self.cure_time(finish);
        Some(self.reckon_along(Clock::NoSooner, needed, finish, &stays, now))
    }

    /// The sheet's cure time, made longer by as much as the shop's own touch tests ask for.
    pub(crate) fn cure_time(&self, finish: &Finish) -> Span {
        let needed = self.factor(&finish.name).needed(finish.cure.as_delta());
        Span::seconds(needed.num_seconds())
    }

    /// How a finish's time passes on a clock in a room; `None` where it passes as on the sheet whatever the room.
    pub(crate) fn course_in(
        &self,
        clock: Clock,
        finish: &Finish,
        room: &str,
    ) -> Option<Arc<Course>> {
        conditions(finish).map(|sheet| self.course(clock, &sheet, Some(room)))
    }

    /// How long a finish's `time` takes on a clock in a room from a moment on; `None` where it never passes within a year.
    pub(crate) fn ahead(
        &self,
        clock: Clock,
        time: Span,
        finish: &Finish,
        room: &str,
        from: Instant,
    ) -> Option<Span> {
        let Some(sheet) = conditions(finish) else { return Some(time) };
        let end = self.course(clock, &sheet, Some(room)).reaches(from, time.as_delta());
        end.map(|end| Span::between(from, end))
    }

    /// The share of the sheet's cure time a lot has behind it at `at`, where a touch test then tells of its finish: after its last
    /// coat, and not where nobody reads its room while others are read. What still grabs there may do so for the cold.
    pub fn cure_share(&self, lot: &Lot, at: Instant) -> Option<(String, f64)> {
        let (coat, finish) = self.last_coat(lot).filter(|_| lot.coats_done())?;
        let cure = self.reckon(Clock::NoSooner, finish.cure, finish, lot, coat.ended, at);
        let by_room = conditions(finish).is_some() && !self.climate.is_empty();
        if by_room && cure.ground() == Ground::Sheet {
            return None;
        }
        let share = cure.age_hours / finish.cure.as_hours();
        share.is_finite().then(|| (finish.name.clone(), share))
    }
}

/// What the sheet's times are given for; `None` where it names no temperature, so that no room can be held against it.
fn conditions(finish: &Finish) -> Option<Conditions> {
    Some(Conditions {
        at: finish.sheet_temp?,
        lowest: finish.min_temp,
        dampest: finish.max_humidity,
        q10: finish.q10,
    })
}

/// Down to the millisecond, so that what is left is never too little.
#[expect(clippy::cast_possible_truncation, reason = "a cast that does not fit saturates")]
fn of_hours(hours: f64) -> TimeDelta {
    TimeDelta::try_milliseconds((hours * 3_600_000.0).floor() as i64).unwrap_or(TimeDelta::MAX)
}

/// The sheet's own interval, where the sheet names no temperature.
fn by_the_sheet(time: Span, from: Instant, now: Instant) -> Reckoning {
    let at = time.after(from);
    let hours = Span::between(from, at).as_hours();
    Reckoning {
        at: Some(at),
        age_hours: if now > from { Span::between(from, now).as_hours() } else { 0.0 },
        needs_hours: hours,
        assumed: vec![Assumed::new(Why::NoReadings, from, at)],
    }
}
