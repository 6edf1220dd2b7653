//! Open hours: local wall time by weekday, less the closed days.
//!
//! A stretch is open from the first instant at which the wall shows its opening to the last at which the wall still shows
//! less than its closing. So an edge the clocks skip moves to the end of the gap; where they go back over an edge the shop
//! opens the first time and closes the second, and is not shut in between.

use std::collections::BTreeMap;
use std::fmt;
use std::str::FromStr;

use chrono::{Datelike as _, Days, NaiveDate, NaiveDateTime, NaiveTime, TimeDelta, Weekday};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::time::closed::ClosedDays;
use crate::time::local::{Reading, first_instant_of, local_date};
use crate::time::typed::day_of_week;
use crate::time::{Instant, Span, Zone};

/// Minutes in a wall-clock day.
const DAY_END: u16 = 24 * 60;

/// How far ahead an opening or a closing is looked for: two years.
const LOOK_AHEAD: u32 = 2 * 366;

/// The names of the days in the setup file, Monday first.
pub(crate) const DAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];

/// Why hours or closed days cannot be taken.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum HoursError {
    #[error("\"{found}\" is not a stretch of open hours: expected \"08:30-12:30\"")]
    Unread { found: String },
    #[error(
        "\"{time}\" in \"{found}\" isn't a time of day: expected 00:00 to 23:59, or 24:00 as an end"
    )]
    NoSuchTime {
        found: String,
        /// The end in it.
        time: String,
    },
    #[error(
        "\"{found}\" closes before it opens: expected the earlier time first; past midnight, write two stretches on two days"
    )]
    Backwards { found: String },
    #[error("{day}: {first} and {second} overlap: expected stretches that do not share time")]
    Overlap {
        /// The day's name in the setup file.
        day: &'static str,
        first: Stretch,
        second: Stretch,
    },
    #[error("\"{found}\" is not a day of the week: expected mon, tue, wed, thu, fri, sat or sun")]
    NoSuchDay { found: String },
    #[error(
        "\"{found}\" is not a closed day: expected a date such as \"2026-03-17\", or two, \"2026-04-03..2026-04-06\""
    )]
    NoSuchDate { found: String },
    #[error("\"{found}\" ends before it begins: expected the earlier date first")]
    DaysBackwards { found: String },
}

/// One stretch of open wall time within a day: from, up to but not at.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, JsonSchema, Serialize, Deserialize,
)]
#[serde(try_from = "String", into = "String")]
pub struct Stretch {
    from: u16,
    to: u16,
}

impl Stretch {
    /// From and to in minutes of the wall-clock day, 0 to 1440.
    pub fn new(from: u16, to: u16) -> Result<Self, HoursError> {
        let stretch = Self { from, to };
        if to > DAY_END {
            return Err(HoursError::NoSuchTime {
                found: stretch.to_string(),
                time: minute_text(to),
            });
        }
        if from >= to {
            return Err(HoursError::Backwards { found: stretch.to_string() });
        }
        Ok(stretch)
    }

    /// Opening, minutes of the wall-clock day.
    pub(crate) const fn opening(self) -> u16 {
        self.from
    }

    /// Closing, minutes of the wall-clock day, at most 1440.
    pub(crate) const fn closing(self) -> u16 {
        self.to
    }

    /// The instants of this stretch on a date; `None` when the clocks skip all of it.
    fn on(self, date: NaiveDate, zone: Zone) -> Option<(Instant, Instant)> {
        let opens = Reading::of(wall_minute(date, self.from)?, zone).first();
        let second = TimeDelta::seconds(1);
        // The last second that shows less than the closing time: the closing time itself may come again an hour later,
        // on what is then another day.
        let last = Reading::of(wall_minute(date, self.to)?.checked_sub_signed(second)?, zone);
        let closes = match last {
            Reading::Never(end) => end,
            Reading::Once(at) | Reading::Twice(_, at) => at.checked_add_signed(second)?,
        };
        (opens < closes).then_some((opens, closes))
    }
}

