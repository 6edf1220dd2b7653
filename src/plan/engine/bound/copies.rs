//! Jobs as loads: what they take, and as how many they count.

use std::cmp::Ordering;

/// Units up to which what fits is counted out exactly.
const EXACT: usize = 4096;

/// What one job takes, with the copies it counts as.
#[derive(Debug, Clone, Copy)]
pub(super) struct Counted {
    pub(super) units: i64,
    pub(super) copies: usize,
}

impl Counted {
    fn count(self) -> i128 {
        i128::try_from(self.copies).unwrap_or(i128::MAX >> 64)
    }

    /// The one with fewer units a copy first.
    pub(super) fn lighter(&self, other: &Self) -> Ordering {
        let (units, others) = (i128::from(self.units), i128::from(other.units));
        (units * other.count()).cmp(&(others * self.count())).then(self.units.cmp(&other.units))
    }
}

/// No more copies than this have room at once for `capacity` units.
pub(super) fn fit(loads: &[Counted], capacity: i64) -> usize {
    match usize::try_from(capacity) {
        Ok(capacity) if capacity <= EXACT => fit_exactly(loads, capacity),
        Ok(_) => fit_divided(loads, capacity),
        Err(_) => 0,
    }
}

/// The most copies of whole jobs (a knapsack).
fn fit_exactly(loads: &[Counted], capacity: usize) -> usize {
    let mut most = vec![0_usize; capacity + 1];
    for load in loads {
        let Ok(units) = usize::try_from(load.units) else { continue };
        for taken in (units..=capacity).rev() {
            most[taken] = most[taken].max(most[taken - units] + load.copies);
        }
    }
    most[capacity]
}

/// The most copies if jobs could be divided.
fn fit_divided(loads: &[Counted], capacity: i64) -> usize {
    let mut sorted = loads.to_vec();
    sorted.sort_unstable_by(Counted::lighter);
    let (mut left, mut most) = (i128::from(capacity), 0_i128);
    for load in sorted {
        let units = i128::from(load.units);
        if units <= left {
            left -= units;
            most += load.count();
        } else {
            most += load.count() * left / units;
            break;
        }
    }
    usize::try_from(most).unwrap_or(usize::MAX)
}

/// The least units that the first, the first two, … copies can take together, from the lightest loads on.
pub(super) fn least_work(lightest_first: &[Counted]) -> impl Iterator<Item = i64> {
    lightest_first
        .iter()
        .scan(0_i64, |before, load| {
            let base = *before;
            *before = base.saturating_add(load.units);
            let share = move |copy: i128| {
                let part = i128::from(load.units) * copy / load.count().max(1);
                base.saturating_add(i64::try_from(part).unwrap_or(i64::MAX))
            };
            Some((1..=load.count()).map(share))
        })
        .flatten()
}
