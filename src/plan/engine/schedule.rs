//! The construction: from an order of preference to a plan.
//!
//! Serial generation. Of the components whose predecessors are placed, the one with the least rank goes to
//! the earliest place where it fits among those already placed; gaps are filled. What can't be placed
//! yet, since a resource is held by something not yet placed, waits and is tried again.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::known::Known;
use super::model::{Edge, Model, NONE};
use super::neighbourhood::ActivityList;
use super::problem::Minute;
use super::profile::{FAR, Profile};

/// A start that has not been chosen.
pub(super) const UNSET: Minute = -FAR;

/// A plan being made.
#[derive(Debug, Clone)]
pub(super) struct Schedule<'m> {
    pub(super) model: &'m Model,
    pub(super) profiles: Vec<Profile>,
    pub(super) start: Vec<Minute>,
    pub(super) end: Vec<Minute>,
    /// Lengths of the activities; those of the extras depend on what is missed.
    pub(super) length: Vec<Minute>,
    /// The resource of each hold, or `NONE`.
    pub(super) assigned: Vec<usize>,
    /// Whether each window is overrun.
    pub(super) missed: Vec<bool>,
    pub(super) placed: Vec<bool>,
    /// Earliest starts while a component is being placed.
    pub(super) least: Vec<Minute>,
    /// The changes of place that are wanted at once.
    pub(super) at_once: Vec<bool>,
    /// The last minute to which each change of place is put off.
    pub(super) put_off: Vec<Minute>,
    /// The mode wanted of each hold: a resource, or `NONE` for whichever ends first.
    pub(super) wanted: Vec<usize>,
    /// Holds that take the resource they are given and no other.
    pub(super) fixed_modes: bool,
    /// What has to be looked at again while a component is being placed.
    pub(super) stale: Vec<bool>,
    /// Whether a full resource put anything off since this was last cleared.
    pub(super) pressed: bool,
    /// For each component placed, how many were placed before it.
    pub(super) turn: Vec<usize>,
    /// Places of components known from earlier plans, where that is worth keeping.
    pub(super) known: Option<Known>,
    waiting: Vec<usize>,
    heap: BinaryHeap<Reverse<(usize, usize)>>,
}

impl<'m> Schedule<'m> {
    pub(super) fn new(model: &'m Model) -> Self {
        let acts = model.acts.len();
        Self {
            model,
            profiles: vec![Profile::new(); model.capacity.len()],
            start: vec![UNSET; acts],
            end: vec![UNSET; acts],
            length: model.acts.iter().map(|act| act.length).collect(),
            assigned: vec![NONE; model.holds.len()],
            missed: vec![false; model.windows.len()],
            placed: vec![false; model.components.len()],
            least: vec![UNSET; acts],
            at_once: vec![false; acts],
            put_off: vec![FAR; acts],
            wanted: vec![NONE; model.holds.len()],
            fixed_modes: false,
            stale: vec![false; acts],
            pressed: false,
            turn: vec![0; model.components.len()],
            known: None,
            waiting: Vec::new(),
            heap: BinaryHeap::new(),
        }
    }

    /// The same, with places of components known from earlier plans.
    pub(super) fn knowing(model: &'m Model, known: Option<Known>) -> Self {
        Self { known, ..Self::new(model) }
    }

    /// An empty shop, save for what stands on a resource already.
    pub(super) fn clear(&mut self) {
        for profile in &mut self.profiles {
            profile.clear();
        }
        self.start.fill(UNSET);
        self.end.fill(UNSET);
        self.missed.fill(false);
        self.placed.fill(false);
        for act in self.model.real..self.model.acts.len() {
            self.length[act] = 0;
        }
        if !self.fixed_modes {
            self.assigned.fill(NONE);
        }
        if let Some(known) = &mut self.known {
            known.clear();
        }
        for hold in 0..self.model.holds.len() {
            self.stand(hold, 1);
        }
    }

