//! A room's air as a person looks at it: the last reading, the days, and what speaks against a coat.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use crate::craft::climate::{LEAST_MARGIN, Margin, margin};
use crate::craft::cure::{LONGEST_STRAIGHT, LOOK_BACK};
use crate::shop::Shop;
use crate::shop::climate::RoomReading;
use crate::shop::setup::{Finish, Heated, Step};
use crate::time::{Instant, Span, Viewpoint, Zone, local_date};
use crate::units::{Celsius, Humidity, Warmer};

/// A reading older than this says nothing of the air now: the longest time that is bridged by a straight line.
pub(crate) const STALE: Span = Span::hours(LONGEST_STRAIGHT.num_hours());

/// What was read within so long says how a room may still be (a choice).
const OF_LATE: Span = Span::days(1);

/// The least, the mean and the most of something.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize)]
pub(crate) struct Spread {
    pub(crate) min: f64,
    /// The mean over time: each reading stands for half the way to its neighbours, at most an hour and a half.
    pub(crate) mean: f64,
    pub(crate) max: f64,
}

#[derive(Debug, Clone, JsonSchema, Serialize)]
#[schemars(rename = "DayShown")]
pub(crate) struct DayOfAir {
    /// The local date.
    #[schemars(with = "String")]
    pub(crate) date: NaiveDate,
    pub(crate) readings: usize,
    pub(crate) temp_c: Spread,
    /// Where it was read.
    pub(crate) humidity_percent: Option<Spread>,
}

/// What speaks against a coat in a room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Against {
    /// The pieces are colder than the sheet allows.
    TooCold {
        /// The surface, or the air where nobody measured it.
        surface: Celsius,
        /// The sheet's lowest.
        lowest: Celsius,
    },
    /// The room was too cold at every reading of two weeks.
    ColdOfLate {
        /// The warmest of them.
        warmest: Celsius,
        /// The sheet's lowest.
        lowest: Celsius,
    },
    /// The air is damper than the sheet allows.
    TooDamp {
        /// As read.
        humidity: Humidity,
        /// The sheet's highest.
        dampest: Humidity,
    },
    /// The pieces are too near the dew point.
    NearDewPoint {
        /// How far above it they are.
        above: Warmer,
    },
}

/// A room in which no coat is begun while its air is as it was read last.
#[derive(Debug, Clone, PartialEq)]
pub struct Unfit {
    pub(crate) room: String,
    pub(crate) read: Instant,
    pub(crate) against: Vec<Against>,
}

/// The air that a coat is begun in.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct CoatAir {
    /// The room; none for a lot on no rack.
    pub(crate) room: Option<String>,
    /// Its last reading, if it is fresh enough to speak of the coat.
    pub(crate) reading: Option<RoomReading>,
    /// Its last reading, however old.
    pub(crate) last: Option<Instant>,
    /// The margin above the dew point, if the humidity was read.
    pub(crate) margin: Option<Margin>,
    /// What speaks against it.
    pub(crate) against: Vec<Against>,
}

impl Shop {
    /// The last reading of a room up to a moment that says how warm it was then.
    pub(crate) fn last_reading(&self, room: &str, at: Instant) -> Option<&RoomReading> {
        let log = self.climate.get(room)?;
        log.iter().rev().find(|reading| reading.at <= at && reading.temp.is_some())
    }

    /// How warm a room was of late: the mean over the last two weeks that were read.
    pub(crate) fn usual_temp(&self, room: &str, at: Instant) -> Option<Celsius> {
        let log = self.climate.get(room)?;
        let known = log.get(..log.partition_point(|reading| reading.at <= at))?;
        let since = known.last()?.at.checked_sub_signed(LOOK_BACK)?;
        let first = known.partition_point(|reading| reading.at < since);
        let temps = (first..known.len()).filter_map(|place| {
            let temp = known.get(place)?.temps();
            Some(temp.map(move |temp| (temp.get(), weight(known, place))))
        });
        let read = spread(temps.flatten().collect::<Vec<_>>().into_iter())?;
        Celsius::new(read.mean).ok()
    }

    /// The room of a rack, where its air speaks against that step being begun there at `at`.
    pub(crate) fn unfit_for(&self, step: &Step, rack: Option<&str>, at: Instant) -> Option<Unfit> {
        let finish = self.setup.as_ref()?.finish(step.coat()?)?;
        self.coat_air(rack, finish, at).unfit()
    }

    /// The air that a coat of `finish` meets at `at` on a rack.
    pub(crate) fn coat_air(&self, rack: Option<&str>, finish: &Finish, at: Instant) -> CoatAir {
        self.air_of(rack.and_then(|rack| self.room_of(rack)), finish, at)
    }

    /// The same for a room.
    pub(crate) fn air_of(&self, room: Option<&str>, finish: &Finish, at: Instant) -> CoatAir {
        let last = room.and_then(|room| self.last_reading(room, at)).copied();
        let reading = last.filter(|reading| at <= STALE.after(reading.at));
        let margin =
            reading.and_then(|read| Some(margin(read.temp?, read.humidity?, read.surface)));
        let against = match (reading, room) {
            (Some(reading), _) => against(finish, &reading, margin),
            (None, Some(room)) => self.cold_of_late(room, finish, at).into_iter().collect(),
            (None, None) => Vec::new(),
        };
        let room = room.map(str::to_owned);
        CoatAir { room, reading, last: last.map(|last| last.at), margin, against }
    }

