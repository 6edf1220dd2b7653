//! Where lots stand, and in which order they are carried there.

use crate::plan::draft::Draft;
use crate::plan::engine::Answer;
use crate::shop::plan::StayPlan;

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

/// The name of a rack by its resource.
pub(super) fn rack_name(draft: &Draft, resource: usize) -> Option<String> {
    draft.racks.get(resource.checked_sub(1)?).cloned()
}
