//! A left shift of a complete schedule (Sprecher, Kolisch and Drexl 1995), with the modes chosen anew.

use super::model::{Component, NONE};
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
        for index in components {
            self.place_sooner(index);
        }
    }

    /// Places one component of a complete schedule anew if it then ends no later.
    fn place_sooner(&mut self, index: usize) {
        let Component { acts, holds, .. } = &self.model.components[index];
        let was: Vec<_> = acts.iter().map(|&act| (self.start[act], self.end[act])).collect();
        let assignments: Vec<usize> = holds.iter().map(|&hold| self.assigned[hold]).collect();
        let wanted: Vec<usize> =
            holds.iter().map(|&hold| std::mem::replace(&mut self.wanted[hold], NONE)).collect();
        let finish = self.finish(index);
        self.book(index, -1);
        self.gather(index);
        let mut kept = self.settle_in_modes(index);
        if kept && self.finish(index) > finish {
            self.book(index, -1);
            kept = false;
        }
        for (&hold, wanted) in holds.iter().zip(wanted) {
            self.wanted[hold] = wanted;
        }
        if !kept {
            for (&act, (start, end)) in acts.iter().zip(was) {
                (self.start[act], self.end[act]) = (start, end);
            }
            for (&hold, assigned) in holds.iter().zip(assignments) {
                self.assigned[hold] = assigned;
            }
            self.book(index, 1);
        }
    }
}
