//! Elapsed time as people type it ("24h", "6m10s", "24h..7d") and as they say it ("6 m 10 s").
//!
//! humantime reads the text. What it would read differently than a shop means is refused first: its month is
//! 30.44 days and its year 365.25, and nothing here is shorter than a second.

use std::fmt;
use std::str::FromStr;

use chrono::TimeDelta;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::time::Instant;

const MINUTE: i64 = 60;
const HOUR: i64 = 60 * MINUTE;
const DAY: i64 = 24 * HOUR;

/// More digits than any span a shop types; below this no sum inside humantime can overflow.
const MOST_DIGITS: usize = 12;

/// Why a text is not an elapsed time, or not a range of them.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SpanError {
    #[error("nothing was written: expected a time such as \"24h\", \"6m10s\" or \"7d\"")]
    Empty,
    #[error(
        "\"{found}\" is not a time: expected numbers with units, such as \"24h\", \"6m10s\" or \"7d\""
    )]
    Unread { found: String },
    #[error("\"{found}\" has a number without a unit: expected s, m, h, d or w after each number")]
    NoUnit { found: String },
    #[error("\"{unit}\" in \"{found}\" is not a unit of time: expected s, m, h, d or w")]
    UnknownUnit { found: String, unit: String },
    #[error(
        "\"{unit}\" in \"{found}\" has no fixed length: expected days or weeks, such as \"90d\""
    )]
    Calendar { found: String, unit: String },
    #[error("\"{found}\" goes below one second: expected whole seconds")]
    BelowSecond { found: String },
    #[error("\"{found}\" is too long: expected at most 1000 years' worth of days")]
    TooLong { found: String },
    #[error("{seconds} s is less than nothing: expected elapsed time of 0 s or more")]
    Negative { seconds: i64 },
    #[error(
        "\"{found}\" is a single time: expected the shortest and the longest, such as \"24h..7d\""
    )]
    NotARange { found: String },
    #[error(
        "\"{min}..{max}\" ends before it begins: expected the shorter time first, \"{max}..{min}\""
    )]
    Backwards {
        /// Written first.
        min: Span,
        /// Written second.
        max: Span,
    },
    #[error(
        "\"{found}\" mixes months with other units: expected \"6 months\", \"1 year\" or \"90d\""
    )]
    Mixed { found: String },
}

/// Elapsed time in whole seconds, never negative, at most [`Span::MAX`].
///
/// Written (serde, [`Span::typed`]) as it is typed, "6m10s"; shown as people say it, "6 m 10 s".
#[derive(
    Debug,
    Clone,
    Copy,
    Default,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    JsonSchema,
    Serialize,
    Deserialize,
)]
#[serde(try_from = "String", into = "String")]
pub struct Span(i64);

impl Span {
    /// No time at all.
    pub const ZERO: Self = Self(0);
    /// A thousand years of 365 days: longer than anything kept, short enough that no date overflows by it.
    pub const MAX: Self = Self(365_000 * DAY);

    /// That many seconds; below nothing is nothing, above [`Span::MAX`] is that.
    pub const fn seconds(seconds: i64) -> Self {
        if seconds < 0 {
            Self::ZERO
        } else if seconds > Self::MAX.0 {
            Self::MAX
        } else {
            Self(seconds)
        }
    }

    /// That many seconds, or why there is no such span.
    pub fn try_seconds(seconds: i64) -> Result<Self, SpanError> {
        match seconds {
            s if s < 0 => Err(SpanError::Negative { seconds }),
            s if s > Self::MAX.0 => Err(SpanError::TooLong { found: format!("{seconds}s") }),
            s => Ok(Self(s)),
        }
    }

    /// That many minutes, clamped as [`Span::seconds`].
    pub const fn minutes(minutes: i64) -> Self {
        Self::seconds(minutes.saturating_mul(MINUTE))
    }

    /// That many hours, clamped as [`Span::seconds`].
    pub const fn hours(hours: i64) -> Self {
        Self::seconds(hours.saturating_mul(HOUR))
    }

    /// That many times 24 hours, clamped as [`Span::seconds`].
    pub const fn days(days: i64) -> Self {
        Self::seconds(days.saturating_mul(DAY))
    }

    /// From one moment to another, whole seconds; nothing when `to` is not after `from`.
    pub fn between(from: Instant, to: Instant) -> Self {
        Self::seconds(to.signed_duration_since(from).num_seconds())
    }

    /// Whole seconds.
    pub const fn as_seconds(self) -> i64 {
        self.0
    }

    /// Hours, with the part.
    #[expect(clippy::cast_precision_loss, reason = "at most 3.2e10, which an f64 holds exactly")]
    pub fn as_hours(self) -> f64 {
        self.0 as f64 / HOUR as f64
    }

    /// Minutes, rounded up: labour is planned in whole minutes.
    pub const fn minutes_up(self) -> i64 {
        (self.0 + MINUTE - 1) / MINUTE
    }

    /// For chrono's arithmetic on instants.
    pub fn as_delta(self) -> TimeDelta {
        TimeDelta::seconds(self.0)
    }

    /// The moment this long after `at`; the last moment there is if that is past it.
    pub fn after(self, at: Instant) -> Instant {
        at.checked_add_signed(self.as_delta()).unwrap_or(Instant::MAX_UTC)
    }

    /// The moment this long before `at`; the first moment there is if that is before it.
    pub fn before(self, at: Instant) -> Instant {
        at.checked_sub_signed(self.as_delta()).unwrap_or(Instant::MIN_UTC)
    }

    /// Nothing at all?
    pub(crate) const fn is_zero(self) -> bool {
        self.0 == 0
    }

