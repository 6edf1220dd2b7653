//! Open hours as two views of one line: wall minutes, and open minutes counted from the first opening.

use super::index::Index;
use super::problem::Minute;

/// Open stretches with the open minutes that lie before each.
#[derive(Debug, Clone, Default)]
pub(super) struct Calendar {
    from: Vec<Minute>,
    to: Vec<Minute>,
    before: Vec<Minute>,
    total: Minute,
    /// Stretches by the wall minute at which they end.
    by_wall: Index,
    /// Stretches by the open minute at which they begin.
    by_open: Index,
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
        calendar.by_wall = Index::of(calendar.to.iter().copied());
        calendar.by_open = Index::of(calendar.before.iter().copied());
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
        let mut k = self.by_wall.at(t);
        while self.to.get(k).is_some_and(|&to| to <= t) {
            k += 1;
        }
        k
    }

    /// The last stretch before which at most `open` open minutes lie.
    fn stretch_of(&self, open: Minute) -> usize {
        let mut k = self.by_open.at(open);
        while self.before.get(k + 1).is_some_and(|&before| before <= open) {
            k += 1;
        }
        k
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
        // With no minute of the next stretch wanted, the end lies in the one before.
        let k = if open > 0 { self.stretch_of(open - 1) } else { 0 };
        self.from.get(k).map(|&from| from + (open - self.before[k]).max(0))
    }

    /// The wall minute at which the open minute `open` begins.
    pub(super) fn opening(&self, open: Minute) -> Option<Minute> {
        if open >= self.total {
            return None;
        }
        let k = self.stretch_of(open);
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

    /// The closing before `t`, where a stretch opens at `t`.
    pub(super) fn closed_before(&self, t: Minute) -> Option<Minute> {
        let k = self.stretch(t);
        (self.from.get(k) == Some(&t)).then(|| self.to.get(k.checked_sub(1)?).copied()).flatten()
    }

    /// The last open minute up to `t`.
    pub(super) fn last_open(&self, t: Minute) -> Option<Minute> {
        let k = self.from.partition_point(|&from| from <= t).checked_sub(1)?;
        Some(t.min(self.to.get(k)? - 1))
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
}

#[cfg(test)]
mod tests {
    use super::Calendar;

    const OPEN: [(i64, i64); 3] = [(10, 14), (15, 20), (30, 33)];

    fn open(minute: i64) -> bool {
        OPEN.iter().any(|&(from, to)| from <= minute && minute < to)
    }

    #[test]
    fn work_begins_and_ends_as_counted_minute_by_minute() {
        let calendar = Calendar::new(&OPEN);
        for t in 0..40 {
            assert_eq!(calendar.open_before(t), (0..t).map(|m| i64::from(open(m))).sum::<i64>());
            for length in 1..14 {
                let start = (t..40).find(|&m| open(m));
                let minutes = start.map(|s| (s..40).filter(|&m| open(m)).collect::<Vec<_>>());
                let end = minutes
                    .and_then(|m| m.get(usize::try_from(length).unwrap() - 1).map(|m| m + 1));
                assert_eq!(calendar.first(t, length, false), start.zip(end), "{length} from {t}");
                let whole = (t..40).find(|&m| (m..m + length).all(open));
                let whole = whole.map(|start| (start, start + length));
                assert_eq!(calendar.first(t, length, true), whole, "{length} unbroken from {t}");
            }
        }
    }

    #[test]
    fn no_work_that_starts_sooner_ends_late_enough() {
        let calendar = Calendar::new(&OPEN);
        for end in 11..34 {
            for length in 1..10 {
                let least = calendar.start_for_end(end, length);
                for start in 0..least.min(40) {
                    let sooner = calendar.first(start, length, false).map(|place| place.1);
                    let from_least = calendar.first(least, length, false).map(|place| place.1);
                    assert!(
                        sooner < Some(end) || sooner == from_least,
                        "{length} to {end}: {start}"
                    );
                }
                if let Some((_, reached)) = calendar.first(least, length, false) {
                    assert!(reached >= end, "{length} to {end}");
                }
            }
        }
    }

    #[test]
    fn backwards_is_the_same_line_read_from_its_end() {
        let (calendar, back) = (Calendar::new(&OPEN), Calendar::new(&OPEN).mirrored());
        assert_eq!(back.first(-33, 4, false), Some((-33, -19)));
        assert_eq!(calendar.first(19, 4, false), Some((19, 33)));
    }

    #[test]
    fn without_hours_nothing_has_a_place() {
        assert_eq!(Calendar::new(&[]).first(0, 1, false), None);
        assert_eq!(Calendar::new(&[]).open_before(5), 0);
    }
}