    /// Takes (`sign` 1) or gives back (-1) what a hold keeps until its component is placed: something that
    /// is on a resource already stays there for ever, unless it is planned off it.
    pub(super) fn stand(&mut self, hold: usize, sign: i64) {
        let stay = &self.model.holds[hold];
        if let (Edge::At(at), Some(&assigned)) = (stay.from, stay.any_of.first()) {
            self.profiles[assigned].take(at, FAR, sign * stay.units);
        }
    }

    /// Places everything as an order wants it; says how many components found no place.
    pub(super) fn follow(&mut self, order: &ActivityList) -> usize {
        self.at_once.copy_from_slice(order.at_once());
        self.put_off.copy_from_slice(order.put_off());
        self.wanted.copy_from_slice(order.wanted());
        self.run(order.rank())
    }

    /// Places everything, by rank; says how many components found no place.
    pub(super) fn run(&mut self, rank: &[usize]) -> usize {
        let model = self.model;
        self.clear();
        self.heap.clear();
        self.waiting.clear();
        self.waiting.extend(model.components.iter().map(|component| component.waits_for));
        for (index, component) in model.components.iter().enumerate() {
            if component.waits_for == 0 {
                self.heap.push(Reverse((key(model, index, rank), index)));
            }
        }
        let mut stuck: Vec<usize> = Vec::new();
        let mut progress = false;
        let mut turn = 0;
        loop {
            while let Some(Reverse((_, index))) = self.heap.pop() {
                if self.place_known(index, rank) {
                    self.turn[index] = turn;
                    turn += 1;
                    progress = true;
                    self.release(index, rank);
                } else {
                    stuck.push(index);
                }
            }
            if stuck.is_empty() || !progress {
                break;
            }
            progress = false;
            for index in stuck.drain(..) {
                self.heap.push(Reverse((key(model, index, rank), index)));
            }
        }
        self.placed.iter().filter(|&&placed| !placed).count()
    }

    /// Makes ready what waited for this component alone.
    fn release(&mut self, index: usize, rank: &[usize]) {
        let model = self.model;
        for &after in &model.components[index].next {
            self.waiting[after] -= 1;
            if self.waiting[after] == 0 {
                self.heap.push(Reverse((key(model, after, rank), after)));
            }
        }
    }

    /// Puts the units a component takes into the profiles (`sign` 1), or takes them out (-1).
    pub(super) fn book(&mut self, index: usize, sign: i64) {
        let component = &self.model.components[index];
        for &act in &component.acts {
            if self.active(act) {
                self.book_act(act, sign);
            }
        }
        for &hold in &component.holds {
            let (from, to) = self.span(hold);
            self.profiles[self.assigned[hold]].take(from, to, sign * self.model.holds[hold].units);
        }
    }

    pub(super) fn book_act(&mut self, act: usize, sign: i64) {
        for &(resource, units) in &self.model.acts[act].needs {
            self.profiles[resource].take(self.start[act], self.end[act], sign * units);
        }
    }

    /// Whether a hold keeps the resource of the one before it.
    pub(super) fn kept(&self, hold: usize) -> bool {
        let assigned = self.assigned[hold];
        self.model.holds[hold]
            .follows
            .is_some_and(|before| assigned != NONE && self.assigned[before] == assigned)
    }

    /// From when to when a hold lasts; where its resource is kept by the one that follows, until the end of that one.
    pub(super) fn span(&self, hold: usize) -> (Minute, Minute) {
        let (from, to) = (self.point(self.model.holds[hold].from, false), self.end_of(hold));
        if self.kept(hold) { (to, to) } else { (from, to) }
    }

    fn end_of(&self, hold: usize) -> Minute {
        let follower = self.model.follower[hold];
        let last = if follower != NONE && self.kept(follower) { follower } else { hold };
        self.point(self.model.holds[last].to, true)
    }

