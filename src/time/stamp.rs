//! A moment as a person sees it: RFC 3339 with the shop's offset in JSON, words on the screen.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use crate::time::{Instant, Zone, local_date, words};
use crate::units::{Measured, Shown, System};

/// A moment, with what is needed to say it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(into = "String")]
#[schemars(from = "String", extend("format" = "date-time"))]
pub struct Stamp {
    at: Instant,
    now: Instant,
    zone: Zone,
}

impl Stamp {
    /// "today 14:20".
    pub(crate) fn moment(&self) -> String {
        words::moment(self.at, self.now, self.zone)
    }

    /// "today 14:20, in 2 h 10 m".
    pub(crate) fn both(&self) -> String {
        words::both(self.at, self.now, self.zone)
    }

    /// "14:20", where the day is plain from what stands before; with the offset where that time comes twice.
    pub(crate) fn clock(&self) -> String {
        words::clock(self.at, self.zone)
    }

    /// The next whole minute, so that a time shown without its seconds is not too early.
    #[must_use]
    pub(crate) fn minute_up(self) -> Self {
        Self { at: words::minute_up(self.at), ..self }
    }

    /// "Mon 14 Sep 2026, 19:20".
    pub(crate) fn in_full(&self) -> String {
        format!("{}, {}", self.day().format("%a %-d %b %Y"), self.clock())
    }

    /// "14:20:30", where a minute is too coarse.
    pub(crate) fn to_the_second(self) -> String {
        words::clock_to_the_second(self.at, self.zone)
    }

    /// The date on the shop's wall.
    pub(crate) fn day(&self) -> NaiveDate {
        local_date(self.at, self.zone)
    }

    /// "today", "Mon 30 Mar".
    pub(crate) fn date(&self) -> String {
        words::date(self.day(), self.now, self.zone)
    }

    /// "Mon".
    pub(crate) fn weekday(&self) -> String {
        self.day().format("%a").to_string()
    }

    pub(crate) fn is_now(&self) -> bool {
        self.at == self.now
    }

    /// Whether it is past, or now.
    pub(crate) fn is_past(&self) -> bool {
        self.at <= self.now
    }

    pub(crate) const fn at(&self) -> Instant {
        self.at
    }

    pub(crate) const fn zone(&self) -> Zone {
        self.zone
    }

    /// Another moment, seen from the same place.
    #[must_use]
    pub(crate) const fn other(&self, at: Instant) -> Self {
        Self { at, ..*self }
    }
}

impl From<Stamp> for String {
    fn from(stamp: Stamp) -> Self {
        words::rfc3339(stamp.at, stamp.zone)
    }
}

/// Where and when the person is who reads, and in whose units: makes stamps, and quantities that can be said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Viewpoint {
    /// The moment from which "today" and "in 2 h" are meant.
    pub(crate) now: Instant,
    /// The shop's time zone.
    pub(crate) zone: Zone,
    /// The shop's units.
    pub(crate) units: System,
}

impl Viewpoint {
    /// A moment as it is seen from here.
    pub(crate) const fn stamp(self, at: Instant) -> Stamp {
        Stamp { at, now: self.now, zone: self.zone }
    }

    /// A quantity as it is said here.
    pub(crate) const fn shown<Q>(self, quantity: Q) -> Shown<Q> {
        Shown::new(quantity, self.units)
    }

    /// One that is known by its number, where that can be.
    pub(crate) fn known<Q: Measured>(self, number: f64) -> Option<Shown<Q>> {
        Q::try_from(number).ok().map(|quantity| self.shown(quantity))
    }
}
