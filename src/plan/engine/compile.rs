//! From the problem to the model: arcs from lags, components from what is tied together.

use std::collections::BTreeMap;

use super::calendar::Calendar;
use super::components;
use super::model::{Act, Arc, Edge, Guard, Held, Length, Mode, Model, NONE, Window};
use super::problem::{Activity, Lag, Minute, Modal, Of, Problem, Since};
use super::profile::FAR;
use super::rate::Count;
use super::wait::Wait;

/// Billionths of a minute.
const MINUTE: i64 = 1_000_000_000;

/// Compiles a problem without faults.
pub(super) fn compile(problem: &Problem) -> Model {
    let now = problem.now.unwrap_or(0);
    let real = problem.activities.len();
    let mut model = Model {
        real,
        horizon: horizon(problem, now),
        calendars: problem.calendars.iter().map(|c| Calendar::new(&c.open)).collect(),
        capacity: problem.resources.iter().map(|r| r.capacity).collect(),
        counts: problem.rates.iter().map(Count::new).collect(),
        acts: problem.activities.iter().map(|a| act(a, now)).collect(),
        holds: holds(problem),
        extra_of: vec![NONE; real],
        limits: vec![Vec::new(); real],
        transfers: vec![NONE; real],
        follower: vec![NONE; problem.holds.len()],
        lag_lengths: vec![Length::AsSaid; problem.lags.len()],
        ..Model::default()
    };
    let mut modes = Modes::default();
    for (index, activity) in problem.activities.iter().enumerate() {
        if let Some(modal) = &activity.modal {
            let (mode, least) = modes.add(&mut model, modal, activity.duration, false);
            model.acts[index].length = least;
            model.acts[index].modal = mode;
        }
    }
    transfers(&mut model);
    let mut arcs = Vec::new();
    for (index, lag) in problem.lags.iter().enumerate() {
        read_lag(&mut model, &mut modes, &mut arcs, index, lag);
    }
    model.first_alike = (0..model.holds.len()).map(|hold| first_alike(&model, hold)).collect();
    extras(&mut model, &mut arcs, now);
    changes(&mut model, &mut arcs);
    components::tie(&mut model, &arcs);
    model
}

/// The last minute: the one given, or one that leaves room for everything one after the other.
fn horizon(problem: &Problem, now: Minute) -> Minute {
    problem.horizon.unwrap_or_else(|| {
        let work: Minute = problem.activities.iter().map(|a| a.duration).sum();
        let waits: Minute = problem
            .lags
            .iter()
            .filter(|l| l.modal.is_none())
            .map(|l| l.min.unwrap_or(0).max(0) + l.soft.map_or(0, |soft| soft.extra))
            .sum();
        let earliest = problem.activities.iter().filter_map(|a| a.earliest).max().unwrap_or(now);
        let closing = problem.calendars.iter().filter_map(|c| c.open.last()).map(|s| s.1).max();
        now.max(earliest).max(closing.unwrap_or(now)) + work + waits
    })
}

fn act(activity: &Activity, now: Minute) -> Act {
    let begun = activity.latest.filter(|&latest| latest < now);
    let earliest = activity.earliest.unwrap_or(begun.unwrap_or(now));
    Act {
        length: activity.duration,
        calendar: activity.calendar,
        unbroken: !activity.pausable,
        needs: activity.needs.iter().copied().filter(|&(_, units)| units > 0).collect(),
        floor: if begun.is_some() { earliest } else { earliest.max(now) },
        ceiling: activity.latest.unwrap_or(FAR),
        modal: None,
    }
}

/// What many lengths that depend on the mode share, worked out once.
#[derive(Default)]
struct Modes {
    /// The rate while no resource is chosen, by the rates it may be and whether the greatest is meant.
    relaxed: BTreeMap<(Vec<usize>, bool), usize>,
    /// The least of a longest or a shortest wait, by that rate, the amount and whether it is a longest one.
    least: BTreeMap<(usize, i64, bool), Minute>,
}

