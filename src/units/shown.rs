//! Quantities as a person reads them, in the units of the shop: the one place where a number of either system becomes words.
//! In JSON the same quantity is its metric number.

use std::borrow::Cow;
use std::fmt;

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::{Serialize, Serializer};

use super::{
    Celsius, Coverage, CubicMetresPerHour, DewPoint, GramsPerLitre, Humidity, Litres, Measured,
    MilligramsPerCubicMetre, Money, Q10, System, Warmer, WoodMoisture,
};

/// A quantity with the units it is said in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shown<Q> {
    pub(crate) quantity: Q,
    units: System,
}

/// A quantity that can be said: rounded as a person would, or to the places asked for.
pub trait Said: Measured {
    fn said(self, units: System, places: Option<usize>) -> String;
}

impl<Q> Shown<Q> {
    pub const fn new(quantity: Q, units: System) -> Self {
        Self { quantity, units }
    }
}

impl<Q: Said> Shown<Q> {
    /// In the shop's unit.
    pub(crate) fn number(self) -> f64 {
        self.quantity.number_in(Q::unit(self.units))
    }

    /// The number as it is said, where its unit stands in a heading.
    pub(crate) fn bare(self) -> String {
        let said = self.to_string();
        said.split_once(' ').map_or(said.clone(), |(number, _)| number.to_owned())
    }

    pub(crate) fn symbol(self) -> &'static str {
        Q::unit(self.units).symbol
    }
}

impl<Q: Said> fmt::Display for Shown<Q> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.quantity.said(self.units, f.precision()))
    }
}

impl<Q: Copy + Into<f64>> Serialize for Shown<Q> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_f64(self.quantity.into())
    }
}

impl<Q: JsonSchema> JsonSchema for Shown<Q> {
    fn inline_schema() -> bool {
        Q::inline_schema()
    }

    fn schema_name() -> Cow<'static, str> {
        Q::schema_name()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        Q::json_schema(generator)
    }
}

/// To so many places; never "-0".
fn to_places(number: f64, places: usize) -> String {
    let text = format!("{number:.places$}");
    if text.bytes().any(|digit| (b'1'..=b'9').contains(&digit)) {
        text
    } else {
        text.trim_start_matches('-').to_owned()
    }
}

