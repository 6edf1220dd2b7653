//! Readings of a room's climate, and which room a lot stood in when.

use std::ops::Deref;
use std::sync::{Arc, Mutex, PoisonError};

use crate::craft::cure::{Clock, Conditions, Course, Days, Extremes, Reading, Strange};
use crate::shop::setup::Heated;
use crate::shop::{Lot, Shop};
use crate::time::Instant;
use crate::units::{Celsius, Humidity};

/// What a room's log says of one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RoomReading {
    pub at: Instant,
    /// How warm the air was; none where a thermometer's extremes alone were read.
    pub temp: Option<Celsius>,
    /// How damp, if it was read.
    pub humidity: Option<Humidity>,
    /// How warm the pieces were, if it was measured.
    pub surface: Option<Celsius>,
    /// The coldest and the warmest since the reading before, where a minimum and maximum thermometer was read.
    pub extremes: Option<Extremes>,
}

impl RoomReading {
    /// Every temperature of the air that it says.
    pub(crate) fn temps(&self) -> impl Iterator<Item = Celsius> + Clone + use<> {
        let extremes = self.extremes.map(|extremes| [extremes.lowest, extremes.highest]);
        self.temp.into_iter().chain(extremes.into_iter().flatten())
    }
}

impl From<RoomReading> for Reading {
    fn from(reading: RoomReading) -> Self {
        let RoomReading { at, temp, humidity, extremes, .. } = reading;
        Self { at, temp, humidity, extremes }
    }
}

/// A room's log, in order of time, and how it is counted for each sheet and clock that asked. Its copies share both.
#[derive(Debug, Clone, Default)]
pub struct RoomLog {
    readings: Arc<[RoomReading]>,
    /// Built when first asked for: a log is long, and asked for each lot.
    courses: Arc<Mutex<Vec<Arc<Course>>>>,
}

/// Where a lot stood for a while.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Stay {
    /// The room; none where it stood on no rack and never had.
    pub(crate) room: Option<String>,
    pub(crate) from: Instant,
    /// Until when; none is still.
    pub(crate) until: Option<Instant>,
}

impl From<Vec<RoomReading>> for RoomLog {
    fn from(readings: Vec<RoomReading>) -> Self {
        Self { readings: readings.into(), courses: Arc::default() }
    }
}

impl PartialEq for RoomLog {
    fn eq(&self, other: &Self) -> bool {
        self.readings == other.readings
    }
}

impl Deref for RoomLog {
    type Target = [RoomReading];

    fn deref(&self) -> &[RoomReading] {
        &self.readings
    }
}

impl RoomLog {
    fn course(
        &self,
        clock: Clock,
        sheet: &Conditions,
        days: &Days,
        (strange, reach): (Strange, f64),
    ) -> Arc<Course> {
        // A course is pushed whole or not at all, so a lock that somebody died with is as good as any.
        let mut courses = self.courses.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(known) =
            courses.iter().find(|course| course.is_for(clock, sheet, days, (strange, reach)))
        {
            return Arc::clone(known);
        }
        let readings: Vec<Reading> = self.readings.iter().copied().map(Reading::from).collect();
        let course = Course::new(clock, sheet, &readings, days, strange).following(reach);
        let course = Arc::new(course);
        courses.push(Arc::clone(&course));
        course
    }
}

impl Shop {
    /// The shop by what its rooms had been read until a moment.
    pub(crate) fn as_read_by(&self, at: Instant) -> Self {
        let read = |log: &RoomLog| -> RoomLog {
            let until = log.iter().take_while(|reading| reading.at <= at);
            until.copied().collect::<Vec<_>>().into()
        };
        let climate = self.climate.iter().map(|(room, log)| (room.clone(), read(log))).collect();
        Self { climate, ..self.clone() }
    }

    pub(crate) fn room_of(&self, rack: &str) -> Option<&str> {
        self.setup.as_ref()?.rack(rack).map(|rack| rack.room.as_str())
    }

    /// The rooms a lot has stood in since `since`, in order of time. Off the racks it is taken to stay in the room it was
    /// last in.
    pub(crate) fn stays(&self, lot: &Lot, since: Instant) -> Vec<Stay> {
        let mut stays: Vec<Stay> = Vec::new();
        let mut room: Option<String> = None;
        for standing in &lot.standing {
            let here = standing.rack.as_deref().and_then(|rack| self.room_of(rack));
            room = here.map(str::to_owned).or(room);
            if standing.from <= since {
                stays = vec![Stay { room: room.clone(), from: since, until: None }];
            } else if stays.last().is_none_or(|stay| stay.room != room) {
                if let Some(stay) = stays.last_mut() {
                    stay.until = Some(standing.from);
                }
                let from = if stays.is_empty() { since } else { standing.from };
                stays.push(Stay { room: room.clone(), from, until: None });
            }
        }
        if stays.is_empty() {
            stays.push(Stay { room, from: since, until: None });
        }
        stays
    }

    /// A room's log as a clock counts it for a sheet; without readings by the sheet's own time.
    pub(super) fn course(
        &self,
        clock: Clock,
        sheet: &Conditions,
        room: Option<&str>,
    ) -> Arc<Course> {
        let days = self.days();
        let strange = room.map_or(Strange::AsRead, |room| self.strange_hours(room));
        match room.and_then(|room| Some((room, self.climate.get(room)?))) {
            Some((room, log)) => {
                // What nobody said of a room's heat is no ground to expect another rate.
                let reach = self.heated(room).map_or(0.0, Heated::lets_in);
                log.course(clock, sheet, &days, (strange, reach))
            }
            None => Arc::new(Course::new(clock, sheet, &[], &days, strange)),
        }
    }

    fn days(&self) -> Days {
        let hours = self.setup.as_ref().map(|setup| setup.shop.hours.clone());
        Days { zone: self.zone(), hours: hours.unwrap_or_default() }
    }

    /// When a room is heated, where somebody said.
    pub(crate) fn heated(&self, room: &str) -> Option<Heated> {
        self.setup.as_ref()?.room(room)?.heated
    }

    /// What the hours of a room are taken as that nobody reads: nights, mostly.
    fn strange_hours(&self, room: &str) -> Strange {
        let room = self.setup.as_ref().and_then(|setup| setup.room(room));
        match room.map(|room| (room.unread_temp, room.heated)) {
            Some((_, Some(Heated::Always | Heated::No))) | None => Strange::AsRead,
            Some((Some(temp), _)) => Strange::Taken(temp),
            Some((None, _)) => Strange::ColderThanRead,
        }
    }
}
