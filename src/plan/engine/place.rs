//! Where one item goes: the least fixed point of its arcs, hours, resources and holds.
//!
//! Every rule can only raise a start. A window overrun raises the activity before it, a full spot the
//! activity with which the hold begins; so the first place where nothing is raised any more is the
//! earliest there is. A window is given up, the first one first, only when no place exists.

use super::build::{Build, UNSET};
use super::model::{Arc, Edge, Guard, NONE};
use super::problem::Minute;
use super::profile::FAR;

/// More choices of spots than this are not tried each with each, but hold by hold.
const MOST_CHOICES: usize = 64;
/// More windows than this in one item are given up only from the first on.
const MOST_WINDOWS: usize = 6;
/// Rounds after which a place is given up.
const MOST_ROUNDS: usize = 20_000;

/// Spots tried for an item, and what came of them.
struct Choice {
    finish: Minute,
    spots: Vec<usize>,
    places: Vec<(Minute, Minute)>,
}

impl Build<'_> {
    /// Places an item, or says that it has no place now.
    pub(super) fn place(&mut self, index: usize, rank: &[usize]) -> bool {
        let model = self.model;
        let item = &model.items[index];
        if let ([act], true, true) =
            (&item.acts[..], item.holds.is_empty(), item.windows.is_empty())
        {
            return self.place_single(index, *act);
        }
        for &hold in &item.holds {
            self.stand(hold, -1);
        }
        for given_up in subsets(item.windows.len()) {
            for (k, &window) in item.windows.iter().enumerate() {
                self.miss(window, given_up >> k & 1 == 1);
            }
            if self.place_kept(index, rank) || (self.unhurry(index) && self.place_kept(index, rank))
            {
                self.placed[index] = true;
                return true;
            }
        }
        for &hold in &item.holds {
            self.stand(hold, 1);
        }
        for &act in &item.acts {
            self.start[act] = UNSET;
        }
        false
    }

    /// Places an item with the windows that are kept now.
    fn place_kept(&mut self, index: usize, rank: &[usize]) -> bool {
        self.gather(index);
        if self.model.items[index].tangled {
            self.tangle(index, rank)
        } else {
            self.settle_with_spots(index)
        }
    }

    /// Lets the item's changes of place wait; says whether any was wanted at once.
    fn unhurry(&mut self, index: usize) -> bool {
        let mut any = false;
        for &act in &self.model.items[index].acts {
            any |= std::mem::replace(&mut self.at_once[act], false);
        }
        any
    }

    fn place_single(&mut self, index: usize, act: usize) -> bool {
        let mut least = self.model.acts[act].floor;
        for arc in &self.model.outer[act] {
            least = least.max(self.asked(arc));
        }
        let Some((start, end)) = self.fit(act, least) else {
            return false;
        };
        (self.start[act], self.end[act]) = (start, end);
        self.book_act(act, 1);
        self.placed[index] = true;
        true
    }

    /// Marks a window as overrun or kept, with the length of the extra before its activity.
    pub(super) fn miss(&mut self, window: usize, missed: bool) {
        if self.missed[window] != missed {
            self.missed[window] = missed;
            let window = self.model.windows[window];
            self.length[window.act] += if missed { window.extra } else { -window.extra };
        }
    }

    /// Whether an activity takes place; an extra does when a window is overrun.
    pub(super) fn active(&self, act: usize) -> bool {
        !self.model.is_extra(act) || self.length[act] > 0
    }

    pub(super) fn counts(&self, arc: &Arc) -> bool {
        match arc.guard {
            Guard::Always => true,
            Guard::Kept(window) => !self.missed[window],
            Guard::Extra(act) => self.length[act] > 0,
            Guard::AtOnce(act) => self.at_once[act],
        }
    }

    /// The start an arc asks of the activity it leads into, from one that has a start.
    pub(super) fn asked(&self, arc: &Arc) -> Minute {
        if self.start[arc.from] == UNSET || !self.counts(arc) {
            return UNSET;
        }
        let point = if arc.from_end { self.end[arc.from] } else { self.start[arc.from] };
        if arc.to_end && self.end[arc.to] >= point + arc.gap {
            return UNSET;
        }
        self.model.asks(arc, point, self.length[arc.to])
    }

    /// The first start at or after `least` where hours and resources allow the activity, and its end.
    pub(super) fn fit(&self, act: usize, mut least: Minute) -> Option<(Minute, Minute)> {
        let model = self.model;
        let ceiling = model.ceiling(act, &self.missed);
        'start: loop {
            let (start, end) = model.first(act, least, self.length[act])?;
            if start > ceiling || end > model.horizon {
                return None;
            }
            for &(resource, units) in &model.acts[act].needs {
                let most = model.capacity[resource] - units;
                if let Some(free) = self.profiles[resource].clash(start, end, most) {
                    least = free;
                    continue 'start;
                }
            }
            return Some((start, end));
        }
    }

    /// The earliest starts that the rest of the plan leaves to the item's activities.
    fn gather(&mut self, index: usize) {
        let model = self.model;
        for &act in &model.items[index].acts {
            self.start[act] = UNSET;
            self.end[act] = UNSET;
            let mut least = model.acts[act].floor;
            for arc in &model.outer[act] {
                least = least.max(self.asked(arc));
            }
            self.least[act] = least;
        }
    }

    /// Places an item anew that has been taken out, on the spots and with the misses it had.
    pub(super) fn again(&mut self, index: usize, rank: &[usize]) -> bool {
        let item = &self.model.items[index];
        self.gather(index);
        if item.tangled {
            return self.tangle(index, rank);
        }
        let found = self.settle(index, FAR) && self.together(index);
        if found {
            self.book(index, 1);
        }
        found
    }

    fn settle_with_spots(&mut self, index: usize) -> bool {
        let model = self.model;
        let item = &model.items[index];
        for &hold in &item.holds {
            if !self.fixed_spots {
                self.spot[hold] = NONE;
            }
        }
        if !self.settle(index, FAR) {
            return false;
        }
        if !self.fixed_spots && !item.holds.is_empty() && !self.choose_spots(index) {
            return false;
        }
        self.book(index, 1);
        true
    }

    /// Raises starts until nothing asks for more; spots not chosen are not looked at. Given up where something would end at
    /// `before` or later.
    fn settle(&mut self, index: usize, before: Minute) -> bool {
        let model = self.model;
        let item = &model.items[index];
        for _ in 0..MOST_ROUNDS {
            let mut raised = false;
            for &act in &item.acts {
                if !self.active(act) {
                    continue;
                }
                let mut least = self.least[act];
                for arc in &model.inner[act] {
                    least = least.max(self.asked(arc));
                }
                if least > self.start[act] {
                    let Some((start, end)) = self.fit(act, least).filter(|&(_, end)| end < before)
                    else {
                        return false;
                    };
                    (self.start[act], self.end[act], self.least[act]) = (start, end, start);
                    raised = true;
                }
            }
            if raised {
                continue;
            }
            for &hold in &item.holds {
                match self.crowded(hold) {
                    None => {}
                    Some((_, FAR..) | (NONE, _)) => return false,
                    Some((act, least)) => {
                        self.least[act] = self.least[act].max(least);
                        raised = true;
                    }
                }
            }
            if !raised {
                return true;
            }
        }
        false
    }

    /// If the hold's resource is full: the activity that has to start later (or `NONE`), and when.
    pub(super) fn crowded(&self, hold: usize) -> Option<(usize, Minute)> {
        let spot = self.spot[hold];
        if spot == NONE {
            return None;
        }
        let stay = &self.model.holds[hold];
        let (from, to) = self.span(hold);
        let most = self.model.capacity[spot] - stay.units;
        let free = self.profiles[spot].clash(from, to, most)?;
        Some(match stay.from {
            Edge::At(_) => (NONE, free),
            Edge::Point(act, lead) => (act, if free >= FAR { FAR } else { free + lead }),
        })
    }

    /// Tries the spots, the smallest first, and keeps those with which the item ends first.
    fn choose_spots(&mut self, index: usize) -> bool {
        let item = &self.model.items[index];
        let options = |hold: &usize| self.model.holds[*hold].any_of.len();
        let choices = item
            .holds
            .iter()
            .map(options)
            .try_fold(1_usize, |all, n| all.checked_mul(n).filter(|&all| all <= MOST_CHOICES));
        let whole = [&item.holds[..]];
        match choices {
            Some(_) => self.try_together(index, whole[0]),
            None => item.holds.iter().all(|hold| self.try_together(index, &[*hold])),
        }
    }

    /// Chooses the spots of these holds together, those of the others staying as they are.
    fn try_together(&mut self, index: usize, holds: &[usize]) -> bool {
        let model = self.model;
        let acts = &model.items[index].acts;
        let freely: Vec<(Minute, Minute)> =
            acts.iter().map(|&a| (self.start[a], self.end[a])).collect();
        let ideal = self.finish(index);
        let mut best: Option<Choice> = None;
        let mut choice = vec![0; holds.len()];
        loop {
            for (&hold, &k) in holds.iter().zip(&choice) {
                self.spot[hold] = model.holds[hold].any_of.get(k).copied().unwrap_or(NONE);
            }
            for (&act, &(start, end)) in acts.iter().zip(&freely) {
                (self.start[act], self.end[act]) = (start, end);
                self.least[act] = start;
            }
            let before = best.as_ref().map_or(FAR, |best| best.finish);
            if self.settle(index, before) && self.together(index) {
                let finish = self.finish(index);
                if finish == ideal {
                    return true;
                }
                let spots = holds.iter().map(|&hold| self.spot[hold]).collect();
                let places = acts.iter().map(|&a| (self.start[a], self.end[a])).collect();
                best = Some(Choice { finish, spots, places });
            }
            if !advance(&mut choice, holds, |hold| model.holds[hold].any_of.len()) {
                break;
            }
        }
        let Some(Choice { spots, places, .. }) = best else {
            return false;
        };
        for (&hold, spot) in holds.iter().zip(spots) {
            self.spot[hold] = spot;
        }
        for (&act, (start, end)) in acts.iter().zip(places) {
            (self.start[act], self.end[act], self.least[act]) = (start, end, start);
        }
        true
    }

    /// Whether the item's own holds leave each other room where they share a spot.
    pub(super) fn together(&mut self, index: usize) -> bool {
        let holds = &self.model.items[index].holds;
        let shared = |k: usize| {
            let spot = self.spot[holds[k]];
            spot != NONE && holds[..k].iter().any(|&other| self.spot[other] == spot)
        };
        if !(1..holds.len()).any(shared) {
            return true;
        }
        let mut free = true;
        let mut taken = Vec::new();
        for &hold in holds.iter().filter(|&&hold| self.spot[hold] != NONE) {
            if self.crowded(hold).is_some() {
                free = false;
                break;
            }
            let (from, to) = self.span(hold);
            self.profiles[self.spot[hold]].take(from, to, self.model.holds[hold].units);
            taken.push((hold, from, to));
        }
        for (hold, from, to) in taken {
            self.profiles[self.spot[hold]].take(from, to, -self.model.holds[hold].units);
        }
        free
    }

    fn finish(&self, index: usize) -> Minute {
        let acts = &self.model.items[index].acts;
        acts.iter().filter(|&&a| self.active(a)).map(|&a| self.end[a]).max().unwrap_or(UNSET)
    }
}

/// Counts `choice` up like the digits of a number; false after the last.
fn advance(choice: &mut [usize], holds: &[usize], options: impl Fn(usize) -> usize) -> bool {
    for (digit, &hold) in choice.iter_mut().zip(holds).rev() {
        *digit += 1;
        if *digit < options(hold) {
            return true;
        }
        *digit = 0;
    }
    false
}

/// Which of `n` windows to give up: none, then each, then each two, the first ones first.
fn subsets(n: usize) -> Vec<u64> {
    if n == 0 {
        return vec![0];
    }
    if n > MOST_WINDOWS {
        return (0..=n.min(63)).map(|k| (1 << k) - 1).collect();
    }
    let mut all: Vec<u64> = (0..1 << n).collect();
    all.sort_by_key(|set| set.count_ones());
    all
}
