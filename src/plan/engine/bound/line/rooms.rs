//! Where room is short on a way: hands for a step, and resources held from one step to another.

use super::super::copies::{Counted, fit};
use super::{Line, Room};
use crate::plan::engine::model::Edge;

/// A hold from one step of the line to another.
#[derive(Debug, Clone, Copy)]
struct Stay {
    hold: usize,
    /// The activity with which it begins, none where it has begun already.
    from: Option<usize>,
    to: usize,
}

impl Line<'_> {
    /// A step takes hands: only so many can be at it at once.
    pub(super) fn hands(&mut self) {
        for (index, step) in self.steps.iter().enumerate().filter(|(_, step)| step.length > 0) {
            let Some(&first) = step.acts.first() else {
                continue;
            };
            for &(resource, _) in &self.model.acts[first].needs {
                let units = |act: usize| {
                    let needs = self.model.acts[act].needs.iter();
                    needs.filter(|&&(r, _)| r == resource).map(|&(_, units)| units).sum::<i64>()
                };
                let loads: Vec<Counted> =
                    step.acts.iter().map(|&act| self.load(act, units(act).max(1))).collect();
                let most = fit(&loads, self.model.capacity[resource]).max(1);
                let (from, to, lead, plus, waited) = (index, index, 0, 0, 0);
                self.rooms.push(Room { from, lead, to, plus, most, resource, waited });
            }
        }
    }

    fn load(&self, act: usize, units: i64) -> Counted {
        let way = self.points.get(&act).map(|point| self.ways[point.way]);
        Counted { units, copies: way.map_or(1, |way| way.copies) }
    }

    /// Holds between the same steps: as many at once as the resources take.
    pub(super) fn assignments(&mut self) {
        let stays: Vec<Stay> =
            (0..self.model.holds.len()).filter_map(|hold| self.stay(hold)).collect();
        let mut kinds: Vec<(usize, usize)> =
            stays.iter().filter_map(|stay| self.kind(stay)).collect();
        kinds.sort_unstable();
        kinds.dedup();
        for (from, to) in kinds {
            let first = self.steps[from].start[0];
            let held: Vec<Stay> =
                stays.iter().copied().filter(|stay| self.kind(stay) == Some((from, to))).collect();
            // One that is there already belongs with those that end at the same step.
            let there = |stay: &&Stay| {
                let since = self.model.holds[stay.hold].from;
                let early = matches!(since, Edge::At(at) if at <= first);
                stay.from.is_none() && early && self.step_of(stay.to) == Some(to)
            };
            let all: Vec<Stay> = held.iter().chain(stays.iter().filter(there)).copied().collect();
            // Every job that has the steps has to hold, once, or the i-th are not the same.
            let begun = all.iter().filter_map(|stay| match stay.from {
                None => self.ways[self.points.get(&stay.to)?.way].at(from, self.steps.len()),
                first => first,
            });
            let begun = begun.collect();
            let ended = all.iter().map(|stay| stay.to).collect();
            if self.once(begun, from) && self.once(ended, to) {
                self.room(from, to, &held, &all);
            }
        }
    }

    fn step_of(&self, act: usize) -> Option<usize> {
        self.points.get(&act).map(|point| point.step)
    }

    /// The steps between which it lasts.
    fn kind(&self, stay: &Stay) -> Option<(usize, usize)> {
        Some((self.step_of(stay.from?)?, self.step_of(stay.to)?))
    }

    /// A hold that ends with a step; one that began before all steps looked at is had from the first of them on.
    fn stay(&self, hold: usize) -> Option<Stay> {
        let taken = &self.model.holds[hold];
        // One that follows another may be on any resource of both.
        let Edge::Point(to, _) = taken.to else { return None };
        if taken.follows.is_some() {
            return None;
        }
        let way = self.ways[self.points.get(&to)?.way];
        let from = match taken.from {
            Edge::At(_) => None,
            Edge::Point(first, _) if self.points.contains_key(&first) => Some(first),
            Edge::Point(first, _) => {
                let follows = |act: &&usize| self.paths.way(first, **act).is_some();
                Some(*way.acts.iter().find(follows)?)
            }
        };
        Some(Stay { hold, from, to })
    }

    /// Whether these are the activities of the step, each once.
    fn once(&self, mut acts: Vec<usize>, step: usize) -> bool {
        acts.sort_unstable();
        let mut all = self.steps[step].acts.clone();
        all.sort_unstable();
        acts == all
    }

    fn room(&mut self, from: usize, to: usize, held: &[Stay], all: &[Stay]) {
        let holds = &self.model.holds;
        let any_of = |stay: &Stay| &holds[stay.hold].any_of;
        let mut assignments: Vec<usize> = all.iter().flat_map(any_of).copied().collect();
        assignments.sort_unstable();
        assignments.dedup();
        let wanted = |stay: &Stay| self.load(stay.to, holds[stay.hold].units);
        let on = |&assigned: &usize| {
            let loads: Vec<Counted> =
                all.iter().filter(|stay| any_of(stay).contains(&assigned)).map(wanted).collect();
            fit(&loads, self.model.capacity[assigned])
        };
        let by_resource = assignments.iter().map(on).fold(0, usize::saturating_add);
        // Nor more than all resources together have units for.
        let total = assignments.iter().map(|&assigned| self.model.capacity[assigned]).sum();
        let loads: Vec<Counted> = all.iter().map(wanted).collect();
        let most = by_resource.min(fit(&loads, total)).max(1);
        let before = |stay: &Stay| match holds[stay.hold].from {
            Edge::Point(first, minutes) if stay.from == Some(first) => minutes,
            _ => 0,
        };
        let after = |stay: &Stay| match holds[stay.hold].to {
            Edge::Point(_, minutes) => minutes,
            Edge::At(_) => 0,
        };
        let lead = held.iter().map(before).min().unwrap_or(0);
        let plus = all.iter().map(after).min().unwrap_or(0);
        let resource = assignments.first().copied().unwrap_or(0);
        self.rooms.push(Room { from, lead, to, plus, most, resource, waited: 0 });
    }
}
