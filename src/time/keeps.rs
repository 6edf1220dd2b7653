//! How long an opened can keeps: the one place where months and years are taken, as the calendar's.

use std::fmt;
use std::str::FromStr;

use chrono::Months;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::time::local::{Reading, wall};
use crate::time::span::unit_words;
use crate::time::{Instant, Span, SpanError, Zone};

/// A century: longer than any can keeps.
const MOST_MONTHS: u32 = 1200;

/// How long a can keeps: calendar months or elapsed time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub enum Keeps {
    /// Calendar months.
    Months(u32),
    /// Elapsed time.
    For(Span),
}

impl Keeps {
    /// Until when something opened at `opened` keeps.
    ///
    /// Months go by the shop's own calendar: the same wall time on the same day of the month, or on the month's last
    /// day where it has no such day. A wall time that is skipped moves to the end of the gap; of two the first counts.
    pub fn until(self, opened: Instant, zone: Zone) -> Instant {
        match self {
            Self::For(span) => span.after(opened),
            Self::Months(months) => wall(opened, zone)
                .checked_add_months(Months::new(months))
                .map_or(Instant::MAX_UTC, |local| Reading::of(local, zone).first()),
        }
    }

    /// As it is typed, and reads back the same: "6 months", "1 year", "90d".
    pub fn typed(self) -> String {
        match self {
            Self::For(span) => span.typed(),
            Self::Months(_) => self.to_string(),
        }
    }
}

/// As people say it: "6 months", "1 year", "90 d".
impl fmt::Display for Keeps {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (count, unit) = match *self {
            Self::For(span) => return span.fmt(f),
            Self::Months(months) if months > 0 && months % 12 == 0 => (months / 12, "year"),
            Self::Months(months) => (months, "month"),
        };
        f.pad(&format!("{count} {unit}{}", if count == 1 { "" } else { "s" }))
    }
}

/// Months in one of the calendar's units, as humantime spells them.
fn months_in(unit: &str) -> Option<u32> {
    match unit {
        "months" | "month" | "M" => Some(1),
        "years" | "year" | "yr" | "yrs" | "y" => Some(12),
        _ => None,
    }
}

impl FromStr for Keeps {
    type Err = SpanError;

    fn from_str(text: &str) -> Result<Self, SpanError> {
        let text = text.trim();
        let found = || text.to_owned();
        if !unit_words(text).any(|unit| months_in(unit).is_some()) {
            return text.parse().map(Self::For);
        }
        if unit_words(text).any(|unit| months_in(unit).is_none()) {
            return Err(SpanError::Mixed { found: found() });
        }
        let mut months = 0_u32;
        let mut left = text;
        while !left.is_empty() {
            let (number, after) = split_while(left, |c| c.is_ascii_digit());
            let (unit, after) = split_while(after.trim_start(), char::is_alphabetic);
            if number.is_empty() {
                return Err(SpanError::Unread { found: found() });
            }
            let each = months_in(unit).ok_or_else(|| SpanError::NoUnit { found: found() })?;
            let too_long = || SpanError::TooLong { found: found() };
            let count = number.parse::<u32>().map_err(|_| too_long())?;
            months = count
                .checked_mul(each)
                .and_then(|more| months.checked_add(more))
                .filter(|sum| *sum <= MOST_MONTHS)
                .ok_or_else(too_long)?;
            left = after.trim_start();
        }
        Ok(Self::Months(months))
    }
}

/// The longest beginning of which every character passes, and the rest.
fn split_while(text: &str, passes: impl Fn(char) -> bool) -> (&str, &str) {
    let end = text.find(|c| !passes(c)).unwrap_or(text.len());
    text.split_at(end)
}

as_text!(Keeps, |keeps| keeps.typed());
