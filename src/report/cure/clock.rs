//! One of the two clocks of a lot, as it is shown: the age, what was assumed, and when the wait ends.

use schemars::JsonSchema;
use serde::Serialize;

use crate::craft::cure::{Assumed, Clock, Why};
use crate::report::Page;
use crate::shop::cure::Reckoning;
use crate::time::{Span, Stamp, Viewpoint};
use crate::units::{Celsius, Shown};

/// A stretch of time for which something was assumed.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct AssumedShown {
    /// `no_readings`, unread, `before_first`, `humidity_not_read`, `default_rate`.
    pub(crate) why: Why,
    pub(crate) from: Stamp,
    pub(crate) until: Stamp,
    /// For how many hours.
    pub(crate) hours: f64,
    /// The temperature taken for it: of an unread stretch for its hours whose like was never read.
    pub(crate) temp_c: Option<Shown<Celsius>>,
    /// In words.
    pub(crate) said: String,
}

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct ClockShown {
    /// The age so far, hours of the sheet.
    pub(crate) age_hours: f64,
    /// The age that is needed, hours of the sheet.
    pub(crate) needs_hours: f64,
    /// When it is there; null where the room as it is never lets it come.
    pub(crate) at: Option<Stamp>,
    /// Whether it is there.
    pub(crate) reached: bool,
    pub(crate) assumed: Vec<AssumedShown>,
    #[serde(skip)]
    clock: Clock,
}

impl ClockShown {
    /// A reckoning on that clock. `no_temperature` where the sheet names none.
    pub(crate) fn new(
        clock: Clock,
        reckoned: &Reckoning,
        no_temperature: bool,
        view: Viewpoint,
    ) -> Self {
        let words = AssumedWords { clock, no_temperature, view };
        Self {
            age_hours: reckoned.age_hours,
            needs_hours: reckoned.needs_hours,
            at: reckoned.at.map(|at| view.stamp(at)),
            reached: reckoned.at.is_some_and(|at| at <= view.now),
            assumed: reckoned.assumed.iter().map(|stretch| words.shown(stretch)).collect(),
            clock,
        }
    }

    /// "Mon 30 Mar 14:20, in 4 d 1 h", on the careful side of a whole minute.
    pub(crate) fn when(&self) -> String {
        let never = || "not while the room stays as cold or damp as it is".to_owned();
        self.at.map_or_else(never, |at| self.careful(at).both())
    }

    fn careful(&self, at: Stamp) -> Stamp {
        match self.clock {
            Clock::NoSooner => at.minute_up(),
            Clock::NoLater => at,
        }
    }

    /// "12 d 3 h of 21 d".
    pub(crate) fn age(&self) -> String {
        format!("{} of {}", hours(self.age_hours), hours(self.needs_hours))
    }

    /// "day 8.1 of 14", or "12.0 h of 24" for what takes less than two days.
    pub(crate) fn progress(&self) -> String {
        let (age, needs) = (self.age_hours, self.needs_hours);
        if needs >= 48.0 {
            format!("day {:.1} of {}", age / 24.0, short(needs / 24.0))
        } else {
            format!("{age:.1} h of {}", short(needs))
        }
    }

    /// What was assumed, a line each.
    pub(crate) fn assumptions(&self, indent: usize, page: &mut Page) {
        for stretch in &self.assumed {
            page.hanging(indent, indent + 2, format!("assumed: {}", stretch.said));
        }
    }
}

/// A number with no more places than it needs, at most one.
fn short(number: f64) -> String {
    format!("{number:.1}").trim_end_matches(".0").to_owned()
}

/// A length of time in hours as it is said.
#[expect(clippy::cast_possible_truncation, reason = "a cast that does not fit saturates")]
pub(crate) fn hours(hours: f64) -> String {
    Span::seconds((hours * 3600.0).round() as i64).to_string()
}

/// Says what was assumed.
struct AssumedWords {
    clock: Clock,
    no_temperature: bool,
    view: Viewpoint,
}

impl AssumedWords {
    fn shown(&self, stretch: &Assumed) -> AssumedShown {
        AssumedShown {
            why: stretch.why,
            from: self.view.stamp(stretch.from),
            until: self.view.stamp(stretch.until),
            hours: stretch.hours,
            temp_c: stretch.temp.and_then(|temp| self.view.known(temp)),
            said: self.said(stretch),
        }
    }

    fn said(&self, stretch: &Assumed) -> String {
        let long = hours(stretch.hours);
        let from_to = format!(
            "{} to {}",
            self.view.stamp(stretch.from).moment(),
            self.view.stamp(stretch.until).moment()
        );
        let (slowest, side) = match self.clock {
            Clock::NoSooner => ("slowest", "no faster than the sheet"),
            Clock::NoLater => ("fastest", "no slower than the sheet"),
        };
        let temp = stretch.temp.and_then(|temp| self.view.known::<Celsius>(temp));
        let temp = temp.map_or_else(String::new, |temp| temp.to_string());
        match stretch.why {
            Why::NoReadings if self.no_temperature => {
                format!("{long}, the sheet's own time: it names no temperature for it")
            }
            Why::NoReadings => {
                format!("{long}, the sheet's own time: nobody reads the room")
            }
            Why::Unread => {
                let since = stretch.since.map_or_else(String::new, |since| {
                    format!(" since {}", self.view.stamp(since).date())
                });
                let never = stretch.temp.map_or_else(String::new, |_| {
                    format!("; hours that nobody ever read as {temp}")
                });
                format!("{long} unread, {from_to}: each hour taken as the {slowest}{since}{never}")
            }
            Why::BeforeFirst => {
                format!("{long} before the first reading, {from_to}: {temp} as then, {side}")
            }
            Why::HumidityNotRead => {
                format!("{long} without a humidity, {from_to}: no damper than the sheet allows")
            }
            Why::DefaultRate => {
                format!("{long}: the sheet gives no rate, Q10 2.5 taken (common practice)")
            }
        }
    }
}
