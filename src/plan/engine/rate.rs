//! Time that counts at a rate of its own: how long something takes on each resource and from each minute on.
//!
//! Time-dependent processing times by a cumulative function (Gawiejnowicz, *Time-Dependent Scheduling*, 2008). It never
//! falls, so what begins later never ends sooner, and a least fixed point of starts stays one.

use super::calendar::Index;
use super::problem::{Minute, Rate};
use super::profile::FAR;

/// A rate with what has been counted up to each of its steps.
#[derive(Debug, Clone, Default)]
pub(crate) struct Count {
    from: Vec<Minute>,
    per_minute: Vec<i64>,
    before: Vec<i64>,
    /// By minute and by what has been counted, where to begin to look for a step.
    by_time: Index,
    by_count: Index,
}

impl Count {
    /// Counts at a rate.
    pub(crate) fn new(rate: &Rate) -> Self {
        Self::of(rate.steps.iter().copied())
    }

    fn of(steps: impl Iterator<Item = (Minute, i64)>) -> Self {
        let mut count = Self::default();
        for (from, per_minute) in steps {
            let before = match (count.from.last(), count.before.last(), count.per_minute.last()) {
                (Some(last), Some(before), Some(rate)) => {
                    before.saturating_add(rate.saturating_mul(from - last))
                }
                _ => 0,
            };
            count.from.push(from);
            count.per_minute.push(per_minute);
            count.before.push(before);
        }
        let Self { from, before, .. } = &count;
        let ends = |all: &[i64]| all.first().copied().zip(all.last().copied()).unwrap_or((0, -1));
        let ((first, last), (least, most)) = (ends(from), ends(before));
        let by_time =
            Index::new(first, last, |t| from.partition_point(|&from| from <= t).max(1) - 1);
        let by_count = Index::new(least, most, |wanted| {
            before.partition_point(|&before| before < wanted).max(1) - 1
        });
        Self { by_time, by_count, ..count }
    }

    /// The step that contains `t`; the first for what lies before all.
    fn step(&self, t: Minute) -> usize {
        let mut step = self.by_time.at(t);
        while self.from.get(step + 1).is_some_and(|&from| from <= t) {
            step += 1;
        }
        step
    }

    /// The step in which so much is counted.
    fn reached(&self, wanted: i64) -> usize {
        let mut step = self.by_count.at(wanted);
        while self.before.get(step + 1).is_some_and(|&before| before < wanted) {
            step += 1;
        }
        step
    }

    /// The rate, where it is always the same.
    pub(super) fn constant(&self) -> Option<i64> {
        let [rate] = self.per_minute[..] else { return None };
        Some(rate)
    }

    fn rate_at(&self, t: Minute) -> i64 {
        self.per_minute.get(self.step(t)).copied().unwrap_or(0)
    }

    /// What has been counted at `t`, from the first step on.
    pub(super) fn total(&self, t: Minute) -> i64 {
        let step = self.step(t);
        let Some(&from) = self.from.get(step) else { return 0 };
        self.before[step].saturating_add(self.per_minute[step].saturating_mul(t - from))
    }

    /// The first minute at or after `t` at which `amount` more has been counted; some far minute if it never is.
    pub(crate) fn reach(&self, t: Minute, amount: i64) -> Minute {
        if amount <= 0 {
            return t;
        }
        let wanted = self.total(t).saturating_add(amount);
        let step = self.reached(wanted);
        match self.per_minute.get(step) {
            Some(&rate) if rate > 0 => {
                let (from, left) = (self.from[step], wanted - self.before[step]);
                let minutes = left.div_euclid(rate) + i64::from(left.rem_euclid(rate) > 0);
                (from + minutes).max(t).min(FAR)
            }
            _ => FAR,
        }
    }

    /// The first minute up to `t` from which no more than `amount` is counted until `t`.
    pub(super) fn back(&self, t: Minute, amount: i64) -> Minute {
        let wanted = self.total(t).saturating_sub(amount);
        let step = self.reached(wanted);
        match self.per_minute.get(step) {
            Some(&rate) if rate > 0 => {
                let (from, left) = (self.from[step], wanted - self.before[step]);
                (from + left.div_euclid(rate) + i64::from(left.rem_euclid(rate) > 0)).min(t)
            }
            _ => -FAR,
        }
    }

