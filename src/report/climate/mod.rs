//! A room's climate, as it is shown: one reading, a room with its last days, what an import brought.

pub(crate) mod chart;
pub(crate) mod imported;
pub(crate) mod room;

use schemars::JsonSchema;
use serde::Serialize;

use crate::craft::climate::{Equilibrium, LEAST_MARGIN, equilibrium, margin};
use crate::report::{Page, Report};
use crate::shop::climate::RoomReading;
use crate::time::{Stamp, Viewpoint};
use crate::units::{Celsius, DewPoint, Humidity, Shown, Warmer, WoodMoisture};

/// One reading, and what follows from it.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct ReadingShown {
    pub(crate) at: Stamp,
    /// Null where a thermometer's extremes alone were read.
    pub(crate) temp_c: Option<Shown<Celsius>>,
    /// Relative, if it was read.
    pub(crate) humidity_percent: Option<Shown<Humidity>>,
    /// Of the pieces, if it was measured.
    pub(crate) surface_c: Option<Shown<Celsius>>,
    /// The coldest and the warmest since the reading before, where they were read.
    pub(crate) lowest_c: Option<Shown<Celsius>>,
    pub(crate) highest_c: Option<Shown<Celsius>>,
    /// Null without a humidity.
    pub(crate) dew_point_c: Option<Shown<DewPoint>>,
    /// How far the pieces are above the dew point.
    pub(crate) margin_c: Option<Shown<Warmer>>,
    /// Whether the air's temperature stands in for the pieces'.
    pub(crate) surface_assumed: bool,
    /// Whether the margin is at least 3 °C; null without a humidity.
    pub(crate) margin_enough: Option<bool>,
    #[serde(skip)]
    least_margin: Shown<Warmer>,
    /// What wood settles at, of its dry mass; null without a humidity.
    pub(crate) wood_moisture_percent: Option<Shown<WoodMoisture>>,
}

impl ReadingShown {
    pub(crate) fn new(reading: &RoomReading, view: Viewpoint) -> Self {
        let air = reading.temp.zip(reading.humidity);
        let margin = air.map(|(temp, humidity)| margin(temp, humidity, reading.surface));
        let wood: Option<Equilibrium> =
            air.and_then(|(temp, humidity)| equilibrium(temp, humidity).ok());
        Self {
            at: view.stamp(reading.at),
            temp_c: reading.temp.map(|temp| view.shown(temp)),
            humidity_percent: reading.humidity.map(|humidity| view.shown(humidity)),
            surface_c: reading.surface.map(|temp| view.shown(temp)),
            lowest_c: reading.extremes.map(|extremes| view.shown(extremes.lowest)),
            highest_c: reading.extremes.map(|extremes| view.shown(extremes.highest)),
            dew_point_c: margin.and_then(|margin| margin.dew_point).map(|temp| view.shown(temp)),
            margin_c: margin.and_then(|margin| margin.margin).map(|margin| view.shown(margin)),
            least_margin: view.shown(LEAST_MARGIN),
            surface_assumed: reading.surface.is_none(),
            margin_enough: margin.map(|margin| margin.enough),
            // Outside its range the equation says nothing.
            wood_moisture_percent: wood
                .filter(|wood| !wood.outside_range)
                .map(|wood| view.shown(wood.moisture)),
        }
    }

    /// "14.2 °C, 55 % humidity, pieces 13.5 °C, between 6.0 °C and 19.0 °C since the reading before".
    pub(crate) fn air(&self) -> String {
        let humidity = match self.humidity_percent {
            Some(humidity) => Some(format!("{humidity} humidity")),
            None => self.temp_c.map(|_| "humidity not read".to_owned()),
        };
        let extremes = self.lowest_c.zip(self.highest_c).map(|(lowest, highest)| {
            format!("between {lowest} and {highest} since the reading before")
        });
        let temp = self.temp_c.map(|temp| temp.to_string());
        let surface = self.surface_c.map(|surface| format!("pieces {surface}"));
        let said: Vec<String> = [temp, humidity, surface, extremes].into_iter().flatten().collect();
        said.join(", ")
    }

    /// "dew point 5.3 °C: the pieces are 8.9 °C above it (the air's temperature assumed)".
    pub(crate) fn dew(&self) -> Option<String> {
        let (dew_point, margin, least) = (self.dew_point_c?, self.margin_c?, self.least_margin);
        let assumed =
            if self.surface_assumed { " (the air's temperature assumed for them)" } else { "" };
        let enough = if self.margin_enough == Some(false) {
            format!("; too near for a coat: practice is at least {least}")
        } else {
            format!("; at least {least} is practice")
        };
        Some(format!("dew point {dew_point}: pieces {margin:.1} above it{assumed}{enough}"))
    }

    /// "wood will end up near 10.2 % moisture".
    pub(crate) fn wood(&self) -> Option<String> {
        self.wood_moisture_percent
            .map(|moisture| format!("wood will end up near {moisture} moisture"))
    }
}

/// `climate add`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct ReadingTaken {
    pub(crate) room: String,
    /// The entry; null where the log has the same reading already.
    pub(crate) entry: Option<i64>,
    pub(crate) reading: ReadingShown,
}

impl Report for ReadingTaken {
    fn text(&self, page: &mut Page) {
        let Self { room, reading, .. } = self;
        let known = if self.entry.is_none() { "; known already, nothing recorded" } else { "" };
        page.hang(format!("{room}, {}: {}{known}", reading.at.moment(), reading.air()));
        for line in [reading.dew(), reading.wood()].into_iter().flatten() {
            page.item(&line);
        }
    }
}
