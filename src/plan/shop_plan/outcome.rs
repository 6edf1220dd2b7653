//! The engine's answer in the shop's words, and a kept plan in the engine's.

use crate::craft::cure::Clock;
use crate::plan::draft::{Draft, HANDS, ToStart, What};
use crate::plan::engine::{Answer, Limiter, Minute, Reason};
use crate::plan::minutes::{down, up};
use crate::plan::shop_plan::stays::{moves, rack_name, stays};
use crate::plan::shop_plan::{Asked, Solved};
use crate::shop::lot::Lot;
use crate::shop::plan::{
    BatchPlan, BoundBy, LimitedBy, MissedWindow, PlanBound, ReadyPlan, ShopPlan, StepPlan, WaitPlan,
};
use crate::shop::setup::Finish;
use crate::shop::{Batch, Shop};
use crate::time::Span;
use crate::time::{Instant, local_date};

impl Solved {
    /// The answer as a plan of the shop.
    pub(crate) fn shop_plan(&self, shop: &Shop, asked: &Asked<'_>) -> ShopPlan {
        shop_plan(shop, &self.draft, &self.found.answer(), &self.to_start, asked)
    }

    /// When each open batch is ready.
    pub(in crate::plan) fn ready(&self, shop: &Shop, asked: &Asked<'_>) -> Vec<Ready> {
        let open = shop.batches.values().filter(|batch| batch.closed.is_none());
        let ends = self.found.ends();
        let ready = |batch: &Batch| {
            let jobs = jobs_by_end(&self.draft, ends, &batch.name);
            let last = last_promised(&self.draft, &jobs);
            let at = ready_at(&self.draft, batch, last, finished(shop, batch, asked));
            Ready { batch: batch.name.clone(), at }
        };
        open.map(ready).collect()
    }
}

/// When a batch is ready; not where that is never.
#[derive(Debug, Clone)]
pub(in crate::plan) struct Ready {
    pub(in crate::plan) batch: String,
    pub(in crate::plan) at: Option<Instant>,
}

/// When the last promised piece of a batch is ready; none where nothing of it is to be done.
pub(in crate::plan) fn ready(draft: &Draft, ends: &[Minute], batch: &str) -> Option<Minute> {
    last_promised(draft, &jobs_by_end(draft, ends, batch)).map(|(minute, _)| minute)
}

fn shop_plan(
    shop: &Shop,
    draft: &Draft,
    answer: &Answer,
    sizes: &[ToStart],
    asked: &Asked<'_>,
) -> ShopPlan {
    let batches = shop.batches.values().filter(|batch| batch.closed.is_none());
    let batches = batches.map(|batch| batch_plan(shop, draft, answer, sizes, batch, asked));
    let mut steps: Vec<StepPlan> = (0..draft.activities.len())
        .filter_map(|activity| step_plan(draft, answer, activity))
        .collect();
    steps.sort_by(|a, b| (a.start, a.end, &a.lot, a.step).cmp(&(b.start, b.end, &b.lot, b.step)));
    let values = &answer.values;
    let binds = values.tardiness > 0 || values.violations > 0;
    let ahead = values.makespan.max(1);
    let gap = to_float(values.makespan - answer.bound.makespan) / to_float(ahead) * 100.0;
    ShopPlan {
        now: asked.now,
        batches: batches.collect(),
        steps,
        moves: moves(draft, answer),
        stays: stays(draft, answer),
        not_planned: draft.not_planned.clone(),
        missed: missed(draft, answer),
        waits: waits(shop, asked),
        ready_at: draft.origin.of(values.makespan.max(0)),
        bound: PlanBound {
            ready_at: draft.origin.of(answer.bound.makespan.max(0)),
            gap_percent: (!binds).then_some(gap.max(0.0)),
            lateness: answer.bound.tardiness,
            by: bound_by(draft, &answer.bound.by),
        },
        lateness: values.tardiness,
        idle: values.waiting_time,
        held: draft.held.iter().map(ToString::to_string).collect(),
        evaluations: answer.spent.evaluations,
        seed: asked.seed,
    }
}

#[expect(clippy::cast_precision_loss, reason = "minutes of a few years are exact in a f64")]
fn to_float(minutes: Minute) -> f64 {
    minutes as f64
}

