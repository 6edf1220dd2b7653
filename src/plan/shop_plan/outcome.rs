//! The engine's answer in the shop's words, and a kept plan in the engine's.

use std::collections::BTreeMap;

use crate::plan::draft::{Draft, HANDS, ToStart, What};
use crate::plan::engine::{Answer, Limiter, Minute, Plan, Reason, Since};
use crate::plan::shop_plan::{
    Asked, BatchPlan, BoundBy, LimitedBy, MissedWindow, PlanBound, ShopPlan, StayPlan, StepPlan,
};
use crate::shop::{Batch, Shop};
use crate::time::local_date;

/// The answer as a plan of the shop.
pub(super) fn shop_plan(
    shop: &Shop,
    draft: &Draft,
    answer: &Answer,
    sizes: &[ToStart],
    asked: &Asked<'_>,
) -> ShopPlan {
    let batches = shop.batches.values().filter(|batch| batch.closed.is_none());
    let batches = batches.map(|batch| batch_plan(shop, draft, answer, sizes, batch));
    let mut steps: Vec<StepPlan> = (0..draft.activities.len())
        .filter_map(|activity| step_plan(draft, answer, activity))
        .collect();
    steps.sort_by(|a, b| (a.start, a.end, &a.lot, a.step).cmp(&(b.start, b.end, &b.lot, b.step)));
    let values = &answer.values;
    let binds = values.lateness > 0 || values.misses > 0;
    let ahead = values.makespan.max(1);
    let gap = to_float(ahead - answer.bound.makespan) / to_float(ahead) * 100.0;
    ShopPlan {
        now: draft.origin.instant(),
        batches: batches.collect(),
        steps,
        stays: stays(draft, answer),
        missed: missed(draft, answer),
        ready_at: draft.origin.of(values.makespan.max(0)),
        bound: PlanBound {
            ready_at: draft.origin.of(answer.bound.makespan.max(0)),
            gap_percent: (!binds).then_some(gap.max(0.0)),
            lateness: answer.bound.lateness,
            by: bound_by(draft, &answer.bound.by),
        },
        lateness: values.lateness,
        idle: values.idle,
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
) -> BatchPlan {
    let of_batch = |job: &usize| {
        let run = draft.jobs.get(*job).and_then(|run| draft.runs.get(*run));
        run.is_some_and(|run| run.lot.batch == batch.name)
    };
    let end = |job: usize| {
        let activities = draft.problem.jobs.get(job).map(|job| job.activities.as_slice());
        activities.unwrap_or_default().iter().filter_map(|act| answer.ends.get(*act)).max().copied()
    };
    let jobs = (0..draft.problem.jobs.len()).filter(of_batch);
    let last = jobs.filter_map(|job| Some((end(job)?, job))).max();
    let ready_at = last.map(|(minute, _)| draft.origin.of(minute.max(0)));
    let days_late = ready_at
        .zip(batch.due)
        .map(|(ready, due)| local_date(ready, shop.zone()).signed_duration_since(due).num_days());
    let limit = last.and_then(|(_, job)| answer.limits.get(job));
    let to_start = sizes.iter().filter(|to_start| to_start.batch == batch.name);
    BatchPlan {
        batch: batch.name.clone(),
        ready_at,
        due: batch.due,
        days_late,
        limited_by: limit.map_or(LimitedBy::Nothing, |limit| limited_by(draft, limit.by)),
        to_start: to_start.flat_map(|to_start| &to_start.sizes).sum(),
    }
}

fn limited_by(draft: &Draft, limiter: Limiter) -> LimitedBy {
    match limiter {
        Limiter::Resource(HANDS) => LimitedBy::Hands,
        Limiter::Resource(rack) => {
            rack_name(draft, rack).map_or(LimitedBy::Nothing, LimitedBy::Rack)
        }
        Limiter::Hours(_) => LimitedBy::OpenHours,
        Limiter::Lag(_) | Limiter::Activity(_) => LimitedBy::Drying,
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

fn rack_name(draft: &Draft, resource: usize) -> Option<String> {
    draft.racks.get(resource.checked_sub(1)?).cloned()
}

fn step_plan(draft: &Draft, answer: &Answer, activity: usize) -> Option<StepPlan> {
    let (run_number, What::Step(number)) = *draft.activities.get(activity)? else { return None };
    let run = draft.runs.get(run_number)?;
    let step = run.recipe.step(number)?;
    let start = *answer.plan.starts.get(activity)?;
    let stays = |(hold, (run, _)): (usize, &(usize, bool))| {
        let (from, until) = held_between(draft, answer, hold)?;
        let stands = *run == run_number && from <= start && start < until;
        stands.then(|| rack_name(draft, *answer.plan.holds.get(hold)?)).flatten()
    };
    Some(StepPlan {
        lot: run.lot.to_string(),
        batch: run.lot.batch.clone(),
        pieces: run.pieces,
        to_start: run.to_start,
        step: number,
        name: step.name(),
        kind: step.kind().to_owned(),
        start: draft.origin.of(start),
        end: draft.origin.of(*answer.ends.get(activity)?),
        latest_start: draft.origin.of(*answer.latest.get(activity)?),
        rack: draft.holds.iter().enumerate().find_map(stays),
    })
}

/// From when until when a hold lasts.
fn held_between(draft: &Draft, answer: &Answer, hold: usize) -> Option<(Minute, Minute)> {
    let held = draft.problem.holds.get(hold)?;
    let from = match held.since {
        Since::Start(activity) => *answer.plan.starts.get(activity)?,
        Since::At(minute) => minute,
    };
    Some((from, answer.ends.get(held.until.end)? + held.until.plus))
}

fn stays(draft: &Draft, answer: &Answer) -> Vec<StayPlan> {
    let mut stays: Vec<StayPlan> = draft
        .holds
        .iter()
        .enumerate()
        .filter_map(|(hold, (run, cures))| {
            let (from, until) = held_between(draft, answer, hold)?;
            let run = draft.runs.get(*run)?;
            (from < until).then_some(StayPlan {
                lot: run.lot.to_string(),
                pieces: run.pieces,
                rack: rack_name(draft, *answer.plan.holds.get(hold)?)?,
                cures: *cures,
                from: draft.origin.of(from),
                until: draft.origin.of(until),
            })
        })
        .collect();
    stays.sort_by(|a, b| (a.from, &a.rack, &a.lot).cmp(&(b.from, &b.rack, &b.lot)));
    stays
}

fn missed(draft: &Draft, answer: &Answer) -> Vec<MissedWindow> {
    let window = |miss: &crate::plan::engine::Miss| {
        let after = draft.problem.lags.get(miss.lag)?.after;
        let (run, What::Step(step)) = *draft.activities.get(after)? else { return None };
        let run = draft.runs.get(run)?;
        Some(MissedWindow {
            lot: run.lot.to_string(),
            step,
            name: run.recipe.step(step)?.name(),
            abrade_from: draft.origin.of(miss.start),
            abrade_until: draft.origin.of(miss.end),
        })
    };
    answer.plan.misses.iter().filter_map(window).collect()
}

/// A kept plan as the engine's start: what it says of each step and rack, as far as they are still to come.
pub(super) fn adopted(draft: &Draft, kept: &ShopPlan) -> Plan {
    let mut steps = BTreeMap::new();
    let mut coated = BTreeMap::new();
    for step in &kept.steps {
        steps.insert((step.lot.clone(), step.step), draft.origin.no_sooner(step.start));
        if step.kind == "coat" {
            // In order of time: the last coat's end stays.
            coated.insert(step.lot.clone(), draft.origin.no_sooner(step.end));
        }
    }
    let lot = |run: &usize| draft.runs.get(*run).map(|run| run.lot.to_string()).unwrap_or_default();
    let stay = |run: &usize, cures: bool| {
        let name = lot(run);
        kept.stays.iter().find(|stay| stay.lot == name && stay.cures == cures)
    };
    let starts =
        draft.activities.iter().zip(&draft.problem.activities).map(|((run, what), activity)| {
            let kept_at = match what {
                What::Step(number) => steps.get(&(lot(run), *number)).copied(),
                What::Move => stay(run, true).map(|stay| draft.origin.no_sooner(stay.from)),
                What::Cure => coated.get(&lot(run)).copied(),
            };
            let earliest = activity.earliest.unwrap_or(0);
            kept_at.unwrap_or(earliest).max(earliest)
        });
    let starts: Vec<Minute> = starts.collect();
    let holds = draft.holds.iter().zip(&draft.problem.holds).map(|((run, cures), hold)| {
        let rack = stay(run, *cures).and_then(|stay| draft.resource_of(&stay.rack));
        let allowed = rack.filter(|rack| hold.any_of.contains(rack));
        allowed.or_else(|| hold.any_of.first().copied()).unwrap_or(1)
    });
    let holds = holds.collect();
    let misses = kept.missed.iter().filter_map(|missed| {
        let lag = draft.problem.lags.iter().position(|lag| {
            let after = draft.activities.get(lag.after);
            lag.soft.is_some()
                && after.is_some_and(|(run, what)| {
                    lot(run) == missed.lot && *what == What::Step(missed.step)
                })
        })?;
        let start = draft.origin.no_sooner(missed.abrade_from);
        let end = draft.origin.no_sooner(missed.abrade_until);
        Some(crate::plan::engine::Miss { lag, start, end })
    });
    let misses = misses.collect();
    Plan { starts, holds, misses }
}
