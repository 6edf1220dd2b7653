//! Logs of rooms, made to measure.

use std::fmt::Write as _;

use chrono::{DateTime, TimeDelta, Utc};

use crate::harness::TestShop;

/// A logger that reads a room every so often.
pub(crate) struct Log {
    text: String,
    next: DateTime<Utc>,
    every: TimeDelta,
}

impl Log {
    /// A logger that begins then (RFC 3339), and reads every so many minutes.
    pub(crate) fn from(begins: &str, minutes: i64) -> Self {
        let next = DateTime::parse_from_rfc3339(begins).unwrap().to_utc();
        let text = "time (UTC),temperature (°C),humidity (%)\n".to_owned();
        Self { text, next, every: TimeDelta::minutes(minutes) }
    }

    /// Until then, and then too, it reads that air.
    pub(crate) fn reads(mut self, until: &str, temp: f64, humidity: f64) -> Self {
        let until = DateTime::parse_from_rfc3339(until).unwrap().to_utc();
        while self.next <= until {
            let at = self.next.format("%Y-%m-%d %H:%M:%S");
            writeln!(self.text, "{at},{temp},{humidity}").unwrap();
            self.next += self.every;
        }
        self
    }

    /// It stands still until then.
    pub(crate) fn sleeps(mut self, until: &str) -> Self {
        self.next = DateTime::parse_from_rfc3339(until).unwrap().to_utc();
        self
    }

    /// The shop takes it in as that room's.
    #[track_caller]
    pub(crate) fn into_room(self, room: &str, shop: &TestShop) {
        let line = format!("climate import '{room}' - --json");
        let answer = shop.run_with(&line, &self.text).json();
        assert_eq!(answer["bad_lines"], 0);
    }
}

/// Every reading that is stored, by room and time: seconds since 1970, °C, %.
pub(crate) fn stored(shop: &TestShop) -> Vec<(i64, f64, Option<f64>)> {
    let database = rusqlite::Connection::open(shop.database()).unwrap();
    let mut rows =
        database.prepare("SELECT at, temp, humidity FROM reading ORDER BY room, at").unwrap();
    let rows = rows.query_map([], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?))).unwrap();
    rows.collect::<Result<_, _>>().unwrap()
}
