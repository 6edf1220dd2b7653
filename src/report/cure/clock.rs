//! One of the two clocks of a lot, as it is shown: the age, what was assumed, and when the wait ends.

use serde::Serialize;

use crate::craft::cure::{Assumed, Basis, Clock, Outlook, Why};
use crate::report::Page;
use crate::shop::cure::Reckoning;
use crate::time::Span;
use crate::time::{Stamp, Viewpoint};
use crate::units::Celsius;

/// A stretch of time for which something was assumed.
#[derive(Debug, Clone, Serialize)]
pub struct AssumedShown {
    /// `no_readings`, gap, `before_first`, `after_last`, `humidity_not_read`, `default_rate`.
    pub why: Why,
    pub from: Stamp,
    pub until: Stamp,
    /// For how many hours.
    pub hours: f64,
    /// The temperature taken for it, °C.
    pub temp: Option<f64>,
    /// In words.
    pub said: String,
}

/// When the wait ends from here on, and what that rests on.
#[derive(Debug, Clone, Serialize)]
pub struct ForecastShown {
    /// Hours of the sheet that an hour counts for from now on.
    pub rate: f64,
    /// `last_days` or `sheets_own`.
    pub basis: &'static str,
    /// Hours of the last 7 days that were read.
    pub hours_read: Option<f64>,
    /// If the room stays as the coldest of the last 7 days.
    pub if_coldest: Option<OutlookShown>,
    /// If it stays as the warmest.
    pub if_warmest: Option<OutlookShown>,
}

/// The end of the wait in a room that stays at one temperature.
#[derive(Debug, Clone, Serialize)]
pub struct OutlookShown {
    /// That temperature, °C.
    pub temp: Celsius,
    /// Hours of the sheet that an hour then counts for.
    pub rate: f64,
    /// When the wait ends; null where it never does.
    pub at: Option<Stamp>,
}

#[derive(Debug, Clone, Serialize)]
pub struct ClockShown {
    /// The age so far, hours of the sheet.
    pub age_hours: f64,
    /// The age that is needed, hours of the sheet.
    pub needs_hours: f64,
    /// When it is there; null where the room as it is never lets it come.
    pub at: Option<Stamp>,
    /// Whether it is there.
    pub reached: bool,
    pub assumed: Vec<AssumedShown>,
    /// What is to come.
    pub forecast: ForecastShown,
    #[serde(skip)]
    clock: Clock,
}

impl ClockShown {
    /// A reckoning on that clock. `no_temperature` where the sheet names none.
    pub fn new(clock: Clock, reckoned: &Reckoning, no_temperature: bool, view: Viewpoint) -> Self {
        let outlook = |outlook: &Outlook| OutlookShown {
            temp: outlook.temp,
            rate: outlook.rate,
            at: outlook.at.map(|at| view.stamp(at)),
        };
        let (basis, hours_read) = match reckoned.basis {
            Basis::LastDays { hours_read } => ("last_days", Some(hours_read)),
            Basis::SheetsOwn => ("sheets_own", None),
        };
        let words = AssumedWords { clock, no_temperature, view };
        Self {
            age_hours: reckoned.age_hours,
            needs_hours: reckoned.needs_hours,
            at: reckoned.at.map(|at| view.stamp(at)),
            reached: reckoned.at.is_some_and(|at| at <= view.now),
            assumed: reckoned.assumed.iter().map(|stretch| words.shown(stretch)).collect(),
            forecast: ForecastShown {
                rate: reckoned.future_rate,
                basis,
                hours_read,
                if_coldest: reckoned.if_coldest.as_ref().map(outlook),
                if_warmest: reckoned.if_warmest.as_ref().map(outlook),
            },
            clock,
        }
    }

    /// "Mon 30 Mar 14:20, in 4 d 1 h", on the careful side of a whole minute.
    pub fn when(&self) -> String {
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
    pub fn age(&self) -> String {
        format!("{} of {}", hours(self.age_hours), hours(self.needs_hours))
    }

    /// The forecast with its span; nothing once the wait is over.
    pub fn outlook(&self, indent: usize, page: &mut Page) {
        if self.reached {
            return;
        }
        let ForecastShown { rate, basis, hours_read, if_coldest, if_warmest } = &self.forecast;
        let on = match (*basis, hours_read) {
            ("last_days", Some(read)) => {
                format!("at the mean rate of the last 7 days ({} of them read)", hours(*read))
            }
            _ => "at the sheet's own rate, for want of readings in the last 7 days".to_owned(),
        };
        page.hanging(indent, indent + 2, &format!("from now on {on}: an hour counts {rate:.2} h"));
        if let (Some(cold), Some(warm)) = (if_coldest, if_warmest)
            && cold.at == self.at
            && warm.at == self.at
        {
            let (cold, warm) = (cold.temp, warm.temp);
            let said = format!(
                "the same if it stays at their coldest, {cold:.1}, or their warmest, {warm:.1}"
            );
            page.hanging(indent, indent + 2, &said);
            return;
        }
        let outlooks = [("coldest", if_coldest), ("warmest", if_warmest)];
        for (which, outlook) in outlooks {
            if let Some(OutlookShown { temp, rate, at }) = outlook {
                let at = at.map_or_else(|| "never".to_owned(), |at| self.careful(at).both());
                page.hanging(
                    indent,
                    indent + 2,
                    &format!("if it stays at {temp:.1}, the {which} of them ({rate:.2} h): {at}"),
                );
            }
        }
    }

    /// What was assumed, a line each.
    pub fn assumptions(&self, indent: usize, page: &mut Page) {
        for stretch in &self.assumed {
            page.hanging(indent, indent + 2, &format!("assumed: {}", stretch.said));
        }
    }
}

/// A length of time in hours as it is said.
#[expect(clippy::cast_possible_truncation, reason = "a cast that does not fit saturates")]
pub fn hours(hours: f64) -> String {
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
            temp: stretch.temp,
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
        let (end, side) = match self.clock {
            Clock::NoSooner => ("colder", "no faster than the sheet"),
            Clock::NoLater => ("warmer", "no slower than the sheet"),
        };
        let temp = stretch.temp.map_or_else(String::new, |temp| format!("{temp:.1} °C"));
        match stretch.why {
            Why::NoReadings if self.no_temperature => {
                format!("{long}, the sheet's own interval: it names no temperature for its times")
            }
            Why::NoReadings => {
                format!("{long}, the sheet's own interval: the room has no readings")
            }
            Why::Gap => {
                format!("{long} without a reading, {from_to}: {temp}, the {end} end, {side}")
            }
            Why::BeforeFirst => {
                format!("{long} before the first reading, {from_to}: {temp} as then, {side}")
            }
            Why::AfterLast => {
                format!("{long} after the last reading, {from_to}: {temp} as then, {side}")
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