impl Modes {
    /// Puts a length down; gives its mode, where it depends on one, and the least there is of it.
    fn add(
        &mut self,
        model: &mut Model,
        modal: &Modal,
        minutes: Minute,
        window: bool,
    ) -> (Option<usize>, Minute) {
        let mut merged: Vec<usize> = modal.rates.iter().map(|rate| rate.1).collect();
        merged.sort_unstable();
        merged.dedup();
        let amount = minutes.saturating_mul(MINUTE) - modal.passed;
        let relaxed = match merged[..] {
            [one] => one,
            _ => *self.relaxed.entry((merged, !window)).or_insert_with_key(|(merged, greatest)| {
                let counts: Vec<&Count> = merged.iter().map(|&rate| &model.counts[rate]).collect();
                let count = Count::merged(&counts, *greatest);
                model.counts.push(count);
                model.counts.len() - 1
            }),
        };
        let least = *self.least.entry((relaxed, amount, window)).or_insert_with(|| {
            let count = &model.counts[relaxed];
            if window { count.longest(amount) } else { count.shortest(amount) }
        });
        if always_alike(model, modal) {
            return (None, least);
        }
        let holds = modal.holds.clone();
        let mut rates = vec![NONE; model.capacity.len()];
        for &(on, rate) in modal.rates.iter().rev() {
            if let Some(known) = rates.get_mut(on) {
                *known = rate;
            }
        }
        model.modes.push(Mode { holds, rates, amount, relaxed, window });
        (Some(model.modes.len() - 1), least)
    }
}

/// Whether time counts at one and the same rate at every minute on all that the holds may take, so that no mode is to be chosen.
fn always_alike(model: &Model, modal: &Modal) -> bool {
    let rate = |resource: &usize| {
        let (_, rate) = modal.rates.iter().find(|(on, _)| on == resource)?;
        model.counts[*rate].constant().filter(|&rate| rate > 0)
    };
    let before = |hold: &usize| model.holds[*hold].follows;
    let holds = modal.holds.iter().flat_map(|&hold| std::iter::successors(Some(hold), before));
    let mut rates = holds.flat_map(|hold| &model.holds[hold].any_of).map(rate);
    let first = rates.next().flatten();
    first.is_some() && rates.all(|rate| rate == first)
}

/// The resources of a hold, each with the first of them on which time counts as it does there.
fn first_alike(model: &Model, hold: usize) -> Vec<(usize, usize)> {
    let modes = || model.modes.iter().filter(|mode| mode.holds.contains(&hold));
    let same = |a: usize, b: usize| modes().all(|mode| mode.rate_on(a) == mode.rate_on(b));
    let Some(held) = model.holds.get(hold) else { return Vec::new() };
    let first = |resource: usize| held.any_of.iter().copied().find(|&other| same(other, resource));
    held.any_of.iter().map(|&resource| (resource, first(resource).unwrap_or(resource))).collect()
}

/// Marks the activities that may transfer something from one hold's resource to another's.
fn transfers(model: &mut Model) {
    for hold in 0..model.holds.len() {
        let Some(before) = model.holds[hold].follows else { continue };
        model.follower[before] = hold;
        if let Edge::Point(act, _) = model.holds[hold].from {
            model.transfers[act] = hold;
        }
    }
}

fn holds(problem: &Problem) -> Vec<Held> {
    let first =
        |r: &usize| problem.holds.iter().any(|h| h.follows.is_none() && h.any_of.contains(r));
    let held = |hold: &super::problem::Hold| {
        let capacity = |&r: &usize| problem.resources[r].capacity;
        let mut any_of: Vec<usize> =
            hold.any_of.iter().copied().filter(|r| capacity(r) >= hold.units).collect();
        // A resource that others begin on is left to them where another serves as well.
        any_of.sort_by_key(|r| (hold.follows.is_some() && first(r), capacity(r), *r));
        any_of.dedup();
        Held {
            units: hold.units,
            any_of,
            from: match hold.since {
                Since::Start(activity) => Edge::Point(activity, 0),
                Since::At(at) => Edge::At(at),
            },
            to: Edge::Point(hold.until.end, hold.until.plus),
            follows: hold.follows,
        }
    };
    problem.holds.iter().map(held).collect()
}

