//! What a plan is worth, and in which order its worth is compared.

use std::cmp::Ordering;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::model::{Model, NONE};
use super::problem::{Demand, Job, Minute, Objective, Problem};
use super::schedule::Schedule;
use super::wait::Wait;

/// Minutes of a day, for days late.
pub(super) const DAY: Minute = 1440;

/// The worth of a plan; less is better.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, JsonSchema, Serialize, Deserialize)]
pub struct Values {
    /// Soft lags overrun.
    #[serde(rename = "misses")]
    pub violations: i64,
    /// Minutes by which they are overrun.
    pub overrun: i64,
    /// Σ weight × days late, as [`Dated::pressing`] counts them.
    #[serde(default)]
    pub(crate) discounted: i64,
    /// Σ weight × days late; a job that ends at its due minute is one day late.
    #[serde(rename = "lateness")]
    pub tardiness: i64,
    /// Σ weight × days past the dates wished.
    #[serde(default)]
    pub(crate) wishes: i64,
    /// The minute at which the last activity ends; with demands, at which all of them are met.
    pub makespan: i64,
    /// Σ weight × minutes that activities begin (or their extras) later than the shortest waits allow, and take longer, than
    /// where time counts fastest.
    #[serde(rename = "idle")]
    pub waiting_time: i64,
}

impl Values {
    /// The number that stands for one objective.
    pub fn get(&self, objective: Objective) -> i64 {
        match objective {
            Objective::Violations => self.violations,
            Objective::Overrun => self.overrun,
            Objective::Discounted => self.discounted,
            Objective::WeightedTardiness => self.tardiness,
            Objective::Wishes => self.wishes,
            Objective::Makespan => self.makespan,
            Objective::WaitingTime => self.waiting_time,
        }
    }
}

/// What lateness past a date that is now counts, in which that of later dates is a share.
const AT_ONCE: f64 = 1024.0;
/// Past a date so far ahead it counts half: much may come otherwise until then (a choice).
const HALVES: f64 = 30.0 * 1440.0;
/// How much a day past a date counts (a choice).
const LATE: i64 = 6;
/// Such parts of the time from a promise to its date are left to spare, and how much a day of each counts that is not (choices).
const SPARE: [(Minute, i64); 2] = [(8, 2), (4, 1)];
/// How much a day past a date counts that lies so near that nothing can be spared before it.
const WHOLE: i64 = LATE + SPARE[0].1 + SPARE[1].1;

/// Days late of an end against the first minute that counts as late.
pub(super) fn days_late(end: Minute, due: Minute) -> i64 {
    if end < due { 0 } else { (end - due) / DAY + 1 }
}

/// One of a job's dates.
pub(super) type DateOf = fn(&Dated) -> Option<Minute>;

/// A job as its worth is counted.
#[derive(Debug, Clone)]
pub(super) struct Dated {
    pub(super) acts: Vec<usize>,
    pub(super) due: Option<Minute>,
    pub(super) wish: Option<Minute>,
    pub(super) weight: i64,
    /// When it was promised.
    promised: Minute,
    /// What its lateness counts, the less the further ahead its date lies.
    discount: i64,
}

impl Dated {
    fn new(job: &Job) -> Self {
        #[expect(clippy::cast_precision_loss, reason = "minutes of a few years")]
        let share = job.due.map_or(0.0, |due| (-(due.max(0) as f64) / HALVES).exp2());
        #[expect(clippy::cast_possible_truncation, reason = "at most 1024")]
        let discount = (AT_ONCE * share) as i64;
        Self {
            acts: job.activities.clone(),
            due: job.due,
            wish: job.wish,
            weight: job.weight.unwrap_or(1),
            promised: job.promised.unwrap_or(0),
            discount: discount.max(1),
        }
    }

    /// How late it is, counted by `late` against a date: that it be on time counts the more the sooner it has to be, and so does
    /// that some of the time from the promise until then be left for what comes otherwise. Counted from today, what is left would
    /// be less each day, and each order would be ready on its last.
    fn pressing(&self, late: impl Fn(Minute) -> i64) -> i64 {
        let Some(due) = self.due else { return 0 };
        let past = |part: Minute| late(due - (due - self.promised).max(0) / part);
        let spared = SPARE.iter().map(|&(part, weight)| weight.saturating_mul(past(part)));
        let all = spared.fold(LATE.saturating_mul(late(due)), i64::saturating_add);
        all.saturating_mul(self.discount)
    }
}

/// What is wanted of a plan.
#[derive(Debug, Clone)]
pub(super) struct Aim {
    pub(super) jobs: Vec<Dated>,
    pub(super) demands: Vec<Demand>,
    pub(super) order: Vec<Objective>,
    /// For each activity: weight, and what its start waits for.
    waits: Vec<(i64, Vec<Wait>)>,
    weights: i64,
    span: i64,
}

