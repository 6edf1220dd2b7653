//! A finished plan in which items are placed anew one by one: with time reversed as late as can be, with time as it runs
//! as soon as can be.
//!
//! No job ends later than before. Used for the latest starts and, at the end of a search, to move work that was done
//! sooner than anyone needs it towards what follows, and all else to where hands are free first.

use super::build::Build;
use super::compile::mirror;
use super::model::{Model, NONE};
use super::problem::Minute;
use super::search::Draft;
use super::value::Aim;

/// How often all items are gone through for the latest starts.
const PASSES: usize = 4;

/// A plan whose items are placed anew.
struct Anew<'m> {
    build: Build<'m>,
    rank: Vec<usize>,
}

impl<'m> Anew<'m> {
    /// Time runs backwards: as soon as can be is as late as can be.
    fn backwards(mirrored: &'m Model, draft: &Draft) -> Self {
        Self::new(mirrored, draft, |start, end| (-end, -start))
    }

    /// Time runs as it does.
    fn forwards(model: &'m Model, draft: &Draft) -> Self {
        Self::new(model, draft, |start, end| (start, end))
    }

    fn new(
        model: &'m Model,
        draft: &Draft,
        reads: impl Fn(Minute, Minute) -> (Minute, Minute),
    ) -> Self {
        let mut build = Build::new(model);
        build.fixed_spots = true;
        build.spot.clone_from(&draft.spot);
        build.missed.clone_from(&draft.missed);
        build.length.clone_from(&draft.length);
        for act in 0..model.acts.len() {
            if build.active(act) {
                (build.start[act], build.end[act]) = reads(draft.start[act], draft.end[act]);
            }
        }
        for index in 0..model.items.len() {
            build.placed[index] = true;
            build.book(index, 1);
        }
        let mut rank = vec![0; model.acts.len()];
        let mut acts: Vec<usize> = (0..model.acts.len()).collect();
        acts.sort_by_key(|&act| (build.start[act], act));
        for (place, act) in acts.into_iter().enumerate() {
            rank[act] = place;
        }
        Self { build, rank }
    }

    /// Items that are not given, in order of time as it is read.
    fn items(&self) -> Vec<usize> {
        let model = self.build.model;
        let mut items: Vec<usize> =
            (0..model.items.len()).filter(|&index| !model.items[index].fixed()).collect();
        let first = |index: usize| {
            let acts = model.items[index].acts.iter();
            acts.filter(|&&act| self.build.active(act)).map(|&act| self.build.start[act]).min()
        };
        items.sort_by_key(|&index| (first(index), index));
        items
    }

    /// Moves one item as soon, as time is read, as the rest allows; says where it was if it moved.
    fn push(&mut self, index: usize) -> Option<Vec<(Minute, Minute)>> {
        let acts = &self.build.model.items[index].acts;
        let before: Vec<_> =
            acts.iter().map(|&a| (self.build.start[a], self.build.end[a])).collect();
        self.build.book(index, -1);
        if !self.build.again(index, &self.rank) {
            self.restore(index, &before);
            self.build.book(index, 1);
            return None;
        }
        let later =
            acts.iter().zip(&before).all(|(&act, &(start, _))| self.build.start[act] <= start);
        let moved =
            acts.iter().zip(&before).any(|(&act, &(start, _))| self.build.start[act] < start);
        if later && moved {
            return Some(before);
        }
        self.undo(index, &before);
        None
    }

    fn undo(&mut self, index: usize, before: &[(Minute, Minute)]) {
        self.build.book(index, -1);
        self.restore(index, before);
        self.build.book(index, 1);
    }

    fn restore(&mut self, index: usize, before: &[(Minute, Minute)]) {
        for (&act, &(start, end)) in self.build.model.items[index].acts.iter().zip(before) {
            (self.build.start[act], self.build.end[act]) = (start, end);
        }
    }

    /// Writes the plan back, time running forwards.
    fn read(&self, into: &mut Build<'_>) {
        for act in 0..into.start.len() {
            if self.build.active(act) {
                (into.start[act], into.end[act]) = (-self.build.end[act], -self.build.start[act]);
            }
        }
    }
}

/// The latest end of each activity that moves no job's end and not the last end of all. A transfer between resources on which
/// time counts differently is put off no further: what comes of it depends on the modes.
fn last_ends(model: &Model, aim: &Aim, draft: &Draft) -> Vec<Minute> {
    let all = draft.end[..model.real].iter().copied().max().unwrap_or(0);
    let mut last = vec![all; model.acts.len()];
    for job in &aim.jobs {
        let end = job.acts.iter().map(|&act| draft.end[act]).max().unwrap_or(0);
        for &act in &job.acts {
            last[act] = last[act].min(end);
        }
    }
    for act in (0..model.real).filter(|&act| model.transfers[act] != NONE) {
        let to = model.transfers[act];
        let from = model.holds[to].follows.unwrap_or(to);
        if !model.counts_alike((from, draft.spot[from]), (to, draft.spot[to])) {
            last[act] = draft.end[act];
        }
    }
    last
}

fn reversed(model: &Model, aim: &Aim, draft: &Draft) -> Model {
    mirror(model, &draft.missed, &last_ends(model, aim, draft), &draft.length)
}

pub(super) fn latest(model: &Model, aim: &Aim, draft: &Draft) -> Vec<Minute> {
    let mirrored = reversed(model, aim, draft);
    let mut late = Anew::backwards(&mirrored, draft);
    for _ in 0..PASSES {
        let mut moved = false;
        for index in late.items() {
            moved |= late.push(index).is_some();
        }
        if !moved {
            break;
        }
    }
    late.build.end[..model.real].iter().map(|&end| -end).collect()
}

/// The same plan with work moved towards what follows, as far as that is worth it.
pub(super) fn unhurried(model: &Model, aim: &Aim, draft: Draft) -> Draft {
    let mirrored = reversed(model, aim, &draft);
    let mut late = Anew::backwards(&mirrored, &draft);
    let mut plan = Build::new(model);
    plan.spot.clone_from(&draft.spot);
    plan.missed.clone_from(&draft.missed);
    plan.length.clone_from(&draft.length);
    let mut best = draft;
    for index in late.items() {
        let Some(before) = late.push(index) else {
            continue;
        };
        late.read(&mut plan);
        let values = aim.values(&plan);
        if aim.compare(&values, &best.values).is_le() {
            best = Draft::of(&plan, values);
        } else {
            late.undo(index, &before);
        }
    }
    best
}

/// The same plan with everything where hands are free first, as far as that makes it no worse: what can be done today is
/// not left for tomorrow.
pub(super) fn prompt(model: &Model, aim: &Aim, draft: Draft) -> Draft {
    let mut soon = Anew::forwards(model, &draft);
    let mut best = draft;
    for _ in 0..PASSES {
        let mut moved = false;
        for index in soon.items() {
            let Some(before) = soon.push(index) else {
                continue;
            };
            let values = aim.values(&soon.build);
            if aim.compare(&values, &best.values).is_le() {
                best = Draft::of(&soon.build, values);
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
