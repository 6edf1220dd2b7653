//! Time that counts at a rate of its own: how long something takes on each resource and from each minute on.
//!
//! Time-dependent processing times by a cumulative function (Gawiejnowicz, *Time-Dependent Scheduling*, 2008). It never
//! falls, so what begins later never ends sooner, and a least fixed point of starts stays one.

use super::index::Index;
use super::problem::{Minute, Rate};
use super::profile::FAR;

/// From a minute on so much a minute, with what has been counted before.
#[derive(Debug, Clone, Copy)]
struct Step {
    from: Minute,
    per_minute: i64,
    before: i64,
}

impl Step {
    fn total(&self, t: Minute) -> i64 {
        self.before.saturating_add(self.per_minute.saturating_mul(t - self.from))
    }

    /// The first minute at which so much has been counted, were this the step in which it is; none where nothing is counted.
    fn first(&self, wanted: i64) -> Option<Minute> {
        let (left, rate) = (wanted - self.before, self.per_minute);
        let minutes = |rate| left.div_euclid(rate) + i64::from(left.rem_euclid(rate) > 0);
        (rate > 0).then(|| self.from + minutes(rate))
    }
}

/// These steps from the one on in which so much is counted.
fn reaching(mut steps: &[Step], wanted: i64) -> &[Step] {
    while steps.get(1).is_some_and(|next| next.before < wanted) {
        steps = &steps[1..];
    }
    steps
}

impl Rate {
    /// As [`Count::reach`] says, step by step: for one question or two that is less work than to count all of them.
    pub(crate) fn reach(&self, t: Minute, amount: i64) -> Minute {
        let (mut at, mut left) = (t, amount);
        let ends = self.steps.iter().skip(1).map(|step| step.0).chain(Some(FAR));
        for (&(_, per_minute), end) in self.steps.iter().zip(ends) {
            if left <= 0 {
                break;
            }
            let here = per_minute.saturating_mul((end - at).max(0));
            if here >= left {
                return at + Step { from: 0, per_minute, before: 0 }.first(left).unwrap_or(FAR);
            }
            (at, left) = (at.max(end), left - here);
        }
        if left > 0 { FAR } else { at }
    }
}

/// A rate with what has been counted up to each of its steps.
#[derive(Debug, Clone, Default)]
pub(super) struct Count {
    steps: Vec<Step>,
    /// Steps by minute and by what has been counted.
    by_time: Index,
    by_count: Index,
}

impl Count {
    /// Counts at a rate.
    pub(super) fn new(rate: &Rate) -> Self {
        Self::of(rate.steps.iter().copied())
    }

    fn of(rates: impl Iterator<Item = (Minute, i64)>) -> Self {
        let mut steps: Vec<Step> = Vec::with_capacity(rates.size_hint().0);
        for (from, per_minute) in rates {
            let before = steps.last().map_or(0, |last| last.total(from));
            steps.push(Step { from, per_minute, before });
        }
        let by_time = Index::of(steps.iter().map(|step| step.from));
        let by_count = Index::of(steps.iter().map(|step| step.before));
        Self { steps, by_time, by_count }
    }

    /// The step that contains `t`; the first for what lies before all.
    fn step(&self, t: Minute) -> Option<&Step> {
        let mut steps = self.steps.get(self.by_time.at(t)..)?;
        while steps.get(1).is_some_and(|next| next.from <= t) {
            steps = &steps[1..];
        }
        steps.first()
    }

    /// The step in which so much is counted.
    fn reached(&self, wanted: i64) -> Option<&Step> {
        reaching(self.steps.get(self.by_count.at(wanted)..)?, wanted).first()
    }

    /// The rate, where it is always the same.
    pub(super) fn constant(&self) -> Option<i64> {
        let [step] = self.steps[..] else { return None };
        Some(step.per_minute)
    }

    fn rate_at(&self, t: Minute) -> i64 {
        self.step(t).map_or(0, |step| step.per_minute)
    }

    /// What has been counted at `t`, from the first step on.
    pub(super) fn total(&self, t: Minute) -> i64 {
        self.step(t).map_or(0, |step| step.total(t))
    }

    /// The first minute at which so much has been counted; none if it never is.
    fn first(&self, wanted: i64) -> Option<Minute> {
        self.reached(wanted)?.first(wanted)
    }

    /// The first minute at or after `t` at which `amount` more has been counted; some far minute if it never is.
    pub(super) fn reach(&self, t: Minute, amount: i64) -> Minute {
        if amount <= 0 {
            return t;
        }
        let wanted = self.total(t).saturating_add(amount);
        self.first(wanted).map_or(FAR, |first| first.max(t).min(FAR))
    }

