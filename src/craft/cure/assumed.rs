//! What had to be assumed in counting an age.

use chrono::{DateTime, Utc};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::course::{After, Course, after, hours_between};
use super::hours::HourTable;
use super::{LONGEST_STRAIGHT, LOOK_BACK};

/// Why something had to be assumed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Why {
    /// The room has no readings: the sheet's own interval.
    NoReadings,
    /// Nobody read the room: each hour as the slowest (no later: the fastest) that hour of the day was before.
    Unread,
    /// Before the first reading: as that reading, on the careful side.
    BeforeFirst,
    /// The sheet names a highest humidity and none was read: taken as not above it.
    HumidityNotRead,
    /// The sheet gives no rate: Q10 2.5, common practice.
    DefaultRate,
}

/// A stretch of time for which something was assumed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Assumed {
    pub why: Why,
    pub from: DateTime<Utc>,
    pub until: DateTime<Utc>,
    /// For how many hours of elapsed time.
    pub hours: f64,
    /// Unread: the temperature taken for hours of a kind that nobody reads, °C, if the room gives one and the stretch has
    /// such hours. Before the first reading: that reading.
    pub temp: Option<f64>,
    /// Unread: from when on the hours were read that it was taken from.
    pub since: Option<DateTime<Utc>>,
}

impl Assumed {
    pub(crate) fn new(why: Why, from: DateTime<Utc>, until: DateTime<Utc>) -> Self {
        Self { why, from, until, hours: hours_between(from, until), temp: None, since: None }
    }

    /// The part between two moments, if there is any.
    pub(super) fn clip(&self, from: DateTime<Utc>, until: DateTime<Utc>) -> Option<Self> {
        let (from, until) = (self.from.max(from), self.until.min(until));
        (from < until).then(|| Self { from, until, hours: hours_between(from, until), ..*self })
    }
}

impl Course {
    /// A stretch after a reading that was not read.
    pub(super) fn unread_stretch(
        &self,
        place: usize,
        table: &HourTable,
        from: DateTime<Utc>,
        until: DateTime<Utc>,
    ) -> Assumed {
        let strange = table.has_strange_hours(&self.days, from, until);
        let temp = self.strange_temp(place, after(from, -LOOK_BACK)).filter(|_| strange);
        Assumed { temp, since: Some(table.since), ..Assumed::new(Why::Unread, from, until) }
    }

    /// What had to be assumed from `from` to `until`: stretches that were not read, in order of time. Time after the last reading
    /// is named once it is longer than what a straight line bridges.
    pub fn assumed(&self, from: DateTime<Utc>, until: DateTime<Utc>) -> Vec<Assumed> {
        let Some((last, before)) = self.knots.split_last() else {
            return Assumed::new(Why::NoReadings, from, until)
                .clip(from, until)
                .into_iter()
                .collect();
        };
        let first = before.first().unwrap_or(last);
        let earlier = Assumed {
            temp: Some(first.air.temp),
            ..Assumed::new(Why::BeforeFirst, from, first.at)
        };
        let later = match &last.after {
            After::Unread(table) if until > after(last.at, LONGEST_STRAIGHT) => {
                Some(self.unread_stretch(before.len(), table, last.at, until))
            }
            _ => None,
        };
        let skipped = self.inside.partition_point(|stretch| stretch.until <= from);
        let inside = self.inside.iter().skip(skipped).take_while(|stretch| stretch.from < until);
        std::iter::once(&earlier)
            .chain(inside)
            .chain(later.as_ref())
            .filter_map(|stretch| stretch.clip(from, until))
            .collect()
    }
}

/// Adds a stretch, or lengthens the last one if it goes on for the same reason.
pub(super) fn note(notes: &mut Vec<Assumed>, stretch: Assumed) {
    match notes.last_mut() {
        Some(before)
            if stretch.why == Why::HumidityNotRead
                && before.why == stretch.why
                && before.until == stretch.from =>
        {
            *before = Assumed::new(before.why, before.from, stretch.until);
        }
        _ => notes.push(stretch),
    }
}