impl Aim {
    pub(super) fn new(problem: &Problem, model: &Model) -> Self {
        let jobs: Vec<Dated> = problem.jobs.iter().map(Dated::new).collect();
        let mut waits = vec![(1, Vec::new()); model.real];
        for job in &jobs {
            for &act in &job.acts {
                waits[act].0 = job.weight;
            }
        }
        for (index, lag) in problem.lags.iter().enumerate() {
            if let Some(min) = lag.min {
                waits[lag.after].1.push(Wait::new(lag, min, model.lag_lengths[index]));
            }
        }
        let order = match &problem.objective[..] {
            [] => Objective::DEFAULT.to_vec(),
            named => named.to_vec(),
        };
        let longest = model.acts.iter().map(|act| act.length).max().unwrap_or(0);
        Self {
            weights: jobs.iter().map(|job| job.weight).sum::<i64>().max(1),
            jobs,
            demands: problem.demands.clone(),
            order,
            waits,
            span: longest.max(DAY),
        }
    }

    /// The worth of a plan.
    pub(super) fn values(&self, plan: &Schedule<'_>) -> Values {
        let mut values = Values::default();
        for (window, &missed) in plan.missed.iter().enumerate() {
            if missed {
                values.violations += 1;
                values.overrun += plan.overrun(window);
            }
        }
        let ends = self.ends(plan);
        let counted = self.counted(&ends);
        values.tardiness = self.past(&ends, &counted, |job| job.due);
        let each = self.jobs.iter().zip(&ends).zip(&counted);
        let pressing = each.map(|((job, &end), weight)| {
            weight.saturating_mul(job.pressing(|date| days_late(end, date)))
        });
        values.discounted = pressing.fold(0, i64::saturating_add);
        values.wishes = self.past(&ends, &counted, |job| job.wish);
        values.makespan = if self.demands.is_empty() {
            plan.end[..plan.model.real].iter().copied().max().unwrap_or(0)
        } else {
            let last = ends.iter().zip(&counted).filter(|&(_, &weight)| weight > 0);
            last.map(|(&end, _)| end).max().unwrap_or(0)
        };
        for (act, (weight, waits)) in self.waits.iter().enumerate() {
            let waited = Self::waited(plan, act, waits) + Self::slowed(plan, act);
            values.waiting_time = values.waiting_time.saturating_add(weight.saturating_mul(waited));
        }
        values
    }

    /// Σ weight that counts × days late, jobs done at these minutes. The later they are done, the more it is, so that minutes
    /// which no plan can better give a bound.
    pub(super) fn tardiness(&self, ends: &[Minute]) -> i64 {
        self.past(ends, &self.counted(ends), |job| job.due)
    }

    /// Σ weight that counts × days past a date, jobs done at these minutes.
    fn past(&self, ends: &[Minute], counted: &[i64], date: fn(&Dated) -> Option<Minute>) -> i64 {
        let jobs = self.jobs.iter().zip(ends).zip(counted);
        let late = jobs.filter_map(|((job, &end), weight)| {
            Some(weight.saturating_mul(days_late(end, date(job)?)))
        });
        late.fold(0, i64::saturating_add)
    }

    /// The jobs past their due minutes, and those past the dates wished.
    pub(super) fn late(&self, plan: &Schedule<'_>) -> [Vec<usize>; 2] {
        let ends = self.ends(plan);
        let counted = self.counted(&ends);
        let past = |date: DateOf| -> Vec<usize> {
            let late = |&job: &usize| {
                counted[job] > 0 && date(&self.jobs[job]).is_some_and(|date| ends[job] >= date)
            };
            (0..self.jobs.len()).filter(late).collect()
        };
        [past(|job| job.due), past(|job| job.wish)]
    }

    /// The weight of a demand's jobs beyond what is wanted.
    pub(super) fn surplus(&self, demand: &Demand) -> i64 {
        demand.jobs.iter().map(|&job| self.jobs[job].weight).sum::<i64>() - demand.wanted
    }

    /// The weight of each job that counts, jobs done at these minutes: of a demand no more than is wanted, the first ones
    /// first.
    pub(super) fn counted(&self, ends: &[Minute]) -> Vec<i64> {
        let mut counted: Vec<i64> = self.jobs.iter().map(|job| job.weight).collect();
        for demand in &self.demands {
            let mut jobs = demand.jobs.clone();
            jobs.sort_by_key(|&job| (ends[job], job));
            let mut left = demand.wanted;
            for job in jobs {
                counted[job] = counted[job].min(left);
                left -= counted[job];
            }
        }
        counted
    }

