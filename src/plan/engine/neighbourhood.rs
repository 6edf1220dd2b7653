//! An order of preference and the ways to disturb it.

use super::answer::Plan;
use super::choose::KEEP;
use super::model::{Model, NONE};
use super::problem::Minute;
use super::profile::FAR;
use super::random::Chance;
use super::value::{DateOf, Dated};

/// What a move had better begin with.
#[derive(Debug, Clone)]
pub(super) struct Pressing {
    /// Pairs of activities of which the second waits for a resource of the first.
    pub(super) chain: Vec<(usize, usize)>,
    /// Jobs that are past their dates.
    pub(super) late: Vec<usize>,
    /// Which dates that are.
    pub(super) date: DateOf,
}

/// The activities a search may order, the most urgent first, and the place of each.
#[derive(Debug, Clone)]
pub(super) struct ActivityList {
    list: Vec<usize>,
    rank: Vec<usize>,
    /// For each activity whether it is a change of place wanted at once.
    at_once: Vec<bool>,
    /// For each activity, were it a change of place, the last minute to which it is put off.
    put_off: Vec<Minute>,
    /// The mode wanted of each hold, or `NONE`.
    wanted: Vec<usize>,
}

impl ActivityList {
    /// The order by a key; ties go by place in the problem.
    pub(super) fn by<K: Ord>(model: &Model, key: impl Fn(usize) -> K) -> Self {
        let given = |index: usize| model.components[index].given;
        let mut list: Vec<usize> = (0..model.components.len())
            .filter(|&index| !given(index))
            .flat_map(|index| model.components[index].entries.iter().copied())
            .collect();
        list.sort_by_key(|&act| (key(act), act));
        let acts = model.acts.len();
        let mut order = Self {
            list,
            rank: vec![0; acts],
            at_once: vec![false; acts],
            put_off: vec![FAR; acts],
            wanted: vec![NONE; model.holds.len()],
        };
        order.count(0, order.list.len());
        order
    }

    /// The order of a plan's starts.
    pub(super) fn of(model: &Model, plan: &Plan) -> Self {
        Self::by(model, |act| plan.starts.get(act).copied().unwrap_or(Minute::MAX))
    }

    pub(super) fn len(&self) -> usize {
        self.list.len()
    }

    pub(super) fn rank(&self) -> &[usize] {
        &self.rank
    }

    pub(super) fn at_once(&self) -> &[bool] {
        &self.at_once
    }

    /// The same order with every change of place wanted at once.
    pub(super) fn hurried(mut self, model: &Model) -> Self {
        for &act in &model.changes {
            self.at_once[act] = true;
        }
        self
    }

    /// The same order with all that may go on elsewhere there: on the resource of the most units among those that what comes
    /// before can't have. Staying where it is may end each of them soonest, and leave no room for those that come after.
    pub(super) fn moved_on(mut self, model: &Model) -> Self {
        for (hold, held) in model.holds.iter().enumerate() {
            let Some(before) = held.follows else { continue };
            let of = &model.holds[before].any_of;
            let elsewhere = held.any_of.iter().filter(|on| !of.contains(on));
            if let Some(&on) = elsewhere.max_by_key(|&&on| model.capacity[on]) {
                self.wanted[hold] = on;
            }
        }
        self
    }

    /// Lets a job take whichever resources end it soonest; says whether it was bound to any.
    pub(super) fn unbind(&mut self, model: &Model, job: &Dated) -> bool {
        let mut bound = false;
        for &act in &job.acts {
            bound |= std::mem::replace(&mut self.at_once[act], false);
            bound |= std::mem::replace(&mut self.put_off[act], FAR) != FAR;
            for &hold in &model.components[model.component_of[act]].holds {
                bound |= std::mem::replace(&mut self.wanted[hold], NONE) != NONE;
            }
        }
        bound
    }

    /// The last minute to which each change of place is put off.
    pub(super) fn put_off(&self) -> &[Minute] {
        &self.put_off
    }

    /// The mode wanted of each hold.
    pub(super) fn wanted(&self) -> &[usize] {
        &self.wanted
    }