    /// The first minute up to `t` from which no more than `amount` is counted until `t`.
    pub(super) fn back(&self, t: Minute, amount: i64) -> Minute {
        let wanted = self.total(t).saturating_sub(amount);
        self.first(wanted).map_or(-FAR, |first| first.min(t))
    }

    /// The rate that is always the greatest of these, or the least.
    pub(super) fn merged(counts: &[&Self], greatest: bool) -> Self {
        let mut from: Vec<Minute> =
            counts.iter().flat_map(|count| count.steps.iter().map(|step| step.from)).collect();
        from.sort_unstable();
        from.dedup();
        Self::of(from.into_iter().map(|from| {
            let rates = counts.iter().map(|count| count.rate_at(from));
            (from, if greatest { rates.max() } else { rates.min() }.unwrap_or(0))
        }))
    }

    /// The least minutes `amount` takes, whenever it begins.
    pub(super) fn shortest(&self, amount: i64) -> Minute {
        if !self.steps.iter().any(|step| step.per_minute > 0) {
            return FAR;
        }
        // A begin or an end at a step is best; both are rounded to whole minutes, the second one down. Of most it is seen by
        // the step alone that they take longer, without a division.
        let mut least = FAR;
        for (from, wanted, steps) in self.counted_from(|step| step.before.saturating_add(amount)) {
            if let Some(step) = steps.first().filter(|step| step.from - from < least) {
                least = step.first(wanted).map_or(least, |t| least.min(t - from));
            }
        }
        for (to, wanted, steps) in self.counted_from(|step| step.before.saturating_sub(amount)) {
            if steps.get(1).is_none_or(|next| to - next.from < least) {
                let first = steps.first().and_then(|step| step.first(wanted));
                least = first.map_or(least, |t| least.min(to - t.min(to)));
            }
        }
        least.max(0)
    }

    /// For each step when it begins, how much is wanted of it, which never falls from step to step, and the steps from the one on
    /// in which as much is counted.
    fn counted_from(
        &self,
        wanted: impl Fn(&Step) -> i64,
    ) -> impl Iterator<Item = (Minute, i64, &[Step])> {
        let mut steps = &self.steps[..];
        self.steps.iter().map(move |step| {
            let wanted = wanted(step);
            steps = reaching(steps, wanted);
            (step.from, wanted, steps)
        })
    }

    /// The most minutes in which no more than `amount` is counted, whenever they begin.
    pub(super) fn longest(&self, amount: i64) -> Minute {
        let rates = self.steps.iter().map(|step| step.per_minute);
        rates.filter(|&rate| rate > 0).min().map_or(FAR, |rate| amount / rate)
    }

    /// Time read backwards.
    pub(super) fn mirrored(&self) -> Self {
        let Some(last) = self.steps.last() else { return Self::default() };
        let earlier = self.steps.iter().skip(1).zip(&self.steps).rev();
        let earlier = earlier.map(|(next, step)| (-next.from, step.per_minute));
        Self::of(std::iter::once((-last.from - 1, last.per_minute)).chain(earlier))
    }
}

#[cfg(test)]
mod tests {
    use super::Count;
    use crate::plan::engine::problem::Rate;

    const MINUTE: i64 = 1_000_000_000;

    fn rate(steps: &[(i64, i64)]) -> Rate {
        Rate { name: String::new(), steps: steps.to_vec() }
    }

    fn turns() -> Rate {
        rate(&[(0, MINUTE), (10, 0), (20, MINUTE / 2), (40, 2 * MINUTE)])
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
        let (rate, count) = (turns(), Count::new(&turns()));
        for t in 0..60 {
            assert_eq!(count.total(t), slowly(t));
            for amount in (0..40).map(|half| half * MINUTE / 2) {
                let reached = (t..400).find(|&u| slowly(u) - slowly(t) >= amount);
                assert_eq!(Some(count.reach(t, amount)), reached, "{amount} from {t}");
                assert_eq!(Some(rate.reach(t, amount)), reached, "{amount} from {t}");
                let back = (0..=t).find(|&u| slowly(t) - slowly(u) <= amount);
                assert_eq!(Some(count.back(t, amount).max(0)), back, "{amount} until {t}");
                assert!(count.shortest(amount) <= count.reach(t, amount) - t);
            }
        }
    }

    #[test]
    fn backwards_takes_as_long() {
        let count = Count::new(&turns());
        let back = count.mirrored();
        for t in 0..60 {
            for u in 0..t {
                assert_eq!(count.total(t) - count.total(u), back.total(-u) - back.total(-t));
            }
        }
    }

    #[test]
    fn what_never_counts_is_never_reached() {
        let (rate, never) = (rate(&[(0, 0)]), Count::new(&rate(&[(0, 0)])));
        assert_eq!((rate.reach(5, 1), never.reach(5, 1)), (super::FAR, super::FAR));
        assert_eq!(never.shortest(1), super::FAR);
    }
}