    fn point(&self, edge: Edge, end: bool) -> Minute {
        match edge {
            Edge::At(at) => at,
            Edge::Point(act, plus) if end => self.end[act] + plus,
            Edge::Point(act, lead) => self.start[act] - lead,
        }
    }

    /// The first start at or after `t` that an activity's hours allow, and its end in the modes chosen.
    pub(super) fn first(&self, act: usize, t: Minute) -> Option<(Minute, Minute)> {
        let model = self.model;
        let own = &model.acts[act];
        let transfer = model.transfers[act];
        if let Some(calendar) = own.calendar.filter(|_| transfer != NONE) {
            let moves = self.transferred(transfer);
            return if moves { model.calendars[calendar].first(t, 0, true) } else { Some((t, t)) };
        }
        match own.modal {
            Some(mode) => Some((t, self.end_in(mode, t))),
            None => model.first(act, t, self.length[act]),
        }
    }

    /// Whether a hold that follows another is on a resource of its own.
    pub(super) fn transferred(&self, hold: usize) -> bool {
        let model = self.model;
        let pair = [Some(hold), model.holds[hold].follows, Some(model.follower[hold])];
        let mut assignments =
            pair.into_iter().flatten().filter(|&h| h != NONE).map(|h| self.assigned[h]);
        let first = assignments.next().unwrap_or(NONE);
        first != NONE && assignments.all(|assigned| assigned != NONE && assigned != first)
    }

    /// Whether a hold that a mode counts by has no resource yet.
    pub(super) fn undecided(&self, mode: usize) -> bool {
        self.model.modes[mode].holds.iter().any(|&hold| self.assigned[hold] == NONE)
    }

    /// The end of what begins at `t` and takes as long as the modes say.
    pub(super) fn end_in(&self, mode: usize, t: Minute) -> Minute {
        let (model, undecided) = (self.model, self.undecided(mode));
        let mode = &model.modes[mode];
        if undecided {
            return model.counts[mode.relaxed].reach(t, mode.amount);
        }
        let (mut from, mut left) = (t, mode.amount);
        for (place, &hold) in mode.holds.iter().enumerate() {
            let count = mode.rate_on(self.assigned[hold]).map(|rate| &model.counts[rate]);
            let next = mode
                .holds
                .get(place + 1)
                .filter(|&&next| self.assigned[next] != self.assigned[hold]);
            let Some(&next) = next else {
                return count.map_or(FAR, |count| count.reach(from, left));
            };
            let change = self.change(hold, next).max(from);
            if let Some(count) = count {
                let counted = count.total(change) - count.total(from);
                if left <= counted {
                    return count.reach(from, left);
                }
                left -= counted;
            }
            from = change;
        }
        from
    }

    /// The last minute of a longest wait from a point, or the first after a shortest one, in the mode chosen.
    pub(super) fn until_in(&self, mode: usize, point: Minute) -> Minute {
        let mode = &self.model.modes[mode];
        let assigned = mode.holds.first().map_or(NONE, |&hold| self.assigned[hold]);
        let count = &self.model.counts[mode.rate_on(assigned).unwrap_or(mode.relaxed)];
        if mode.window {
            count.reach(point, mode.amount + 1) - 1
        } else {
            count.reach(point, mode.amount)
        }
    }

    /// The minute between two holds one after the other.
    fn change(&self, one: usize, other: usize) -> Minute {
        let holds = &self.model.holds;
        let edge =
            if holds[other].follows == Some(one) { holds[other].from } else { holds[one].to };
        match edge {
            Edge::Point(act, _) if self.start[act] != UNSET => self.start[act],
            Edge::Point(..) => UNSET,
            Edge::At(at) => at,
        }
    }
}

/// What has begun already goes first; then the least rank.
fn key(model: &Model, index: usize, rank: &[usize]) -> usize {
    let component = &model.components[index];
    if component.given {
        return 0;
    }
    component.entries.iter().map(|&act| rank[act] + 1).min().unwrap_or(0)
}
