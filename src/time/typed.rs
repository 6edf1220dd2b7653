//! Moments and dates as people type them: "09:40", "yesterday 16:00", "20m ago", "2026-03-04 09:40", RFC 3339.
//!
//! A wall time that comes twice or never is refused with the offsets that would settle it; nothing is guessed.

use chrono::{
    Datelike as _, Days, FixedOffset, NaiveDate, NaiveDateTime, NaiveTime, Timelike as _, Weekday,
};

use crate::time::local::{Reading, first_instant_of, local_date, offset_at};
use crate::time::{Instant, Span, SpanError, Zone};

/// The years that a typed date may have; outside them it is a slip of the hand.
const YEARS: std::ops::RangeInclusive<i32> = 1970..=2199;

/// Why a typed moment or date was not taken.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TypedError {
    #[error(
        "nothing was written: expected a time such as \"09:40\", \"yesterday 16:00\" or \"2026-03-04 09:40\""
    )]
    Empty,
    #[error(
        "\"{found}\" is not a time: expected \"09:40\", \"yesterday 16:00\", \"mon 09:40\", \"2026-03-04 09:40\", \"20m ago\" or \"in 2h\""
    )]
    Unread { found: String },
    #[error("\"{found}\" is not a date: expected \"2026-03-27\", \"today\" or \"tomorrow\"")]
    NotADate { found: String },
    #[error("there's no date {found}: expected year-month-day, from 1970-01-01 to 2199-12-31")]
    NoSuchDate { found: String },
    #[error("there isn't a time of day {found}: expected 00:00 to 23:59")]
    NoSuchTime { found: String },
    #[error(
        "\"{found}\" is not an offset from UTC: expected \"Z\" or, for one hour ahead, \"+01:00\""
    )]
    NoSuchOffset { found: String },
    #[error("\"{found}\" is not a moment with its offset: expected \"2026-03-04T09:40:00+00:00\"")]
    NoOffset { found: String },
    /// The span in "20m ago" or "in 2h".
    #[error(transparent)]
    Span(#[from] SpanError),
    #[error("{} comes twice: write {} or {}", spaced(.local), settled(.local, *.before), settled(.local, *.after))]
    Twice {
        local: NaiveDateTime,
        /// The offset the first time.
        before: FixedOffset,
        /// The offset the second time.
        after: FixedOffset,
    },
    #[error("{} never comes, the clocks go forward over it: write {} or {}", spaced(.local), settled(.local, *.before), settled(.local, *.after))]
    Never {
        local: NaiveDateTime,
        /// The offset before the change.
        before: FixedOffset,
        /// The offset after the change.
        after: FixedOffset,
    },
}

fn time_text(local: &NaiveDateTime) -> &'static str {
    if local.second() == 0 { "%H:%M" } else { "%H:%M:%S" }
}

fn spaced(local: &NaiveDateTime) -> String {
    format!("{} {}", local.date(), local.format(time_text(local)))
}

fn settled(local: &NaiveDateTime, offset: FixedOffset) -> String {
    format!("{}T{}{offset}", local.date(), local.format(time_text(local)))
}

/// Reads a moment as typed for `--at` and `--now`.
///
/// Taken: "now"; "20m ago", "in 2h"; a time of day, alone (today) or after "today", "yesterday", "tomorrow", a weekday
/// (the nearest such day not after today) or a date; each of these days alone, for its first instant; RFC 3339, with or
/// without seconds. Parts of a second are dropped.
pub fn read_moment(text: &str, now: Instant, zone: Zone) -> Result<Instant, TypedError> {
    let plain = plain(text);
    let unread = || TypedError::Unread { found: text.trim().to_owned() };
    match plain.as_str() {
        "" => return Err(TypedError::Empty),
        "now" => return Ok(now),
        _ => {}
    }
    if let Some(moment) = from_now(text, now) {
        return moment;
    }
    let today = local_date(now, zone);
    let (day, time) = split_day(&plain);
    let date = match day {
        None => today,
        Some(day) => match day_word(day, today) {
            Some(date) => date,
            None if looks_like_date(day) => calendar_date(day)
                .ok_or_else(|| TypedError::NoSuchDate { found: day.to_owned() })?,
            None => return Err(unread()),
        },
    };
    if time.is_empty() {
        return Ok(first_instant_of(date, zone));
    }
    let (time, offset) = split_offset(time);
    if !looks_like_time(time) {
        return Err(unread());
    }
    let time =
        time_of_day(time).ok_or_else(|| TypedError::NoSuchTime { found: time.to_owned() })?;
    let local = date.and_time(time);
    if offset.is_empty() { on_the_wall(local, zone) } else { at_offset(local, offset) }
}

