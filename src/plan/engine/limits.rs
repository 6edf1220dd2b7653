//! What each job of a plan waits for.

use std::collections::BTreeMap;

use super::answer::{Limit, Limiter};
use super::model::{Arc, Edge, Guard};
use super::problem::Minute;
use super::schedule::{Schedule, UNSET};
use super::value::Aim;

/// Of a job's own waits others are a small part where they are less than one in so many (a choice).
const SMALL: Minute = 4;

/// For each job, minutes waited for each thing; the profiles of `plan` hold all that is placed.
pub(super) fn limits(aim: &Aim, plan: &mut Schedule<'_>) -> Vec<Limit> {
    aim.jobs
        .iter()
        .map(|job| {
            let mut waits: BTreeMap<Limiter, Minute> = BTreeMap::new();
            let (mut own, mut longest) = (0, (0, None));
            let mut ended: Option<Minute> = None;
            for &act in &job.acts {
                let allowed = allowed(plan, act);
                for (limiter, minutes) in waited(plan, act, allowed) {
                    *waits.entry(limiter).or_default() += minutes;
                }
                // What it rests for since the activity before, and what runs without hands, however long in its mode.
                let rested = ended.map_or(0, |ended| (allowed - ended).max(0));
                let alone = plan.model.acts[act].calendar.is_none();
                let (start, end) = (plan.start[act], plan.end[act]);
                let minutes = rested + if alone { end - start } else { 0 };
                own += minutes;
                longest = longest.max((minutes, Some(act)));
                ended = Some(end);
            }
            waits.extend(longest.1.map(|act| (Limiter::Activity(act), own)));
            let mut waits: Vec<_> = waits.into_iter().filter(|&(_, minutes)| minutes > 0).collect();
            waits.sort_by_key(|&(limiter, minutes)| (std::cmp::Reverse(minutes), limiter));
            Limit { by: most(&waits, own), waits }
        })
        .collect()
}

/// What it waits for longest; its own waits, which nothing takes away, where the rest is a small part of them.
fn most(waits: &[(Limiter, Minute)], own: Minute) -> Limiter {
    let is_own = |limiter: Limiter| matches!(limiter, Limiter::Activity(_));
    let other = waits.iter().find(|&&(limiter, _)| !is_own(limiter));
    let other = other.filter(|&&(_, minutes)| minutes.saturating_mul(SMALL) >= own);
    other.or(waits.first()).map_or(Limiter::Start, |&(limiter, _)| limiter)
}

/// The minute from which on its waits allow an activity to start.
fn allowed(plan: &Schedule<'_>, act: usize) -> Minute {
    let model = plan.model;
    let forward = |arc: &&Arc| arc.guard == Guard::Always && !arc.to_end;
    let arcs = model.outer[act].iter().chain(model.inner[act].iter().filter(forward));
    let asked = arcs.map(|arc| plan.asked(arc));
    let asked = asked.filter(|&asked| asked != UNSET && asked <= plan.start[act]);
    asked.fold(model.acts[act].floor, Minute::max)
}

/// What kept one activity from the minute its waits allowed to its start.
fn waited(plan: &mut Schedule<'_>, act: usize, allowed: Minute) -> Vec<(Limiter, Minute)> {
    let model = plan.model;
    let start = plan.start[act];
    if start <= allowed {
        return Vec::new();
    }
    // Until its hours allow it, it waits for them; from then on, nights included, for what is in its way.
    let hours = model.acts[act].calendar.map(Limiter::Hours);
    let first = plan.first(act, allowed).map_or(start, |(first, _)| first.min(start));
    let mut waits: Vec<_> = hours.map(|hours| (hours, first - allowed)).into_iter().collect();
    if start > first {
        plan.book_act(act, -1);
        let by = match before(plan, act, first) {
            Some((first, end)) => busy(plan, act, first, end).map(Limiter::Resource),
            // Too little was left of each stretch: closed hours again.
            None => hours,
        };
        waits.extend(by.map(|by| (by, start - first)));
        plan.book_act(act, 1);
    }
    waits
}

/// The last start before its own that hours and waits allow an activity, and its end: what was in the way there is what became
/// free last.
fn before(plan: &Schedule<'_>, act: usize, allowed: Minute) -> Option<(Minute, Minute)> {
    let model = plan.model;
    let start = plan.start[act];
    let last = match model.acts[act].calendar {
        Some(calendar) => model.calendars[calendar].last_open(start - 1)?,
        None => start - 1,
    };
    let fits = [last, last + 1 - plan.length[act]].into_iter().filter(|&at| at >= allowed);
    let mut firsts = fits.filter_map(|at| plan.first(act, at));
    firsts.find(|&(first, _)| first < start)
}

/// The resource that was taken when the activity could have started: one it needs, or the resource of a hold that begins with it.
fn busy(plan: &mut Schedule<'_>, act: usize, first: Minute, end: Minute) -> Option<usize> {
    let model = plan.model;
    let full = |plan: &Schedule<'_>, resource: usize, units: i64, to: Minute| {
        plan.profiles[resource].clash(first, to, model.capacity[resource] - units).is_some()
    };
    for &(resource, units) in &model.acts[act].needs {
        if full(plan, resource, units, end) {
            return Some(resource);
        }
    }
    for &hold in &model.components[model.component_of[act]].holds {
        let stay = &model.holds[hold];
        if !matches!(stay.from, Edge::Point(begins, _) if begins == act) {
            continue;
        }
        let (from, to) = plan.span(hold);
        let assigned = plan.assigned[hold];
        plan.profiles[assigned].take(from, to, -stay.units);
        let crowded = stay.any_of.iter().all(|&other| full(plan, other, stay.units, to));
        plan.profiles[assigned].take(from, to, stay.units);
        if crowded {
            return Some(assigned);
        }
    }
    None
}
