//! Bounds: what no plan can better, proved by leaving rules out.
//!
//! *path*: each activity after those it waits for, in its hours, as if every resource were endless.
//! *work*: all that has to be done on one resource, done without a pause, and the way from there on.
//! *queue*: jobs alike pass every step one behind the other; whichever order they take, the i-th to
//! arrive waits for the (i − c)-th to leave where only c fit.
//!
//! *branch*: of holds that are too many at one moment some one gives way; the least over all choices.
//!
//! A bound leaves soft windows out unless the plan it stands beside misses only those that no plan can
//! keep.

mod branch;
mod copies;
mod line;
mod matching;
mod path;
mod pool;
mod queue;
mod work;

use super::answer::{Bound, Late, Reason};
use super::model::Model;
use super::problem::Minute;
use super::value::{Aim, Dated, Values, days_late};
use branch::{Wanted, branch};
use path::Paths;
use queue::{Family, Queue};

/// Refuses with an activity that has no place before the horizon even if every resource is endless.
pub(super) fn has_place(model: &Model, kept: &[bool]) -> Result<(), usize> {
    Paths::new(model, kept).map(drop)
}

/// The best bound of all; refuses as [`has_place`] does.
pub(super) fn bound(model: &Model, aim: &Aim, kept: &[bool]) -> Result<Bound, usize> {
    let paths = Paths::new(model, kept)?;
    let (end, last) = paths.last();
    let mut bound = Bound {
        makespan: end,
        by: if last < model.real { Reason::Path(last) } else { Reason::Nothing },
        tardiness: 0,
        late_by: Vec::new(),
    };
    if !aim.demands.is_empty() {
        with_demands(aim, &paths, &mut bound);
    }
    let work = if aim.has_spares() { Vec::new() } else { work::bounds(model, &paths) };
    for (resource, end) in work {
        if end > bound.makespan {
            (bound.makespan, bound.by) = (end, Reason::Work(resource));
        }
    }
    let ways = queue::ways(model, aim, &paths);
    let families = queue::families(model, aim, &paths, &ways);
    let mut queues = Queues { model, aim, paths: &paths, ways: &ways, bound };
    queues.weigh(&families);
    if let Some(kin) = queue::kin(model, aim, &paths, &ways, &families) {
        queues.weigh(&[kin]);
    }
    Ok(queues.bound)
}

/// Where some pieces are not wanted, each path alone: the demands are met by those that can be done first.
fn with_demands(aim: &Aim, paths: &Paths<'_>, bound: &mut Bound) {
    let ends: Vec<Minute> = aim.jobs.iter().map(|job| paths.end_of(job)).collect();
    let counted = aim.counted(&ends);
    if aim.has_spares() {
        let last = (0..ends.len()).filter(|&job| counted[job] > 0).max_by_key(|&job| ends[job]);
        // Where all that is wanted is done, nothing is waited for.
        (bound.makespan, bound.by) = last.map_or((0, Reason::Nothing), |job| {
            (ends[job], Reason::Path(paths.last_of(&aim.jobs[job].acts)))
        });
    }
    for (job, dated) in aim.jobs.iter().enumerate() {
        let late =
            dated.due.map_or(0, |due| counted[job].saturating_mul(days_late(ends[job], due)));
        if late > 0 {
            let by = Reason::Path(paths.last_of(&dated.acts));
            bound.late_by.push(Late { jobs: vec![job], tardiness: late, by });
            bound.tardiness += late;
        }
    }
}

/// A bound being raised by queues.
struct Queues<'a> {
    model: &'a Model,
    aim: &'a Aim,
    paths: &'a Paths<'a>,
    ways: &'a [Vec<usize>],
    bound: Bound,
}

