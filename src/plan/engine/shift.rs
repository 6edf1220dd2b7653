//! A left shift of a complete schedule (Sprecher, Kolisch and Drexl 1995), with the modes chosen anew.

use super::model::{Edge, NONE};
use super::schedule::Schedule;

impl Schedule<'_> {
    /// A left shift of every component in the order of time, in whichever mode now ends first: what a mode was given up for may
    /// have been left by those placed later.
    pub(super) fn shift_left(&mut self) {
        let model = self.model;
        let first = |index: &usize| {
            let acts = model.components[*index].acts.iter();
            (acts.filter(|&&act| self.active(act)).map(|&act| self.start[act]).min(), *index)
        };
        let mut components: Vec<usize> = (0..model.components.len())
            .filter(|&index| !model.components[index].given && !model.components[index].contended)
            .collect();
        components.sort_by_key(first);
        let mut moved = usize::MAX;
        for index in components {
            if !self.stays(index, moved) && self.place_sooner_known(index) {
                moved = moved.min(self.turn[index]);
            }
        }
    }

    /// Whether a component would come out where it is: nothing placed before it has moved, so there is no more room for it than
    /// it found then. A transfer may gain by less room, where it is put off until then.
    fn stays(&self, index: usize, moved: usize) -> bool {
        let component = &self.model.components[index];
        let wanted = component.holds.iter().any(|&hold| self.wanted[hold] != NONE);
        self.turn[index] < moved
            && !self.model.puts_off[index]
            && !wanted
            && !self.has_more_room(index)
    }

    /// Whether something that stood on a resource of the component when it was placed was planned off it later.
    fn has_more_room(&self, index: usize) -> bool {
        let model = self.model;
        let of = &model.components[index].holds;
        let stood = |hold: usize| {
            let held = &model.holds[hold];
            let Edge::Point(end, _) = held.to else { return false };
            let later = self.turn[model.component_of[end]] > self.turn[index];
            let on = held.any_of.first().filter(|_| later && matches!(held.from, Edge::At(_)));
            on.is_some_and(|on| of.iter().any(|&hold| model.holds[hold].any_of.contains(on)))
        };
        !of.is_empty() && (0..model.holds.len()).any(stood)
    }

    /// Places one component of a complete schedule anew if it then ends no later; says whether it is elsewhere then.
    pub(super) fn place_sooner(&mut self, index: usize) -> bool {
        let holds = &self.model.components[index].holds;
        let was = self.places(index);
        let assignments: Vec<usize> = holds.iter().map(|&hold| self.assigned[hold]).collect();
        let wanted: Vec<usize> =
            holds.iter().map(|&hold| std::mem::replace(&mut self.wanted[hold], NONE)).collect();
        let finish = self.finish(index);
        self.book(index, -1);
        self.gather(index);
        let kept = self.settle_in_modes(index, finish.saturating_add(1));
        for (&hold, wanted) in holds.iter().zip(wanted) {
            self.wanted[hold] = wanted;
        }
        if !kept {
            self.put(index, &was);
            for (&hold, assigned) in holds.iter().zip(assignments) {
                self.assigned[hold] = assigned;
            }
            self.book(index, 1);
            return false;
        }
        was != self.places(index)
            || holds
                .iter()
                .zip(assignments)
                .any(|(&hold, assigned)| self.assigned[hold] != assigned)
    }
}
