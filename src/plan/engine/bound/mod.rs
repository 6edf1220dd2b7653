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
mod line;
mod matching;
mod path;
mod pool;
mod queue;
mod work;

use super::answer::{Bound, Late, Reason};
use super::model::Model;
use super::value::{Aim, Values, days_late};
use branch::{Wanted, branch};
use path::Paths;
use queue::Queue;

/// The best bound of all; refuses with an activity that has no place before the horizon even if every
/// resource is endless.
pub(super) fn bound(model: &Model, aim: &Aim, kept: &[bool]) -> Result<Bound, usize> {
    let paths = Paths::new(model, kept)?;
    let (end, last) = paths.last();
    let mut bound = Bound {
        makespan: end,
        by: if last < model.real { Reason::Path(last) } else { Reason::Nothing },
        lateness: 0,
        late_by: Vec::new(),
    };
    for (resource, end) in work::bounds(model, &paths) {
        if end > bound.makespan {
            (bound.makespan, bound.by) = (end, Reason::Work(resource));
        }
    }
    let mut alone = alone(aim, &paths);
    let mut shares = Vec::new();
    for family in queue::families(model, aim, &paths) {
        let mut best: Option<Late> = None;
        for queue in Queue::all(model, aim, &paths, &family) {
            if queue.last > bound.makespan {
                (bound.makespan, bound.by) = (queue.last, Reason::Queue(queue.resource));
            }
            let rest: i64 =
                family.iter().filter(|job| !queue.jobs.contains(job)).map(|&job| alone[job]).sum();
            let lateness = queue.lateness(aim, &paths).saturating_add(rest);
            if best.as_ref().is_none_or(|best| lateness > best.lateness) {
                best = Some(Late {
                    jobs: family.clone(),
                    lateness,
                    by: Reason::Queue(queue.resource),
                });
            }
        }
        let paths_alone: i64 = family.iter().map(|&job| alone[job]).sum();
        if let Some(best) = best.filter(|best| best.lateness > paths_alone) {
            for &job in &family {
                alone[job] = 0;
            }
            shares.push(best);
        }
    }
    for (job, lateness) in alone.into_iter().enumerate().filter(|&(_, lateness)| lateness > 0) {
        let last = paths.last_of(&aim.jobs[job].acts);
        shares.push(Late { jobs: vec![job], lateness, by: Reason::Path(last) });
    }
    bound.lateness = shares.iter().map(|share| share.lateness).sum();
    bound.late_by = shares;
    Ok(bound)
}

/// Activities × branches up to which a bound is raised by branching.
const MOST_WORK: u64 = 100_000;

/// Raises a bound towards what a plan is worth, by branching on the spots; `most` branches at most.
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
    if model.holds.is_empty() {
        return;
    }
    if values.lateness > bound.lateness {
        let wanted = Wanted::Lateness;
        let (lateness, spot) = branch(model, aim, &paths, wanted, values.lateness, most);
        if let Some(spot) = spot.filter(|_| lateness > bound.lateness) {
            let jobs = (0..aim.jobs.len()).filter(|&job| aim.jobs[job].due.is_some()).collect();
            bound.lateness = lateness;
            bound.late_by = vec![Late { jobs, lateness, by: Reason::Queue(spot) }];
        }
    }
    if values.makespan > bound.makespan {
        let wanted = Wanted::Makespan;
        let (end, spot) = branch(model, aim, &paths, wanted, values.makespan, most);
        if let Some(spot) = spot.filter(|_| end > bound.makespan) {
            (bound.makespan, bound.by) = (end, Reason::Queue(spot));
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

/// The lateness of each job on its own.
fn alone(aim: &Aim, paths: &Paths<'_>) -> Vec<i64> {
    aim.jobs
        .iter()
        .map(|job| {
            let end = job.acts.iter().map(|&act| paths.end[act]).max().unwrap_or(0);
            job.due.map_or(0, |due| job.weight.saturating_mul(days_late(end, due)))
        })
        .collect()
}
