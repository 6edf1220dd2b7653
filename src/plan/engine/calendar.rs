//! Open hours as two views of one line: wall minutes, and open minutes counted from the first opening.

use super::problem::Minute;

/// Open stretches with the open minutes that lie before each.
#[derive(Debug, Clone, Default)]
pub(super) struct Calendar {
    from: Vec<Minute>,
    to: Vec<Minute>,
    before: Vec<Minute>,
    total: Minute,
}

impl Calendar {
    pub(super) fn new(open: &[(Minute, Minute)]) -> Self {
        let mut calendar = Self::default();
        for &(from, to) in open {
            calendar.from.push(from);
            calendar.to.push(to);
            calendar.before.push(calendar.total);
            calendar.total += to - from;
        }
        calendar
    }

    /// The same hours with time running backwards: minute `m` becomes `-m - 1`.
    pub(super) fn mirrored(&self) -> Self {
        let open: Vec<_> =
            self.from.iter().zip(&self.to).rev().map(|(&from, &to)| (-to, -from)).collect();
        Self::new(&open)
    }

    /// The first stretch that ends after `t`.
    fn stretch(&self, t: Minute) -> usize {
        self.to.partition_point(|&to| to <= t)
    }

    /// Open minutes before the wall minute `t`.
    pub(super) fn open_before(&self, t: Minute) -> Minute {
        let k = self.stretch(t);
        match self.from.get(k) {
            Some(&from) => self.before[k] + (t - from).max(0),
            None => self.total,
        }
    }

    /// The first wall minute before which `open` open minutes lie: the end of work of that length.
    pub(super) fn closing(&self, open: Minute) -> Option<Minute> {
        if open > self.total {
            return None;
        }
        let k = self.before.partition_point(|&before| before < open).max(1) - 1;
        self.from.get(k).map(|&from| from + (open - self.before[k]).max(0))
    }

    /// The wall minute at which the open minute `open` begins.
    pub(super) fn opening(&self, open: Minute) -> Option<Minute> {
        if open >= self.total {
            return None;
        }
        let k = self.before.partition_point(|&before| before <= open).max(1) - 1;
        self.from.get(k).map(|&from| from + (open - self.before[k]).max(0))
    }

    /// The first start at or after `t` for work of `length` open minutes, and its end.
    pub(super) fn first(
        &self,
        t: Minute,
        length: Minute,
        unbroken: bool,
    ) -> Option<(Minute, Minute)> {
        let mut k = self.stretch(t);
        loop {
            let start = t.max(*self.from.get(k)?);
            let left = self.to[k] - start;
            if length <= left {
                return Some((start, start + length));
            }
            if !unbroken {
                let open = self.before[k] + (start - self.from[k]) + length;
                return self.closing(open).map(|end| (start, end));
            }
            k += 1;
        }
    }

    /// A start before which no work of `length` open minutes ends at `end` or later.
    pub(super) fn start_for_end(&self, end: Minute, length: Minute) -> Minute {
        if length == 0 {
            return end;
        }
        let open = self.open_before(end);
        let reaches = self.closing(open).is_some_and(|closing| closing >= end);
        let wanted = if reaches { open } else { open + 1 } - length;
        match self.opening(wanted.max(0)) {
            Some(start) => start,
            None => end,
        }
    }

    /// Open minutes from `a` to `b`.
    pub(super) fn between(&self, a: Minute, b: Minute) -> Minute {
        self.open_before(b) - self.open_before(a)
    }
}
