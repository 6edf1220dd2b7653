//! Quantities as people type them: a number, with or without a unit of either system ("500 ml", "1 qt", "68 F", "3 in").
//!
//! Factors are those of NIST Handbook 44, appendix C, and NIST SP 811, appendix B, which define the inch as 25.4 mm, the
//! US gallon as 231 cubic inches and the pound as 0.453 592 37 kg. Gallons, quarts, pints and fluid ounces are US ones.

use std::str::FromStr;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::OutOfRange;

/// Whose units a shop reads and writes.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, JsonSchema, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum System {
    #[default]
    Metric,
    /// °F, US quarts and fluid ounces, square feet, inches.
    Us,
}

/// A unit a quantity may be typed in. A number of it is `(number + shift) * factor` of the quantity's own unit.
#[derive(Debug, PartialEq)]
pub struct Unit {
    /// How it is written.
    pub symbol: &'static str,
    /// Other spellings: lower case, without blanks, points or the degree sign.
    words: &'static [&'static str],
    shift: f64,
    factor: f64,
}

const fn unit(symbol: &'static str, words: &'static [&'static str], factor: f64) -> Unit {
    Unit { symbol, words, shift: 0.0, factor }
}

/// mm an inch.
const INCH: f64 = 25.4;
/// Litres a US gallon: 231 cubic inches.
const GALLON: f64 = 231.0 * INCH * INCH * INCH / 1e6;
/// m² a square foot.
const SQUARE_FOOT: f64 = 144.0 * INCH * INCH / 1e6;

/// m³ a cubic foot.
const CUBIC_FOOT: f64 = 1728.0 * INCH * INCH * INCH / 1e9;
const FAHRENHEIT: Unit =
    Unit { symbol: "°F", words: &["f", "fahrenheit", "degf"], shift: -32.0, factor: 5.0 / 9.0 };

/// A quantity that has a unit in each system: its own unit first.
pub trait Measured: TryFrom<f64, Error = OutOfRange> + Into<f64> + Copy + 'static {
    const UNITS: &'static [Unit];
    /// Where in `UNITS` stands the one that a US shop uses, if it uses another.
    const US: usize = 0;

    /// The unit in which a shop says it.
    fn unit(system: System) -> &'static Unit {
        &Self::UNITS[if system == System::Us { Self::US } else { 0 }]
    }

    fn number_in(self, unit: &Unit) -> f64 {
        self.into() / unit.factor - unit.shift
    }
}

macro_rules! measured {
    ($($name:ident: $us:literal, [$($unit:expr),*];)*) => {$(
        impl Measured for super::$name {
            const UNITS: &'static [Unit] = &[$($unit),*];
            const US: usize = $us;
        }
    )*};
}

measured! {
    Celsius: 1, [
        unit("°C", &["c", "celsius", "degc"], 1.0),
        FAHRENHEIT
    ];
    DewPoint: 1, [unit("°C", &["c"], 1.0), FAHRENHEIT];
    Warmer: 1, [unit("°C", &["c"], 1.0), unit("°F", &["f"], FAHRENHEIT.factor)];
    CubicMetresPerHour: 1, [
        unit("m³/h", &["m3/h"], 1.0),
        unit("ft³/min", &["ft3/min", "cfm"], 60.0 * CUBIC_FOOT)
    ];
    Humidity: 0, [unit("%", &["%", "%rh", "percent"], 1.0)];
    WoodMoisture: 0, [unit("%", &["%"], 1.0)];
    Q10: 0, [unit("per 10 °C", &[], 1.0)];
    Coverage: 1, [
        unit("m²/L", &["m2/l", "m2/liter", "m2/litre", "sqm/l"], 1.0),
        unit("ft²/gal", &["ft2/gal", "ft2/gallon", "sqft/gal", "sqft/gallon"], SQUARE_FOOT / GALLON),
        unit("ft²/qt", &["ft2/qt", "sqft/qt"], 4.0 * SQUARE_FOOT / GALLON)
    ];
    Litres: 1, [
        unit("L", &["l", "litre", "litres", "liter", "liters"], 1.0),
        unit("qt", &["qt", "quart", "quarts"], GALLON / 4.0),
        unit("fl oz", &["floz"], GALLON / 128.0),
        unit("ml", &["ml", "millilitre", "millilitres", "milliliters"], 0.001),
        unit("cl", &["cl"], 0.01),
        unit("pt", &["pt", "pint", "pints"], GALLON / 8.0),
        unit("gal", &["gal", "gallon", "gallons"], GALLON)
    ];
    Money: 0, [unit("", &[], 1.0)];
    SquareCentimetres: 0, [
        unit("cm²", &["cm2"], 1.0),
        unit("in²", &["in2", "sqin"], INCH * INCH / 100.0)
    ];
    Millimetres: 1, [
        unit("mm", &["mm"], 1.0),
        unit("in", &["in", "inch", "inches", "\""], INCH),
        unit("cm", &["cm"], 10.0)
    ];
    GramsPerLitre: 0, [
        unit("g/L", &["g/l"], 1.0),
        unit("lb/gal", &["lb/gal", "lbs/gal"], 453.592_37 / GALLON)
    ];
    MilligramsPerCubicMetre: 0, [
        unit("mg/m³", &["mg/m3"], 1.0),
        unit("g/m³", &["g/m3"], 1000.0)
    ];
}