    /// The rate that is always the greatest of these, or the least.
    pub(super) fn merged(counts: &[&Self], greatest: bool) -> Self {
        let mut from: Vec<Minute> = counts.iter().flat_map(|count| &count.from).copied().collect();
        from.sort_unstable();
        from.dedup();
        Self::of(from.into_iter().map(|from| {
            let rates = counts.iter().map(|count| count.rate_at(from));
            (from, if greatest { rates.max() } else { rates.min() }.unwrap_or(0))
        }))
    }

    /// The least minutes `amount` takes, whenever it begins.
    pub(super) fn shortest(&self, amount: i64) -> Minute {
        let begins = self.from.iter().map(|&from| self.reach(from, amount) - from);
        let ends = self.from.iter().map(|&to| to - self.back(to, amount));
        // A begin or an end at a step is best; both are rounded to whole minutes, the second one down.
        let least = begins.chain(ends.filter(|&minutes| minutes < FAR)).min().unwrap_or(FAR);
        let ever = self.per_minute.iter().any(|&rate| rate > 0);
        if ever { least.clamp(0, FAR) } else { FAR }
    }

    /// The most minutes in which no more than `amount` is counted, whenever they begin.
    pub(super) fn longest(&self, amount: i64) -> Minute {
        let least = self.per_minute.iter().copied().filter(|&rate| rate > 0).min();
        least.map_or(FAR, |rate| amount / rate)
    }

    /// Time read backwards.
    pub(super) fn mirrored(&self) -> Self {
        let Some((&last, &rate)) = self.from.last().zip(self.per_minute.last()) else {
            return self.clone();
        };
        let earlier = self.from.iter().skip(1).zip(&self.per_minute).rev();
        let earlier = earlier.map(|(&from, &rate)| (-from, rate));
        Self::of(std::iter::once((-last - 1, rate)).chain(earlier))
    }
}

#[cfg(test)]
mod tests {
    use super::Count;
    use crate::plan::engine::problem::Rate;

    const MINUTE: i64 = 1_000_000_000;

    fn count() -> Count {
        let steps = vec![(0, MINUTE), (10, 0), (20, MINUTE / 2), (40, 2 * MINUTE)];
        Count::new(&Rate { name: String::new(), steps })
    }

    fn slowly(t: i64) -> i64 {
        let rate = |m: i64| match m {
            ..10 => MINUTE,
            10..20 => 0,
            20..40 => MINUTE / 2,
            _ => 2 * MINUTE,
        };
        (0..t).map(rate).sum()
    }

    #[test]
    fn what_is_reached_is_what_counting_minute_by_minute_reaches() {
        let count = count();
        for t in 0..60 {
            assert_eq!(count.total(t), slowly(t));
            for amount in (0..40).map(|half| half * MINUTE / 2) {
                let reached = (t..400).find(|&u| slowly(u) - slowly(t) >= amount);
                assert_eq!(Some(count.reach(t, amount)), reached, "{amount} from {t}");
                let back = (0..=t).find(|&u| slowly(t) - slowly(u) <= amount);
                assert_eq!(Some(count.back(t, amount).max(0)), back, "{amount} until {t}");
                assert!(count.shortest(amount) <= count.reach(t, amount) - t);
            }
        }
    }

    #[test]
    fn backwards_takes_as_long() {
        let (count, back) = (count(), count().mirrored());
        for t in 0..60 {
            for u in 0..t {
                assert_eq!(count.total(t) - count.total(u), back.total(-u) - back.total(-t));
            }
        }
    }

    #[test]
    fn what_never_counts_is_never_reached() {
        let never = Count::new(&Rate { name: String::new(), steps: vec![(0, 0)] });
        assert_eq!(never.reach(5, 1), super::FAR);
        assert_eq!(never.shortest(1), super::FAR);
    }
}
