//! Jobs alike in a queue: order statistics of every point of their way.
//!
//! For the jobs of a family, steps are matched from the last one back (a job half done lacks the first
//! ones). Let X(p, i) be the i-th smallest minute of point p (start or end of a step) over the jobs that
//! have it. If every job keeps `to ≥ from + gap`, then X(to, ·) ≥ X(from, ·) + gap, matched from the last
//! place where more jobs have `to`, from the first where fewer do. If at most c of the jobs can hold a
//! kind of resource at once, the i-th to take it waits for the (i − c)-th to give it back. The least X
//! that keeps all this is below every plan.

use super::super::model::{Edge, Model};
use super::super::problem::{Demand, Minute};
use super::super::value::{Aim, days_late};
use super::line::{Line, Way};
use super::matching::cheapest;
use super::path::Paths;

/// Families of more jobs are not matched to places.
const MOST_MATCHED: usize = 200;
/// Copies as which jobs count by size at most, or so.
const MOST_COPIES: i64 = 600;

/// The activities on the way of each job, in the order of the problem: its own, and those of no job that are tied to them.
pub(super) fn ways(model: &Model, aim: &Aim, paths: &Paths<'_>) -> Vec<Vec<usize>> {
    let mut of: Vec<Option<usize>> = vec![None; model.real];
    for (job, dated) in aim.jobs.iter().enumerate() {
        dated.acts.iter().for_each(|&act| of[act] = Some(job));
    }
    let mut open: Vec<usize> = (0..model.real).filter(|&act| of[act].is_some()).collect();
    while let Some(from) = open.pop() {
        for arc in &paths.out[from] {
            if of[arc.to].is_none() {
                of[arc.to] = of[from];
                open.push(arc.to);
            }
        }
    }
    let mut ways = vec![Vec::new(); aim.jobs.len()];
    for (act, job) in of.into_iter().enumerate() {
        if let Some(job) = job {
            ways[job].push(act);
        }
    }
    ways
}

/// Jobs whose ways, or the ends of them, match from the last activity back.
pub(super) struct Family {
    pub(super) jobs: Vec<usize>,
    /// How many activities are looked at, from the last one back; all of a shorter way.
    length: usize,
}

/// The end of a way, so long at most.
fn end(way: &[usize], length: usize) -> &[usize] {
    &way[way.len().saturating_sub(length)..]
}

/// The families of jobs by the whole of their ways.
pub(super) fn families(
    model: &Model,
    aim: &Aim,
    paths: &Paths<'_>,
    ways: &[Vec<usize>],
) -> Vec<Family> {
    by_ends(model, aim, paths, ways, usize::MAX)
}

/// The jobs of several families that go the same way in the end, the end being as long as that of the two largest.
pub(super) fn kin(
    model: &Model,
    aim: &Aim,
    paths: &Paths<'_>,
    ways: &[Vec<usize>],
    families: &[Family],
) -> Option<Family> {
    let mut largest: Vec<&Family> = families.iter().collect();
    largest.sort_by_key(|family| std::cmp::Reverse(family.jobs.len()));
    let way = |family: usize| Some(&ways[*largest.get(family)?.jobs.first()?]);
    let (first, second) = (way(0)?, way(1)?);
    let same = |length: &usize| matches(model, paths, end(first, *length), end(second, *length));
    let length = (1..=first.len().min(second.len())).rev().find(same)?;
    by_ends(model, aim, paths, ways, length)
        .into_iter()
        .max_by_key(|family| family.jobs.len())
        .filter(|kin| kin.jobs.len() > largest[0].jobs.len())
}

