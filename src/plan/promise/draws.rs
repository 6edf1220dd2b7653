//! Numbers drawn by chance, the same for the same seed and run whatever else runs beside it.

use crate::plan::engine::Chance;

/// Runs of one set, and draws of which each of them takes one.
const SET: u64 = 20;
/// The golden ratio's share of 64 bits, as `SplitMix64` has it: streams of neighbours lie far apart.
const APART: u64 = 0x9E37_79B9_7F4A_7C15;

/// A stream of draws.
#[derive(Debug, Clone)]
pub(super) struct Draws {
    chance: Chance,
    /// The run's place in its set.
    place: usize,
    /// The same for all of a set.
    shared: Chance,
}

impl Draws {
    /// The stream of one run.
    pub(super) fn new(seed: u64, run: u64) -> Self {
        let mixed = Chance::new(seed).next();
        let stream = |number: u64| Chance::new(mixed ^ number.wrapping_mul(APART));
        let place = usize::try_from(run % SET).unwrap_or(0);
        // Runs count up from 0, and few of them down from the highest number.
        Self { chance: stream(run), place, shared: stream(u64::MAX / 2 + run / SET) }
    }

    fn next(&mut self) -> u64 {
        self.chance.next()
    }

    /// What all of a run hangs on, drawn so often that each run of a set takes another rank of it. Each draw alone is distributed as
    /// without, and all together lie evenly, so that fewer runs tell as much (ranked set sampling, McIntyre 1952).
    pub(super) fn ranked(&mut self, draw: impl Fn(&mut Self) -> f64) -> f64 {
        let mut drawn: Vec<f64> = (0..SET).map(|_| draw(self)).collect();
        drawn.sort_by(f64::total_cmp);
        let mut ranks: Vec<usize> = (0..drawn.len()).collect();
        for last in (1..ranks.len()).rev() {
            ranks.swap(last, self.shared.below(last + 1));
        }
        ranks.get(self.place).and_then(|rank| drawn.get(*rank)).copied().unwrap_or_default()
    }

    /// Between 0 and 1, neither included.
    #[expect(clippy::cast_precision_loss, reason = "53 bits are exact in a f64")]
    pub(super) fn uniform(&mut self) -> f64 {
        ((self.next() >> 11) as f64 + 0.5) / 9_007_199_254_740_992.0
    }

    /// Standard normal (Box and Muller 1958).
    pub(super) fn normal(&mut self) -> f64 {
        let (a, b) = (self.uniform(), self.uniform());
        (-2.0 * a.ln()).sqrt() * (std::f64::consts::TAU * b).cos()
    }

    /// Gamma of shape `shape` and scale 1 (Marsaglia and Tsang 2000; below 1 by a uniform's power).
    fn gamma(&mut self, shape: f64) -> f64 {
        if shape < 1.0 {
            let power = self.uniform().powf(1.0 / shape);
            return self.gamma(shape + 1.0) * power;
        }
        let d = shape - 1.0 / 3.0;
        let c = 1.0 / (9.0 * d).sqrt();
        loop {
            let x = self.normal();
            let v = (1.0 + c * x).powi(3);
            if v > 0.0 && self.uniform().ln() < 0.5 * x * x + d - d * v + d * v.ln() {
                return d * v;
            }
        }
    }

    pub(super) fn beta(&mut self, a: f64, b: f64) -> f64 {
        let (x, y) = (self.gamma(a), self.gamma(b));
        if x + y > 0.0 { x / (x + y) } else { 0.0 }
    }

    /// How many of `count` happen that each happen with a chance of `rate`.
    pub(super) fn of(&mut self, count: u32, rate: f64) -> u32 {
        let hits = (0..count).filter(|_| self.uniform() < rate).count();
        u32::try_from(hits).unwrap_or(u32::MAX)
    }

    pub(super) fn one<'a, T>(&mut self, all: &'a [T]) -> Option<&'a T> {
        let count = u64::try_from(all.len()).ok().filter(|count| *count > 0)?;
        all.get(usize::try_from(self.next() % count).ok()?)
    }
}

#[cfg(test)]
#[expect(clippy::cast_precision_loss, reason = "counts of runs")]
mod tests {
    use super::*;

    /// All together they are distributed as without ranks, and their mean lies nearer: in sets of n uniform numbers its variance is
    /// 2/(n+1) of it (McIntyre 1952).
    #[test]
    fn ranked_draws_are_distributed_alike_and_their_mean_lies_nearer() {
        let mean = |seed: u64| {
            let of_run = |run| Draws::new(seed, run).ranked(Draws::uniform);
            (0..SET).map(of_run).sum::<f64>() / SET as f64
        };
        let means: Vec<f64> = (0..2000).map(mean).collect();
        let middle = means.iter().sum::<f64>() / 2000.0;
        let variance = means.iter().map(|mean| (mean - middle).powi(2)).sum::<f64>() / 1999.0;
        let without = 1.0 / 12.0 / SET as f64;
        let expected = without * 2.0 / (SET as f64 + 1.0);
        assert!((middle - 0.5).abs() < 4.0 * (expected / 2000.0).sqrt(), "{middle}");
        assert!((variance / expected - 1.0).abs() < 0.15, "{variance}, expected {expected}");
    }

    /// Two draws of a run are ranked apart: their ranks say nothing of each other.
    #[test]
    fn two_ranked_draws_of_a_run_are_independent() {
        let mut of_both = 0.0;
        for run in 0..2000 {
            let mut draws = Draws::new(3, run);
            let [a, b] = [(); 2].map(|()| draws.ranked(Draws::uniform) - 0.5);
            of_both += 12.0 * a * b / 2000.0;
        }
        assert!(of_both.abs() < 0.09, "correlation {of_both}");
    }
}
