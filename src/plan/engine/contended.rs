//! Components whose own activities compete for resources: placed in the order of their ranks.
//!
//! Each goes to its earliest place among those already placed. Where that overruns a longest wait,
//! the activity before it is raised and the component is begun again.

use super::model::NONE;
use super::profile::FAR;
use super::schedule::Schedule;

/// How often a component is begun again, for each of its activities.
const BEGINNINGS: usize = 4;

impl Schedule<'_> {
    /// Places a component whose activities' earliest starts have been gathered.
    pub(super) fn place_contended(&mut self, index: usize, rank: &[usize]) -> bool {
        let model = self.model;
        let component = &model.components[index];
        if !self.fixed_modes {
            for &hold in &component.holds {
                self.assigned[hold] = model.holds[hold].any_of.first().copied().unwrap_or(NONE);
                if self.assigned[hold] == NONE {
                    return false;
                }
            }
        }
        let base: Vec<_> = component.acts.iter().map(|&act| self.least[act]).collect();
        let mut base_of = std::mem::take(&mut self.least);
        let mut turn = 0;
        let beginnings = BEGINNINGS * component.acts.len() + 16;
        let mut found = false;
        while turn < beginnings && !found {
            turn += 1;
            match self.attempt(index, rank, &base_of) {
                Attempt::Placed => found = true,
                Attempt::Raise(act, least) if least < FAR => base_of[act] = least,
                Attempt::Raise(..) | Attempt::Nowhere => {
                    if !self.next_modes(index) {
                        break;
                    }
                    for (&act, &least) in component.acts.iter().zip(&base) {
                        base_of[act] = least;
                    }
                }
            }
        }
        self.least = base_of;
        found
    }

    /// The next choice of resources for a component, if there is one.
    fn next_modes(&mut self, index: usize) -> bool {
        if self.fixed_modes {
            return false;
        }
        for &hold in &self.model.components[index].holds {
            let any_of = &self.model.holds[hold].any_of;
            let at =
                any_of.iter().position(|&assigned| assigned == self.assigned[hold]).unwrap_or(0);
            if let Some(&next) = any_of.get(at + 1) {
                self.assigned[hold] = next;
                return true;
            }
            self.assigned[hold] = any_of[0];
        }
        false
    }

    /// One pass over the component; on success its units are in the profiles.
    fn attempt(&mut self, index: usize, rank: &[usize], base: &[i64]) -> Attempt {
        let model = self.model;
        let acts = &model.components[index].acts;
        for &act in acts {
            let Some((start, end)) = model.first(act, base[act], self.length[act]) else {
                return Attempt::Nowhere;
            };
            (self.start[act], self.end[act]) = (start, end);
        }
        let mut done: Vec<usize> = Vec::with_capacity(acts.len());
        let mut outcome = self.spread(index, &done);
        while outcome.is_none() {
            let Some(act) = self.pick(index, rank, &done) else {
                break;
            };
            if let Some((start, end)) = self.fit(act, self.start[act]) {
                let moved = start > self.start[act];
                (self.start[act], self.end[act]) = (start, end);
                self.book_act(act, 1);
                done.push(act);
                if moved {
                    outcome = self.spread(index, &done);
                }
            } else {
                outcome = Some(Attempt::Nowhere);
            }
        }
        if outcome.is_none() {
            outcome = self.take_modes(index);
        }
        match outcome {
            None => Attempt::Placed,
            Some(failure) => {
                for act in done {
                    self.book_act(act, -1);
                }
                failure
            }
        }
    }

    /// Raises the starts of what is not placed until the arcs are content; a placed one that would
    /// have to move ends the pass.
    fn spread(&mut self, index: usize, done: &[usize]) -> Option<Attempt> {
        let model = self.model;
        let acts = &model.components[index].acts;
        for _ in 0..=4 * acts.len() {
            let mut raised = false;
            for &act in acts {
                if !self.active(act) {
                    continue;
                }
                let mut least = self.start[act];
                for arc in &model.inner[act] {
                    if self.active(arc.from) {
                        least = least.max(self.asked(arc));
                    }
                }
                if least > self.start[act] {
                    if done.contains(&act) {
                        return Some(Attempt::Raise(act, least));
                    }
                    let Some((start, end)) = model.first(act, least, self.length[act]) else {
                        return Some(Attempt::Nowhere);
                    };
                    if end > model.horizon {
                        return Some(Attempt::Nowhere);
                    }
                    (self.start[act], self.end[act]) = (start, end);
                    raised = true;
                }
            }
            if !raised {
                return None;
            }
        }
        Some(Attempt::Nowhere)
    }

    /// The next activity to place: the least rank among those that wait for none that is not placed.
    fn pick(&self, index: usize, rank: &[usize], done: &[usize]) -> Option<usize> {
        let model = self.model;
        let open = |act: usize| self.active(act) && !done.contains(&act);
        let acts = model.components[index].acts.iter().copied().filter(|&act| open(act));
        let key = |act: usize| if model.is_extra(act) { 0 } else { rank[act] };
        let ready = |act: usize| {
            model.inner[act].iter().all(|arc| {
                let lead = if arc.from_end { self.length[arc.from] } else { 0 };
                let waits = !arc.to_end && arc.gap + lead > 0 && self.counts(arc);
                !waits || !open(arc.from)
            })
        };
        acts.clone().filter(|&act| ready(act)).min_by_key(|&act| key(act)).or_else(|| {
            let mut rest = acts;
            rest.next()
        })
    }

    /// Takes the resources of a placed component, or says what has to start later.
    fn take_modes(&mut self, index: usize) -> Option<Attempt> {
        let holds = &self.model.components[index].holds;
        for (k, &hold) in holds.iter().enumerate() {
            if let Some((act, least)) = self.crowded(hold) {
                for &taken in &holds[..k] {
                    let (from, to) = self.span(taken);
                    self.profiles[self.assigned[taken]].take(
                        from,
                        to,
                        -self.model.holds[taken].units,
                    );
                }
                return Some(if act == NONE {
                    Attempt::Nowhere
                } else {
                    Attempt::Raise(act, least)
                });
            }
            let (from, to) = self.span(hold);
            self.profiles[self.assigned[hold]].take(from, to, self.model.holds[hold].units);
        }
        None
    }
}

enum Attempt {
    Placed,
    /// This activity has to start no earlier than that.
    Raise(usize, i64),
    Nowhere,
}