fn wall_minute(date: NaiveDate, minute: u16) -> Option<NaiveDateTime> {
    date.and_time(NaiveTime::MIN).checked_add_signed(TimeDelta::minutes(i64::from(minute)))
}

fn minute_text(minute: u16) -> String {
    format!("{:02}:{:02}", minute / 60, minute % 60)
}

impl fmt::Display for Stretch {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{}-{}", minute_text(self.from), minute_text(self.to)))
    }
}

impl FromStr for Stretch {
    type Err = HoursError;

    fn from_str(text: &str) -> Result<Self, HoursError> {
        let text = text.trim();
        let found = || text.to_owned();
        let (from, to) =
            text.split_once('-').ok_or_else(|| HoursError::Unread { found: found() })?;
        let minute = |time: &str| {
            minute_of(time.trim()).ok_or_else(|| HoursError::NoSuchTime {
                found: found(),
                time: time.trim().to_owned(),
            })
        };
        let (from, to) = (minute(from)?, minute(to)?);
        Self::new(from, to).map_err(|_| HoursError::Backwards { found: found() })
    }
}

/// Minutes of "08:30"; 1440 for "24:00".
fn minute_of(time: &str) -> Option<u16> {
    let (hour, minute) = time.split_once(':')?;
    let number = |text: &str, longest: usize| {
        let fits = !text.is_empty() && text.len() <= longest;
        let digits = text.bytes().all(|byte| byte.is_ascii_digit());
        if fits && digits { text.parse::<u16>().ok() } else { None }
    };
    let (hour, minute) = (number(hour, 2)?, number(minute, 2).filter(|_| minute.len() == 2)?);
    let of_day = hour * 60 + minute;
    (minute < 60 && of_day <= DAY_END).then_some(of_day)
}

as_text!(Stretch, |stretch| stretch.to_string());

/// When the shop is open.
#[derive(Debug, Clone, PartialEq, Eq, Default, JsonSchema, Serialize, Deserialize)]
#[serde(try_from = "Written", into = "Written")]
pub struct OpenHours {
    /// Monday first; each day's stretches in order.
    week: [Vec<Stretch>; 7],
    closed: Vec<ClosedDays>,
}

/// The form in which hours are stored: days by name, a day left out is closed.
#[derive(JsonSchema, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Written {
    hours: BTreeMap<String, Vec<Stretch>>,
    #[serde(default)]
    closed: Vec<ClosedDays>,
}

impl OpenHours {
    /// Each weekday's stretches, Monday first, and the closed days. Sorts both; refuses stretches that share time.
    pub fn new(
        mut week: [Vec<Stretch>; 7],
        mut closed: Vec<ClosedDays>,
    ) -> Result<Self, HoursError> {
        for (stretches, day) in week.iter_mut().zip(DAYS) {
            stretches.sort_unstable();
            let mut pairs = stretches.iter().zip(stretches.iter().skip(1));
            if let Some((&first, &second)) = pairs.find(|(first, second)| first.to > second.from) {
                return Err(HoursError::Overlap { day, first, second });
            }
        }
        closed.sort_unstable();
        Ok(Self { week, closed })
    }

    /// A weekday's stretches of wall time, in order.
    pub(crate) fn on_weekday(&self, day: Weekday) -> &[Stretch] {
        // The number is 0 to 6, so there always is one.
        self.week.get(day.num_days_from_monday() as usize).map_or(&[], Vec::as_slice)
    }

    /// The closed days, in order.
    pub(crate) fn closed(&self) -> &[ClosedDays] {
        &self.closed
    }

    /// Is the shop shut all that date, by the list of closed days or because the weekday has no hours?
    pub fn is_closed_day(&self, date: NaiveDate) -> bool {
        self.on_weekday(date.weekday()).is_empty()
            || self.closed.iter().any(|days| days.contains(date))
    }

    /// The open instants that belong to a local date, in order, not merged.
    fn of_date(&self, date: NaiveDate, zone: Zone) -> impl Iterator<Item = (Instant, Instant)> {
        let stretches: &[Stretch] =
            if self.is_closed_day(date) { &[] } else { self.on_weekday(date.weekday()) };
        stretches.iter().filter_map(move |stretch| stretch.on(date, zone))
    }