fn read_lag(
    model: &mut Model,
    modes: &mut Modes,
    arcs: &mut Vec<Arc>,
    lag_index: usize,
    lag: &Lag,
) {
    let after = lag.after;
    let window = lag.max.zip(lag.soft).map(|(max, soft)| {
        let ceiling = lag.at.map(|at| at + max);
        let (extra, wait) = (soft.extra, Wait::new(lag, max, Length::AsSaid));
        model.windows.push(Window { lag: lag_index, after, ceiling, extra, wait, act: NONE });
        model.windows.len() - 1
    });
    if let Some(at) = lag.at {
        let act = &mut model.acts[after];
        act.floor = act.floor.max(lag.min.map_or(-FAR, |min| at + min));
        match (lag.max, window) {
            (Some(_), Some(window)) => model.limits[after].push(window),
            (Some(max), None) => act.ceiling = act.ceiling.min(at + max),
            (None, _) => {}
        }
    }
    let Some(before) = lag.before else { return };
    let from_end = lag.of == Of::End;
    let mut length = |minutes: Minute, window: bool| {
        let Some(modal) = &lag.modal else { return (minutes, None) };
        let (mode, least) = modes.add(model, modal, minutes, window);
        model.lag_lengths[lag_index] = mode.map_or(Length::Always(least), Length::InMode);
        (least, mode)
    };
    if let Some(min) = lag.min {
        let (gap, modal) = length(min, false);
        let (open, guard) = (None, Guard::Always);
        arcs.push(Arc {
            from: before,
            from_end,
            to: after,
            to_end: false,
            gap,
            modal,
            open,
            guard,
        });
    }
    if let Some(max) = lag.max {
        let (longest, modal) = length(max, true);
        let (gap, open) = (-longest, None);
        if let Some(window) = window {
            model.windows[window].wait = Wait::new(lag, max, model.lag_lengths[lag_index]);
        }
        let guard = window.map_or(Guard::Always, Guard::Kept);
        let (from, to, to_end) = (after, before, from_end);
        arcs.push(Arc { from, from_end: false, to, to_end, gap, modal, open, guard });
    }
}

/// One more activity for each that may be late for a window: it takes place when a window is overrun,
/// after every shortest wait and straight before the late activity.
fn extras(model: &mut Model, arcs: &mut Vec<Arc>, now: Minute) {
    for window in 0..model.windows.len() {
        let after = model.windows[window].after;
        if model.extra_of[after] == NONE {
            let extra = model.acts.len();
            let late = model.acts[after].clone();
            let open = late.calendar;
            // Before something that has begun the extra is past, too; before a fixed start it may lie
            // anywhere from now on.
            let floor = match late.ceiling {
                ceiling if ceiling < now => -FAR,
                ceiling if ceiling <= late.floor => now,
                _ => late.floor,
            };
            model.acts.push(Act { length: 0, unbroken: false, floor, ceiling: FAR, ..late });
            let guard = Guard::Extra(extra);
            let waits: Vec<Arc> = arcs
                .iter()
                .filter(|arc| arc.to == after && !arc.to_end && arc.guard == Guard::Always)
                .map(|arc| Arc { to: extra, guard, ..*arc })
                .collect();
            arcs.extend(waits);
            let gap = 0;
            arcs.push(Arc {
                from: extra,
                from_end: true,
                to: after,
                to_end: false,
                gap,
                modal: None,
                open: None,
                guard,
            });
            arcs.push(Arc {
                from: after,
                from_end: false,
                to: extra,
                to_end: true,
                gap,
                modal: None,
                open,
                guard,
            });
            model.extra_of[after] = extra;
            model.extra_of.push(NONE);
            model.transfers.push(NONE);
            model.limits.push(Vec::new());
        }
        model.windows[window].act = model.extra_of[after];
    }
}

