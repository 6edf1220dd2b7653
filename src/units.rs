//! Quantities as newtypes. A number with a unit never travels as a bare `f64` between modules.
//!
//! What a unit can hold is checked where it is made; only `shown` rounds, where a person reads it.

mod shown;
mod typed;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub use shown::{Said, Shown, figures};
pub use typed::{Measured, System, Typed, TypedError, Unit};

/// Says which quantity was outside what it can be, and what it can be.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{what} of {value} isn't possible: expected {expected}")]
pub struct OutOfRange {
    /// The quantity in words ("relative humidity").
    pub(crate) what: &'static str,
    pub(crate) value: f64,
    /// The range in words ("0 to 100 %").
    pub(crate) expected: &'static str,
}

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $what:literal, $low:expr, $high:expr, $expected:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, JsonSchema, Serialize, Deserialize)]
        #[serde(try_from = "f64", into = "f64")]
        pub struct $name(f64);

        impl $name {
            /// Makes the quantity, or says what would have been possible.
            pub fn new(value: f64) -> Result<Self, OutOfRange> {
                if ($low..=$high).contains(&value) {
                    Ok(Self(value))
                } else {
                    Err(OutOfRange { what: $what, value, expected: $expected })
                }
            }

            /// The number in this type's unit.
            pub const fn get(self) -> f64 {
                self.0
            }
        }

        impl TryFrom<f64> for $name {
            type Error = OutOfRange;
            fn try_from(value: f64) -> Result<Self, OutOfRange> {
                Self::new(value)
            }
        }

        impl From<$name> for f64 {
            fn from(quantity: $name) -> Self {
                quantity.0
            }
        }
    };
}

quantity!(
    /// Temperature of a room, a surface or a sheet, °C. The range is that of any room a person works in.
    Celsius, "temperature", -40.0, 60.0, "-40 to 60 °C (-40 to 140 °F)"
);
quantity!(
    /// Relative humidity over water, %.
    Humidity, "relative humidity", 0.0, 100.0, "0 to 100 %"
);
quantity!(
    /// Rate ratio for 10 °C, dimensionless; below 1 a finish would dry slower when warm.
    Q10, "Q10", 1.0, 10.0, "1 to 10"
);
quantity!(
    /// How far a litre goes, m² per litre.
    Coverage, "coverage", 0.1, 1000.0, "0.1 to 1000 m² a litre (4.1 to 40,700 sq ft a gallon)"
);
quantity!(
    /// Area of one piece, cm².
    SquareCentimetres, "area", 0.01, 1e6, "0.01 to 1,000,000 cm² (0.002 to 155,000 in²)"
);
quantity!(
    /// A length on a piece, mm; below the axis' zero where a height is.
    Millimetres, "length", -10_000.0, 10_000.0, "-10,000 to 10,000 mm (-393 to 393 in)"
);
quantity!(
    /// Volume of a liquid, litres.
    Litres, "volume", 0.0, 10_000.0, "0 to 10,000 litres (2,640 gallons)"
);
quantity!(
    /// Solvent given off by a litre of finish, grams per litre.
    GramsPerLitre, "solvent given off", 0.0, 2000.0, "0 to 2000 g/L"
);
quantity!(
    /// Concentration in air, milligrams per cubic metre.
    MilligramsPerCubicMetre, "concentration in air", 0.001, 1e6, "0.001 to 1,000,000 mg/m³"
);
quantity!(
    /// Temperature at which the water in the air condenses, °C; well below any room's own where the air is dry.
    DewPoint, "dew point", -243.12, 60.0, "-243.12 to 60 °C"
);
quantity!(
    /// How much warmer one thing is than another, °C.
    Warmer, "difference of temperature", -400.0, 400.0, "-400 to 400 °C"
);
quantity!(
    /// A flow of fresh air, m³ an hour.
    CubicMetresPerHour, "airflow", 0.0, f64::MAX, "any m³ an hour"
);
quantity!(
    /// Water in wood, % of its oven-dry mass.
    WoodMoisture, "wood moisture", 0.0, 40.0, "0 to 40 %"
);
quantity!(
    /// How sure a promise shall be, % of the cases in which it is kept.
    Sureness, "confidence", 1.0, 99.9, "1 to 99.9 %"
);
quantity!(
    /// Solvent given off, grams.
    Grams, "mass", 0.0, 2e7, "0 to 20,000,000 g"
);
quantity!(
    /// A cost in the shop's own currency, which is never named.
    Money, "cost", 0.0, 1e9, "0 to 1,000,000,000"
);
quantity!(
    /// How unevenly fresh air mixes with a room's air: 1 if perfectly, up to 10 if badly.
    Mixing, "mixing factor", 1.0, 10.0, "1 to 10"
);

impl Q10 {
    /// What a sheet without a rate gets: 2.5 for 10 °C, about 66 kJ/mol below 23 °C (the activation energy measured for the
    /// oxidation of linolenic acid). No value for a wiped film on wood was found: common practice, and marked so wherever it is used.
    pub const COMMON_PRACTICE: Self = Self(2.5);
}

impl Warmer {
    /// A difference that is written in the source.
    pub(crate) const fn degrees(number: f64) -> Self {
        Self(number)
    }
}

impl Sureness {
    /// How sure it must be that the pieces started are enough, where nobody says: 19 in 20, as for the day called almost sure (a
    /// choice, no source). A spare piece costs minutes, a missing one a second time through the recipe.
    pub(crate) const USUAL: Self = Self(95.0);
}

impl Litres {
    /// Nothing.
    pub(crate) const ZERO: Self = Self(0.0);
}

impl Mixing {
    /// The usual middle for a workshop with a window and a door: 3 (common practice, no source).
    pub const COMMON_PRACTICE: Self = Self(3.0);
}
