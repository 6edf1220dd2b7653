//! A finished plan in which components are placed anew one by one: with time reversed as late as can be, with time as it runs
//! as soon as can be.
//!
//! No job ends later than before. Used for the latest starts and, at the end of a search, to move work that was done
//! sooner than anyone needs it towards what follows, and all else to where hands are free first.

use super::compile::mirror;
use super::model::{Model, NONE};
use super::problem::Minute;
use super::schedule::Schedule;
use super::search::Complete;
use super::value::{Aim, Values};

/// How often all components are gone through for the latest starts.
const PASSES: usize = 4;

/// A plan whose components are placed anew.
pub(super) struct Reinsertion<'m> {
    pub(super) schedule: Schedule<'m>,
    rank: Vec<usize>,
}

impl<'m> Reinsertion<'m> {
    /// The same for a plan being made.
    pub(super) fn pushing(mirrored: &'m Model, plan: &Schedule<'_>) -> Self {
        Self::backwards(mirrored, &Complete::of(plan, Values::default()))
    }

    /// Time runs backwards: as soon as can be is as late as can be.
    fn backwards(mirrored: &'m Model, complete: &Complete) -> Self {
        Self::new(mirrored, complete, |start, end| (-end, -start))
    }

    /// Time runs as it does.
    fn forwards(model: &'m Model, complete: &Complete) -> Self {
        Self::new(model, complete, |start, end| (start, end))
    }

    fn new(
        model: &'m Model,
        complete: &Complete,
        reads: impl Fn(Minute, Minute) -> (Minute, Minute),
    ) -> Self {
        let mut schedule = Schedule::new(model);
        schedule.fixed_modes = true;
        schedule.assigned.clone_from(&complete.assigned);
        schedule.missed.clone_from(&complete.missed);
        schedule.length.clone_from(&complete.length);
        for act in 0..model.acts.len() {
            if schedule.active(act) {
                (schedule.start[act], schedule.end[act]) =
                    reads(complete.start[act], complete.end[act]);
            }
        }
        for index in 0..model.components.len() {
            schedule.placed[index] = true;
            schedule.book(index, 1);
        }
        let mut rank = vec![0; model.acts.len()];
        let mut acts: Vec<usize> = (0..model.acts.len()).collect();
        acts.sort_by_key(|&act| (schedule.start[act], act));
        for (place, act) in acts.into_iter().enumerate() {
            rank[act] = place;
        }
        Self { schedule, rank }
    }

    /// Components that are not given, in order of time as it is read.
    pub(super) fn components(&self) -> Vec<usize> {
        let model = self.schedule.model;
        let mut components: Vec<usize> =
            (0..model.components.len()).filter(|&index| !model.components[index].fixed()).collect();
        let first = |index: usize| {
            let acts = model.components[index].acts.iter();
            acts.filter(|&&act| self.schedule.active(act))
                .map(|&act| self.schedule.start[act])
                .min()
        };
        components.sort_by_key(|&index| (first(index), index));
        components
    }

    /// Moves one component as soon, as time is read, as the rest allows; says where it was if it moved.
    pub(super) fn push(&mut self, index: usize) -> Option<Vec<(Minute, Minute)>> {
        let acts = &self.schedule.model.components[index].acts;
        let before: Vec<_> =
            acts.iter().map(|&a| (self.schedule.start[a], self.schedule.end[a])).collect();
        self.schedule.book(index, -1);
        if !self.schedule.again(index, &self.rank) {
            self.restore(index, &before);
            self.schedule.book(index, 1);
            return None;
        }
        let later =
            acts.iter().zip(&before).all(|(&act, &(start, _))| self.schedule.start[act] <= start);
        let moved =
            acts.iter().zip(&before).any(|(&act, &(start, _))| self.schedule.start[act] < start);
        if later && moved {
            return Some(before);
        }
        self.undo(index, &before);
        None
    }

