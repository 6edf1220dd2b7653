//! Which resources the holds of a component take: its mode, by trial of each (multi-mode scheduling, Talbot 1982).

use super::model::NONE;
use super::problem::Minute;
use super::profile::FAR;
use super::schedule::Schedule;

/// More choices of resources than this are not tried each with each, but hold by hold.
const MOST_CHOICES: usize = 64;
/// The choice of keeping the resource of the hold before.
pub(super) const KEEP: usize = NONE - 1;

/// Resources tried for a component, and what came of them.
struct Choice {
    finish: Minute,
    assignments: Vec<usize>,
    places: Vec<(Minute, Minute)>,
}

impl Schedule<'_> {
    /// Tries the modes, the smallest resources first, and keeps those in which the component ends first. Where no resource was
    /// full, others on which time counts alike end it no sooner, and are left out.
    pub(super) fn choose_modes(&mut self, index: usize) -> bool {
        let holds = &self.model.components[index].holds;
        let options: Vec<Vec<usize>> = holds.iter().map(|&hold| self.options(hold)).collect();
        let choices = options
            .iter()
            .try_fold(1_usize, |all, of| all.checked_mul(of.len()).filter(|&n| n <= MOST_CHOICES));
        match choices {
            Some(_) => self.try_together(index, holds, &options),
            None => {
                (0..holds.len()).all(|k| self.try_together(index, &holds[k..=k], &options[k..=k]))
            }
        }
    }

    /// The resources a hold may take: the one wanted, or any; `KEEP` where it may keep that of the hold before.
    fn options(&self, hold: usize) -> Vec<usize> {
        let held = &self.model.holds[hold];
        match self.wanted[hold] {
            NONE => held.any_of.iter().copied().chain(held.follows.map(|_| KEEP)).collect(),
            wanted => vec![wanted],
        }
    }

    /// Chooses the resources of these holds together, those of the others staying as they are.
    fn try_together(&mut self, index: usize, holds: &[usize], options: &[Vec<usize>]) -> bool {
        let model = self.model;
        let acts = &model.components[index].acts;
        let freely: Vec<(Minute, Minute)> =
            acts.iter().map(|&a| (self.start[a], self.end[a])).collect();
        let ideal = self.finish(index);
        let mut best: Option<Choice> = None;
        let mut choice = vec![0; holds.len()];
        let mut unpressed: Vec<Vec<(usize, bool)>> = Vec::new();
        loop {
            let mut rates = Vec::with_capacity(holds.len());
            for ((&hold, of), &k) in holds.iter().zip(options).zip(&choice) {
                let before = model.holds[hold].follows.map_or(NONE, |before| self.assigned[before]);
                let assigned = of.get(k).copied().unwrap_or(NONE);
                self.assigned[hold] = if assigned == KEEP { before } else { assigned };
                let assigned = self.assigned[hold];
                rates.push((model.first_alike(hold, assigned), assigned == before));
            }
            if unpressed.contains(&rates) {
                if advance(&mut choice, options) {
                    continue;
                }
                break;
            }
            self.pressed = false;
            for (&act, &(start, end)) in acts.iter().zip(&freely) {
                (self.start[act], self.end[act]) = (start, end);
                self.least[act] = start;
            }
            let before = best.as_ref().map_or(FAR, |best| best.finish);
            if self.settle(index, before) && self.together(index) {
                self.delay(index);
                let finish = self.finish(index);
                let assignments = holds.iter().map(|&hold| self.assigned[hold]).collect();
                let places = acts.iter().map(|&a| (self.start[a], self.end[a])).collect();
                best = Some(Choice { finish, assignments, places });
                if finish == ideal {
                    break;
                }
            }
            if !self.pressed {
                unpressed.push(rates);
            }
            if !advance(&mut choice, options) {
                break;
            }
        }
        let Some(Choice { assignments, places, .. }) = best else {
            return false;
        };
        for (&hold, assigned) in holds.iter().zip(assignments) {
            self.assigned[hold] = assigned;
        }
        for (&act, (start, end)) in acts.iter().zip(places) {
            (self.start[act], self.end[act], self.least[act]) = (start, end, start);
        }
        true
    }

    /// Puts a transfer off for as long as the resource it leaves is free, where less counts on the one it goes to.
    fn delay(&mut self, index: usize) {
        let model = self.model;
        for &act in &model.components[index].acts {
            let transfer = model.transfers[act];
            if transfer == NONE || self.at_once[act] || !self.transferred(transfer) {
                continue;
            }
            let Some(before) = model.holds[transfer].follows else { continue };
            let Some(hours) = model.acts[act].calendar.map(|c| &model.calendars[c]) else {
                continue;
            };
            let (_, leaves) = self.span(before);
            let assigned = self.assigned[before];
            let most = model.capacity[assigned] - model.holds[before].units;
            let free = self.profiles[assigned].free_until(leaves, most);
            let Some(late) = hours.last_open(free).filter(|&late| late > self.start[act]) else {
                continue;
            };
            let was: Vec<_> = model.components[index]
                .acts
                .iter()
                .map(|&a| (self.start[a], self.end[a]))
                .collect();
            let finish = self.finish(index);
            (self.start[act], self.end[act]) = (late, late);
            let kept = self.settle(index, finish) && self.together(index);
            if !kept || self.finish(index) >= finish {
                for (&a, (start, end)) in model.components[index].acts.iter().zip(was) {
                    (self.start[a], self.end[a]) = (start, end);
                }
            }
        }
    }
}

/// Counts `choice` up like the digits of a number; false after the last.
fn advance(choice: &mut [usize], options: &[Vec<usize>]) -> bool {
    for (digit, of) in choice.iter_mut().zip(options).rev() {
        *digit += 1;
        if *digit < of.len() {
            return true;
        }
        *digit = 0;
    }
    false
}
