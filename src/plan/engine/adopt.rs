//! A plan that comes from outside: taken over if it is possible, and written out again.

use super::answer::{Plan, Violation};
use super::model::NONE;
use super::problem::Minute;
use super::schedule::{Schedule, UNSET};

impl Schedule<'_> {
    /// Takes a plan over; says whether it keeps every rule of the problem.
    pub(super) fn adopt(&mut self, plan: &Plan) -> bool {
        let model = self.model;
        if plan.starts.len() != model.real || plan.holds.len() != model.holds.len() {
            return false;
        }
        for profile in &mut self.profiles {
            profile.clear();
        }
        self.placed.fill(true);
        self.start.fill(UNSET);
        self.missed.fill(false);
        self.assigned.clone_from(&plan.holds);
        self.start[..model.real].copy_from_slice(&plan.starts);
        for act in model.real..model.acts.len() {
            self.length[act] = 0;
        }
        self.adopt_violations(&plan.violations)
            && self.ends()
            && self.keeps_arcs()
            && self.keeps_resources()
    }

    fn adopt_violations(&mut self, violations: &[Violation]) -> bool {
        for miss in violations {
            let window = self.model.windows.iter().position(|window| window.lag == miss.lag);
            let Some(window) = window.filter(|&window| !self.missed[window]) else {
                return false;
            };
            self.miss(window, true);
            let act = self.model.windows[window].act;
            let start = &mut self.start[act];
            *start = if *start == UNSET { miss.start } else { miss.start.min(*start) };
        }
        true
    }

    /// Works out the ends; false where the hours don't allow a start. A transfer of what stays where it is goes with the
    /// waits: a plan has nothing to say of it.
    fn ends(&mut self) -> bool {
        let model = self.model;
        let stays = |schedule: &Self, act: usize| {
            let transfer = model.transfers[act];
            transfer != NONE && !schedule.transferred(transfer)
        };
        let mut acts: Vec<usize> = (0..model.acts.len()).filter(|&act| self.active(act)).collect();
        acts.sort_by_key(|&act| stays(self, act));
        for act in acts {
            if stays(self, act) {
                let arcs = model.inner[act].iter().chain(&model.outer[act]);
                let asked = arcs.map(|arc| self.asked(arc)).max().unwrap_or(UNSET);
                self.start[act] = asked.max(model.acts[act].floor);
            }
            let start = self.start[act];
            let outside = start < model.acts[act].floor || start > model.ceiling(act, &self.missed);
            match self.first(act, start) {
                Some((first, end)) if first == start && end <= model.horizon && !outside => {
                    self.end[act] = end;
                }
                _ => return false,
            }
        }
        true
    }

    fn keeps_arcs(&self) -> bool {
        let acts = (0..self.model.acts.len()).filter(|&act| self.active(act));
        let kept = |act: usize| {
            let mut arcs = self.model.inner[act].iter().chain(&self.model.outer[act]);
            arcs.all(|arc| !self.active(arc.from) || self.asked(arc) <= self.start[act])
        };
        acts.into_iter().all(kept)
    }

    fn keeps_resources(&mut self) -> bool {
        let model = self.model;
        for act in (0..model.acts.len()).filter(|&act| act < model.real || self.length[act] > 0) {
            for &(resource, units) in &model.acts[act].needs {
                let most = model.capacity[resource] - units;
                let (start, end) = (self.start[act], self.end[act]);
                if most < 0 || self.profiles[resource].clash(start, end, most).is_some() {
                    return false;
                }
                self.profiles[resource].take(start, end, units);
            }
        }
        for (hold, held) in model.holds.iter().enumerate() {
            let chosen = self.kept(hold) || held.any_of.contains(&self.assigned[hold]);
            if !chosen || self.crowded(hold).is_some() {
                return false;
            }
            let (from, to) = self.span(hold);
            self.profiles[self.assigned[hold]].take(from, to, held.units);
        }
        true
    }

    /// The plan as it is handed out.
    pub(super) fn plan(&self) -> Plan {
        let model = self.model;
        let mut violations = Vec::new();
        for act in model.real..model.acts.len() {
            let mut start = self.start[act];
            for (index, window) in model.windows.iter().enumerate() {
                if window.act == act && self.missed[index] {
                    let (from, end) = self.piece(act, start, window.extra);
                    violations.push(Violation { lag: window.lag, start: from, end });
                    start = end;
                }
            }
        }
        violations.sort_by_key(|miss| miss.lag);
        Plan {
            starts: self.start[..model.real].to_vec(),
            holds: self
                .assigned
                .iter()
                .map(|&assigned| if assigned == NONE { 0 } else { assigned })
                .collect(),
            violations,
        }
    }

    /// One of several extras that follow each other in one activity.
    fn piece(&self, act: usize, start: Minute, length: Minute) -> (Minute, Minute) {
        self.model.first(act, start, length).unwrap_or((start, start))
    }
}