    fn undo(&mut self, index: usize, before: &[(Minute, Minute)]) {
        self.schedule.book(index, -1);
        self.restore(index, before);
        self.schedule.book(index, 1);
    }

    fn restore(&mut self, index: usize, before: &[(Minute, Minute)]) {
        for (&act, &(start, end)) in self.schedule.model.components[index].acts.iter().zip(before) {
            (self.schedule.start[act], self.schedule.end[act]) = (start, end);
        }
    }

    /// Writes the plan back, time running forwards.
    fn read(&self, into: &mut Schedule<'_>) {
        for act in 0..into.start.len() {
            if self.schedule.active(act) {
                (into.start[act], into.end[act]) =
                    (-self.schedule.end[act], -self.schedule.start[act]);
            }
        }
    }
}

/// The latest end of each activity that moves no job's end and not the last end of all. A transfer between resources on which
/// time counts differently is put off no further: what comes of it depends on the modes.
fn last_ends(model: &Model, aim: &Aim, complete: &Complete) -> Vec<Minute> {
    let all = complete.end[..model.real].iter().copied().max().unwrap_or(0);
    let mut last = vec![all; model.acts.len()];
    for job in &aim.jobs {
        let end = job.acts.iter().map(|&act| complete.end[act]).max().unwrap_or(0);
        for &act in &job.acts {
            last[act] = last[act].min(end);
        }
    }
    for act in (0..model.real).filter(|&act| model.transfers[act] != NONE) {
        let to = model.transfers[act];
        let from = model.holds[to].follows.unwrap_or(to);
        if !model.counts_alike((from, complete.assigned[from]), (to, complete.assigned[to])) {
            last[act] = complete.end[act];
        }
    }
    last
}

fn reversed(model: &Model, aim: &Aim, complete: &Complete) -> Model {
    mirror(model, &complete.missed, &last_ends(model, aim, complete), &complete.length)
}

pub(super) fn latest(model: &Model, aim: &Aim, complete: &Complete) -> Vec<Minute> {
    let mirrored = reversed(model, aim, complete);
    let mut late = Reinsertion::backwards(&mirrored, complete);
    for _ in 0..PASSES {
        let mut moved = false;
        for index in late.components() {
            moved |= late.push(index).is_some();
        }
        if !moved {
            break;
        }
    }
    late.schedule.end[..model.real].iter().map(|&end| -end).collect()
}

/// The same plan with work moved towards what follows, as far as that is worth it.
pub(super) fn right_shifted(model: &Model, aim: &Aim, complete: Complete) -> Complete {
    let mirrored = reversed(model, aim, &complete);
    let mut late = Reinsertion::backwards(&mirrored, &complete);
    let mut plan = Schedule::new(model);
    plan.assigned.clone_from(&complete.assigned);
    plan.missed.clone_from(&complete.missed);
    plan.length.clone_from(&complete.length);
    let mut best = complete;
    for index in late.components() {
        let Some(before) = late.push(index) else {
            continue;
        };
        late.read(&mut plan);
        let values = aim.values(&plan);
        if aim.compare(&values, &best.values).is_le() {
            best = Complete::of(&plan, values);
        } else {
            late.undo(index, &before);
        }
    }
    best
}

/// The same plan with everything where hands are free first, as far as that makes it no worse: what can be done today is
/// not left for tomorrow.
pub(super) fn left_shifted(model: &Model, aim: &Aim, complete: Complete) -> Complete {
    let mut soon = Reinsertion::forwards(model, &complete);
    let mut best = complete;
    for _ in 0..PASSES {
        let mut moved = false;
        for index in soon.components() {
            let Some(before) = soon.push(index) else {
                continue;
            };
            let values = aim.values(&soon.schedule);
            if aim.compare(&values, &best.values).is_le() {
                best = Complete::of(&soon.schedule, values);
                moved = true;
            } else {
                soon.undo(index, &before);
            }
        }
        if !moved {
            break;
        }
    }
    best
}