    /// The same order with the modes of a plan, and nothing put off for longer than there.
    pub(super) fn in_modes(mut self, model: &Model, plan: &Plan) -> Self {
        for (hold, held) in model.holds.iter().enumerate() {
            let assigned = plan.holds.get(hold).copied().unwrap_or(NONE);
            let before = held.follows.and_then(|before| plan.holds.get(before));
            self.wanted[hold] = match before {
                Some(&before) if before == assigned => KEEP,
                _ if held.any_of.contains(&assigned) => assigned,
                _ => NONE,
            };
        }
        for (act, start) in plan.starts.iter().enumerate() {
            let transfer = model.transfers.get(act).copied().unwrap_or(NONE);
            if self.wanted.get(transfer).is_some_and(|wanted| ![KEEP, NONE].contains(wanted)) {
                self.put_off[act] = *start;
            }
        }
        self
    }

    /// Sorts by a key, leaving what is equal as it is.
    pub(super) fn sort_by(&mut self, key: impl Fn(usize) -> Minute) {
        self.list.sort_by_key(|&act| key(act));
        self.count(0, self.list.len());
    }

    fn count(&mut self, from: usize, to: usize) {
        for place in from..to {
            self.rank[self.list[place]] = place;
        }
    }

    /// Moves what stands at one place to another.
    fn shift(&mut self, from: usize, to: usize) {
        if from < to {
            self.list[from..=to].rotate_left(1);
        } else {
            self.list[to..=from].rotate_right(1);
        }
        self.count(from.min(to), from.max(to) + 1);
    }

    fn swap(&mut self, a: usize, b: usize) {
        self.list.swap(a, b);
        self.count(a.min(b), a.max(b) + 1);
    }

    /// Brings to the front what found no place.
    pub(super) fn advance(&mut self, model: &Model, placed: &[bool]) {
        self.list.sort_by_key(|&act| placed[model.component_of[act]]);
        self.count(0, self.list.len());
    }

    /// One random move; says whether anything changed.
    pub(super) fn disturb(
        &mut self,
        chance: &mut Chance,
        model: &Model,
        jobs: &[Dated],
        pressing: &Pressing,
    ) -> bool {
        let chain = &pressing.chain;
        if self.list.len() < 2 {
            return false;
        }
        let plain = model.calendars.is_empty() && model.holds.is_empty();
        let critical = if plain { 12 } else { 4 };
        if !chain.is_empty() && chance.below(16) < critical {
            return self.turn(chance, model, chain);
        }
        if !model.modes.is_empty() && chance.below(6) == 0 {
            return self.change_mode(chance, model);
        }
        if !model.changes.is_empty() && chance.below(8) == 0 {
            let act = model.changes[chance.below(model.changes.len())];
            self.at_once[act] ^= true;
            self.put_off[act] = FAR;
            return true;
        }
        match chance.below(8) {
            0 | 1 => self.drift(chance, 1 + self.list.len() / 4),
            2 => self.drift(chance, self.list.len()),
            3 => {
                self.drift(chance, 1 + self.list.len() / 8);
                self.drift(chance, 1 + self.list.len() / 8)
            }
            4 => {
                let (a, b) = (chance.below(self.list.len()), chance.below(self.list.len()));
                self.swap(a, b);
                a != b
            }
            5 if !plain && jobs.len() > 1 => self.carry(chance, jobs),
            6 if !plain && jobs.len() > 1 => {
                self.overtake(chance, model, jobs, pressing) || self.exchange(chance, jobs)
            }
            _ => self.shuffle(chance),
        }
    }

    /// Wants another mode of one hold, or none in particular: this every other time of one that is bound, since jobs that are
    /// can't change places on the racks.
    fn change_mode(&mut self, chance: &mut Chance, model: &Model) -> bool {
        let hold = chance.below(model.holds.len());
        let Some(held) = model.holds.get(hold) else { return false };
        let kept = usize::from(held.follows.is_some());
        let freed = self.wanted[hold] != NONE && chance.below(2) == 0;
        let wanted = match chance.below(held.any_of.len() + kept + 1) {
            choice if choice == 0 || freed => NONE,
            choice => held.any_of.get(choice - 1).copied().unwrap_or(KEEP),
        };
        std::mem::replace(&mut self.wanted[hold], wanted) != wanted
    }

