//! What a plan is worth, and in which order its worth is compared.

use std::cmp::Ordering;

use serde::{Deserialize, Serialize};

use super::build::Build;
use super::model::{Model, NONE};
use super::problem::{Minute, Objective, Of, Problem};

/// Minutes of a day, for days late.
pub(super) const DAY: Minute = 1440;

/// The worth of a plan; less is better.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Values {
    /// Soft lags overrun.
    pub misses: i64,
    /// Minutes by which they are overrun.
    pub overrun: i64,
    /// Σ weight × days late; a job that ends at its due minute is one day late.
    pub lateness: i64,
    /// The minute at which the last activity ends.
    pub makespan: i64,
    /// Σ weight × minutes between what the shortest waits allow and the start (of the extra, if any).
    pub idle: i64,
}

impl Values {
    /// The number that stands for one objective.
    pub fn get(&self, objective: Objective) -> i64 {
        match objective {
            Objective::Misses => self.misses,
            Objective::Overrun => self.overrun,
            Objective::Lateness => self.lateness,
            Objective::Makespan => self.makespan,
            Objective::Idle => self.idle,
        }
    }
}

/// Days late of an end against the first minute that counts as late.
pub(super) fn days_late(end: Minute, due: Minute) -> i64 {
    if end < due { 0 } else { (end - due) / DAY + 1 }
}

/// A job as its worth is counted.
#[derive(Debug, Clone)]
pub(super) struct Dated {
    pub(super) acts: Vec<usize>,
    pub(super) due: Option<Minute>,
    pub(super) weight: i64,
}

/// A wait as it is counted: activity or `NONE`, from its end, minutes.
type Counted = (usize, bool, Minute);

/// What is wanted of a plan.
#[derive(Debug, Clone)]
pub(super) struct Aim {
    pub(super) jobs: Vec<Dated>,
    pub(super) order: Vec<Objective>,
    /// For each activity: weight, and what its start waits for (activity or `NONE`, from its end, minutes).
    waits: Vec<(i64, Vec<Counted>)>,
    /// For each window: the activity it is counted from (or `NONE`), from its end, and the last minute or wait.
    windows: Vec<Counted>,
    weights: i64,
    span: i64,
}

impl Aim {
    pub(super) fn new(problem: &Problem, model: &Model) -> Self {
        let jobs: Vec<Dated> = problem
            .jobs
            .iter()
            .map(|job| Dated {
                acts: job.activities.clone(),
                due: job.due,
                weight: job.weight.unwrap_or(1),
            })
            .collect();
        let mut waits = vec![(1, Vec::new()); model.real];
        for job in &jobs {
            for &act in &job.acts {
                waits[act].0 = job.weight;
            }
        }
        for lag in &problem.lags {
            if let Some(min) = lag.min {
                let before = lag.before.unwrap_or(NONE);
                let gap = min + if before == NONE { lag.at.unwrap_or(0) } else { 0 };
                waits[lag.after].1.push((before, lag.of == Of::End, gap));
            }
        }
        let windows = model.windows.iter().map(|window| {
            let lag = &problem.lags[window.lag];
            let last = lag.max.unwrap_or(0) + lag.at.unwrap_or(0);
            (lag.before.unwrap_or(NONE), lag.of == Of::End, last)
        });
        let order = match &problem.objective[..] {
            [] => Objective::DEFAULT.to_vec(),
            named => named.to_vec(),
        };
        let longest = model.acts.iter().map(|act| act.length).max().unwrap_or(0);
        Self {
            windows: windows.collect(),
            weights: jobs.iter().map(|job| job.weight).sum::<i64>().max(1),
            jobs,
            order,
            waits,
            span: longest.max(DAY),
        }
    }

    /// The worth of a plan.
    pub(super) fn values(&self, plan: &Build<'_>) -> Values {
        let mut values = Values::default();
        for (window, &missed) in plan.missed.iter().enumerate() {
            if missed {
                values.misses += 1;
                values.overrun += self.overrun(plan, window);
            }
        }
        for job in &self.jobs {
            if let Some(due) = job.due {
                let late = days_late(Self::end(plan, job), due);
                values.lateness = values.lateness.saturating_add(job.weight.saturating_mul(late));
            }
        }
        values.makespan = plan.end[..plan.model.real].iter().copied().max().unwrap_or(0);
        for (act, (weight, waits)) in self.waits.iter().enumerate() {
            if let Some(waited) = Self::waited(plan, act, waits) {
                values.idle = values.idle.saturating_add(weight.saturating_mul(waited));
            }
        }
        values
    }

    /// The end of a job.
    fn end(plan: &Build<'_>, job: &Dated) -> Minute {
        job.acts.iter().map(|&act| plan.end[act]).max().unwrap_or(0)
    }

    /// By how many minutes a window is overrun.
    fn overrun(&self, plan: &Build<'_>, window: usize) -> i64 {
        let (before, from_end, last) = self.windows[window];
        let point = match before {
            NONE => 0,
            act if from_end => plan.end[act],
            act => plan.start[act],
        };
        (plan.start[plan.model.windows[window].after] - point - last).max(0)
    }

    fn waited(plan: &Build<'_>, act: usize, waits: &[Counted]) -> Option<i64> {
        let allowed = waits
            .iter()
            .map(|&(before, from_end, gap)| match before {
                NONE => gap,
                before if from_end => plan.end[before] + gap,
                before => plan.start[before] + gap,
            })
            .max()?;
        let extra = plan.model.extra_of[act];
        let begun =
            if extra != NONE && plan.active(extra) { plan.start[extra] } else { plan.start[act] };
        Some((begun - allowed).max(0))
    }

    /// Compares in the order of the objective.
    pub(super) fn compare(&self, a: &Values, b: &Values) -> Ordering {
        self.order
            .iter()
            .map(|&objective| a.get(objective).cmp(&b.get(objective)))
            .find(|order| order.is_ne())
            .unwrap_or(Ordering::Equal)
    }

    /// One number that guides the search: minutes × 64. Misses weigh as much as the longest activity
    /// several times over; lateness counts in minutes, so that a plan can be seen to come nearer; ends on
    /// average break ties.
    pub(super) fn energy(&self, plan: &Build<'_>, values: &Values, unplaced: usize) -> i64 {
        let counts = |objective| self.order.contains(&objective);
        let mut energy = i64::try_from(unplaced).unwrap_or(0).saturating_mul(1 << 50);
        if counts(Objective::Misses) {
            energy = energy.saturating_add(values.misses.saturating_mul(self.span * 128));
        }
        let mut ends = 0_i64;
        let mut late = 0_i64;
        for job in &self.jobs {
            let end = Self::end(plan, job);
            ends += end;
            if let Some(due) = job.due {
                late = late.saturating_add((end - due + 1).max(0).saturating_mul(job.weight));
            }
        }
        if counts(Objective::Lateness) {
            let days = values.lateness.saturating_mul(DAY);
            energy =
                energy.saturating_add(late.saturating_add(days).saturating_mul(256) / self.weights);
        }
        energy = energy.saturating_add(values.makespan * 64);
        let jobs = i64::try_from(self.jobs.len()).unwrap_or(1).max(1);
        energy.saturating_add(ends.saturating_mul(4) / jobs)
    }
}