/// A change of place: work of no length and without hands that ends one hold and begins another. Being late costs only
/// those who wait for the place; so a search may want it at once and put off what comes before it instead.
fn changes(model: &mut Model, arcs: &mut Vec<Arc>) {
    let point = |edge: Edge| match edge {
        Edge::Point(act, _) => Some(act),
        Edge::At(_) => None,
    };
    let begins: Vec<_> = model.holds.iter().filter_map(|hold| point(hold.from)).collect();
    let ends: Vec<_> = model.holds.iter().filter_map(|hold| point(hold.to)).collect();
    for (act, change) in model.acts.iter().enumerate().take(model.real) {
        let hours = change.calendar.is_some() && model.transfers[act] == NONE;
        let waiting_time = change.length == 0 && change.needs.is_empty() && !hours;
        if !waiting_time || !begins.contains(&act) || !ends.contains(&act) {
            continue;
        }
        let mut into = arcs.iter().filter(|arc| arc.to == act && !arc.to_end);
        if let (Some(wait), None) = (into.next().copied(), into.next()) {
            arcs.push(Arc {
                from: act,
                from_end: false,
                to: wait.from,
                to_end: wait.from_end,
                gap: -wait.gap,
                modal: wait.modal,
                open: None,
                guard: Guard::AtOnce(act),
            });
            model.changes.push(act);
        }
    }
}

/// Time reversed: the plan read from its end. Latest ends become earliest starts.
///
/// `missed` fixes which windows are overrun; `last` is the latest end allowed to each activity.
pub(super) fn mirror(model: &Model, missed: &[bool], last: &[Minute], lengths: &[Minute]) -> Model {
    let mut mirrored = model.clone();
    mirrored.horizon = FAR;
    mirrored.calendars = model.calendars.iter().map(Calendar::mirrored).collect();
    mirrored.counts = model.counts.iter().map(Count::mirrored).collect();
    for mode in &mut mirrored.modes {
        mode.holds.reverse();
    }
    for (index, act) in mirrored.acts.iter_mut().enumerate() {
        act.ceiling = FAR;
        act.floor = -last[index].min(model.horizon);
    }
    for (index, &length) in lengths.iter().enumerate() {
        let ceiling = model.ceiling(index, missed);
        if ceiling < FAR {
            let start = mirrored.start_for_end(index, -ceiling, length);
            mirrored.acts[index].floor = mirrored.acts[index].floor.max(start);
        }
    }
    let turn = |edge: Edge| match edge {
        Edge::At(at) => Edge::At(-at),
        point @ Edge::Point(..) => point,
    };
    for (index, hold) in mirrored.holds.iter_mut().enumerate() {
        (hold.from, hold.to) = (turn(hold.to), turn(hold.from));
        hold.follows = Some(model.follower[index]).filter(|&hold| hold != NONE);
    }
    for (index, hold) in model.holds.iter().enumerate() {
        mirrored.follower[index] = hold.follows.unwrap_or(NONE);
    }
    for transfer in &mut mirrored.transfers {
        *transfer = model.holds.get(*transfer).and_then(|hold| hold.follows).unwrap_or(NONE);
    }
    let arcs: Vec<Arc> = model
        .arcs()
        .map(|arc| Arc {
            from: arc.to,
            from_end: !arc.to_end,
            to: arc.from,
            to_end: !arc.from_end,
            ..*arc
        })
        .collect();
    mirrored.ways.fill(0);
    mirrored.limits = vec![Vec::new(); mirrored.acts.len()];
    components::sort_arcs(&mut mirrored, &arcs);
    for component in &mut mirrored.components {
        component.acts.reverse();
        component.next.clear();
        component.waits_for = 0;
    }
    components::count_waits(&mut mirrored);
    mirrored
}
