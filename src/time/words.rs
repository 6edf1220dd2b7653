//! Moments, dates and waits as people say them: short enough to read with oil on the hands.

use chrono::{Datelike as _, NaiveDate};

use crate::time::local::{Reading, local_date, offset_at, wall};
use crate::time::{Instant, Span, Zone};

/// "today 14:20", "yesterday 16:00", "tomorrow 08:30", "Mon 30 Mar 14:20", with the year when it is another. A time that
/// comes twice carries its offset: "today 01:30 (+01:00)".
pub fn moment(at: Instant, now: Instant, zone: Zone) -> String {
    format!("{} {}", date(local_date(at, zone), now, zone), clock(at, zone))
}

/// "14:20"; a time that comes twice carries its offset: "01:30 (+01:00)".
pub(crate) fn clock(at: Instant, zone: Zone) -> String {
    let local = wall(at, zone);
    let said = local.format("%H:%M").to_string();
    match Reading::of(local, zone) {
        Reading::Twice(..) => format!("{said} ({})", offset_at(at, zone)),
        Reading::Once(_) | Reading::Never(_) => said,
    }
}

/// The next whole minute, so that a time shown without its seconds is not too early.
pub(crate) fn minute_up(at: Instant) -> Instant {
    Span::seconds((-at.timestamp()).rem_euclid(60)).after(at)
}

/// "14:20:26".
pub(crate) fn clock_to_the_second(at: Instant, zone: Zone) -> String {
    wall(at, zone).format("%H:%M:%S").to_string()
}

/// "today", "yesterday", "tomorrow", "Mon 30 Mar", "Mon 29 Mar 2027".
pub fn date(date: NaiveDate, now: Instant, zone: Zone) -> String {
    let today = local_date(now, zone);
    match date.signed_duration_since(today).num_days() {
        -1 => "yesterday".to_owned(),
        0 => "today".to_owned(),
        1 => "tomorrow".to_owned(),
        _ if date.year() == today.year() => date.format("%a %-d %b").to_string(),
        _ => date.format("%a %-d %b %Y").to_string(),
    }
}

/// "in 2 h 10 m", "3 d ago", "now"; two units at most, the rest left off.
pub fn relative(at: Instant, now: Instant) -> String {
    let (ahead, back) = (Span::between(now, at), Span::between(at, now));
    if !ahead.is_zero() {
        format!("in {ahead}")
    } else if !back.is_zero() {
        format!("{back} ago")
    } else {
        "now".to_owned()
    }
}

/// "today 14:20, in 2 h 10 m".
pub fn both(at: Instant, now: Instant, zone: Zone) -> String {
    format!("{}, {}", moment(at, now, zone), relative(at, now))
}

/// RFC 3339 with the zone's offset, whole seconds: "2026-03-30T14:20:00+01:00".
pub fn rfc3339(at: Instant, zone: Zone) -> String {
    format!("{}{}", wall(at, zone).format("%Y-%m-%dT%H:%M:%S"), offset_at(at, zone))
}