/// With no more places than it needs.
fn trimmed(number: f64, most: usize) -> String {
    let text = to_places(number, most);
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

macro_rules! degrees {
    ($($name:ident),*) => {$(
        impl Said for $name {
            /// A thermometer's tenth of a °C; a °F is finer than that is worth.
            fn said(self, units: System, places: Option<usize>) -> String {
                let unit = Self::unit(units);
                let usual = usize::from(units == System::Metric);
                format!("{} {}", to_places(self.number_in(unit), places.unwrap_or(usual)), unit.symbol)
            }
        }
    )*};
}
degrees!(Celsius, DewPoint);

impl Said for Warmer {
    /// A difference is held against a limit: to the tenth in both.
    fn said(self, units: System, places: Option<usize>) -> String {
        let unit = Self::unit(units);
        match places {
            Some(places) => format!("{} {}", to_places(self.number_in(unit), places), unit.symbol),
            None => format!("{} {}", trimmed(self.number_in(unit), 1), unit.symbol),
        }
    }
}

macro_rules! percent {
    ($($name:ident: $usual:literal),*) => {$(
        impl Said for $name {
            fn said(self, _: System, places: Option<usize>) -> String {
                format!("{} %", to_places(self.get(), places.unwrap_or($usual)))
            }
        }
    )*};
}
percent!(Humidity: 0, WoodMoisture: 1);

macro_rules! same_in_both {
    ($($name:ident),*) => {$(
        impl Said for $name {
            fn said(self, units: System, _: Option<usize>) -> String {
                format!("{} {}", trimmed(self.get(), 3), Self::unit(units).symbol)
            }
        }
    )*};
}
impl Said for Money {
    fn said(self, _: System, _: Option<usize>) -> String {
        trimmed(self.get(), 2)
    }
}

same_in_both!(GramsPerLitre, MilligramsPerCubicMetre);

impl Said for Q10 {
    fn said(self, units: System, _: Option<usize>) -> String {
        format!("{} per {}", trimmed(self.get(), 3), Shown::new(Warmer::degrees(10.0), units))
    }
}

impl Said for Coverage {
    fn said(self, units: System, _: Option<usize>) -> String {
        match units {
            System::Metric => format!("{} m² a litre", trimmed(self.get(), 1)),
            System::Us => {
                let feet = self.number_in(Self::unit(units));
                let step = if feet < 100.0 { 1.0 } else { 10.0 };
                format!("{:.0} sq ft a gallon", (feet / step).round() * step)
            }
        }
    }
}

impl Said for CubicMetresPerHour {
    /// Three figures: an estimate has no more.
    fn said(self, units: System, _: Option<usize>) -> String {
        let number = figures(self.number_in(Self::unit(units)));
        match units {
            System::Metric => format!("{number} m³ of fresh air an hour"),
            System::Us => format!("{number} cu ft of fresh air a minute"),
        }
    }
}

/// Three figures, without an exponent as long as that can be read.
pub fn figures(value: f64) -> String {
    if value >= 1000.0 {
        let step = 10_f64.powf(value.log10().floor() - 2.0);
        format!("{:.0}", (value / step).round() * step)
    } else if value >= 100.0 || value == 0.0 {
        format!("{value:.0}")
    } else if value >= 10.0 {
        format!("{value:.1}")
    } else if value >= 0.01 {
        format!("{value:.2}")
    } else {
        format!("{value:.1e}")
    }
}

/// A measure for a volume: what it is called, how many of it a litre is, the places and the step it is read to.
struct Scale {
    symbol: &'static str,
    number: f64,
    step: f64,
    places: usize,
}

impl Litres {
    /// The measure a person would take for so much.
    fn scale(self, units: System) -> Scale {
        let litres = self.get();
        match units {
            System::Metric if litres < 0.0995 => scale("ml", litres * 1000.0, 1.0, 0),
            System::Metric if litres < 0.995 => scale("ml", litres * 1000.0, 10.0, 0),
            System::Metric => scale("L", litres, 0.01, 2),
            System::Us => {
                let quarts = self.number_in(Self::unit(units));
                match quarts * 32.0 {
                    ounces if ounces < 0.095 => scale("fl oz", ounces, 0.01, 2),
                    ounces if ounces < 9.95 => scale("fl oz", ounces, 0.1, 1),
                    ounces if ounces < 31.5 => scale("fl oz", ounces, 1.0, 0),
                    _ => scale("qt", quarts, 0.1, 1),
                }
            }
        }
    }
}

const fn scale(symbol: &'static str, number: f64, step: f64, places: usize) -> Scale {
    Scale { symbol, number, step, places }
}

impl Scale {
    fn said(&self, rounded: fn(f64) -> f64) -> String {
        let number = rounded(self.number / self.step) * self.step;
        format!("{} {}", trimmed(number, self.places), self.symbol)
    }
}

impl Said for Litres {
    fn said(self, units: System, _: Option<usize>) -> String {
        self.scale(units).said(f64::round)
    }
}

impl Shown<Litres> {
    /// What is needed: never less than it takes.
    pub fn up(self) -> String {
        self.quantity.scale(self.units).said(|steps| (steps - 1e-6).ceil())
    }

    /// What is left: never more than there is.
    pub fn down(self) -> String {
        self.quantity.scale(self.units).said(|steps| (steps + 1e-6).floor())
    }

    /// What stands on a tin, to the millilitre or the tenth of a fluid ounce.
    pub fn on_tin(self) -> String {
        let litres = self.quantity.get();
        match self.units {
            System::Metric if litres < 0.9995 => format!("{:.0} ml", litres * 1000.0),
            System::Metric => format!("{} L", trimmed(litres, 3)),
            System::Us => match self.quantity.number_in(Litres::unit(System::Us)) {
                quarts if quarts < 0.9995 => format!("{} fl oz", trimmed(quarts * 32.0, 1)),
                quarts if quarts < 3.9995 => format!("{} qt", trimmed(quarts, 2)),
                quarts => format!("{} gal", trimmed(quarts / 4.0, 2)),
            },
        }
    }
}
