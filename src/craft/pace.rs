//! Pace: minutes a piece from timed samples, where time is lost, how it falls with practice, and what is left to do.
//!
//! Times are in seconds throughout (any one unit would do: nothing here depends on which).

use serde::{Deserialize, Serialize};

use crate::craft::scatter::Scatter;

/// Samples from which on they stand in for the recipe's own time: 5 (a choice, no source).
pub(crate) const ENOUGH_SAMPLES: usize = 5;

/// How far below the best seen a learning curve may lead: 20 % (a choice, no source).
pub(crate) const BELOW_BEST: f64 = 0.2;

/// Why samples say nothing.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PaceError {
    #[error("no samples: time some pieces first")]
    NoSamples,
    #[error("a piece in {seconds} s is not possible: expected more than 0")]
    NoTime {
        /// As given.
        seconds: f64,
    },
    #[error("piece 0 is not possible: the first piece is 1")]
    NoPiece,
    #[error("a learning curve needs samples of at least 2 different pieces")]
    OnePiece,
}

/// The pace that samples show.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Pace {
    pub samples: usize,
    pub median: f64,
    pub best: f64,
    /// The middle one of the last ten.
    pub last_ten: f64,
}

/// The median, the best and the median of the last ten of `seconds`, oldest first.
pub fn pace(seconds: &[f64]) -> Result<Pace, PaceError> {
    seconds.iter().try_for_each(|&time| check(time))?;
    let recent = seconds.get(seconds.len().saturating_sub(10)..).unwrap_or(seconds);
    Ok(Pace {
        samples: seconds.len(),
        median: median(seconds).ok_or(PaceError::NoSamples)?,
        best: seconds.iter().copied().min_by(f64::total_cmp).ok_or(PaceError::NoSamples)?,
        last_ten: median(recent).ok_or(PaceError::NoSamples)?,
    })
}

fn check(seconds: f64) -> Result<(), PaceError> {
    if seconds > 0.0 && seconds.is_finite() { Ok(()) } else { Err(PaceError::NoTime { seconds }) }
}

/// The middle value, or the mean of the two middle ones.
fn median(values: &[f64]) -> Option<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let upper = sorted.get(sorted.len() / 2)?;
    let lower = sorted.get(sorted.len().saturating_sub(1) / 2)?;
    Some(lower.midpoint(*upper))
}

/// What a step loses against its own best.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Loss {
    /// The step's name.
    pub step: String,
    pub(crate) pace: Pace,
    /// Median less best, a piece.
    pub lost: f64,
    /// Its share in what all steps lose together, 0 to 1.
    pub share: f64,
}

/// Where time is lost against the best, by step, most first. Steps without samples are left out.
pub fn losses<'a>(
    steps: impl IntoIterator<Item = (&'a str, &'a [f64])>,
) -> Result<Vec<Loss>, PaceError> {
    let mut losses = Vec::new();
    for (step, seconds) in steps.into_iter().filter(|(_, seconds)| !seconds.is_empty()) {
        let pace = pace(seconds)?;
        losses.push(Loss {
            step: step.to_owned(),
            pace,
            lost: pace.median - pace.best,
            share: 0.0,
        });
    }
    let total: f64 = losses.iter().map(|loss| loss.lost).sum();
    for loss in &mut losses {
        loss.share = if total > 0.0 { loss.lost / total } else { 0.0 };
    }
    losses.sort_by(|a, b| b.lost.total_cmp(&a.lost));
    Ok(losses)
}

/// A learning curve after Crawford: `T_n` = `T_1` n^b is the n-th piece's own time, which is what a stopwatch gives (after Wright it
/// would be the average of the first n, and hours left 12 to 23 % fewer).
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Curve {
    /// `T_1`.
    pub first: f64,
    /// b, below 0 where practice helps.
    pub exponent: f64,
    /// How well it fits, r² of the logarithms; `None` where all times are the same.
    pub fit: Option<f64>,
    /// From how many samples.
    pub samples: usize,
}

