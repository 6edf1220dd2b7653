//! Numbers drawn by chance, the same for the same seed and run whatever else runs beside it.

use crate::plan::engine::Chance;

/// A stream of draws.
#[derive(Debug, Clone)]
pub(super) struct Draws(Chance);

impl Draws {
    /// The stream of one run.
    pub(super) fn new(seed: u64, run: u64) -> Self {
        let mixed = Chance::new(seed).next();
        Self(Chance::new(mixed ^ run.wrapping_mul(0x9E37_79B9_7F4A_7C15)))
    }

    fn next(&mut self) -> u64 {
        self.0.next()
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
