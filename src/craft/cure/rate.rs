//! How fast a finish cures at a temperature, against the temperature of its sheet.

use serde::{Deserialize, Serialize};

use super::{Clock, Conditions};
use crate::units::{Celsius, KilojoulesPerMole, Q10};

/// Molar gas constant, J/(mol K) (CODATA 2018, exact).
const GAS_CONSTANT: f64 = 8.314_462_618;

/// 0 °C in kelvin.
const ICE_POINT: f64 = 273.15;

/// How the rate depends on temperature.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Law {
    /// r = `Q10^((T − T_ref)/10)`.
    Q10(Q10),
    /// r = exp(−(Ea/R)(1/T − 1/`T_ref`)), temperatures in kelvin.
    Arrhenius(KilojoulesPerMole),
}

impl Law {
    /// For a sheet that gives no rate: Q10 2.5. Common practice, no source; see [`Q10::COMMON_PRACTICE`].
    pub const COMMON_PRACTICE: Self = Self::Q10(Q10::COMMON_PRACTICE);

    /// k(T)/k(`T_ref`), dimensionless, temperatures in °C.
    pub fn ratio(self, temp: f64, at: f64) -> f64 {
        match self {
            Self::Q10(q10) => q10.get().powf((temp - at) / 10.0),
            Self::Arrhenius(energy) => {
                let per_kelvin = energy.get() * 1000.0 / GAS_CONSTANT;
                (-per_kelvin * (1.0 / (temp + ICE_POINT) - 1.0 / (at + ICE_POINT))).exp()
            }
        }
    }

    /// The mean of [`Law::ratio`] while the temperature runs in a straight line from `start` to `end`, °C.
    ///
    /// Q10: (r2 − r1)/ln(r2/r1), exact, or r1 where they are equal. Arrhenius has no elementary integral: five-point
    /// Gauss–Legendre quadrature on pieces of at most 5 °C, good to 1e-12.
    pub fn mean_on_line(self, start: f64, end: f64, at: f64) -> f64 {
        match self {
            Self::Q10(q10) => {
                let exponent = q10.get().ln() * (end - start) / 10.0;
                let first = self.ratio(start, at);
                if exponent.abs() < 1e-8 {
                    first * (1.0 + exponent / 2.0)
                } else {
                    first * exponent.exp_m1() / exponent
                }
            }
            Self::Arrhenius(_) => {
                let pieces = ((end - start).abs() / 5.0).ceil().max(1.0);
                let step = (end - start) / pieces;
                let mut sum = 0.0;
                let mut piece = 0.0;
                while piece < pieces {
                    let middle = start + (piece + 0.5) * step;
                    sum += gauss_mean(|temp| self.ratio(temp, at), middle, step / 2.0);
                    piece += 1.0;
                }
                sum / pieces
            }
        }
    }

    /// The activation energy that gives the Q10 between T and T + 10 °C: Ea = R ln Q10 · T (T + 10)/10, T in kelvin; J/mol.
    pub fn energy_of(q10: Q10, from: Celsius) -> f64 {
        let kelvin = from.get() + ICE_POINT;
        GAS_CONSTANT * q10.get().ln() * kelvin * (kelvin + 10.0) / 10.0
    }
}

/// Mean of `f` over middle ± half by the five-point Gauss–Legendre rule (Abramowitz & Stegun, table 25.4).
fn gauss_mean(f: impl Fn(f64) -> f64, middle: f64, half: f64) -> f64 {
    const POINTS: [(f64, f64); 2] = [
        (0.538_469_310_105_683_1, 0.478_628_670_499_366_47),
        (0.906_179_845_938_664, 0.236_926_885_056_189_1),
    ];
    let mut sum = f(middle) * 0.568_888_888_888_888_9;
    for (place, weight) in POINTS {
        sum += weight * (f(middle - half * place) + f(middle + half * place));
    }
    sum / 2.0
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
    law: Law,
}

impl Pace {
    pub(super) fn new(clock: Clock, conditions: &Conditions) -> Self {
        let careful = clock == Clock::NoSooner;
        Self {
            clock,
            at: conditions.at.get(),
            lowest: conditions.lowest.filter(|_| careful).map(Celsius::get),
            dampest: conditions.dampest.filter(|_| careful).map(crate::units::Humidity::get),
            law: conditions.law.unwrap_or(Law::COMMON_PRACTICE),
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
        let own = || self.law.mean_on_line(start.temp, end.temp, self.at);
        match self.clock {
            Clock::NoSooner if too_cold || too_damp => 0.0,
            Clock::NoSooner if middle.temp >= self.at => 1.0,
            Clock::NoSooner => own().min(1.0),
            Clock::NoLater if middle.temp <= self.at => 1.0,
            Clock::NoLater => own().max(1.0),
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
