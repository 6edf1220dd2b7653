//! The moment in a row, as it is written: the order of day and month, and the offset, may still be open.

use chrono::{Datelike as _, FixedOffset, NaiveDate, NaiveDateTime, NaiveTime};

/// Which comes first in a date such as 03/04/2026.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum DateOrder {
    /// 3 April.
    DayFirst,
    /// 4 March.
    MonthFirst,
}

/// A moment as written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Written {
    pub(super) date: WrittenDate,
    pub(super) time: NaiveTime,
    /// The offset written beside it.
    pub(super) offset: Option<FixedOffset>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum WrittenDate {
    /// Year, month and day are known by their places.
    Placed { year: i32, month: u32, day: u32 },
    /// Day before month or month before day.
    Open { first: u32, second: u32, year: i32 },
}

impl Written {
    /// The wall time in that order; `None` for a date that the calendar does not have, or from before any logger.
    pub(super) fn local(&self, order: DateOrder) -> Option<NaiveDateTime> {
        let (year, month, day) = match (self.date, order) {
            (WrittenDate::Placed { year, month, day }, _) => (year, month, day),
            (WrittenDate::Open { first, second, year }, DateOrder::DayFirst) => {
                (year, second, first)
            }
            (WrittenDate::Open { first, second, year }, DateOrder::MonthFirst) => {
                (year, first, second)
            }
        };
        let date = NaiveDate::from_ymd_opt(year, month, day)?;
        (1970..=2199).contains(&date.year()).then(|| date.and_time(self.time))
    }

    /// As it can be shown where no calendar has it.
    pub(super) fn shown(&self) -> String {
        match self.date {
            WrittenDate::Placed { year, month, day } => format!("{year:04}-{month:02}-{day:02}"),
            WrittenDate::Open { first, second, year } => {
                format!("{first:02}/{second:02}/{year:04}")
            }
        }
    }
}

/// The moment in a text: "2026-03-04T09:40:00Z", "04/03/2026 09:40", "4.3.2026 9:40:30", "03/04/26 09:40:00 AM".
pub(super) fn written(text: &str) -> Option<Written> {
    let text = text.trim();
    let cut = text.find(|c: char| !(c.is_ascii_digit() || matches!(c, '-' | '/' | '.')))?;
    let date = date(text.get(..cut)?)?;
    let time = text.get(cut..)?.trim_start_matches([' ', 'T', 't', ',']).trim_start();
    let digits = time
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, ':' | '.' | ',')))
        .unwrap_or(time.len());
    let (clock, rest) = time.split_at(digits);
    let (half, offset) = half_of_day(rest.trim());
    let offset = match offset {
        "" => None,
        text => Some(offset_of(text)?),
    };
    Some(Written { date, time: time_of(clock, half)?, offset })
}

fn date(text: &str) -> Option<WrittenDate> {
    let sign = text.chars().find(|c| !c.is_ascii_digit())?;
    let mut parts = text.split(sign);
    let (a, b, c) = (parts.next()?, parts.next()?, parts.next()?);
    if parts.next().is_some() {
        return None;
    }
    let short = |text: &str| number(text).filter(|_| text.len() <= 2);
    if a.len() == 4 {
        return Some(WrittenDate::Placed { year: year(a)?, month: short(b)?, day: short(c)? });
    }
    // With hyphens a year of two digits may stand first or last.
    if c.len() != 4 && (c.len() != 2 || sign == '-') {
        return None;
    }
    let (first, second, year) = (short(a)?, short(b)?, year(c)?);
    Some(match sign {
        // Dates with points are written day first wherever they are used.
        '.' => WrittenDate::Placed { year, month: second, day: first },
        _ => WrittenDate::Open { first, second, year },
    })
}

fn year(text: &str) -> Option<i32> {
    let year = i32::try_from(number(text)?).ok()?;
    Some(if text.len() == 2 { 2000 + year } else { year })
}

/// "am" or "pm" in front, and what follows.
fn half_of_day(text: &str) -> (Option<bool>, &str) {
    let half = text.get(..2).unwrap_or_default();
    let rest = text.get(2..).unwrap_or_default().trim_start();
    if half.eq_ignore_ascii_case("am") {
        (Some(false), rest)
    } else if half.eq_ignore_ascii_case("pm") {
        (Some(true), rest)
    } else {
        (None, text)
    }
}