/// A number as it was typed, with its unit if one was.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Typed<Q> {
    number: f64,
    unit: Option<&'static Unit>,
    own: std::marker::PhantomData<Q>,
}

/// Why a text isn't a quantity.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TypedError {
    #[error("\"{found}\" isn't a number: expected a number such as {example}")]
    Number { found: String, example: String },
    #[error("\"{unit}\" in \"{found}\" isn't a unit for this: expected one of {units}")]
    Unit { found: String, unit: String, units: String },
    #[error("\"{found}\" has no unit: expected one of {units}")]
    NoUnit { found: String, units: String },
    #[error("{what} of {found} isn't possible: expected {expected}")]
    OutOfRange { what: &'static str, found: String, expected: &'static str },
}

/// The units a quantity may be typed in, for a message.
fn units<Q: Measured>() -> String {
    Q::UNITS.iter().map(|unit| unit.symbol).collect::<Vec<_>>().join(", ")
}

impl<Q: Measured> Typed<Q> {
    /// The quantity; a number without a unit is in the unit that the shop uses.
    pub fn in_shop(self, system: System) -> Result<Q, TypedError> {
        let Unit { symbol, shift, factor, .. } = self.unit.unwrap_or_else(|| Q::unit(system));
        Q::try_from((self.number + shift) * factor).map_err(
            |OutOfRange { what, expected, .. }| TypedError::OutOfRange {
                what,
                found: format!("{} {symbol}", self.number),
                expected,
            },
        )
    }

    /// The quantity, if its unit was typed or all shops use the same.
    pub fn unmistakable(self, system: System) -> Result<Q, TypedError> {
        let asked = self.unit.is_none() && (self.number != 0.0 || Q::unit(system).shift != 0.0);
        if asked && Q::unit(system) != &Q::UNITS[0] {
            return Err(TypedError::NoUnit { found: self.number.to_string(), units: units::<Q>() });
        }
        self.in_shop(system)
    }

    /// A number without a unit.
    pub(crate) const fn bare(number: f64) -> Self {
        Self { number, unit: None, own: std::marker::PhantomData }
    }
}

impl<Q: Measured> FromStr for Typed<Q> {
    type Err = TypedError;

    fn from_str(text: &str) -> Result<Self, TypedError> {
        let text = text.trim();
        let is_digit = |letter: char| letter.is_ascii_digit() || "+-.,".contains(letter);
        let end = text.find(|letter| !is_digit(letter)).unwrap_or(text.len());
        let (number, word) = text.split_at(end);
        let number = number.replace(',', ".").parse::<f64>().map_err(|_| TypedError::Number {
            found: text.to_owned(),
            example: format!("\"20 {}\"", Q::UNITS[0].symbol),
        })?;
        let plain: String = word
            .to_lowercase()
            .replace("per", "/")
            .chars()
            .filter(|letter| !letter.is_whitespace() && !".°".contains(*letter))
            .map(|letter| match letter {
                '²' => '2',
                '³' => '3',
                letter => letter,
            })
            .collect();
        if plain.is_empty() {
            return Ok(Self::bare(number));
        }
        let known = Q::UNITS.iter().find(|unit| unit.words.contains(&plain.as_str()));
        let unit = known.ok_or_else(|| TypedError::Unit {
            found: text.to_owned(),
            unit: word.trim().to_owned(),
            units: units::<Q>(),
        })?;
        Ok(Self { number, unit: Some(unit), own: std::marker::PhantomData })
    }
}