impl Queues<'_> {
    /// Raises the last end by each queue, and the tardiness by the best of each family and all others alone.
    fn weigh(&mut self, families: &[Family]) {
        let mut alone: Vec<i64> = (0..self.aim.jobs.len()).map(|job| self.alone(job)).collect();
        let mut days: Vec<i64> = self.aim.jobs.iter().map(|job| self.days(job)).collect();
        let mut shares = Vec::new();
        for family in families {
            let paths_alone: i64 = family.jobs.iter().map(|&job| alone[job]).sum();
            let latest = self.latest(family).filter(|(late, _)| late.tardiness > paths_alone);
            if let Some((late, queue)) = latest {
                for &job in &family.jobs {
                    alone[job] = 0;
                    days[job] = days[job].max(queue.most_days(self.aim, self.paths, job));
                }
                shares.push(late);
            }
        }
        for (job, tardiness) in
            alone.into_iter().enumerate().filter(|&(_, tardiness)| tardiness > 0)
        {
            let last = self.paths.last_of(&self.aim.jobs[job].acts);
            shares.push(Late { jobs: vec![job], tardiness, by: Reason::Path(last) });
        }
        self.leave_out(&mut shares, &days);
        let tardiness = shares.iter().map(|share| share.tardiness).sum();
        if tardiness > self.bound.tardiness && !self.aim.has_spares() {
            (self.bound.tardiness, self.bound.late_by) = (tardiness, shares);
        }
    }

    /// Days late of a job on its own.
    fn days(&self, job: &Dated) -> i64 {
        job.due.map_or(0, |due| days_late(self.paths.end_of(job), due))
    }

    /// The tardiness of a job on its own.
    fn alone(&self, job: usize) -> i64 {
        let job = &self.aim.jobs[job];
        job.weight.saturating_mul(self.days(job))
    }

    /// What is beyond a demand is late by nobody's date: no more of it than if it were the latest of all.
    fn leave_out(&self, shares: &mut Vec<Late>, days: &[i64]) {
        for demand in &self.aim.demands {
            let latest = demand.jobs.iter().map(|&job| days[job]).max().unwrap_or(0);
            let mut out = self.aim.surplus(demand).max(0).saturating_mul(latest);
            let of_it = |share: &&mut Late| share.jobs.iter().any(|job| demand.jobs.contains(job));
            for share in shares.iter_mut().filter(of_it) {
                let less = out.min(share.tardiness);
                (share.tardiness, out) = (share.tardiness - less, out - less);
            }
        }
        shares.retain(|share| share.tardiness > 0);
    }

    /// The most that a queue of the family makes it late, and that queue.
    fn latest(&mut self, family: &Family) -> Option<(Late, Queue)> {
        let mut best: Option<(Late, Queue)> = None;
        for queue in Queue::all(self.model, self.aim, self.paths, self.ways, family) {
            let by = Reason::Queue(queue.resource);
            if queue.last > self.bound.makespan {
                (self.bound.makespan, self.bound.by) = (queue.last, by.clone());
            }
            if self.aim.has_spares() {
                // Which of them are late is not said by the queue.
                continue;
            }
            let others = family.jobs.iter().filter(|job| !queue.jobs.contains(job));
            let rest: i64 = others.map(|&job| self.alone(job)).sum();
            let tardiness = queue.tardiness(self.aim, self.paths).saturating_add(rest);
            if best.as_ref().is_none_or(|(best, _)| tardiness > best.tardiness) {
                best = Some((Late { jobs: family.jobs.clone(), tardiness, by }, queue));
            }
        }
        best
    }
}

/// Activities × branches up to which a bound is raised by branching.
const MOST_WORK: u64 = 100_000;

/// Raises a bound towards what a plan is worth, by branching on the resources; `most` branches at most.
pub(super) fn raise(
    model: &Model,
    aim: &Aim,
    kept: &[bool],
    bound: &mut Bound,
    values: &Values,
    most: u64,
) {
    let Ok(paths) = Paths::new(model, kept) else { return };
    let activities = u64::try_from(model.real).unwrap_or(u64::MAX).max(1);
    let most = most.min(MOST_WORK / activities);
    if model.holds.is_empty() || aim.has_spares() {
        return;
    }
    if values.tardiness > bound.tardiness {
        let wanted = Wanted::WeightedTardiness;
        let (tardiness, assigned) = branch(model, aim, &paths, wanted, values.tardiness, most);
        if let Some(assigned) = assigned.filter(|_| tardiness > bound.tardiness) {
            let jobs = (0..aim.jobs.len()).filter(|&job| aim.jobs[job].due.is_some()).collect();
            bound.tardiness = tardiness;
            bound.late_by = vec![Late { jobs, tardiness, by: Reason::Queue(assigned) }];
        }
    }
    if values.makespan > bound.makespan {
        let wanted = Wanted::Makespan;
        let (end, assigned) = branch(model, aim, &paths, wanted, values.makespan, most);
        if let Some(assigned) = assigned.filter(|_| end > bound.makespan) {
            (bound.makespan, bound.by) = (end, Reason::Queue(assigned));
        }
    }
}

/// More windows than this are not looked at one by one.
const MOST_WINDOWS: usize = 1_000;

/// The windows that may be kept: all but those that no plan keeps, even with nothing else to do.
pub(super) fn tenable(model: &Model) -> Vec<bool> {
    let count = model.windows.len();
    // Those that can be kept all together can be kept one by one.
    if Paths::new(model, &vec![true; count]).is_ok() {
        return vec![true; count];
    }
    let alone = |window: usize| (0..count).map(|other| other == window).collect::<Vec<_>>();
    (0..count)
        .map(|window| count > MOST_WINDOWS || Paths::new(model, &alone(window)).is_ok())
        .collect()
}
