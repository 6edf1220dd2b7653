//! The critical chain of a plan: back from the last end, what each start waited for.

use super::model::NONE;
use super::problem::Minute;
use super::schedule::{Schedule, UNSET};

/// Pairs on the critical chain up to a minute of which the second started when the first gave a resource back.
pub(super) fn pairs(plan: &Schedule<'_>, last: Minute) -> Vec<(usize, usize)> {
    let model = plan.model;
    let ended = (0..model.real).filter(|&act| plan.end[act] <= last);
    let last = ended.max_by_key(|&act| (plan.end[act], act));
    let Some(mut act) = last else {
        return Vec::new();
    };
    let mut pairs = Vec::new();
    for _ in 0..model.real {
        if plan.start[act] == UNSET {
            break;
        }
        let opens = |minute: Minute| {
            minute <= plan.start[act]
                && plan.first(act, minute).is_some_and(|(start, _)| start == plan.start[act])
        };
        let arcs = model.outer[act].iter().chain(&model.inner[act]);
        let tied = arcs
            .filter(|arc| {
                let asked = |arc| Some(plan.asked(arc)).filter(|&asked| asked != UNSET);
                plan.start[arc.from] < plan.start[act] && asked(arc).is_some_and(opens)
            })
            .map(|arc| arc.from)
            .max_by_key(|&from| (plan.start[from], from));
        let resource = before(plan, act, &opens);
        match (tied, resource) {
            (_, Some(first)) => {
                pairs.push((first, act));
                act = first;
            }
            (Some(first), None) => act = first,
            (None, None) => break,
        }
    }
    pairs
}

/// The activity whose end gave `act` a resource it shares.
fn before(plan: &Schedule<'_>, act: usize, opens: &dyn Fn(Minute) -> bool) -> Option<usize> {
    let model = plan.model;
    let needs = &model.acts[act].needs;
    let shares = |other: usize| {
        model.acts[other].needs.iter().any(|&(r, _)| needs.iter().any(|&(s, _)| s == r))
    };
    let (mut sharing, mut last) = (None, Minute::MIN);
    let others = if needs.is_empty() { 0 } else { model.real };
    for (other, &end) in plan.end[..others].iter().enumerate() {
        let later = last <= end && end <= plan.start[act];
        if later && other != act && end > plan.start[other] && shares(other) && opens(end) {
            (sharing, last) = (Some(other), end);
        }
    }
    sharing.or_else(|| freed(plan, act, opens))
}

/// The activity that ends a hold after which a hold that begins with `act` could begin.
fn freed(plan: &Schedule<'_>, act: usize, opens: &dyn Fn(Minute) -> bool) -> Option<usize> {
    let model = plan.model;
    let begins = |hold: &usize| matches!(model.holds[*hold].from, super::model::Edge::Point(a, _) if a == act);
    let assignments: Vec<usize> = model.components[model.component_of[act]]
        .holds
        .iter()
        .filter(|&hold| begins(hold))
        .map(|&hold| plan.assigned[hold])
        .filter(|&assigned| assigned != NONE)
        .collect();
    if assignments.is_empty() {
        return None;
    }
    (0..model.holds.len())
        .filter(|&hold| assignments.contains(&plan.assigned[hold]))
        .filter_map(|hold| match model.holds[hold].to {
            super::model::Edge::Point(last, _) if plan.start[last] != UNSET && last != act => {
                let (_, to) = plan.span(hold);
                opens(to).then_some((to, last))
            }
            _ => None,
        })
        .max()
        .map(|(_, last)| last)
}
