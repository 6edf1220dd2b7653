//! The least fixed point of waits and hours, with no resource in the way.

use super::super::model::{Arc, Guard, Model};
use super::super::problem::Minute;
use super::super::value::Dated;

/// Rounds after which the paths are given up (they grow without end).
const MOST_ROUNDS: usize = 100_000;

/// The earliest start and end of each activity.
pub(super) struct Paths<'m> {
    pub(super) model: &'m Model,
    pub(super) start: Vec<Minute>,
    pub(super) end: Vec<Minute>,
    /// Arcs that count, by the activity they leave.
    pub(super) out: Vec<Vec<Arc>>,
    /// Latest starts.
    ceiling: Vec<Minute>,
    /// The way from each activity's end to the last end of those after it, waits and lengths alone.
    pub(super) tail: Vec<Minute>,
}

impl<'m> Paths<'m> {
    /// The paths with the windows in `kept` kept and the others open.
    ///
    /// Refuses with the activity that finds no place before the horizon.
    pub(super) fn new(model: &'m Model, kept: &[bool]) -> Result<Self, usize> {
        let real = |arc: &&Arc| arc.from < model.real && arc.to < model.real;
        let counts = |arc: &&Arc| match arc.guard {
            Guard::Always => true,
            Guard::Kept(window) => kept[window],
            Guard::Extra(_) | Guard::AtOnce(_) => false,
        };
        let mut out = vec![Vec::new(); model.real];
        for arc in model.arcs().filter(real).filter(counts) {
            out[arc.from].push(*arc);
        }
        let missed: Vec<bool> = kept.iter().map(|kept| !kept).collect();
        let ceiling = (0..model.real).map(|act| model.ceiling(act, &missed)).collect();
        let (start, end, tail) = (Vec::new(), Vec::new(), Vec::new());
        let mut paths = Self { model, start, end, out, ceiling, tail };
        for act in 0..model.real {
            let (start, end) = paths.first(act, model.acts[act].floor).ok_or(act)?;
            paths.start.push(start);
            paths.end.push(end);
        }
        let (start, end) =
            paths.spread((0..model.real).collect(), &[], paths.start.clone(), paths.end.clone())?;
        if let Some(act) = (0..model.real).find(|&act| start[act] > paths.ceiling[act]) {
            return Err(act);
        }
        (paths.start, paths.end) = (start, end);
        paths.tail = paths.tails();
        Ok(paths)
    }

    fn first(&self, act: usize, least: Minute) -> Option<(Minute, Minute)> {
        self.model
            .first(act, least, self.model.acts[act].length)
            .filter(|&(_, end)| end <= self.model.horizon)
    }

    /// Raises starts along the arcs from the activities in `raised` until all are content.
    fn spread(
        &self,
        mut raised: Vec<usize>,
        more: &[Arc],
        mut start: Vec<Minute>,
        mut end: Vec<Minute>,
    ) -> Result<(Vec<Minute>, Vec<Minute>), usize> {
        let mut waiting = vec![false; start.len()];
        let mut rounds = 0;
        while !raised.is_empty() {
            rounds += 1;
            if rounds > MOST_ROUNDS {
                return Err(raised[0]);
            }
            let mut next = Vec::new();
            for act in raised {
                waiting[act] = false;
                for arc in self.out[act].iter().chain(more.iter().filter(|arc| arc.from == act)) {
                    let point = if arc.from_end { end[act] } else { start[act] };
                    let asked = self.model.asks(arc, point, self.model.acts[arc.to].length);
                    if asked > start[arc.to] {
                        (start[arc.to], end[arc.to]) = self.first(arc.to, asked).ok_or(arc.to)?;
                        if !std::mem::replace(&mut waiting[arc.to], true) {
                            next.push(arc.to);
                        }
                    }
                }
            }
            raised = next;
        }
        Ok((start, end))
    }

    /// The earliest minutes with more arcs, the last of which leaves `from`; `None` where there are none.
    pub(super) fn spread_with(
        &self,
        more: &[Arc],
        from: usize,
        start: Vec<Minute>,
        end: Vec<Minute>,
    ) -> Option<(Vec<Minute>, Vec<Minute>)> {
        let (start, end) = self.spread(vec![from], more, start, end).ok()?;
        let late = start.iter().zip(&self.ceiling).any(|(start, ceiling)| start > ceiling);
        (!late).then_some((start, end))
    }

