//! How many units of a resource are taken at each minute, as steps.

use super::problem::Minute;

/// Far outside every moment a problem can name.
pub(super) const FAR: Minute = i64::MAX / 8;

/// Steps `(from, units)`; each lasts until the next, the last one for ever.
#[derive(Debug, Clone)]
pub(super) struct Profile {
    steps: Vec<(Minute, i64)>,
}

impl Profile {
    pub(super) fn new() -> Self {
        Self { steps: vec![(-FAR, 0)] }
    }

    pub(super) fn clear(&mut self) {
        self.steps.clear();
        self.steps.push((-FAR, 0));
    }

    /// The step that contains `t`.
    fn step(&self, t: Minute) -> usize {
        self.steps.partition_point(|&(from, _)| from <= t).max(1) - 1
    }

    /// Makes a step begin at `t` and says which.
    fn cut(&mut self, t: Minute) -> usize {
        let k = self.step(t);
        if self.steps[k].0 == t {
            return k;
        }
        let units = self.steps[k].1;
        self.steps.insert(k + 1, (t, units));
        k + 1
    }

    /// Takes `units` (gives back, if negative) from `start` to `end`.
    pub(super) fn take(&mut self, start: Minute, end: Minute, units: i64) {
        if start >= end || units == 0 {
            return;
        }
        let first = self.cut(start);
        let after = if end >= FAR { self.steps.len() } else { self.cut(end) };
        for step in &mut self.steps[first..after] {
            step.1 += units;
        }
        if after < self.steps.len() && self.steps[after].1 == self.steps[after - 1].1 {
            self.steps.remove(after);
        }
        if first > 0 && self.steps[first].1 == self.steps[first - 1].1 {
            self.steps.remove(first);
        }
    }

    /// The end of the last step between `start` and `end` with more than `most` units taken: no
    /// interval that begins before it and reaches as far as this one is free.
    pub(super) fn clash(&self, start: Minute, end: Minute, most: i64) -> Option<Minute> {
        if start >= end {
            return None;
        }
        let mut k = self.steps.partition_point(|&(from, _)| from < end).max(1) - 1;
        loop {
            let (from, units) = self.steps[k];
            if units > most {
                break;
            }
            if from <= start || k == 0 {
                return None;
            }
            k -= 1;
        }
        k += 1;
        while self.steps.get(k).is_some_and(|&(_, units)| units > most) {
            k += 1;
        }
        Some(self.steps.get(k).map_or(FAR, |&(from, _)| from))
    }

    /// Until when no more than `most` units are taken from `start` on.
    pub(super) fn free_until(&self, start: Minute, most: i64) -> Minute {
        let later = self.steps.iter().skip(self.step(start));
        later.filter(|step| step.1 > most).map(|&(from, _)| from.max(start)).next().unwrap_or(FAR)
    }
}
