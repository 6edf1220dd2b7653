//! The work on one resource: from the moment it can begin, without a pause, to the end of all.
//!
//! For each set of activities with the longest ways to go: no earlier than when the last of them can be
//! done if they were divided at will (heads respected) does one of them end, and its way is still to go
//! (for machines of one unit the bound of Jackson's preemptive schedule; Carlier 1982).

use super::super::model::Model;
use super::super::problem::Minute;
use super::path::Paths;

/// The most ways looked at for one set.
const MOST_WAYS: usize = 12;

/// For each resource that something needs, a bound on the last end.
pub(super) fn bounds(model: &Model, paths: &Paths<'_>) -> Vec<(usize, Minute)> {
    let mut bounds = Vec::new();
    for (resource, &capacity) in model.capacity.iter().enumerate() {
        let mut calendars: Vec<Option<usize>> = Vec::new();
        for act in 0..model.real {
            let calendar = model.acts[act].calendar;
            if !load(model, act, resource).eq(&0) && !calendars.contains(&calendar) {
                calendars.push(calendar);
            }
        }
        for calendar in calendars {
            let bound = on_one(model, paths, resource, capacity, calendar);
            bounds.extend(bound.map(|end| (resource, end)));
        }
    }
    bounds
}

/// Unit-minutes an activity takes of a resource.
pub(super) fn load(model: &Model, act: usize, resource: usize) -> i64 {
    let needs = model.acts[act].needs.iter().filter(|&&(r, _)| r == resource);
    needs.map(|&(_, units)| units.saturating_mul(model.acts[act].length)).sum()
}

fn on_one(
    model: &Model,
    paths: &Paths<'_>,
    resource: usize,
    capacity: i64,
    calendar: Option<usize>,
) -> Option<Minute> {
    let open = |t: Minute| calendar.map_or(t, |c| model.calendars[c].open_before(t));
    let mut acts: Vec<usize> = (0..model.real)
        .filter(|&a| model.acts[a].calendar == calendar && load(model, a, resource) > 0)
        .collect();
    acts.sort_by_key(|&act| (paths.tail[act], act));
    acts.reverse();
    let mut heads: Vec<(Minute, i64)> = Vec::new();
    let mut best = None;
    for (k, &act) in acts.iter().enumerate() {
        let head = (open(paths.start[act]), load(model, act, resource));
        heads.insert(heads.partition_point(|&(h, _)| h <= head.0), head);
        if acts.get(k + 1).is_some_and(|&next| paths.tail[next] == paths.tail[act]) {
            continue;
        }
        let mut work: i64 = 0;
        let mut done = Minute::MIN;
        for &(head, load) in heads.iter().rev() {
            work = work.saturating_add(load);
            done = done.max(head + work / capacity + i64::from(work % capacity > 0));
        }
        let end = match calendar {
            Some(calendar) => model.calendars[calendar].closing(done),
            None => Some(done),
        };
        let Some(end) = end else { continue };
        let finish = if calendar.is_none() && model.calendars.is_empty() {
            Some(end + paths.tail[act])
        } else {
            shortest_way(paths, &acts[..=k], end)
        };
        best = best.max(finish);
    }
    best
}

/// The earliest last end if one of the activities ends no earlier than `end`.
///
/// The ways from those with the shortest tails are followed through their hours; of the others the
/// waits alone are counted.
fn shortest_way(paths: &Paths<'_>, acts: &[usize], end: Minute) -> Option<Minute> {
    let mut least = None;
    for (k, &act) in acts.iter().rev().enumerate() {
        let plain = end + paths.tail[act];
        if least.is_some_and(|least| plain >= least) {
            break;
        }
        let way = if k < MOST_WAYS { paths.finish(act, end) } else { plain };
        least = Some(least.map_or(way, |least: Minute| least.min(way)));
    }
    least
}
