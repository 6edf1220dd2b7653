//! How fast a finish cures at a temperature, against the temperature of its sheet.

use super::{Clock, Conditions};
use crate::units::{Celsius, Q10};

impl Q10 {
    /// k(T)/k(`T_ref`) = `Q10^((T − T_ref)/10)`, dimensionless, temperatures in °C.
    pub fn ratio(self, temp: f64, at: f64) -> f64 {
        self.get().powf((temp - at) / 10.0)
    }

    /// The mean of [`Q10::ratio`] while the temperature runs in a straight line from `start` to `end`, °C:
    /// (r2 − r1)/ln(r2/r1), exact, or r1 where they are equal.
    pub fn mean_on_line(self, start: f64, end: f64, at: f64) -> f64 {
        let exponent = self.get().ln() * (end - start) / 10.0;
        let first = self.ratio(start, at);
        if exponent.abs() < 1e-8 {
            first * (1.0 + exponent / 2.0)
        } else {
            first * exponent.exp_m1() / exponent
        }
    }
}

/// What the air is like at one end of a stretch: °C, and % where known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Air {
    pub(super) temp: f64,
    pub(super) humidity: Option<f64>,
}

impl Air {
    /// The air `share` of the way from `self` to `end`, in a straight line. A humidity read at one end only holds for both.
    pub(super) fn towards(self, end: Self, share: f64) -> Self {
        let humidity = match (self.humidity, end.humidity) {
            (Some(a), Some(b)) => Some(a + (b - a) * share),
            (a, b) => a.or(b),
        };
        Self { temp: self.temp + (end.temp - self.temp) * share, humidity }
    }

    /// As much of it, so many degrees warmer.
    pub(super) fn warmer_by(self, degrees: f64) -> Self {
        Self { temp: self.temp + degrees, ..self }
    }

    /// The end of the two that `clock` has to take for the time nothing was read: colder and damper for *no sooner*, warmer
    /// for *no later*. (`T_ref` belongs to the careful ends too, and comes in by the cap of each clock's rate.)
    pub(super) fn careful(self, other: Self, clock: Clock) -> Self {
        let damper = match (self.humidity, other.humidity) {
            (Some(a), Some(b)) => Some(a.max(b)),
            (a, b) => a.or(b),
        };
        let temp = match clock {
            Clock::NoSooner => self.temp.min(other.temp),
            Clock::NoLater => self.temp.max(other.temp),
        };
        Self { temp, humidity: damper }
    }
}

/// A clock with the conditions it runs under.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pace {
    pub(super) clock: Clock,
    at: f64,
    lowest: Option<f64>,
    dampest: Option<f64>,
    q10: Q10,
}

impl Pace {
    pub(super) fn new(clock: Clock, conditions: &Conditions) -> Self {
        let careful = clock == Clock::NoSooner;
        Self {
            clock,
            at: conditions.at.get(),
            lowest: conditions.lowest.filter(|_| careful).map(Celsius::get),
            dampest: conditions.dampest.filter(|_| careful).map(crate::units::Humidity::get),
            q10: conditions.q10.unwrap_or(Q10::COMMON_PRACTICE),
        }
    }

    /// Whether a humidity that was not read leaves something open.
    pub(super) const fn minds_humidity(&self) -> bool {
        self.dampest.is_some()
    }

    /// Hours of the sheet that an hour in this air counts for.
    pub(super) fn rate(&self, air: Air) -> f64 {
        self.mean_rate(air, air)
    }

    /// The mean rate while the air changes in a straight line; cut where the line crosses a limit or `T_ref`.
    pub(super) fn mean_rate(&self, start: Air, end: Air) -> f64 {
        let mut cuts = [0.0, 1.0, 1.0, 1.0, 1.0];
        cuts[1] = crossing(Some(start.temp), Some(end.temp), self.lowest);
        cuts[2] = crossing(Some(start.temp), Some(end.temp), Some(self.at));
        cuts[3] = crossing(start.humidity, end.humidity, self.dampest);
        cuts.sort_by(f64::total_cmp);
        let mut mean = 0.0;
        for (left, right) in cuts.iter().zip(cuts.iter().skip(1)) {
            if right > left {
                let (a, b) = (start.towards(end, *left), start.towards(end, *right));
                mean += (right - left) * self.uncut(a, b);
            }
        }
        mean
    }

    /// The mean rate on a line that crosses nothing inside: its middle tells on which side of each limit it lies.
    fn uncut(&self, start: Air, end: Air) -> f64 {
        let middle = start.towards(end, 0.5);
        let too_cold = self.lowest.is_some_and(|lowest| middle.temp < lowest);
        let too_damp =
            self.dampest.zip(middle.humidity).is_some_and(|(dampest, humidity)| humidity > dampest);
        let own = self.q10.mean_on_line(start.temp, end.temp, self.at);
        match self.clock {
            Clock::NoSooner if too_cold || too_damp => 0.0,
            Clock::NoSooner => own.min(1.0),
            Clock::NoLater => own.max(1.0),
        }
    }
}

/// The share of the way at which a straight line crosses `limit`; 1 where it does not, which cuts nothing.
fn crossing(start: Option<f64>, end: Option<f64>, limit: Option<f64>) -> f64 {
    let (Some(start), Some(end), Some(limit)) = (start, end, limit) else {
        return 1.0;
    };
    let share = (limit - start) / (end - start);
    if share > 0.0 && share < 1.0 { share } else { 1.0 }
}