    /// Shifts one activity by at most `reach` places.
    fn drift(&mut self, chance: &mut Chance, reach: usize) -> bool {
        let from = chance.below(self.list.len());
        let low = from.saturating_sub(reach);
        let high = (from + reach).min(self.list.len() - 1);
        let to = low + chance.below(high - low + 1);
        self.shift(from, to);
        from != to
    }

    /// Turns a pair of the critical chain round.
    fn turn(&mut self, chance: &mut Chance, model: &Model, chain: &[(usize, usize)]) -> bool {
        let (first, second) = chain[chance.below(chain.len())];
        let entry = |act: usize| {
            let component = &model.components[model.component_of[act]];
            if component.given {
                None
            } else if component.contended {
                Some(act)
            } else {
                component.entries.first().copied()
            }
        };
        let (Some(first), Some(second)) = (entry(first), entry(second)) else {
            return false;
        };
        let (a, b) = (self.rank[first], self.rank[second]);
        if a >= b {
            return false;
        }
        match chance.below(3) {
            0 => self.shift(a, b),
            1 => self.swap(a, b),
            _ => self.shift(b, a),
        }
        true
    }

    /// The places of a job's activities, in order.
    fn places(&self, job: &Dated) -> Vec<usize> {
        let listed = |&&act: &&usize| self.list.get(self.rank[act]) == Some(&act);
        let mut places: Vec<usize> =
            job.acts.iter().filter(listed).map(|&act| self.rank[act]).collect();
        places.sort_unstable();
        places
    }

    /// Carries a whole job forwards or backwards.
    fn carry(&mut self, chance: &mut Chance, jobs: &[Dated]) -> bool {
        let places = self.places(&jobs[chance.below(jobs.len())]);
        let Some((&first, &last)) = places.first().zip(places.last()) else {
            return false;
        };
        let room = self.list.len() - 1;
        let by = 1 + chance.below(room / 3 + 1);
        if chance.below(2) == 0 {
            let by = by.min(first);
            for place in places {
                self.shift(place, place - by);
            }
            by > 0
        } else {
            let by = by.min(room - last);
            for place in places.into_iter().rev() {
                self.shift(place, place + by);
            }
            by > 0
        }
    }

    /// Lets a job that is past its date change places with one of a later date that goes before it, both on whichever resources
    /// are free soonest.
    fn overtake(
        &mut self,
        chance: &mut Chance,
        model: &Model,
        jobs: &[Dated],
        Pressing { late, date, .. }: &Pressing,
    ) -> bool {
        if late.is_empty() {
            return false;
        }
        let job = late[chance.below(late.len())];
        let by = |job: usize| date(&jobs[job]).unwrap_or(FAR);
        let first = |job: usize| self.places(&jobs[job]).first().copied();
        let before = |other: &usize| by(*other) > by(job) && first(*other) < first(job);
        let others: Vec<usize> =
            (0..jobs.len()).filter(|other| first(*other).is_some()).filter(before).collect();
        if others.is_empty() {
            return false;
        }
        let other = others[chance.below(others.len())];
        self.unbind(model, &jobs[job]);
        self.unbind(model, &jobs[other]);
        self.swap_jobs(&jobs[job], &jobs[other])
    }

    /// Lets two jobs change places, step by step.
    fn exchange(&mut self, chance: &mut Chance, jobs: &[Dated]) -> bool {
        let (a, b) = (chance.below(jobs.len()), chance.below(jobs.len()));
        if a == b {
            return false;
        }
        self.swap_jobs(&jobs[a], &jobs[b])
    }

    fn swap_jobs(&mut self, a: &Dated, b: &Dated) -> bool {
        let (first, second) = (self.places(a), self.places(b));
        // From the last step back, so that jobs with different numbers of steps match at their ends.
        for (&x, &y) in first.iter().rev().zip(second.iter().rev()) {
            self.swap(x, y);
        }
        !first.is_empty() && !second.is_empty()
    }

    /// Reshuffles a few neighbours.
    fn shuffle(&mut self, chance: &mut Chance) -> bool {
        let width = (2 + chance.below(5)).min(self.list.len());
        let from = chance.below(self.list.len() - width + 1);
        for k in (1..width).rev() {
            self.swap(from + k, from + chance.below(k + 1));
        }
        true
    }
}
