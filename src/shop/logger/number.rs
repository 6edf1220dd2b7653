//! Numbers as loggers write them: with a point or a comma, with their unit or without, or not there at all.

use schemars::JsonSchema;
use serde::Serialize;

use crate::craft::climate::from_fahrenheit;
use crate::units::{Celsius, OutOfRange};

/// What temperatures are given in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Unit {
    /// °C.
    Celsius,
    /// °F.
    Fahrenheit,
}

impl Unit {
    /// The unit that a sign behind a number names, in small letters.
    pub(super) fn of_sign(sign: &str) -> Option<Self> {
        match sign.trim().trim_start_matches(['°', 'º', '˚']).trim() {
            "c" | "℃" | "degc" | "celsius" => Some(Self::Celsius),
            "f" | "℉" | "degf" | "fahrenheit" => Some(Self::Fahrenheit),
            _ => None,
        }
    }

    /// A temperature in this unit.
    pub(super) fn celsius(self, value: f64) -> Result<Celsius, OutOfRange> {
        match self {
            Self::Celsius => Celsius::new(value),
            Self::Fahrenheit => from_fahrenheit(value),
        }
    }
}

/// No number where one was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct NotANumber;

/// The number in a field and the sign behind it, in small letters; `None` for a field that says nothing was read.
pub(super) fn read(text: &str) -> Result<Option<(f64, Option<String>)>, NotANumber> {
    let text = text.trim();
    // The common case, and the quick one.
    if let Ok(value) = text.parse::<f64>() {
        return if value.is_finite() { Ok(Some((value, None))) } else { Ok(None) };
    }
    if is_nothing(text) {
        return Ok(None);
    }
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '+' | '-' | '.' | ',' | '\u{2212}')))
        .unwrap_or(text.len());
    let (digits, sign) = text.split_at(end);
    // "1.234,5" may be one thing or another; no room is so warm either way.
    if digits.contains('.') && digits.contains(',') {
        return Err(NotANumber);
    }
    let plain = digits.replace(',', ".").replace('\u{2212}', "-");
    let value: f64 = plain.parse().map_err(|_| NotANumber)?;
    let sign = sign.trim().to_lowercase();
    Ok(Some((value, (!sign.is_empty()).then_some(sign))))
}

fn is_nothing(text: &str) -> bool {
    let nothing = ["n/a", "na", "nan", "null", "none"];
    text.chars().all(|c| matches!(c, '-' | '–' | '.' | ' '))
        || nothing.iter().any(|word| text.eq_ignore_ascii_case(word))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_commas_units_and_nothing() {
        let plain = |value: f64| Ok(Some((value, None)));
        assert_eq!(read(" 14.2 "), plain(14.2));
        assert_eq!(read("14,2"), plain(14.2));
        assert_eq!(read("-3,5"), plain(-3.5));
        assert_eq!(read("\u{2212}3.5"), plain(-3.5));
        assert_eq!(read("57.6 °F"), Ok(Some((57.6, Some("°f".to_owned())))));
        assert_eq!(read("55%"), Ok(Some((55.0, Some("%".to_owned())))));
        for nothing in ["", "--", "n/a", "NaN", "inf"] {
            assert_eq!(read(nothing), Ok(None), "{nothing:?}");
        }
        for wrong in ["1.234,5", "warm", "1.2.3", "°C", "%"] {
            assert_eq!(read(wrong), Err(NotANumber), "{wrong:?}");
        }
        assert_eq!(Unit::of_sign("°f"), Some(Unit::Fahrenheit));
        assert_eq!(Unit::of_sign("%"), None);
    }
}
