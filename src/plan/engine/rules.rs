//! Orders to begin with, each from one plain rule.

use super::model::{Arc, Model};
use super::neighbourhood::ActivityList;
use super::problem::Minute;
use super::profile::FAR;
use super::value::Aim;

/// The orders of the rules.
pub(super) fn orders(model: &Model, aim: &Aim) -> Vec<ActivityList> {
    let acts = model.acts.len();
    let mut due = vec![FAR; acts];
    let mut job = vec![usize::MAX; acts];
    for (index, dated) in aim.jobs.iter().enumerate() {
        for &act in &dated.acts {
            due[act] = dated.due.unwrap_or(FAR);
            job[act] = index;
        }
    }
    let tails = tails(model);
    let heads = heads(model);
    vec![
        // By due date, job by job.
        ActivityList::by(model, |act| (due[act], job[act], heads[act])),
        // By due date, the longest way to go first.
        ActivityList::by(model, |act| (due[act], -tails[act])),
        // The longest way to go first.
        ActivityList::by(model, |act| -tails[act]),
        // The least slack against the date, or the earliest possible start.
        ActivityList::by(model, |act| due[act].min(FAR / 2) - tails[act]),
        ActivityList::by(model, |act| (heads[act], -tails[act])),
        // The longest piece of work first among those equally far on.
        ActivityList::by(model, |act| (heads[act] - tails[act], -model.acts[act].length)),
    ]
}

/// Rounds after which an estimate is good enough to begin with.
const MOST_ROUNDS: usize = 200;

/// How far each activity's start lies before the last end, by waits and durations alone.
fn tails(model: &Model) -> Vec<Minute> {
    let lengths = model.acts.iter().map(|act| act.length).collect();
    longest(model, lengths, |arc, lead| (lead >= 0).then_some((arc.to, arc.from)))
}

/// How early each activity can start, by waits and durations alone.
fn heads(model: &Model) -> Vec<Minute> {
    let floors = model.acts.iter().map(|act| act.floor).collect();
    longest(model, floors, |arc, _| Some((arc.from, arc.to)))
}

/// Ways made longer along the arcs that count, from one activity to the next.
fn longest(
    model: &Model,
    mut ways: Vec<Minute>,
    along: impl Fn(&Arc, Minute) -> Option<(usize, usize)>,
) -> Vec<Minute> {
    for _ in 0..model.acts.len().min(MOST_ROUNDS) {
        let mut changed = false;
        for arc in model.arcs().filter(|arc| !arc.to_end) {
            let lead = if arc.from_end { model.acts[arc.from].length } else { 0 } + arc.gap;
            let Some((from, to)) = along(arc, lead) else { continue };
            if ways[from] + lead > ways[to] {
                ways[to] = ways[from] + lead;
                changed = true;
            }
        }
        if !changed {
            break;
        }
    }
    ways
}
