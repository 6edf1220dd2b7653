//! What the shop's own touch tests say of a sheet's time: a factor per finish that can only lengthen it.

use chrono::TimeDelta;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::course::hours;

/// Share of tests that has to pass at an age for the age to be trusted: 19 of 20 (a choice, no source).
pub(crate) const TRUSTED: f64 = 0.95;

/// One touch test of a finish.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct TouchTest {
    /// The age at the test over the sheet's time, both in hours of the sheet.
    pub share: f64,
    pub passed: bool,
}

/// How many times the sheet's time a finish needs in this shop.
#[derive(Debug, Clone, Copy, PartialEq, JsonSchema, Serialize, Deserialize)]
pub struct Factor {
    /// At least 1.
    pub times: f64,
    /// From how many tests.
    pub tests: usize,
    /// How many of them failed at or past the sheet's time.
    pub failed_past_sheet: usize,
    /// Whether no test has passed past the last age that still failed, so that even longer may be needed.
    pub open: bool,
}

impl Factor {
    /// No tests: the sheet's own time.
    pub const SHEET: Self = Self { times: 1.0, tests: 0, failed_past_sheet: 0, open: false };

    /// The sheet's time made so much longer, up to the next whole second.
    #[expect(
        clippy::cast_possible_truncation,
        reason = "the value is whole, and a cast that does not fit saturates and is then refused"
    )]
    pub fn needed(&self, time: TimeDelta) -> TimeDelta {
        if self.times.total_cmp(&1.0).is_le() {
            return time;
        }
        let seconds = (hours(time) * self.times * 3600.0 - 1e-3).ceil();
        TimeDelta::try_seconds(seconds as i64).unwrap_or(TimeDelta::MAX).max(time)
    }
}

/// Tests pooled by isotonic regression: ages over which the share that passes is taken as one.
#[derive(Debug, Clone, Copy)]
struct Pool {
    first: f64,
    last: f64,
    passed: f64,
    tests: f64,
}

/// Fits the factor: the least age from which on, by isotonic regression of pass or fail on age (pool adjacent violators),
/// at least 19 of 20 tests pass.
///
/// A failure before the sheet's time is expected and says nothing against the sheet; only where the last age not trusted
/// lies at or past the sheet's time does the factor grow: to the first passed test beyond it, or, while there is none, to that
/// age itself, marked `open`. One more failure never shortens it.
pub fn fit(tests: &[TouchTest]) -> Factor {
    let mut tests: Vec<TouchTest> =
        tests.iter().copied().filter(|t| t.share.is_finite() && t.share >= 0.0).collect();
    tests.sort_by(|a, b| a.share.total_cmp(&b.share));
    let mut factor = Factor {
        tests: tests.len(),
        failed_past_sheet: tests.iter().filter(|t| !t.passed && t.share >= 1.0).count(),
        ..Factor::SHEET
    };
    let pools = pools(&tests);
    let doubted = pools.iter().rposition(|pool| pool.passed < TRUSTED * pool.tests);
    let Some((place, last)) =
        doubted.and_then(|place| pools.get(place).map(|pool| (place, pool.last)))
    else {
        return factor;
    };
    if last >= 1.0 {
        let next = pools.get(place + 1).map(|pool| pool.first);
        factor.times = next.unwrap_or(last);
        factor.open = next.is_none();
    }
    factor
}

/// Pool adjacent violators: the share that passes may not fall with age. `tests` in order of age.
fn pools(tests: &[TouchTest]) -> Vec<Pool> {
    let mut pools: Vec<Pool> = Vec::new();
    for same_age in tests.chunk_by(|a, b| a.share.total_cmp(&b.share).is_eq()) {
        let Some(share) = same_age.first().map(|test| test.share) else { continue };
        let mut pool = Pool { first: share, last: share, passed: 0.0, tests: 0.0 };
        for test in same_age {
            pool.passed += if test.passed { 1.0 } else { 0.0 };
            pool.tests += 1.0;
        }
        while let Some(before) = pools.pop_if(|b| b.passed * pool.tests > pool.passed * b.tests) {
            pool.first = before.first;
            pool.passed += before.passed;
            pool.tests += before.tests;
        }
        pools.push(pool);
    }
    pools
}
