//! Jobs alike in a queue: order statistics of every point of their way.
//!
//! For the jobs of a family, steps are matched from the last one back (a job half done lacks the first
//! ones). Let X(p, i) be the i-th smallest minute of point p (start or end of a step) over the jobs that
//! have it. If every job keeps `to ≥ from + gap`, then X(to, ·) ≥ X(from, ·) + gap, matched from the last
//! place where more jobs have `to`, from the first where fewer do. If at most c of the jobs can hold a
//! kind of resource at once, the i-th to take it waits for the (i − c)-th to give it back. The least X
//! that keeps all this is below every plan.

use super::super::model::{Edge, Model};
use super::super::problem::Minute;
use super::super::value::{Aim, days_late};
use super::line::Line;
use super::matching::cheapest;
use super::path::Paths;

/// Families of more jobs are not matched to places.
const MOST_MATCHED: usize = 200;

/// Jobs whose steps match from the last one back.
pub(super) fn families(model: &Model, aim: &Aim, paths: &Paths<'_>) -> Vec<Vec<usize>> {
    let mut families: Vec<Vec<usize>> = Vec::new();
    // An activity of two jobs would stand in the queue twice.
    let mut met = vec![0; model.real];
    aim.jobs.iter().flat_map(|job| &job.acts).for_each(|&act| met[act] += 1);
    let apart = |job: &usize| aim.jobs[*job].acts.iter().all(|&act| met[act] == 1);
    let mut jobs: Vec<usize> = (0..aim.jobs.len()).filter(apart).collect();
    jobs.sort_by_key(|&job| (std::cmp::Reverse(aim.jobs[job].acts.len()), job));
    for job in jobs {
        let acts = &aim.jobs[job].acts;
        let mut fitting = families.iter_mut().filter(|family| {
            let longest = &aim.jobs[family[0]].acts;
            matches(model, paths, &longest[longest.len() - acts.len()..], acts)
        });
        match fitting.next() {
            Some(family) => family.push(job),
            None => families.push(vec![job]),
        }
    }
    families
}

/// Whether two ways have the same steps: hours, needs, and what waits for what.
fn matches(model: &Model, paths: &Paths<'_>, a: &[usize], b: &[usize]) -> bool {
    let step = |act: usize| {
        let act = &model.acts[act];
        (act.calendar, act.unbroken, &act.needs)
    };
    let alike = |acts: &[usize], k: usize| {
        let place = |act: usize| acts.iter().position(|&other| other == act);
        let arcs = paths.out[acts[k]].iter();
        let mut to: Vec<_> =
            arcs.filter_map(|arc| place(arc.to).map(|to| (to, arc.from_end, arc.to_end))).collect();
        to.sort_unstable();
        to
    };
    a.iter().zip(b).all(|(&x, &y)| step(x) == step(y))
        && (0..a.len()).all(|k| alike(a, k) == alike(b, k))
}

/// The queue of some jobs of a family.
pub(super) struct Queue {
    pub(super) jobs: Vec<usize>,
    /// No plan ends before.
    pub(super) last: Minute,
    /// What the jobs queue for.
    pub(super) resource: usize,
    /// The i-th smallest minute at which a job can be done.
    done: Vec<Minute>,
}

impl Queue {
    /// The queues of a family: of all its jobs, and of those that hold at least so much.
    pub(super) fn all(model: &Model, aim: &Aim, paths: &Paths<'_>, family: &[usize]) -> Vec<Self> {
        let size = |job: usize| {
            let acts = &aim.jobs[job].acts;
            let held =
                model.holds.iter().filter(|hold| holds(hold.to, acts)).map(|hold| hold.units);
            held.max().unwrap_or(0)
        };
        let mut sizes: Vec<i64> = family.iter().map(|&job| size(job)).collect();
        sizes.sort_unstable();
        sizes.dedup();
        let at_least = |least: i64| -> Vec<usize> {
            family.iter().copied().filter(|&job| size(job) >= least).collect()
        };
        sizes.into_iter().filter_map(|least| Self::of(model, aim, paths, at_least(least))).collect()
    }

    fn of(model: &Model, aim: &Aim, paths: &Paths<'_>, jobs: Vec<usize>) -> Option<Self> {
        let mut line = Line::new(model, aim, paths, &jobs);
        line.rise();
        let done = &line.steps.last()?.end;
        let waited = line.rooms.iter().max_by_key(|room| room.waited);
        let resource = waited.map_or(0, |room| room.resource);
        Some(Self { last: *done.last()?, done: done.clone(), jobs, resource })
    }

    /// The least Σ weight × days late if the i-th job to be done is done no earlier than the queue says
    /// and no job sooner than on its own.
    pub(super) fn lateness(&self, aim: &Aim, paths: &Paths<'_>) -> i64 {
        if self.jobs.len() > MOST_MATCHED {
            return 0;
        }
        let cost = |job: usize, done: Minute| {
            let job = &aim.jobs[job];
            let own = job.acts.iter().map(|&act| paths.end[act]).max().unwrap_or(0);
            job.due.map_or(0, |due| job.weight.saturating_mul(days_late(done.max(own), due)))
        };
        let costs: Vec<Vec<i64>> = self
            .jobs
            .iter()
            .map(|&job| self.done.iter().map(|&done| cost(job, done)).collect())
            .collect();
        cheapest(&costs)
    }
}

fn holds(to: Edge, acts: &[usize]) -> bool {
    matches!(to, Edge::Point(act, _) if acts.contains(&act))
}