/// "9:40", "09:40:30", "09:40:30.5"; parts of a second are dropped.
fn time_of(text: &str, afternoon: Option<bool>) -> Option<NaiveTime> {
    let whole = text.split(['.', ',']).next()?;
    let mut parts = whole.split(':');
    let (hour, minute) = (number(parts.next()?)?, number(parts.next()?)?);
    let second = parts.next().map_or(Some(0), number)?;
    if parts.next().is_some() {
        return None;
    }
    let hour = match afternoon {
        None => hour,
        Some(_) if !(1..=12).contains(&hour) => return None,
        Some(afternoon) => hour % 12 + if afternoon { 12 } else { 0 },
    };
    NaiveTime::from_hms_opt(hour, minute, second)
}

/// An offset from UTC: "Z", "UTC", "GMT+01:00", "+01:00", "-0330", "+1".
pub(crate) fn offset_of(text: &str) -> Option<FixedOffset> {
    let text = text.trim();
    let named = text
        .get(..3)
        .filter(|name| name.eq_ignore_ascii_case("utc") || name.eq_ignore_ascii_case("gmt"));
    let rest = named.and_then(|_| text.get(3..)).unwrap_or(text).trim();
    if rest.eq_ignore_ascii_case("z") || (rest.is_empty() && named.is_some()) {
        return FixedOffset::east_opt(0);
    }
    let (sign, digits) = match rest.strip_prefix(['-', '\u{2212}']) {
        Some(digits) => (-1, digits),
        None => (1, rest.strip_prefix('+')?),
    };
    let (hours, minutes) = match digits.split_once(':') {
        Some(pair) => pair,
        None if digits.len() == 4 && digits.is_ascii() => digits.split_at(2),
        None => (digits, "0"),
    };
    let (hours, minutes) = (number(hours)?, number(minutes).filter(|minutes| *minutes < 60)?);
    let seconds = i32::try_from(hours.checked_mul(3600)?.checked_add(minutes * 60)?).ok()?;
    FixedOffset::east_opt(sign * seconds)
}

/// Digits only, at most four.
fn number(text: &str) -> Option<u32> {
    let digits = (1..=4).contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit());
    digits.then(|| text.bytes().fold(0, |sum, byte| sum * 10 + u32::from(byte - b'0')))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(text: &str, order: DateOrder) -> String {
        let stamp = written(text).unwrap_or_else(|| panic!("{text:?} is not read"));
        let local = stamp.local(order).map_or_else(|| "none".to_owned(), |at| at.to_string());
        stamp.offset.map_or_else(|| local.clone(), |offset| format!("{local} {offset}"))
    }

    #[test]
    fn stamps_of_every_kind_are_read() {
        let cases = [
            ("2026-03-04 09:40", "2026-03-04 09:40:00"),
            ("2026-03-04T09:40:30.123Z", "2026-03-04 09:40:30 +00:00"),
            ("2026-03-04T09:40:30,5+01:00", "2026-03-04 09:40:30 +01:00"),
            ("2026/3/4 9:40", "2026-03-04 09:40:00"),
            ("04/03/2026 09:40", "2026-03-04 09:40:00"),
            ("04.03.2026 09:40", "2026-03-04 09:40:00"),
            ("4.3.26, 9:40", "2026-03-04 09:40:00"),
            ("04-03-2026 09:40:10", "2026-03-04 09:40:10"),
            ("04/03/26 12:05:00 AM", "2026-03-04 00:05:00"),
            ("04/03/26 12:05 pm", "2026-03-04 12:05:00"),
            ("2026-03-04 09:40 UTC", "2026-03-04 09:40:00 +00:00"),
            ("2026-03-04 09:40 GMT+1", "2026-03-04 09:40:00 +01:00"),
            ("31.02.2026 09:40", "none"),
        ];
        for (text, expected) in cases {
            assert_eq!(said(text, DateOrder::DayFirst), expected, "{text}");
        }
        assert_eq!(said("04/03/2026 09:40", DateOrder::MonthFirst), "2026-04-03 09:40:00");
        for text in [
            "",
            "2026-03-04",
            "09:40",
            "2026-03-04 9a:40",
            "02026-03-04 09:40",
            "2026-0x-04 09:40",
            "26-03-04 09:40",
            "2026-03-04 25:00",
            "2026-03-04 13:00 PM",
        ] {
            assert_eq!(written(text), None, "{text:?}");
        }
    }
}