    /// Whether a job may be left out and the demands still be met.
    pub(super) fn has_spares(&self) -> bool {
        self.demands.iter().any(|demand| {
            let least = demand.jobs.iter().map(|&job| self.jobs[job].weight).min();
            least.is_some_and(|least| self.surplus(demand) >= least)
        })
    }

    /// The last end each activity may have in a plan no worse than this one: that of the whole plan, and for what has a date
    /// this date or, past it, the end it has.
    pub(super) fn allowed_ends(&self, plan: &Schedule<'_>) -> Vec<Minute> {
        let all = plan.end.iter().copied().max().unwrap_or(0);
        let mut allowed = vec![all; plan.model.acts.len()];
        for job in &self.jobs {
            let end = Self::end(plan, job);
            for due in job.due.iter().chain(&job.wish) {
                for &act in &job.acts {
                    allowed[act] = allowed[act].min(end.max(*due));
                }
            }
        }
        allowed
    }

    fn ends(&self, plan: &Schedule<'_>) -> Vec<Minute> {
        self.jobs.iter().map(|job| Self::end(plan, job)).collect()
    }

    /// The end of a job.
    fn end(plan: &Schedule<'_>, job: &Dated) -> Minute {
        job.acts.iter().map(|&act| plan.end[act]).max().unwrap_or(0)
    }

    /// By how many minutes an activity begins later than its waits need.
    fn waited(plan: &Schedule<'_>, act: usize, waits: &[Wait]) -> i64 {
        let Some(allowed) = waits.iter().map(|wait| wait.soonest_over(plan)).max() else {
            return 0;
        };
        let extra = plan.model.extra_of[act];
        let begun =
            if extra != NONE && plan.active(extra) { plan.start[extra] } else { plan.start[act] };
        (begun - allowed).max(0)
    }

    /// By how many minutes an activity takes longer than where time counts fastest.
    fn slowed(plan: &Schedule<'_>, act: usize) -> i64 {
        let soonest = |mode| plan.model.soonest_in(mode, plan.start[act]);
        plan.model.acts[act].modal.map_or(0, |mode| (plan.end[act] - soonest(mode)).max(0))
    }

    /// Compares in the order of the objective.
    pub(super) fn compare(&self, a: &Values, b: &Values) -> Ordering {
        self.order
            .iter()
            .map(|&objective| a.get(objective).cmp(&b.get(objective)))
            .find(|order| order.is_ne())
            .unwrap_or(Ordering::Equal)
    }

    /// Whether a plan is better than another by more than what waits in it.
    pub(super) fn well_better(&self, a: &Values, b: &Values) -> bool {
        let count = |&&objective: &&Objective| objective != Objective::WaitingTime;
        let mut counted = self.order.iter().take_while(count);
        counted.any(|&objective| a.get(objective) < b.get(objective))
    }

    /// One number that guides the search: minutes × 64. Violations weigh as much as the longest activity
    /// several times over; tardiness counts in minutes, so that a plan can be seen to come nearer; ends on
    /// average break ties.
    pub(super) fn energy(&self, plan: &Schedule<'_>, values: &Values, unplaced: usize) -> i64 {
        let counts = |objective| self.order.contains(&objective);
        let mut energy = i64::try_from(unplaced).unwrap_or(0).saturating_mul(1 << 50);
        if counts(Objective::Violations) {
            energy = energy.saturating_add(values.violations.saturating_mul(self.span * 128));
        }
        let (mut ends, mut late) = (0_i64, 0_i64);
        let discounted = counts(Objective::Discounted);
        let all = self.ends(plan);
        for ((job, end), weight) in self.jobs.iter().zip(&all).zip(self.counted(&all)) {
            ends += end;
            let past = |date: Minute| (end - date + 1).max(0);
            let behind = if discounted { job.pressing(past) } else { job.due.map_or(0, past) };
            late = late.saturating_add(weight.saturating_mul(behind));
        }
        if discounted {
            let days = values.discounted.saturating_mul(DAY);
            energy = energy.saturating_add(late.saturating_add(days) / (WHOLE * self.weights));
        } else if counts(Objective::WeightedTardiness) {
            let days = values.tardiness.saturating_mul(DAY);
            energy =
                energy.saturating_add(late.saturating_add(days).saturating_mul(256) / self.weights);
        }
        if counts(Objective::Wishes) {
            energy = energy.saturating_add(values.wishes.saturating_mul(DAY * 64) / self.weights);
        }
        energy = energy.saturating_add(values.makespan * 64);
        let jobs = i64::try_from(self.jobs.len()).unwrap_or(1).max(1);
        energy.saturating_add(ends.saturating_mul(4) / jobs)
    }
}