/// "20m ago", "in 2h"; `None` when the text is neither. A unit keeps its case: "1M" is a month, and refused.
fn from_now(text: &str, now: Instant) -> Option<Result<Instant, TypedError>> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let span = |words: &[&str]| words.join(" ").parse::<Span>();
    let moment = match words.as_slice() {
        [span_words @ .., last] if last.eq_ignore_ascii_case("ago") => {
            span(span_words).map(|span| span.before(now))
        }
        [first, span_words @ ..] if first.eq_ignore_ascii_case("in") => {
            span(span_words).map(|span| span.after(now))
        }
        _ => return None,
    };
    Some(moment.map_err(TypedError::from).and_then(|at| in_range(at, text)))
}

/// Reads a moment that carries its offset: "2026-03-04T09:40:00+00:00", "2026-03-04T09:40Z".
pub fn read_rfc3339(text: &str) -> Result<Instant, TypedError> {
    let plain = plain(text);
    let no_offset = || TypedError::NoOffset { found: text.trim().to_owned() };
    let (day, time) = split_day(&plain);
    let (time, offset) = split_offset(time);
    let day = day.filter(|day| looks_like_date(day)).ok_or_else(no_offset)?;
    if !looks_like_time(time) || offset.is_empty() {
        return Err(no_offset());
    }
    let date =
        calendar_date(day).ok_or_else(|| TypedError::NoSuchDate { found: day.to_owned() })?;
    let time =
        time_of_day(time).ok_or_else(|| TypedError::NoSuchTime { found: time.to_owned() })?;
    at_offset(date.and_time(time), offset)
}

/// Reads a date as typed: "2026-03-27", "today", "tomorrow", "yesterday". A weekday is refused: for a promise it would
/// mean the next one, for a record the last.
pub fn read_date(text: &str, now: Instant, zone: Zone) -> Result<NaiveDate, TypedError> {
    let plain = plain(text);
    let found = || text.trim().to_owned();
    let today = local_date(now, zone);
    if let Some(date) = day_word(&plain, today).filter(|_| day_of_week(&plain).is_none()) {
        return Ok(date);
    }
    if !looks_like_date(&plain) {
        return Err(TypedError::NotADate { found: found() });
    }
    calendar_date(&plain).ok_or_else(|| TypedError::NoSuchDate { found: found() })
}

/// "2026-03-27", a date that the calendar has within the years a shop writes.
pub(crate) fn calendar_date(text: &str) -> Option<NaiveDate> {
    let mut parts = text.splitn(3, '-');
    let (year, month, day) = (parts.next()?, parts.next()?, parts.next()?);
    if year.len() != 4 || month.len() > 2 || day.len() > 2 {
        return None;
    }
    let year = i32::try_from(number(year)?).ok().filter(|year| YEARS.contains(year))?;
    NaiveDate::from_ymd_opt(year, number(month)?, number(day)?)
}

/// "mon", "Monday".
pub(crate) fn day_of_week(text: &str) -> Option<Weekday> {
    let day = match text.to_lowercase().as_str() {
        "mon" | "monday" => Weekday::Mon,
        "tue" | "tues" | "tuesday" => Weekday::Tue,
        "wed" | "wednesday" => Weekday::Wed,
        "thu" | "thur" | "thurs" | "thursday" => Weekday::Thu,
        "fri" | "friday" => Weekday::Fri,
        "sat" | "saturday" => Weekday::Sat,
        "sun" | "sunday" => Weekday::Sun,
        _ => return None,
    };
    Some(day)
}