/// Fits a learning curve to (number of the piece, time): least squares of ln t on ln n.
///
/// Formula and the distinction from Wright's read in public texts; checked against a statistics library.
pub fn fit(samples: &[(u32, f64)]) -> Result<Curve, PaceError> {
    if samples.is_empty() {
        return Err(PaceError::NoSamples);
    }
    let mut points = Vec::with_capacity(samples.len());
    for &(piece, seconds) in samples {
        check(seconds)?;
        if piece == 0 {
            return Err(PaceError::NoPiece);
        }
        points.push((f64::from(piece).ln(), seconds.ln()));
    }
    let Scatter { mean: (mean_x, mean_y), xx, xy, yy } = Scatter::of(&points);
    if xx < 1e-12 {
        return Err(PaceError::OnePiece);
    }
    let exponent = xy / xx;
    let fit = (yy > 1e-18).then(|| (xy * xy / (xx * yy)).min(1.0));
    Ok(Curve { first: (mean_y - exponent * mean_x).exp(), exponent, fit, samples: samples.len() })
}

impl Curve {
    /// What a doubling of the pieces leaves of the time, %: 100 · 2^b. Over 100 is slower and slower.
    pub fn slope_percent(&self) -> f64 {
        100.0 * self.exponent.exp2()
    }

    /// The time for `todo` pieces after `made`: Σ max(`T_1` n^b, best less 20 %). `best` of 0 sets no floor.
    /// Infinite where a curve gets slower so steeply that no number holds it.
    pub fn left(&self, made: u32, todo: u32, best: f64) -> f64 {
        let (low, high) = (f64::from(made), f64::from(made) + f64::from(todo));
        let floor = floor(best);
        // Up to here (or, on a curve that gets slower, from here on) the curve itself counts, else the floor.
        let turn = (floor / self.first).powf(1.0 / self.exponent);
        let turn = if turn.is_finite() { turn.floor() } else { f64::INFINITY };
        let own = |from: f64, until: f64| self.first * power_sum(from, until, self.exponent);
        if floor <= 0.0 {
            own(low, high)
        } else if self.exponent.abs() < 1e-12 {
            self.first.max(floor) * (high - low)
        } else if self.exponent < 0.0 {
            let edge = turn.clamp(low, high);
            own(low, edge) + floor * (high - edge)
        } else {
            let edge = turn.clamp(low, high);
            floor * (edge - low) + own(edge, high)
        }
    }
}

/// The least a curve may lead to.
fn floor(best: f64) -> f64 {
    best.max(0.0) * (1.0 - BELOW_BEST)
}

/// Σ n^b for n over `low` up to `high`, both whole: term by term for the first 2,000, then by Euler–Maclaurin to the first
/// derivative, which is exact to rounding so far out.
fn power_sum(low: f64, high: f64, exponent: f64) -> f64 {
    let mut sum = 0.0;
    let mut n = low + 1.0;
    while n <= high && n <= low + 2000.0 {
        sum += n.powf(exponent);
        n += 1.0;
    }
    if n > high {
        return sum;
    }
    let b = exponent;
    let integral = if (b + 1.0).abs() < 1e-12 {
        (high / n).ln()
    } else {
        (high.powf(b + 1.0) - n.powf(b + 1.0)) / (b + 1.0)
    };
    let ends = n.powf(b).midpoint(high.powf(b));
    let first = b * (high.powf(b - 1.0) - n.powf(b - 1.0)) / 12.0;
    let total = sum + integral + ends + first;
    if total.is_nan() { f64::INFINITY } else { total }
}

/// What a target time a piece would save over `pieces`: 0 if the pace is there already.
pub fn saved(each: f64, target: f64, pieces: u32) -> f64 {
    (each - target).max(0.0) * f64::from(pieces)
}
