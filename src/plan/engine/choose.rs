//! Which resources the holds of a component take: its mode, by trial of each (multi-mode scheduling, Talbot 1982).

use super::model::NONE;
use super::place::Content;
use super::problem::Minute;
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

/// How time counts for each hold: the first resource on which it counts so, and whether it is that of the hold before.
type Rates = Vec<(usize, bool)>;

/// Where a component would be on any resources of these rates if nothing else were held.
struct Unheld {
    rates: Rates,
    content: Content,
    places: Vec<(Minute, Minute)>,
}

impl Schedule<'_> {
    /// Tries the modes, the smallest resources first, and keeps those in which the component ends first. Where no resource was
    /// full, others on which time counts alike end it no sooner, and are left out. Given up where something would end at `before`
    /// or later.
    pub(super) fn choose_modes(&mut self, index: usize, before: Minute) -> bool {
        let holds = &self.model.components[index].holds;
        let options: Vec<Vec<usize>> = holds.iter().map(|&hold| self.options(hold)).collect();
        if options.iter().all(|of| of.len() == 1) {
            self.take(holds, &options, &vec![0; holds.len()]);
            let kept = self.settle(index, before) && self.together(index);
            if kept {
                self.delay(index);
            }
            return kept;
        }
        if !self.settle(index, before) {
            return false;
        }
        let choices = options
            .iter()
            .try_fold(1_usize, |all, of| all.checked_mul(of.len()).filter(|&n| n <= MOST_CHOICES));
        match choices {
            Some(_) => self.try_together(index, (holds, &options), before),
            None => (0..holds.len())
                .all(|k| self.try_together(index, (&holds[k..=k], &options[k..=k]), before)),
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
    fn try_together(
        &mut self,
        index: usize,
        (holds, options): (&[usize], &[Vec<usize>]),
        before: Minute,
    ) -> bool {
        let freely = self.places(index);
        let ideal = self.finish(index);
        let mut best: Option<Choice> = None;
        let mut choice = vec![0; holds.len()];
        let (mut unpressed, mut unheld) = (Vec::new(), Vec::new());
        loop {
            let rates = self.take(holds, options, &choice);
            if !unpressed.contains(&rates) {
                self.pressed = false;
                let before = best.as_ref().map_or(before, |best| best.finish);
                let content = self.unheld(index, (&rates, &freely), before, &mut unheld);
                if content.is_some_and(|content| self.settle_holds(index, before, content))
                    && self.together(index)
                {
                    self.delay(index);
                    let finish = self.finish(index);
                    let assignments = holds.iter().map(|&hold| self.assigned[hold]).collect();
                    best = Some(Choice { finish, assignments, places: self.places(index) });
                    if finish == ideal {
                        break;
                    }
                }
                if !self.pressed {
                    unpressed.push(rates);
                }
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
        self.put(index, &places);
        true
    }

    /// Takes the resources of a choice.
    fn take(&mut self, holds: &[usize], options: &[Vec<usize>], choice: &[usize]) -> Rates {
        let model = self.model;
        let mut rates = Vec::with_capacity(holds.len());
        for ((&hold, of), &k) in holds.iter().zip(options).zip(choice) {
            let before = model.holds[hold].follows.map_or(NONE, |before| self.assigned[before]);
            let assigned = of.get(k).copied().unwrap_or(NONE);
            let assigned = if assigned == KEEP { before } else { assigned };
            self.assigned[hold] = assigned;
            rates.push((model.first_alike(hold, assigned), assigned == before));
        }
        rates
    }

    /// Puts a component where it would be at these rates if nothing else were held, as far as that ends before `before`.
    fn unheld(
        &mut self,
        index: usize,
        (rates, freely): (&Rates, &[(Minute, Minute)]),
        before: Minute,
        known: &mut Vec<Unheld>,
    ) -> Option<Content> {
        if let Some(known) = known.iter().find(|known| known.rates == *rates) {
            self.put(index, &known.places);
            return Some(known.content).filter(|content| content.last < before);
        }
        self.put(index, freely);
        let content = self.content(index, before)?;
        known.push(Unheld { rates: rates.clone(), content, places: self.places(index) });
        Some(content)
    }

    /// Where the activities of a component are.
    pub(super) fn places(&self, index: usize) -> Vec<(Minute, Minute)> {
        let acts = &self.model.components[index].acts;
        acts.iter().map(|&act| (self.start[act], self.end[act])).collect()
    }

    /// Puts the activities of a component there, none to start sooner.
    pub(super) fn put(&mut self, index: usize, places: &[(Minute, Minute)]) {
        for (&act, &(start, end)) in self.model.components[index].acts.iter().zip(places) {
            (self.start[act], self.end[act], self.least[act]) = (start, end, start);
        }
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
            let free = self.profiles[assigned].free_until(leaves, most).min(self.put_off[act]);
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