    /// The last end and the activity that has it (`usize::MAX` for none).
    pub(super) fn last(&self) -> (Minute, usize) {
        let last = (0..self.end.len()).max_by_key(|&act| (self.end[act], act));
        last.map_or((0, usize::MAX), |act| (self.end[act], act))
    }

    /// Of some activities the one that ends last.
    pub(super) fn last_of(&self, acts: &[usize]) -> usize {
        acts.iter().copied().max_by_key(|&act| (self.end[act], act)).unwrap_or(0)
    }

    /// The earliest end of a job, or 0 where it has no activity.
    pub(super) fn end_of(&self, job: &Dated) -> Minute {
        job.acts.iter().map(|&act| self.end[act]).max().unwrap_or(0)
    }

    /// The earliest last end of everything if `act` does not end before `end`.
    pub(super) fn finish(&self, act: usize, end: Minute) -> Minute {
        let length = self.model.acts[act].length;
        let least = self.model.start_for_end(act, end, length).max(self.start[act]);
        let moved = self.first(act, least).and_then(|(start, end)| {
            let (mut starts, mut ends) = (self.start.clone(), self.end.clone());
            (starts[act], ends[act]) = (start, end);
            self.spread(vec![act], &[], starts, ends).ok()
        });
        // Where nothing fits before the horizon any more, the end itself is all that is claimed.
        moved.map_or(end, |(_, ends)| ends.into_iter().max().unwrap_or(end))
    }

    /// The least time from the start of one activity to the end of another that waits for it, by waits
    /// and lengths alone; `None` where it does not.
    pub(super) fn way(&self, from: usize, to: usize) -> Option<Minute> {
        let length = |act: usize| self.model.acts[act].length;
        if from == to {
            return Some(length(from));
        }
        // Least offsets of starts from the start of `from`, raised along the arcs from one to the next.
        let mut offset: Vec<Option<Minute>> = vec![None; self.out.len()];
        offset[from] = Some(0);
        let mut raised = vec![from];
        let mut left = MOST_ROUNDS;
        while let Some(act) = raised.pop() {
            left = left.checked_sub(1)?;
            let Some(at) = offset[act] else { continue };
            for arc in self.out[act].iter().filter(|arc| !arc.to_end && arc.gap >= 0) {
                let least = at + if arc.from_end { length(act) } else { 0 } + arc.gap;
                if offset[arc.to].is_none_or(|offset| offset < least) {
                    offset[arc.to] = Some(least);
                    raised.push(arc.to);
                }
            }
        }
        offset[to].map(|offset| offset + length(to))
    }

    /// Of some activities those that have ended whenever `act` starts.
    pub(super) fn ended_before(&self, act: usize, among: &[usize]) -> Vec<usize> {
        let mut before = vec![act];
        let mut looked = 0;
        while let Some(&at) = before.get(looked) {
            looked += 1;
            let ended = |arc: &Arc| arc.to == at && arc.from_end && !arc.to_end && arc.gap >= 0;
            for &from in among {
                if !before.contains(&from) && self.out[from].iter().any(ended) {
                    before.push(from);
                }
            }
        }
        before.split_off(1)
    }

    fn tails(&self) -> Vec<Minute> {
        let mut tail = vec![0; self.out.len()];
        let mut order: Vec<usize> = (0..tail.len()).collect();
        order.sort_by_key(|&act| std::cmp::Reverse((self.start[act], act)));
        for _ in 0..=64 {
            let mut changed = false;
            for &act in &order {
                let own = &self.model.acts[act];
                // With closed hours between, a start says too little about how near the end is.
                let tells = |arc: &&Arc| !arc.to_end && (arc.from_end || own.calendar.is_none());
                for arc in self.out[act].iter().filter(tells) {
                    let to = self.model.acts[arc.to].length + tail[arc.to];
                    let back = if arc.from_end { 0 } else { own.length };
                    let least = arc.gap + to - back;
                    if least > tail[act] {
                        tail[act] = least;
                        changed = true;
                    }
                }
            }
            if !changed {
                break;
            }
        }
        tail
    }
}
