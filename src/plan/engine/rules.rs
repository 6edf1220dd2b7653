//! Orders to begin with, each from one plain rule.

use super::model::Model;
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
    let length = |act: usize| model.acts[act].length;
    let mut tail: Vec<Minute> = (0..model.acts.len()).map(length).collect();
    for _ in 0..model.acts.len().min(MOST_ROUNDS) {
        let mut changed = false;
        for arc in model.arcs().filter(|arc| !arc.to_end) {
            let lead = if arc.from_end { length(arc.from) } else { 0 } + arc.gap;
            if lead >= 0 && tail[arc.to] + lead > tail[arc.from] {
                tail[arc.from] = tail[arc.to] + lead;
                changed = true;
            }
        }
        if !changed {
            break;
        }
    }
    tail
}

/// How early each activity can start, by waits and durations alone.
fn heads(model: &Model) -> Vec<Minute> {
    let mut head: Vec<Minute> = model.acts.iter().map(|act| act.floor).collect();
    for _ in 0..model.acts.len().min(MOST_ROUNDS) {
        let mut changed = false;
        for arc in model.arcs().filter(|arc| !arc.to_end) {
            let lead = if arc.from_end { model.acts[arc.from].length } else { 0 } + arc.gap;
            if head[arc.from] + lead > head[arc.to] {
                head[arc.to] = head[arc.from] + lead;
                changed = true;
            }
        }
        if !changed {
            break;
        }
    }
    head
}
