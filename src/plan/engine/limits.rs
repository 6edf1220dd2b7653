//! What each job of a plan waits for.

use std::collections::BTreeMap;

use super::answer::{Limit, Limiter};
use super::build::{Build, UNSET};
use super::model::{Arc, Edge, Guard};
use super::problem::{Minute, Of, Problem};
use super::value::Aim;

/// For each job, minutes waited for each thing; the profiles of `plan` hold all that is placed.
pub(super) fn limits(problem: &Problem, aim: &Aim, plan: &mut Build<'_>) -> Vec<Limit> {
    aim.jobs
        .iter()
        .map(|job| {
            let mut waits: BTreeMap<Limiter, Minute> = BTreeMap::new();
            let mut own = (None, 0);
            let mut lag = (None, 0, 0);
            for &act in &job.acts {
                for (limiter, minutes) in waited(plan, act) {
                    *waits.entry(limiter).or_default() += minutes;
                }
                if plan.model.acts[act].calendar.is_none() && plan.length[act] >= own.1 {
                    own = (Some(act), plan.length[act]);
                }
                if let Some((index, minutes)) = rests(problem, plan, act) {
                    lag.2 += minutes;
                    if lag.0.is_none() || minutes > lag.1 {
                        (lag.0, lag.1) = (Some(index), minutes);
                    }
                }
            }
            for (limiter, minutes) in
                [(own.0.map(Limiter::Activity), own.1), (lag.0.map(Limiter::Lag), lag.2)]
            {
                if let Some(limiter) = limiter {
                    *waits.entry(limiter).or_default() += minutes;
                }
            }
            let mut waits: Vec<_> = waits.into_iter().filter(|&(_, minutes)| minutes > 0).collect();
            waits.sort_by_key(|&(limiter, minutes)| (std::cmp::Reverse(minutes), limiter));
            Limit { by: most(&waits), waits }
        })
        .collect()
}

/// The shortest wait that decided when an activity could start, with its minutes.
fn rests(problem: &Problem, plan: &Build<'_>, act: usize) -> Option<(usize, Minute)> {
    let lags = problem.lags.iter().enumerate().filter(|(_, lag)| lag.after == act);
    let ends = lags.filter_map(|(index, lag)| {
        let (min, before) = lag.min.zip(lag.before)?;
        let point = if lag.of == Of::End { plan.end[before] } else { plan.start[before] };
        Some((point + min, index, min))
    });
    ends.max().filter(|&(_, _, min)| min > 0).map(|(_, index, min)| (index, min))
}

/// A resource before hours, hours before what the job itself needs.
fn most(waits: &[(Limiter, Minute)]) -> Limiter {
    let kind = |wanted: fn(&Limiter) -> bool| waits.iter().map(|wait| wait.0).find(wanted);
    kind(|limiter| matches!(limiter, Limiter::Resource(_)))
        .or_else(|| kind(|limiter| matches!(limiter, Limiter::Hours(_))))
        .or_else(|| kind(|_| true))
        .unwrap_or(Limiter::Start)
}

/// What kept one activity from the minute its waits allowed to its start.
fn waited(plan: &mut Build<'_>, act: usize) -> Vec<(Limiter, Minute)> {
    let model = plan.model;
    let forward = |arc: &&Arc| arc.guard == Guard::Always && !arc.to_end;
    let arcs = model.outer[act].iter().chain(model.inner[act].iter().filter(forward));
    let allowed = arcs
        .map(|arc| plan.asked(arc))
        .filter(|&asked| asked != UNSET && asked <= plan.start[act])
        .fold(model.acts[act].floor, Minute::max);
    let start = plan.start[act];
    if start <= allowed {
        return Vec::new();
    }
    let mut waits = Vec::new();
    let mut open = start - allowed;
    if let Some(calendar) = model.acts[act].calendar {
        let closed = open - model.calendars[calendar].between(allowed, start);
        open -= closed;
        waits.push((Limiter::Hours(calendar), closed));
    }
    if open > 0 {
        plan.book_act(act, -1);
        let first = plan.first(act, allowed).filter(|&(first, _)| first < start);
        match first.and_then(|(first, end)| busy(plan, act, first, end)) {
            Some(resource) => waits.push((Limiter::Resource(resource), open)),
            None if first.is_none() => {
                // Too little was left of the stretch: closed hours again.
                if let Some(calendar) = model.acts[act].calendar {
                    waits.push((Limiter::Hours(calendar), open));
                }
            }
            None => {}
        }
        plan.book_act(act, 1);
    }
    waits
}

/// The resource that was taken when the activity could have started: one it needs, or the spot of a
/// hold that begins with it.
fn busy(plan: &mut Build<'_>, act: usize, first: Minute, end: Minute) -> Option<usize> {
    let model = plan.model;
    let full = |plan: &Build<'_>, resource: usize, units: i64, to: Minute| {
        plan.profiles[resource].clash(first, to, model.capacity[resource] - units).is_some()
    };
    for &(resource, units) in &model.acts[act].needs {
        if full(plan, resource, units, end) {
            return Some(resource);
        }
    }
    for &hold in &model.items[model.item_of[act]].holds {
        let stay = &model.holds[hold];
        if !matches!(stay.from, Edge::Point(begins, _) if begins == act) {
            continue;
        }
        let (from, to) = plan.span(hold);
        let spot = plan.spot[hold];
        plan.profiles[spot].take(from, to, -stay.units);
        let crowded = stay.any_of.iter().all(|&other| full(plan, other, stay.units, to));
        plan.profiles[spot].take(from, to, stay.units);
        if crowded {
            return Some(spot);
        }
    }
    None
}
