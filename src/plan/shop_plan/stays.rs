//! Where lots stand, and in which order they are carried there.

use crate::plan::draft::Draft;
use crate::plan::engine::{Answer, Minute, Since};
use crate::shop::plan::{MovePlan, MoveWhy, StayPlan};

/// Where every lot stands, in order of time, and at one moment in an order in which they can be carried.
pub(super) fn stays(draft: &Draft, answer: &Answer) -> Vec<StayPlan> {
    let mut stays: Vec<StayPlan> = draft
        .holds
        .iter()
        .enumerate()
        .filter_map(|(hold, (run, cures))| {
            let (from, until) = draft.held_between(answer, hold)?;
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
    in_turn(&stays)
}

/// At one moment those who leave a rack for another come before those who go there: on record slots are free only once they
/// are left. Lots that change places in a ring can't all go first; there it begins with any.
fn in_turn(stays: &[StayPlan]) -> Vec<StayPlan> {
    let left_by = |stay: &StayPlan| {
        let before =
            stays.iter().find(|before| before.lot == stay.lot && before.until == stay.from);
        before.map(|before| before.rack.clone()).filter(|rack| *rack != stay.rack)
    };
    let mut ordered: Vec<StayPlan> = Vec::with_capacity(stays.len());
    for moment in stays.chunk_by(|a, b| a.from == b.from) {
        let mut waiting: Vec<(Option<String>, &StayPlan)> =
            moment.iter().map(|stay| (left_by(stay), stay)).collect();
        while !waiting.is_empty() {
            let free = |(_, stay): &(Option<String>, &StayPlan)| {
                !waiting.iter().any(|(left, _)| left.as_ref() == Some(&stay.rack))
            };
            let next = waiting.iter().position(free).unwrap_or(0);
            ordered.push(waiting.remove(next).1.clone());
        }
    }
    ordered
}

impl Draft {
    /// From when until when a lot stands there.
    pub(in crate::plan) fn held_between(
        &self,
        answer: &Answer,
        hold: usize,
    ) -> Option<(Minute, Minute)> {
        let stay = self.problem.holds.get(hold)?;
        let from = match stay.since {
            Since::Start(act) => *answer.plan.starts.get(act)?,
            Since::At(at) => at,
        };
        Some((from, *answer.ends.get(stay.until.end)?))
    }
}

/// Minutes sooner that a cure has to be over for that to be the reason of a move: a day.
const WORTH_IT: Minute = 1440;

/// The lots to carry from one rack to another, in order of time, each with its reason.
pub(super) fn moves(draft: &Draft, answer: &Answer) -> Vec<MovePlan> {
    let of_hold = |(hold, (run, _)): (usize, &(usize, bool))| {
        let before = draft.problem.holds.get(hold)?.follows?;
        let (from, to) = (*answer.plan.holds.get(before)?, *answer.plan.holds.get(hold)?);
        let (at, until) = draft.held_between(answer, hold)?;
        let run = draft.runs.get(*run)?;
        (from != to && at < until).then_some(MovePlan {
            lot: run.lot.to_string(),
            pieces: run.pieces,
            from: rack_name(draft, from)?,
            to: rack_name(draft, to)?,
            at: draft.origin.of(at),
            why: why(draft, answer, (hold, from), (at, until)),
        })
    };
    let mut moves: Vec<MovePlan> = draft.holds.iter().enumerate().filter_map(of_hold).collect();
    moves.sort_by(|a, b| (a.at, &a.lot).cmp(&(b.at, &b.lot)));
    moves
}

/// Why a lot leaves a rack at that minute, cured elsewhere at that one.
fn why(
    draft: &Draft,
    answer: &Answer,
    (hold, from): (usize, usize),
    (at, until): (Minute, Minute),
) -> MoveWhy {
    let cure = draft.problem.holds.get(hold).map(|hold| hold.until.end);
    let cured_here = cure.and_then(|cure| {
        let activity = draft.problem.activities.get(cure)?;
        let modal = activity.modal.as_ref()?;
        let (_, rate) = modal.rates.iter().find(|(rack, _)| *rack == from)?;
        let amount = activity.duration.saturating_mul(1_000_000_000) - modal.passed;
        let begins = *answer.plan.starts.get(cure)?;
        Some(draft.problem.rates.get(*rate)?.reach(begins, amount))
    });
    let horizon = draft.problem.horizon.unwrap_or(Minute::MAX);
    match cured_here.filter(|end| *end <= horizon) {
        None => return MoveWhy::OnlyThere,
        Some(end) if end - until >= WORTH_IT => return MoveWhy::Sooner(end - until),
        Some(_) => {}
    }
    let comes = (0..draft.holds.len()).filter_map(|other| {
        let (begins, ends) = draft.held_between(answer, other)?;
        let there = answer.plan.holds.get(other) == Some(&from) && begins >= at && begins < ends;
        let run = draft.holds.get(other).and_then(|(run, _)| draft.runs.get(*run))?;
        there.then(|| (begins, run.lot.to_string()))
    });
    comes.min().map_or(MoveWhy::FreesDrying, |(_, lot)| MoveWhy::MakesRoom(lot))
}

/// The name of a rack by its resource.
pub(super) fn rack_name(draft: &Draft, resource: usize) -> Option<String> {
    draft.racks.get(resource.checked_sub(1)?).cloned()
}