/// Jobs by the ends of their ways.
fn by_ends(
    model: &Model,
    aim: &Aim,
    paths: &Paths<'_>,
    ways: &[Vec<usize>],
    length: usize,
) -> Vec<Family> {
    let mut families: Vec<Vec<usize>> = Vec::new();
    // An activity of two jobs would stand in the queue twice.
    let mut met = vec![0; model.real];
    aim.jobs.iter().flat_map(|job| &job.acts).for_each(|&act| met[act] += 1);
    let own: Vec<bool> = met.iter().map(|&jobs| jobs > 0).collect();
    let apart = |job: &usize| aim.jobs[*job].acts.iter().all(|&act| met[act] == 1);
    let mut jobs: Vec<usize> = (0..aim.jobs.len()).filter(apart).collect();
    jobs.sort_by_key(|&job| (std::cmp::Reverse(end(&ways[job], length).len()), job));
    for job in jobs {
        let way = end(&ways[job], length);
        let mut fitting = families.iter_mut().filter(|family| {
            let other = end(&ways[family[0]], way.len());
            let same = |(&a, &b): (&usize, &usize)| own[a] == own[b];
            other.iter().zip(way).all(same) && matches(model, paths, other, way)
        });
        match fitting.next() {
            Some(family) => family.push(job),
            None => families.push(vec![job]),
        }
    }
    families.into_iter().map(|jobs| Family { jobs, length }).collect()
}