/// Small letters, single blanks.
fn plain(text: &str) -> String {
    text.to_lowercase().split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Digits only, few enough to be a number.
fn number(text: &str) -> Option<u32> {
    let digits = !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    if digits { text.parse().ok() } else { None }
}

/// The day in front, if there is one, and the time after it.
fn split_day(plain: &str) -> (Option<&str>, &str) {
    let (head, tail) = plain.split_once(' ').unwrap_or((plain, ""));
    if looks_like_time(split_offset(head).0) {
        return (None, plain);
    }
    // The "t" of RFC 3339 stands after a digit; that of "tue" and "today" does not.
    match plain.split_once('t') {
        Some((date, time)) if looks_like_date(date) => (Some(date), time),
        _ => (Some(head), tail),
    }
}

/// The time, and the offset that follows it ("" for none).
fn split_offset(time: &str) -> (&str, &str) {
    let at = time.find(['z', '+', '-']).unwrap_or(time.len());
    let (time, offset) = time.split_at(at);
    (time.trim_end(), offset)
}

fn looks_like_date(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_digit())
        && text.contains('-')
        && text.chars().all(|c| c.is_ascii_digit() || c == '-')
}

fn looks_like_time(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_digit())
        && text.contains(':')
        && text.chars().all(|c| c.is_ascii_digit() || c == ':' || c == '.')
}

fn day_word(word: &str, today: NaiveDate) -> Option<NaiveDate> {
    match word {
        "today" => Some(today),
        "yesterday" => today.pred_opt(),
        "tomorrow" => today.succ_opt(),
        _ => {
            let back = today.weekday().days_since(day_of_week(word)?);
            today.checked_sub_days(Days::new(u64::from(back)))
        }
    }
}

/// "9:40", "09:40:30", "09:40:30.5"; the part of a second is dropped.
fn time_of_day(text: &str) -> Option<NaiveTime> {
    let (whole, part) = text.split_once('.').unwrap_or((text, "0"));
    let mut parts = whole.splitn(3, ':');
    let (hour, minute) = (parts.next()?, parts.next()?);
    let seconds = parts.next();
    let two = |text: &str| number(text).filter(|_| text.len() == 2);
    let part_is_digits = part.bytes().all(|byte| byte.is_ascii_digit()) && !part.is_empty();
    if hour.len() > 2 || !part_is_digits || (text.contains('.') && seconds.is_none()) {
        return None;
    }
    NaiveTime::from_hms_opt(number(hour)?, two(minute)?, seconds.map_or(Some(0), two)?)
}

/// "z", "+01:00", "-0330", "+01".
fn read_offset(text: &str) -> Option<FixedOffset> {
    if text == "z" {
        return FixedOffset::east_opt(0);
    }
    let (sign, digits) = match text.strip_prefix('-') {
        Some(digits) => (-1, digits),
        None => (1, text.strip_prefix('+')?),
    };
    let (hours, minutes) = match digits.split_once(':') {
        Some(pair) => pair,
        None if digits.len() == 4 && digits.is_ascii() => digits.split_at(2),
        None => (digits, "00"),
    };
    if hours.len() != 2 || minutes.len() != 2 {
        return None;
    }
    let (hours, minutes) = (number(hours)?, number(minutes).filter(|minutes| *minutes < 60)?);
    FixedOffset::east_opt(sign * i32::try_from(hours * 3600 + minutes * 60).ok()?)
}

fn at_offset(local: NaiveDateTime, offset: &str) -> Result<Instant, TypedError> {
    let east =
        read_offset(offset).ok_or_else(|| TypedError::NoSuchOffset { found: offset.to_owned() })?;
    let utc = local.checked_sub_offset(east);
    utc.map(|utc| utc.and_utc()).ok_or_else(|| TypedError::NoSuchDate { found: local.to_string() })
}

fn on_the_wall(local: NaiveDateTime, zone: Zone) -> Result<Instant, TypedError> {
    match Reading::of(local, zone) {
        Reading::Once(at) => Ok(at),
        Reading::Twice(first, second) => Err(TypedError::Twice {
            local,
            before: offset_at(first, zone),
            after: offset_at(second, zone),
        }),
        Reading::Never(change) => Err(TypedError::Never {
            local,
            before: offset_at(Span::seconds(1).before(change), zone),
            after: offset_at(change, zone),
        }),
    }
}

/// A moment reached by a span is held to the same years as a typed date.
fn in_range(at: Instant, text: &str) -> Result<Instant, TypedError> {
    if YEARS.contains(&at.year()) {
        Ok(at)
    } else {
        Err(TypedError::NoSuchDate { found: format!("\"{}\"", text.trim()) })
    }
}