    /// A room that was too cold for a finish at every reading of two weeks, the last of them not long before `at`. A room heated by
    /// day, or of which nobody says so, may have been read in the cold hours alone.
    pub(crate) fn cold_of_late(&self, room: &str, finish: &Finish, at: Instant) -> Option<Against> {
        let lowest = finish.min_temp?;
        let log = self.climate.get(room)?;
        let read = log.get(..log.partition_point(|reading| reading.at <= at))?;
        let (first, last) = (read.first()?.at, read.last()?.at);
        let since = last.checked_sub_signed(LOOK_BACK)?;
        let known = matches!(self.heated(room), Some(Heated::No | Heated::Always));
        if !known || at > OF_LATE.after(last) || first > OF_LATE.after(since) {
            return None;
        }
        let of_late = read.iter().rev().take_while(|reading| reading.at >= since);
        let temps = of_late.flat_map(RoomReading::temps);
        // Most rooms are told by their last reading.
        if temps.clone().any(|temp| temp >= lowest) {
            return None;
        }
        let warmest = temps.max_by(|a, b| a.get().total_cmp(&b.get()))?;
        Some(Against::ColdOfLate { warmest, lowest })
    }
}

impl CoatAir {
    /// The room, if its air speaks against the coat. A room that nobody read lately isn't a reason to wait.
    pub(crate) fn unfit(&self) -> Option<Unfit> {
        let (room, read) = (self.room.clone()?, self.last?);
        let against = self.against.clone();
        (!against.is_empty()).then_some(Unfit { room, read, against })
    }
}

impl Against {
    /// "at 7.6 °C, the sheet's lowest is 8.0 °C".
    pub(crate) fn said(self, view: Viewpoint) -> String {
        self.by("the sheet's", "the sheet's", view)
    }

    /// The same with whose the lowest temperature and whose the highest humidity is.
    pub(crate) fn by(self, coldest: &str, dampest: &str, view: Viewpoint) -> String {
        match self {
            Self::TooCold { surface, lowest } => {
                let (surface, lowest) = (view.shown(surface), view.shown(lowest));
                format!("at {surface:.1}, {coldest} lowest is {lowest:.1}")
            }
            Self::ColdOfLate { warmest, lowest } => {
                let (warmest, lowest) = (view.shown(warmest), view.shown(lowest));
                format!("at {warmest:.1} at most in two weeks, {coldest} lowest is {lowest:.1}")
            }
            Self::TooDamp { humidity, dampest: most } => {
                let (humidity, most) = (view.shown(humidity), view.shown(most));
                format!("at {humidity}, {dampest} highest is {most}")
            }
            Self::NearDewPoint { above } => {
                let (above, least) = (view.shown(above), view.shown(LEAST_MARGIN));
                format!("{above:.1} above its dew point, at least {least} is practice")
            }
        }
    }
}

impl Unfit {
    pub(crate) fn said(&self, view: Viewpoint) -> String {
        let against: Vec<String> = self.against.iter().map(|against| against.said(view)).collect();
        format!("{} is {}", self.room, against.join(", and "))
    }
}

fn against(finish: &Finish, reading: &RoomReading, margin: Option<Margin>) -> Vec<Against> {
    let surface = reading.surface.or(reading.temp);
    let cold = finish.min_temp.zip(surface).filter(|(lowest, surface)| surface < lowest);
    let damp = reading.humidity.zip(finish.max_humidity).filter(|(read, dampest)| read > dampest);
    let near = margin.filter(|margin| !margin.enough).and_then(|margin| margin.margin);
    [
        cold.map(|(lowest, surface)| Against::TooCold { surface, lowest }),
        damp.map(|(humidity, dampest)| Against::TooDamp { humidity, dampest }),
        near.map(|above| Against::NearDewPoint { above }),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// The days of a log, in order; `log` in order of time.
pub(crate) fn days(log: &[RoomReading], zone: Zone) -> Vec<DayOfAir> {
    let dated: Vec<(NaiveDate, f64, &RoomReading)> = log
        .iter()
        .enumerate()
        .map(|(place, reading)| (local_date(reading.at, zone), weight(log, place), reading))
        .collect();
    let day = |rows: &[(NaiveDate, f64, &RoomReading)]| {
        let temps = rows
            .iter()
            .flat_map(|(_, weight, reading)| reading.temps().map(|temp| (temp.get(), *weight)));
        let damp =
            rows.iter().filter_map(|(_, weight, reading)| Some((reading.humidity?.get(), *weight)));
        let (date, ..) = rows.first()?;
        let (temp_c, humidity_percent) = (spread(temps)?, spread(damp));
        Some(DayOfAir { date: *date, readings: rows.len(), temp_c, humidity_percent })
    };
    dated.chunk_by(|(a, ..), (b, ..)| a == b).filter_map(day).collect()
}

/// The hours a reading stands for.
fn weight(log: &[RoomReading], place: usize) -> f64 {
    let side = |a: Option<&RoomReading>, b: Option<&RoomReading>| {
        let gap = a.zip(b).map(|(a, b)| b.at.signed_duration_since(a.at).min(LONGEST_STRAIGHT));
        gap.unwrap_or(LONGEST_STRAIGHT).as_seconds_f64() / 7200.0
    };
    let own = log.get(place);
    let before = place.checked_sub(1).and_then(|before| log.get(before));
    side(before, own) + side(own, log.get(place.saturating_add(1)))
}

fn spread(values: impl Iterator<Item = (f64, f64)> + Clone) -> Option<Spread> {
    let min = values.clone().map(|(value, _)| value).min_by(f64::total_cmp)?;
    let max = values.clone().map(|(value, _)| value).max_by(f64::total_cmp)?;
    let (sum, weights) = values.fold((0.0, 0.0), |(sum, weights), (value, weight)| {
        (sum + value * weight, weights + weight)
    });
    let mean = if weights > 0.0 { sum / weights } else { f64::midpoint(min, max) };
    Some(Spread { min, mean: mean.clamp(min, max), max })
}