fn batch_plan(
    shop: &Shop,
    draft: &Draft,
    answer: &Answer,
    sizes: &[ToStart],
    batch: &Batch,
    asked: &Asked<'_>,
) -> BatchPlan {
    let jobs = jobs_by_end(draft, &answer.ends, &batch.name);
    let last = last_promised(draft, &jobs);
    let finished = finished(shop, batch, asked);
    let ready_at = ready_at(draft, batch, last, finished);
    let mut pieces = draft.done(shop, batch);
    let done = finished.filter(|_| jobs.is_empty()).map(|at| ReadyPlan { at, pieces });
    let to_come = jobs.iter().map(|(minute, job)| {
        pieces += draft.jobs.get(*job).and_then(|run| draft.runs.get(*run)).map_or(0, |r| r.pieces);
        ReadyPlan { at: draft.origin.of((*minute).max(0)), pieces }
    });
    let ready = done.into_iter().chain(to_come).collect();
    let days_late = ready_at
        .zip(batch.due)
        .map(|(ready, due)| local_date(ready, shop.zone()).signed_duration_since(due).num_days());
    let limit = last.and_then(|(_, job)| answer.limits.get(job));
    let to_start = sizes.iter().filter(|to_start| to_start.batch == batch.name);
    BatchPlan {
        batch: batch.name.clone(),
        ready_at,
        ready,
        due: batch.due,
        days_late,
        limited_by: limit.map_or(LimitedBy::Nothing, |limit| limited_by(draft, limit.by)),
        to_start: to_start.flat_map(|to_start| &to_start.sizes).sum(),
    }
}

/// When a batch is ready, by the job with its last piece promised and by what is finished.
fn ready_at(
    draft: &Draft,
    batch: &Batch,
    last: Option<(Minute, usize)>,
    finished: Option<Instant>,
) -> Option<Instant> {
    let planned = last.map(|(minute, _)| draft.origin.of(minute.max(0)));
    // What can't be planned is never ready.
    let all = draft.not_planned.iter().all(|lot| lot.batch != batch.name);
    planned.max(finished).filter(|_| all)
}

/// The jobs of a batch with the minutes at which they are done, in order of time.
fn jobs_by_end(draft: &Draft, ends: &[Minute], batch: &str) -> Vec<(Minute, usize)> {
    let of_batch = |job: &usize| {
        let run = draft.jobs.get(*job).and_then(|run| draft.runs.get(*run));
        run.is_some_and(|run| run.lot.batch == batch)
    };
    let end = |job: usize| {
        let activities = draft.problem.jobs.get(job).map(|job| job.activities.as_slice());
        activities.unwrap_or_default().iter().filter_map(|act| ends.get(*act)).max().copied()
    };
    let jobs = (0..draft.problem.jobs.len()).filter(of_batch);
    let mut jobs: Vec<_> = jobs.filter_map(|job| Some((end(job)?, job))).collect();
    jobs.sort_unstable();
    jobs
}

/// The job with the last piece promised, of those of a batch in order of time.
fn last_promised(draft: &Draft, jobs: &[(Minute, usize)]) -> Option<(Minute, usize)> {
    let (_, first) = jobs.first()?;
    let demand = draft.problem.demands.iter().find(|demand| demand.jobs.contains(first));
    let mut left = demand.map_or(i64::MAX, |demand| demand.wanted);
    let weight = |job: usize| draft.problem.jobs.get(job).and_then(|job| job.weight).unwrap_or(1);
    let counted = jobs.iter().take_while(|(_, job)| {
        let counts = left > 0;
        left = left.saturating_sub(weight(*job));
        counts
    });
    counted.last().copied()
}

/// When the last of a batch's pieces that need no more hands were ready.
fn finished(shop: &Shop, batch: &Batch, asked: &Asked<'_>) -> Option<Instant> {
    let lots = shop.open_lots().filter(|lot| lot.name.batch == batch.name && lot.finished());
    let ready = |lot: &Lot| {
        let cured = shop.cure(lot, asked.now).and_then(|cure| cure.at);
        lot.done.last().map(|done| done.ended).max(cured)
    };
    lots.filter_map(ready).max()
}

