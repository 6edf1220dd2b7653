//! A calendar file (RFC 5545) of what is coming, for any program that reads calendars.
//!
//! Every time is UTC, so that no reader shifts it and no table of clock changes is needed. The lines, their folding and
//! the escaping of text are in `line`.

mod line;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};
use sha2::{Digest as _, Sha256};

use crate::time::{Instant, Span};
use line::Lines;

/// How often a reader that subscribes to it should look again: a soak is shorter, but nobody wipes by a calendar.
const REFRESH: &str = "PT15M";

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Calendar {
    /// What a reader calls it.
    pub name: String,
    /// What is coming, in the order in which it is written.
    pub events: Vec<Event>,
}

/// One thing that is coming.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Event {
    /// Stays the same while the thing stays the same.
    pub uid: String,
    /// What it is of, which `uid` does not say.
    pub of: String,
    /// From 0; grows each time the event is another than before.
    pub sequence: u32,
    /// When it became what it is now (`DTSTAMP`; in a file without `METHOD` that is its last change).
    pub changed: Instant,
    pub start: Instant,
    /// When it ends, never before it begins.
    pub end: Instant,
    /// Set where it is of a whole local day.
    pub day: Option<NaiveDate>,
    /// One line.
    pub summary: String,
    /// More; any text.
    pub description: String,
    pub location: Option<String>,
    /// Whether it will not be after all.
    pub cancelled: bool,
    /// Alarms; a cancelled event is written without.
    pub alarms: Vec<Alarm>,
}

/// An alarm of an event.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Alarm {
    pub trigger: Trigger,
    pub text: String,
}

/// When an alarm goes off, from the event's beginning.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Trigger {
    /// So long before it.
    Before(Span),
    /// So long after it.
    After(Span),
}

impl Calendar {
    /// The file's text: ASCII line ends CR LF, no line over 75 octets.
    pub fn text(&self) -> String {
        let mut lines = Lines::default();
        lines.raw("BEGIN", "VCALENDAR");
        lines.raw("VERSION", "2.0");
        lines.raw("PRODID", "-//tackfree//tackfree//EN");
        lines.raw("CALSCALE", "GREGORIAN");
        // RFC 7986, and what readers knew before it.
        lines.text("NAME", &self.name);
        lines.text("X-WR-CALNAME", &self.name);
        lines.raw("REFRESH-INTERVAL;VALUE=DURATION", REFRESH);
        for event in &self.events {
            event.write(&mut lines);
        }
        lines.raw("END", "VCALENDAR");
        lines.into_text()
    }
}

impl Event {
    fn write(&self, lines: &mut Lines) {
        lines.raw("BEGIN", "VEVENT");
        lines.text("UID", &self.uid);
        lines.raw("DTSTAMP", &utc(self.changed));
        lines.raw("LAST-MODIFIED", &utc(self.changed));
        lines.raw("SEQUENCE", &self.sequence.to_string());
        match self.day {
            // Without an end it is of that one day (RFC 5545 3.6.1).
            Some(day) => lines.raw("DTSTART;VALUE=DATE", &day.format("%Y%m%d").to_string()),
            None => lines.raw("DTSTART", &utc(self.start)),
        }
        // An end at the start isn't an end (RFC 5545 3.8.2.2: it must be later); such an event has a beginning only.
        if self.day.is_none() && self.end > self.start {
            lines.raw("DTEND", &utc(self.end));
        }
        lines.text("SUMMARY", &self.summary);
        if !self.description.is_empty() {
            lines.text("DESCRIPTION", &self.description);
        }
        if let Some(location) = &self.location {
            lines.text("LOCATION", location);
        }
        lines.raw("STATUS", if self.cancelled { "CANCELLED" } else { "CONFIRMED" });
        // The shop's work does not keep its owner from being invited elsewhere.
        lines.raw("TRANSP", "TRANSPARENT");
        if !self.cancelled {
            for alarm in &self.alarms {
                alarm.write(lines);
            }
        }
        lines.raw("END", "VEVENT");
    }
}

impl Alarm {
    fn write(&self, lines: &mut Lines) {
        lines.raw("BEGIN", "VALARM");
        lines.raw("ACTION", "DISPLAY");
        lines.raw("TRIGGER", &self.trigger.duration());
        lines.text("DESCRIPTION", &self.text);
        lines.raw("END", "VALARM");
    }
}

impl Trigger {
    /// An RFC 5545 duration in hours, minutes and seconds. Days would be nominal, and a day with a clock change has not
    /// 24 hours.
    fn duration(self) -> String {
        let (sign, span) = match self {
            Self::Before(span) if !span.is_zero() => ("-", span),
            Self::Before(span) | Self::After(span) => ("", span),
        };
        let seconds = span.as_seconds();
        let (hours, minutes, seconds) = (seconds / 3600, seconds / 60 % 60, seconds % 60);
        // The grammar allows no gap: "PT1H0M5S", never "PT1H5S".
        match (hours, minutes, seconds) {
            (0, 0, s) => format!("{sign}PT{s}S"),
            (0, m, 0) => format!("{sign}PT{m}M"),
            (0, m, s) => format!("{sign}PT{m}M{s}S"),
            (h, 0, 0) => format!("{sign}PT{h}H"),
            (h, m, 0) => format!("{sign}PT{h}H{m}M"),
            (h, m, s) => format!("{sign}PT{h}H{m}M{s}S"),
        }
    }
}

/// A UID that is the same for the same thing of the same ledger, and says nothing about either: the form of a UUID
/// (RFC 9562, version 8: made in a way of our own), as RFC 7986 section 5.3 asks.
pub fn uid(ledger: &str, thing: &str) -> String {
    let digest = Sha256::new()
        .chain_update(ledger.as_bytes())
        .chain_update([0])
        .chain_update(thing.as_bytes())
        .finalize();
    let mut octets: [u8; 16] = std::array::from_fn(|place| digest.get(place).copied().unwrap_or(0));
    let [_, _, _, _, _, _, version, _, variant, ..] = &mut octets;
    *version = (*version & 0x0f) | 0x80;
    *variant = (*variant & 0x3f) | 0x80;
    let mut uid = format!("{:032x}", u128::from_be_bytes(octets));
    for place in [20, 16, 12, 8] {
        uid.insert(place, '-');
    }
    uid
}

/// RFC 5545 form 2: "20260305T094000Z".
fn utc(at: Instant) -> String {
    at.format("%Y%m%dT%H%M%SZ").to_string()
}
