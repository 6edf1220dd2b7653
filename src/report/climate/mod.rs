//! A room's climate, as it is shown: one reading, a room with its last days, what an import brought.

pub(crate) mod added;
pub(crate) mod chart;
pub(crate) mod imported;
pub(crate) mod room;

use schemars::JsonSchema;
use serde::Serialize;

use crate::craft::climate::{Equilibrium, LEAST_MARGIN, equilibrium, margin};
use crate::shop::climate::RoomReading;
use crate::time::{Stamp, Viewpoint};
use crate::units::{Celsius, DewPoint, Humidity, WoodMoisture};

/// One reading, and what follows from it.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct ReadingShown {
    pub(crate) at: Stamp,
    /// °C; null where a thermometer's extremes alone were read.
    pub(crate) temp: Option<Celsius>,
    /// %, if it was read.
    pub(crate) humidity: Option<Humidity>,
    /// °C of the pieces, if it was measured.
    pub(crate) surface: Option<Celsius>,
    /// The coldest and the warmest since the reading before, °C, where they were read.
    pub(crate) lowest: Option<Celsius>,
    pub(crate) highest: Option<Celsius>,
    /// °C; null without a humidity.
    pub(crate) dew_point: Option<DewPoint>,
    /// How far the pieces are above the dew point, °C.
    pub(crate) margin: Option<f64>,
    /// Whether the air's temperature stands in for the pieces'.
    pub(crate) surface_assumed: bool,
    /// Whether the margin is at least 3 °C; null without a humidity.
    pub(crate) margin_enough: Option<bool>,
    /// What wood settles at, % of its dry mass; null without a humidity.
    pub(crate) wood_moisture: Option<WoodMoisture>,
}

impl ReadingShown {
    pub(crate) fn new(reading: &RoomReading, view: Viewpoint) -> Self {
        let air = reading.temp.zip(reading.humidity);
        let margin = air.map(|(temp, humidity)| margin(temp, humidity, reading.surface));
        let wood: Option<Equilibrium> =
            air.and_then(|(temp, humidity)| equilibrium(temp, humidity).ok());
        Self {
            at: view.stamp(reading.at),
            temp: reading.temp,
            humidity: reading.humidity,
            surface: reading.surface,
            lowest: reading.extremes.map(|extremes| extremes.lowest),
            highest: reading.extremes.map(|extremes| extremes.highest),
            dew_point: margin.and_then(|margin| margin.dew_point),
            margin: margin.and_then(|margin| margin.margin),
            surface_assumed: reading.surface.is_none(),
            margin_enough: margin.map(|margin| margin.enough),
            // Outside its range the equation says nothing.
            wood_moisture: wood.filter(|wood| !wood.outside_range).map(|wood| wood.moisture),
        }
    }

    /// "14.2 °C, 55 % humidity, pieces 13.5 °C, between 6.0 °C and 19.0 °C since the reading before".
    pub(crate) fn air(&self) -> String {
        let humidity = match self.humidity {
            Some(humidity) => Some(format!("{humidity:.0} humidity")),
            None => self.temp.map(|_| "humidity not read".to_owned()),
        };
        let extremes = self.lowest.zip(self.highest).map(|(lowest, highest)| {
            format!("between {lowest:.1} and {highest:.1} since the reading before")
        });
        let temp = self.temp.map(|temp| format!("{temp:.1}"));
        let surface = self.surface.map(|surface| format!("pieces {surface:.1}"));
        let said: Vec<String> = [temp, humidity, surface, extremes].into_iter().flatten().collect();
        said.join(", ")
    }

    /// "dew point 5.3 °C: the pieces are 8.9 °C above it (the air's temperature assumed)".
    pub(crate) fn dew(&self) -> Option<String> {
        let (dew_point, margin) = (self.dew_point?, self.margin?);
        let assumed =
            if self.surface_assumed { " (the air's temperature assumed for them)" } else { "" };
        let enough = if self.margin_enough == Some(false) {
            format!("; too near for a coat: practice is at least {LEAST_MARGIN:.0} °C")
        } else {
            format!("; at least {LEAST_MARGIN:.0} °C is practice")
        };
        Some(format!("dew point {dew_point:.1}: pieces {margin:.1} °C above it{assumed}{enough}"))
    }

    /// "wood settles at 10.2 % moisture".
    pub(crate) fn wood(&self) -> Option<String> {
        self.wood_moisture.map(|moisture| format!("wood settles at {moisture:.1} moisture"))
    }
}
