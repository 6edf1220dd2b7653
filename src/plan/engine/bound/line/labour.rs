//! Work that has to lie before a step.

use super::super::copies::{Counted, least_work};
use super::super::work::load;
use super::Line;

impl Line<'_> {
    /// Before the i-th start of a step i copies have all their work up to it behind them.
    pub(super) fn labour(&mut self) {
        for step in 0..self.steps.len() {
            // For each job that has the step, all that has ended when it starts.
            let before: Vec<(Vec<usize>, usize)> = self.steps[step]
                .acts
                .iter()
                .filter_map(|act| {
                    let way = self.ways[self.points.get(act)?.way];
                    Some((self.paths.ended_before(*act, way.whole), way.copies))
                })
                .collect();
            for resource in 0..self.model.capacity.len() {
                self.labour_on(resource, step, &before);
            }
        }
    }

    fn labour_on(&mut self, resource: usize, step: usize, before: &[(Vec<usize>, usize)]) {
        let model = self.model;
        let capacity = model.capacity[resource].max(1);
        let acts = || {
            let acts = before.iter().flat_map(|(acts, _)| acts).copied();
            acts.filter(|&act| load(model, act, resource) > 0)
        };
        let Some(first) = acts().next() else { return };
        let calendar = model.acts[first].calendar;
        if acts().any(|act| model.acts[act].calendar != calendar) {
            return;
        }
        let earliest = acts().map(|act| model.acts[act].floor).min().unwrap_or(0);
        let mut loads: Vec<Counted> = before
            .iter()
            .map(|(acts, copies)| {
                let units = acts.iter().map(|&act| load(model, act, resource)).sum();
                Counted { units, copies: *copies }
            })
            .collect();
        loads.sort_unstable_by(Counted::lighter);
        for (i, work) in least_work(&loads).enumerate().filter(|&(_, work)| work > 0) {
            let minutes = work / capacity + i64::from(work % capacity > 0);
            let done = match calendar {
                Some(calendar) => {
                    let hours = &model.calendars[calendar];
                    hours.closing(hours.open_before(earliest) + minutes)
                }
                None => Some(earliest + minutes),
            };
            if let Some(done) = done {
                let start = &mut self.steps[step].start[i];
                *start = (*start).max(done);
            }
        }
    }
}
