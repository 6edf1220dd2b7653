//! A date as a sheet prints it: a day, a month or only a year.

use std::fmt;
use std::str::FromStr;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// "2024-06-12", "2024-06" or "2024".
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct PartialDate {
    /// The day, or the first of what is said.
    first: NaiveDate,
    /// How many of year, month and day are said.
    parts: usize,
}

impl fmt::Display for PartialDate {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let whole = self.first.to_string();
        f.pad(whole.get(..[4, 7, 10][self.parts.clamp(1, 3) - 1]).unwrap_or(&whole))
    }
}

impl FromStr for PartialDate {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let parts = text.split('-').count();
        let whole = format!("{text}{}", ["-01-01", "-01", ""].get(parts - 1).unwrap_or(&""));
        let first = NaiveDate::parse_from_str(&whole, "%Y-%m-%d").ok();
        // A date must read back as it was written: "2024-6" is refused for its missing zero.
        let read = first.map(|first| Self { first, parts });
        read.filter(|date| date.to_string() == text).ok_or_else(|| {
            format!("{text:?} isn't a date: expected \"2024\", \"2024-06\" or \"2024-06-12\"")
        })
    }
}

as_text!(PartialDate, |date| date.to_string());
