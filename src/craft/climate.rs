//! The room's air: dew point, the margin a surface keeps above it, and the moisture wood takes on.

use serde::{Deserialize, Serialize};

use crate::units::{Celsius, DewPoint, Humidity, OutOfRange, Warmer, WoodMoisture};

/// How far a surface has to stay above the dew point before it is coated: 3 °C. Practice from steel (ISO 8502-4 and ISO
/// 12944-7, read in public summaries); no source was found for wood, where it is common practice.
pub(crate) const LEAST_MARGIN: Warmer = Warmer::degrees(3.0);

/// The dimensionless constant of the Magnus form.
const MAGNUS: f64 = 17.62;

/// The temperature constant of the Magnus form, °C.
const MAGNUS_TEMPERATURE: f64 = 243.12;

/// The dew point over water, °C: 243.12 y/(17.62 − y) with y = ln(RH/100) + 17.62 t/(243.12 + t), from the Magnus form in
/// WMO No. 8 (Guide to Instruments), Annex 4.B; constants from memory, in agreement with three other formulae. Below 0 °C this
/// is not the frost point. `None` in air without any water, which has no dew point.
pub fn dew_point(temp: Celsius, humidity: Humidity) -> Option<DewPoint> {
    if humidity.get() >= 100.0 {
        return DewPoint::new(temp.get()).ok();
    }
    let y = (humidity.get() / 100.0).ln() + MAGNUS * temp.get() / (MAGNUS_TEMPERATURE + temp.get());
    DewPoint::new(MAGNUS_TEMPERATURE * y / (MAGNUS - y)).ok()
}

/// Where a surface stands against the dew point.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Margin {
    /// The dew point; `None` in air without any water.
    pub(crate) dew_point: Option<DewPoint>,
    /// The surface that was compared.
    pub(crate) surface: Celsius,
    /// Whether no surface was read and the air's own temperature stands in for it.
    pub surface_assumed: bool,
    /// Surface less dew point; `None` where there is no dew point.
    pub margin: Option<Warmer>,
    /// Whether the margin is at least 3 °C.
    pub enough: bool,
}

/// Compares a surface (the air's temperature where none was read, marked assumed) with the dew point.
pub fn margin(temp: Celsius, humidity: Humidity, surface: Option<Celsius>) -> Margin {
    let dew_point = dew_point(temp, humidity);
    let used = surface.unwrap_or(temp);
    let margin = dew_point.and_then(|dew_point| Warmer::new(used.get() - dew_point.get()).ok());
    Margin {
        dew_point,
        surface: used,
        surface_assumed: surface.is_none(),
        margin,
        enough: margin.is_none_or(|margin| margin >= LEAST_MARGIN),
    }
}

/// The moisture wood settles at.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Equilibrium {
    /// Water in % of the oven-dry mass.
    pub moisture: WoodMoisture,
    /// Whether the temperature lies outside −1 to 54 °C, for which the equation was published.
    pub outside_range: bool,
}

/// The equilibrium moisture content of wood, % of its oven-dry mass: 1800/W [K h/(1 − K h) + (K1 K h + 2 K1 K2 K² h²)/(1 +
/// K1 K h + K1 K2 K² h²)] with h = RH/100, T in °C, W = 349 + 1.29 T + 0.0135 T², K = 0.805 + 0.000736 T − 0.00000273 T²,
/// K1 = 6.27 − 0.00938 T − 0.000303 T², K2 = 1.91 + 0.0407 T − 0.000293 T².
///
/// USDA Forest Products Laboratory, Wood Handbook (FPL-GTR-282), equation 4-5, metric (coefficients read in six independent
/// implementations that agree). The mean of taking up and giving off water; no effect of species.
pub fn equilibrium(temp: Celsius, humidity: Humidity) -> Result<Equilibrium, OutOfRange> {
    let (t, h) = (temp.get(), humidity.get() / 100.0);
    let w = 349.0 + 1.29 * t + 0.0135 * t * t;
    let k = 0.805 + 0.000_736 * t - 0.000_002_73 * t * t;
    let k1 = 6.27 - 0.009_38 * t - 0.000_303 * t * t;
    let k2 = 1.91 + 0.0407 * t - 0.000_293 * t * t;
    let kh = k * h;
    let bound = k1 * kh + k1 * k2 * kh * kh;
    let percent = 1800.0 / w * (kh / (1.0 - kh) + (bound + k1 * k2 * kh * kh) / (1.0 + bound));
    Ok(Equilibrium {
        moisture: WoodMoisture::new(percent)?,
        outside_range: !(-1.2..=54.5).contains(&t),
    })
}

/// A temperature given in °F: (f − 32)/1.8 °C.
pub fn from_fahrenheit(fahrenheit: f64) -> Result<Celsius, OutOfRange> {
    Celsius::new((fahrenheit - 32.0) / 1.8)
}