/// The waits of every finish in every room with a rack, as the rooms are expected to be.
fn waits(shop: &Shop, asked: &Asked<'_>) -> Vec<WaitPlan> {
    let Some(setup) = &shop.setup else { return Vec::new() };
    let mut rooms: Vec<&str> = setup.racks.iter().map(|rack| rack.room.as_str()).collect();
    rooms.sort_unstable();
    rooms.dedup();
    let in_room = |room| setup.finishes.iter().filter_map(move |f| wait(shop, f, room, asked.now));
    rooms.into_iter().flat_map(in_room).collect()
}

fn wait(shop: &Shop, finish: &Finish, room: &str, now: Instant) -> Option<WaitPlan> {
    let minutes = |clock, time| shop.ahead(clock, time, finish, room, now);
    Some(WaitPlan {
        finish: finish.name.clone(),
        room: Some(room.to_owned()),
        shortest: up(minutes(Clock::NoSooner, finish.recoat.min)?),
        // A kept plan has a number here, whatever the sheet names.
        longest: finish
            .recoat
            .longest()
            .map_or(Some(Span::MAX), |longest| minutes(Clock::NoLater, longest))
            .map(down)?,
        cure: up(minutes(Clock::NoSooner, shop.cure_time(finish))?),
    })
}

fn limited_by(draft: &Draft, limiter: Limiter) -> LimitedBy {
    match limiter {
        Limiter::Resource(HANDS) => LimitedBy::Hands,
        Limiter::Resource(rack) => {
            rack_name(draft, rack).map_or(LimitedBy::Nothing, LimitedBy::Rack)
        }
        Limiter::Hours(_) => LimitedBy::OpenHours,
        Limiter::Activity(_) => LimitedBy::Drying,
        Limiter::Start => LimitedBy::Nothing,
    }
}

fn bound_by(draft: &Draft, reason: &Reason) -> BoundBy {
    match reason {
        Reason::Nothing => BoundBy::Nothing,
        Reason::Path(activity) => {
            let run = draft.activities.get(*activity).and_then(|(run, _)| draft.runs.get(*run));
            run.map_or(BoundBy::Nothing, |run| BoundBy::Path(run.lot.to_string()))
        }
        Reason::Work(HANDS) | Reason::Queue(HANDS) => BoundBy::Hands,
        Reason::Work(rack) | Reason::Queue(rack) => {
            rack_name(draft, *rack).map_or(BoundBy::Nothing, BoundBy::Rack)
        }
    }
}

fn step_plan(draft: &Draft, answer: &Answer, activity: usize) -> Option<StepPlan> {
    let (run_number, What::Step(number)) = *draft.activities.get(activity)? else { return None };
    let run = draft.runs.get(run_number)?;
    let step = run.recipe.step(number)?;
    let start = *answer.plan.starts.get(activity)?;
    let stays = |(hold, (run, _)): (usize, &(usize, bool))| {
        let (from, until) = draft.held_between(answer, hold)?;
        let stands = *run == run_number && from <= start && start < until;
        stands.then(|| rack_name(draft, *answer.plan.holds.get(hold)?)).flatten()
    };
    Some(StepPlan {
        lot: run.lot.to_string(),
        batch: run.lot.batch.clone(),
        pieces: run.pieces,
        to_start: run.to_start,
        begun: run.begun == Some(number),
        step: number,
        name: step.name(),
        kind: step.kind().to_owned(),
        start: draft.origin.of(start),
        end: draft.origin.of(*answer.ends.get(activity)?),
        latest_start: draft.origin.of(*answer.latest.get(activity)?),
        rack: draft.holds.iter().enumerate().find_map(stays),
    })
}

fn missed(draft: &Draft, answer: &Answer) -> Vec<MissedWindow> {
    let window = |miss: &crate::plan::engine::Violation| {
        let after = draft.problem.lags.get(miss.lag)?.after;
        let (run, What::Step(step)) = *draft.activities.get(after)? else { return None };
        let run = draft.runs.get(run)?;
        Some(MissedWindow {
            lot: run.lot.to_string(),
            step,
            name: run.recipe.step(step)?.name(),
            coat: run.recipe.step(step)?.coat().is_some(),
            abrade_from: draft.origin.of(miss.start),
            abrade_until: draft.origin.of(miss.end),
        })
    };
    answer.plan.violations.iter().filter_map(window).collect()
}
