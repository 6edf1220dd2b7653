//! Days on which the shop is shut whatever the weekday says.

use std::fmt;
use std::str::FromStr;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::time::hours::HoursError;
use crate::time::typed::calendar_date;

/// Closed local dates, both ends included.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, JsonSchema, Serialize, Deserialize,
)]
#[serde(try_from = "String", into = "String")]
pub struct ClosedDays {
    first: NaiveDate,
    last: NaiveDate,
}

impl ClosedDays {
    /// Both dates and those between.
    pub fn new(first: NaiveDate, last: NaiveDate) -> Result<Self, HoursError> {
        let days = Self { first, last };
        if first <= last {
            Ok(days)
        } else {
            Err(HoursError::DaysBackwards { found: days.to_string() })
        }
    }

    /// Is that date one of them?
    pub(crate) fn contains(self, date: NaiveDate) -> bool {
        self.first <= date && date <= self.last
    }
}

impl fmt::Display for ClosedDays {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.first == self.last {
            f.pad(&self.first.to_string())
        } else {
            f.pad(&format!("{}..{}", self.first, self.last))
        }
    }
}

impl FromStr for ClosedDays {
    type Err = HoursError;

    fn from_str(text: &str) -> Result<Self, HoursError> {
        let text = text.trim();
        let (first, last) = text.split_once("..").unwrap_or((text, text));
        match (calendar_date(first.trim()), calendar_date(last.trim())) {
            (Some(first), Some(last)) => Self::new(first, last),
            _ => Err(HoursError::NoSuchDate { found: text.to_owned() }),
        }
    }
}

as_text!(ClosedDays, |days| days.to_string());
