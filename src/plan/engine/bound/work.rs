//! The work on one resource: from the moment it can begin, without a pause, to the end of all.
//!
//! For each set of loads with the longest ways to go: no earlier than when the last of them can be
//! done if they were divided at will (heads respected) does one of them end, and its way is still to go
//! (for machines of one unit the bound of Jackson's preemptive schedule; Carlier 1982). Holds are loads
//! on all their resources together.

use super::super::model::{Edge, Model};
use super::super::problem::Minute;
use super::super::profile::FAR;
use super::path::Paths;
use super::pool::pools;

/// The most ways looked at for one set.
const MOST_WAYS: usize = 12;

/// Something a resource is taken for.
struct Load {
    /// When it can begin: in open minutes where the work keeps to hours.
    head: Minute,
    /// Unit-minutes.
    work: i64,
    /// The activity with whose end it ends, and how long after.
    act: usize,
    plus: Minute,
    /// The least way from its end to the last end.
    tail: Minute,
}

/// For each resource that something needs, a bound on the last end.
pub(super) fn bounds(model: &Model, paths: &Paths<'_>) -> Vec<(usize, Minute)> {
    let mut bounds = Vec::new();
    for (resource, &capacity) in model.capacity.iter().enumerate() {
        let mut calendars: Vec<Option<usize>> = Vec::new();
        for act in 0..model.real {
            let calendar = model.acts[act].calendar;
            if load(model, act, resource) > 0 && !calendars.contains(&calendar) {
                calendars.push(calendar);
            }
        }
        for calendar in calendars {
            let loads = needed(model, paths, resource, calendar);
            bounds
                .extend(on_one(model, paths, loads, capacity, calendar).map(|end| (resource, end)));
        }
    }
    for pool in pools(model, paths) {
        let load = |&(hold, units): &(usize, i64)| held(model, paths, hold, units);
        let loads = pool.holds.iter().filter_map(load).collect();
        bounds.extend(on_one(model, paths, loads, pool.room, None).map(|end| (pool.assigned, end)));
    }
    bounds
}

/// Unit-minutes an activity takes of a resource.
pub(super) fn load(model: &Model, act: usize, resource: usize) -> i64 {
    let needs = model.acts[act].needs.iter().filter(|&&(r, _)| r == resource);
    needs.map(|&(_, units)| units.saturating_mul(model.acts[act].length)).sum()
}

fn needed(model: &Model, paths: &Paths<'_>, resource: usize, calendar: Option<usize>) -> Vec<Load> {
    let open = |t: Minute| calendar.map_or(t, |c| model.calendars[c].open_before(t));
    (0..model.real)
        .filter(|&act| model.acts[act].calendar == calendar && load(model, act, resource) > 0)
        .map(|act| Load {
            head: open(paths.start[act]),
            work: load(model, act, resource),
            act,
            plus: 0,
            tail: paths.tail[act],
        })
        .collect()
}

/// A hold as a load: its units for as long as the way from its beginning to its end takes at least.
fn held(model: &Model, paths: &Paths<'_>, hold: usize, units: i64) -> Option<Load> {
    let stay = &model.holds[hold];
    let Edge::Point(act, plus) = stay.to else {
        return None;
    };
    let (head, least) = match stay.from {
        Edge::At(at) => (at, paths.end[act] + plus - at),
        Edge::Point(from, lead) => (paths.start[from] - lead, paths.way(from, act)? + lead + plus),
    };
    let work = units.saturating_mul(least);
    (work > 0).then(|| Load { head, work, act, plus, tail: paths.tail[act] - plus })
}

fn on_one(
    model: &Model,
    paths: &Paths<'_>,
    mut loads: Vec<Load>,
    capacity: i64,
    calendar: Option<usize>,
) -> Option<Minute> {
    let capacity = capacity.max(1);
    loads.sort_by_key(|load| (std::cmp::Reverse(load.tail), load.act));
    let mut heads: Vec<(Minute, i64)> = Vec::new();
    let mut best = None;
    for (k, load) in loads.iter().enumerate() {
        let head = (load.head, load.work);
        heads.insert(heads.partition_point(|&(h, _)| h <= head.0), head);
        if loads.get(k + 1).is_some_and(|next| next.tail == load.tail) {
            continue;
        }
        let mut work: i64 = 0;
        let mut done = -FAR;
        for &(head, load) in heads.iter().rev() {
            work = work.saturating_add(load);
            done = done.max((head + work / capacity + i64::from(work % capacity > 0)).min(FAR));
        }
        let end = match calendar {
            Some(calendar) => model.calendars[calendar].closing(done),
            None => Some(done),
        };
        let Some(end) = end else { continue };
        let finish = if model.calendars.is_empty() {
            Some(end + load.tail)
        } else {
            shortest_way(paths, &loads[..=k], end)
        };
        best = best.max(finish);
    }
    best
}

/// The earliest last end if one of the loads ends no earlier than `end`.
///
/// The ways from those with the shortest tails are followed through their hours; of the others the
/// waits alone are counted.
fn shortest_way(paths: &Paths<'_>, loads: &[Load], end: Minute) -> Option<Minute> {
    let mut least = None;
    for (k, load) in loads.iter().rev().enumerate() {
        let plain = end + load.tail;
        if least.is_some_and(|least| plain >= least) {
            break;
        }
        let way = if k < MOST_WAYS { paths.finish(load.act, end - load.plus) } else { plain };
        least = Some(least.map_or(way, |least: Minute| least.min(way)));
    }
    least
}