    /// Both together, at most [`Span::MAX`].
    #[must_use]
    pub const fn saturating_add(self, other: Self) -> Self {
        Self::seconds(self.0.saturating_add(other.0))
    }

    /// So many times this, at most [`Span::MAX`].
    #[must_use]
    pub fn times(self, count: u64) -> Self {
        Self::seconds(self.0.saturating_mul(i64::try_from(count).unwrap_or(i64::MAX)))
    }

    /// As it is typed, and reads back the same: "45s", "6m10s", "24h", "3d4h". Never months or years.
    pub fn typed(self) -> String {
        if self.is_zero() {
            return "0s".to_owned();
        }
        self.worded("", "", self.in_days())
    }

    /// From 48 h on, people count in days.
    const fn in_days(self) -> bool {
        self.0 > 48 * HOUR
    }

    /// Days (if so counted), hours, minutes, seconds, those that are not nothing.
    fn worded(self, before_unit: &str, between: &str, in_days: bool) -> String {
        let days = if in_days { self.0 / DAY } else { 0 };
        let rest = self.0 - days * DAY;
        let parts =
            [(days, "d"), (rest / HOUR, "h"), (rest % HOUR / MINUTE, "m"), (rest % MINUTE, "s")];
        let worded = |&(count, unit): &(i64, &str)| {
            (count > 0).then(|| format!("{count}{before_unit}{unit}"))
        };
        parts.iter().filter_map(worded).collect::<Vec<_>>().join(between)
    }
}

/// As people say it, in two neighbouring units at most, the rest left off: "45 s", "6 m 10 s", "2 h 10 m",
/// "24 h" up to 48 h, then "3 d 4 h".
impl fmt::Display for Span {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let finest = match self.0 {
            _ if self.in_days() => HOUR,
            HOUR.. => MINUTE,
            _ => 1,
        };
        if self.is_zero() {
            return f.pad("0 s");
        }
        f.pad(&Self(self.0 - self.0 % finest).worded(" ", " ", self.in_days()))
    }
}

impl FromStr for Span {
    type Err = SpanError;

    fn from_str(text: &str) -> Result<Self, SpanError> {
        let text = text.trim();
        let found = || text.to_owned();
        if text.is_empty() {
            return Err(SpanError::Empty);
        }
        if text.chars().filter(char::is_ascii_digit).count() > MOST_DIGITS {
            return Err(SpanError::TooLong { found: found() });
        }
        for unit in unit_words(text) {
            match unit {
                "months" | "month" | "M" | "years" | "year" | "yr" | "yrs" | "y" => {
                    return Err(SpanError::Calendar { found: found(), unit: unit.to_owned() });
                }
                "nanos" | "nsec" | "ns" | "usec" | "us" | "µs" | "millis" | "msec" | "ms" => {
                    return Err(SpanError::BelowSecond { found: found() });
                }
                _ => {}
            }
        }
        let read = humantime::parse_duration(text).map_err(|error| refused(text, error))?;
        if read.subsec_nanos() != 0 {
            return Err(SpanError::BelowSecond { found: found() });
        }
        let seconds = i64::try_from(read.as_secs()).unwrap_or(i64::MAX);
        Self::try_seconds(seconds).map_err(|_| SpanError::TooLong { found: found() })
    }
}

/// The words in a text, between digits, blanks and signs.
pub(super) fn unit_words(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| !c.is_alphabetic()).filter(|word| !word.is_empty())
}

fn refused(text: &str, error: humantime::DurationError) -> SpanError {
    use humantime::DurationError as Fault;
    let found = text.to_owned();
    match error {
        Fault::Empty => SpanError::Empty,
        Fault::UnknownUnit { unit, .. } if unit.is_empty() => SpanError::NoUnit { found },
        Fault::UnknownUnit { unit, .. } => SpanError::UnknownUnit { found, unit },
        Fault::NumberOverflow => SpanError::BelowSecond { found },
        Fault::InvalidCharacter(_) | Fault::NumberExpected(_) => SpanError::Unread { found },
    }
}

as_text!(Span, |span| span.typed());

/// No sooner than `min`, no later than `max`.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, JsonSchema, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct SpanRange {
    pub min: Span,
    /// The longest, never shorter than `min`; [`Span::MAX`] where there is none.
    pub max: Span,
}

impl SpanRange {
    /// Both ends, or why they are not a range.
    pub fn new(min: Span, max: Span) -> Result<Self, SpanError> {
        if min <= max { Ok(Self { min, max }) } else { Err(SpanError::Backwards { min, max }) }
    }

    /// The longest; nothing where there is none.
    pub fn longest(self) -> Option<Span> {
        Some(self.max).filter(|max| *max < Span::MAX)
    }

    /// As it is typed: "24h..7d", "24h..".
    pub fn typed(self) -> String {
        let longest = self.longest().map_or_else(String::new, Span::typed);
        format!("{}..{longest}", self.min.typed())
    }
}

/// As people say it: "24 h to 7 d", "24 h or longer".
impl fmt::Display for SpanRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.longest() {
            Some(longest) => f.pad(&format!("{} to {longest}", self.min)),
            None => f.pad(&format!("{} or longer", self.min)),
        }
    }
}

impl FromStr for SpanRange {
    type Err = SpanError;

    fn from_str(text: &str) -> Result<Self, SpanError> {
        let text = text.trim();
        if text.is_empty() {
            return Err(SpanError::Empty);
        }
        match text.split_once("..") {
            Some((min, max)) if max.trim().is_empty() => Self::new(min.parse()?, Span::MAX),
            Some((min, max)) if !min.trim().is_empty() => Self::new(min.parse()?, max.parse()?),
            _ => Err(SpanError::NotARange { found: text.to_owned() }),
        }
    }
}

as_text!(SpanRange, |range| range.typed());