    /// The open stretches between two moments, in order, clipped to them; touching ones are one.
    pub fn stretches(&self, zone: Zone, from: Instant, to: Instant) -> Vec<(Instant, Instant)> {
        let mut open: Vec<(Instant, Instant)> = Vec::new();
        for date in days_around(from, zone) {
            if first_instant_of(date, zone) >= to {
                break;
            }
            let clipped = self.of_date(date, zone).map(|(a, b)| (a.max(from), b.min(to)));
            for (opens, closes) in clipped.filter(|(a, b)| a < b) {
                match open.last_mut() {
                    Some(last) if opens <= last.1 => last.1 = last.1.max(closes),
                    _ => open.push((opens, closes)),
                }
            }
        }
        open
    }

    /// Is the shop open at that moment?
    pub fn is_open(&self, zone: Zone, at: Instant) -> bool {
        self.near(zone, at).any(|(opens, closes)| opens <= at && at < closes)
    }

    /// The first moment from `at` on (itself, when open) at which the shop is open; `None` when it is not within two years.
    pub fn next_open(&self, zone: Zone, at: Instant) -> Option<Instant> {
        days_around(at, zone)
            .take(LOOK_AHEAD as usize)
            .flat_map(|date| self.of_date(date, zone))
            .find(|(_, closes)| at < *closes)
            .map(|(opens, _)| opens.max(at))
    }

    /// When the shop, open at `at`, next closes; `None` when it is shut then, or does not close within two years.
    pub fn closes(&self, zone: Zone, at: Instant) -> Option<Instant> {
        let mut closing = None;
        for date in days_around(at, zone).take(LOOK_AHEAD as usize) {
            for (opens, closes) in self.of_date(date, zone) {
                match closing {
                    None if opens <= at && at < closes => closing = Some(closes),
                    Some(end) if opens <= end => closing = Some(end.max(closes)),
                    Some(_) => return closing,
                    None if opens > at => return None,
                    None => {}
                }
            }
        }
        // Not one shut moment in two years is a shop that does not close.
        closing.filter(|end| *end < Span::days(i64::from(LOOK_AHEAD) - 3).after(at))
    }

    /// Open time between two moments.
    pub fn open_span(&self, zone: Zone, a: Instant, b: Instant) -> Span {
        self.stretches(zone, a, b)
            .into_iter()
            .fold(Span::ZERO, |sum, (from, to)| sum.saturating_add(Span::between(from, to)))
    }

    /// The stretches of the dates around a moment.
    fn near(&self, zone: Zone, at: Instant) -> impl Iterator<Item = (Instant, Instant)> {
        days_around(at, zone).take(3).flat_map(move |date| self.of_date(date, zone))
    }
}

/// Local dates in order from the day before a moment: a clock change at midnight can carry a day's hours over.
fn days_around(at: Instant, zone: Zone) -> impl Iterator<Item = NaiveDate> {
    let today = local_date(at, zone);
    today.checked_sub_days(Days::new(1)).unwrap_or(today).iter_days()
}

impl TryFrom<Written> for OpenHours {
    type Error = HoursError;

    fn try_from(written: Written) -> Result<Self, HoursError> {
        let mut week: [Vec<Stretch>; 7] = Default::default();
        for (name, mut stretches) in written.hours {
            let day = day_of_week(&name);
            let place = day.and_then(|day| week.get_mut(day.num_days_from_monday() as usize));
            place.ok_or(HoursError::NoSuchDay { found: name })?.append(&mut stretches);
        }
        Self::new(week, written.closed)
    }
}

impl From<OpenHours> for Written {
    fn from(open: OpenHours) -> Self {
        let days = DAYS.into_iter().map(str::to_owned).zip(open.week);
        let hours = days.filter(|(_, stretches)| !stretches.is_empty()).collect();
        Self { hours, closed: open.closed }
    }
}