/// Whether two ways have the same steps: hours, needs, and what waits for what.
fn matches(model: &Model, paths: &Paths<'_>, a: &[usize], b: &[usize]) -> bool {
    let step = |act: usize| {
        let act = &model.acts[act];
        (act.calendar, act.unbroken, &act.needs)
    };
    let followers = |acts: &[usize], k: usize| {
        let place = |act: usize| acts.iter().position(|&other| other == act);
        let arcs = paths.out[acts[k]].iter();
        let mut to: Vec<_> =
            arcs.filter_map(|arc| place(arc.to).map(|to| (to, arc.from_end, arc.to_end))).collect();
        to.sort_unstable();
        to
    };
    a.iter().zip(b).all(|(&x, &y)| step(x) == step(y))
        && (0..a.len()).all(|k| followers(a, k) == followers(b, k))
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
    /// The queues of a family: of all its jobs, and of those that hold at least so much; and of all that they hold, piece by
    /// piece.
    pub(super) fn all(
        model: &Model,
        aim: &Aim,
        paths: &Paths<'_>,
        ways: &[Vec<usize>],
        Family { jobs, length }: &Family,
    ) -> Vec<Self> {
        let size = |job: usize| {
            let held = model.holds.iter().filter(|hold| holds(hold.to, &ways[job]));
            held.map(|hold| hold.units).max().unwrap_or(0)
        };
        let jobs: Vec<(usize, i64)> = jobs.iter().map(|&job| (job, size(job))).collect();
        let mut sizes: Vec<i64> = jobs.iter().map(|&(_, size)| size).collect();
        sizes.sort_unstable();
        sizes.dedup();
        let of = |counted: &[(usize, usize)]| {
            let way = |&(job, copies): &(usize, usize)| Way {
                acts: end(&ways[job], *length),
                whole: &ways[job],
                copies,
            };
            Self::of(model, aim, paths, counted, &counted.iter().map(way).collect::<Vec<_>>())
        };
        let at_least = |&least: &i64| {
            let large = jobs.iter().filter(|&&(_, size)| size >= least);
            of(&large.map(|&(job, _)| (job, 1)).collect::<Vec<_>>())
        };
        let mut queues: Vec<Self> = sizes.iter().filter_map(at_least).collect();
        if sizes.len() > 1 {
            queues.extend(of(&by_size(&jobs)));
        }
        queues
    }

    /// The queue of some jobs, each counted as so many copies.
    fn of(
        model: &Model,
        aim: &Aim,
        paths: &Paths<'_>,
        counted: &[(usize, usize)],
        ways: &[Way<'_>],
    ) -> Option<Self> {
        let mut line = Line::new(model, paths, ways);
        line.rise();
        let last = line.steps.iter().filter_map(|step| step.end.last()).max();
        // A job is done no sooner than the last of its own activities.
        let longest = ways.iter().zip(counted).max_by_key(|(way, _)| way.acts.len());
        let (way, &(job, _)) = longest?;
        let step = way.acts.iter().rposition(|act| aim.jobs[job].acts.contains(act))?;
        let done = &line.steps.get(step)?.end;
        // When k jobs are done, so are at least as many copies as the k smallest count.
        let mut copies: Vec<usize> = counted.iter().map(|&(_, copies)| copies).collect();
        copies.sort_unstable();
        let counts = copies.iter().scan(0_usize, |sum, copies| {
            *sum += copies;
            Some(*sum)
        });
        let by_job: Option<Vec<Minute>> =
            counts.map(|count| done.get(count.checked_sub(1)?).copied()).collect();
        let waited = line.rooms.iter().max_by_key(|room| room.waited);
        let resource = waited.map_or(0, |room| room.resource);
        let jobs: Vec<usize> = counted.iter().map(|&(job, _)| job).collect();
        let by_job = by_job?;
        let last = match needed(aim, &jobs) {
            None => *last?,
            // As many pieces as are wanted of these jobs; counted job by job, as few jobs as have so many.
            Some((pieces, least)) => {
                let exact = counted.iter().all(|&(job, copies)| {
                    i64::try_from(copies).is_ok_and(|copies| copies == aim.jobs[job].weight)
                });
                let by_piece = usize::try_from(pieces - 1).ok().and_then(|last| done.get(last));
                let by_piece = by_piece.copied().filter(|_| exact);
                by_piece.max(least.checked_sub(1).and_then(|last| by_job.get(last)).copied())?
            }
        };
        Some(Self { last, done: by_job, jobs, resource })
    }

    /// The least Σ weight × days late if the i-th job to be done is done no earlier than the queue says
    /// and no job sooner than on its own.
    pub(super) fn tardiness(&self, aim: &Aim, paths: &Paths<'_>) -> i64 {
        if self.jobs.len() > MOST_MATCHED {
            return 0;
        }
        let cost = |job: usize, done: Minute| {
            aim.jobs[job].weight.saturating_mul(days(aim, paths, job, done))
        };
        let costs: Vec<Vec<i64>> = self
            .jobs
            .iter()
            .map(|&job| self.done.iter().map(|&done| cost(job, done)).collect())
            .collect();
        cheapest(&costs)
    }

    /// The most days late that [`Self::tardiness`] counts for a job.
    pub(super) fn most_days(&self, aim: &Aim, paths: &Paths<'_>, job: usize) -> i64 {
        self.done.last().map_or(0, |&done| days(aim, paths, job, done))
    }
}

/// Days late of a job that is done no sooner than the queue says and no sooner than on its own.
fn days(aim: &Aim, paths: &Paths<'_>, job: usize, done: Minute) -> i64 {
    let job = &aim.jobs[job];
    job.due.map_or(0, |due| days_late(done.max(paths.end_of(job)), due))
}

/// How much weight of these jobs the demands want whatever else is done, and in how few jobs it may lie; none where all of
/// them are wanted.
fn needed(aim: &Aim, jobs: &[usize]) -> Option<(i64, usize)> {
    if !aim.has_spares() {
        return None;
    }
    let weight = |job: &usize| aim.jobs[*job].weight;
    let wanted = |demand: &Demand| {
        let others: i64 = demand.jobs.iter().filter(|job| !jobs.contains(job)).map(weight).sum();
        (demand.wanted - others).max(0)
    };
    let free = jobs.iter().filter(|job| !aim.demands.iter().any(|d| d.jobs.contains(job)));
    let wanted: i64 = aim.demands.iter().map(wanted).sum::<i64>() + free.map(weight).sum::<i64>();
    let mut weights: Vec<i64> = jobs.iter().map(weight).collect();
    weights.sort_unstable_by_key(|&weight| std::cmp::Reverse(weight));
    let mut left = wanted;
    let least = weights.into_iter().take_while(|weight| {
        let counts = left > 0;
        left -= weight;
        counts
    });
    Some((wanted, least.count()))
}

/// Jobs counted by what they hold, in parts so large that all together count as no more than [`MOST_COPIES`] or so.
fn by_size(jobs: &[(usize, i64)]) -> Vec<(usize, usize)> {
    let all: i64 = jobs.iter().map(|&(_, size)| size).fold(0, i64::saturating_add);
    let part = (all / MOST_COPIES).max(1);
    let copies =
        |size: i64| usize::try_from(size.saturating_add(part / 2) / part).unwrap_or(1).max(1);
    jobs.iter().map(|&(job, size)| (job, copies(size))).collect()
}

fn holds(to: Edge, acts: &[usize]) -> bool {
    matches!(to, Edge::Point(act, _) if acts.contains(&act))
}
