//! Coats that soak at the same time: whether the hands there are can wipe them all in time.

use schemars::JsonSchema;
use serde::Serialize;

use crate::shop::group::SoakGroup;
use crate::shop::setup::{Step, StepWork};
use crate::shop::{Lot, Shop};
use crate::time::{Instant, Span, Stamp, Viewpoint};

/// So long after the coat was begun a better moment is looked for.
const LOOKED_FOR: i64 = 8 * 60;

/// Orders of work tried before a clash is no longer looked for: no shop has so many soaks at once.
const TRIED: u32 = 20_000;

/// A coat whose wiping collides with what soaks already.
#[derive(Debug, Clone, JsonSchema, Serialize)]
#[schemars(rename = "ClashShown")]
pub(crate) struct Clash {
    /// The lots that soak already.
    pub(crate) with: Vec<String>,
    pub(crate) from: Stamp,
    pub(crate) until: Stamp,
    /// When this coat could be begun instead; null where it can't that day.
    pub(crate) begin_at: Option<Stamp>,
}

/// Work of one pair of hands, seconds: begun no sooner, no later, and how long it takes.
#[derive(Debug, Clone, Copy)]
struct Stint {
    from: i64,
    by: i64,
    length: i64,
}

impl Shop {
    /// Whether a coat that is begun can't be wiped in time beside what soaked before it.
    pub(crate) fn clash(&self, lot: &Lot, view: Viewpoint) -> Option<Clash> {
        let begun = lot.begun?;
        let (_, step) = lot.next_step()?;
        let work = self.coat_work(step, lot.pieces)?.ok()?;
        let others: Vec<(&Lot, &Step, Vec<SoakGroup>)> = self
            .open_lots()
            .filter(|other| other.name != lot.name && other.begun.is_some())
            .filter_map(|other| {
                let (_, step) = other.next_step()?;
                let groups = self.groups_begun(other)?;
                let goes_on = groups.iter().any(|group| group.times.wipe_by >= begun);
                goes_on.then_some((other, step, groups))
            })
            .collect();
        let fits = |at: Instant| {
            let mut stints = stints(step, &work.schedule(at), at);
            for (_, step, groups) in &others {
                stints.extend(self::stints(step, groups, begun));
            }
            stints.sort_by_key(|stint| stint.by);
            let hands = self.setup.as_ref().map_or(1, |setup| setup.shop.hands.max(1));
            let mut free = vec![i64::MIN; usize::try_from(hands).unwrap_or(1)];
            in_time(&mut stints, &mut free, &mut TRIED.clone())
        };
        if others.is_empty() || fits(begun) {
            return None;
        }
        let times = || others.iter().flat_map(|(.., groups)| groups).map(|group| group.times);
        Some(Clash {
            with: others.iter().map(|(other, ..)| other.name.to_string()).collect(),
            from: view.stamp(times().map(|times| times.wipe_from).min()?),
            until: view.stamp(times().map(|times| times.last_off_by).max()?),
            begin_at: (1..=LOOKED_FOR)
                .map(|minutes| Span::minutes(minutes).after(begun))
                .find(|at| fits(*at))
                .map(|at| view.stamp(at)),
        })
    }
}

/// What is left of a coat for hands from `since` on: what is still to be applied, at its time, and every group's wiping.
fn stints(step: &Step, groups: &[SoakGroup], since: Instant) -> Vec<Stint> {
    let StepWork::Coat { wipe, .. } = &step.work else { return Vec::new() };
    let since = since.timestamp();
    let mut stints = Vec::new();
    for group in groups {
        let (begins, applied) = (group.begins.timestamp(), group.times.applied.timestamp());
        if applied > since {
            let from = begins.max(since);
            stints.push(Stint { from, by: from, length: applied - from });
        }
        let (from, by) = (group.times.wipe_from.timestamp(), group.times.wipe_by.timestamp());
        if by >= since {
            let length = wipe.times(group.pieces.into()).as_seconds();
            stints.push(Stint { from: from.max(since), by, length });
        }
    }
    stints
}

/// Whether some order of the stints, each begun as soon as hands are free, begins every one in time.
fn in_time(stints: &mut Vec<Stint>, free: &mut [i64], tries: &mut u32) -> bool {
    if stints.is_empty() || *tries == 0 {
        return true;
    }
    *tries -= 1;
    let Some(first) = (0..free.len()).min_by_key(|hand| free.get(*hand).copied()) else {
        return true;
    };
    let since = free.get(first).copied().unwrap_or(i64::MIN);
    if stints.iter().any(|stint| since > stint.by) {
        return false;
    }
    for place in 0..stints.len() {
        let stint = stints.remove(place);
        if let Some(hand) = free.get_mut(first) {
            *hand = stint.from.max(since).saturating_add(stint.length);
        }
        let done = in_time(stints, free, tries);
        if let Some(hand) = free.get_mut(first) {
            *hand = since;
        }
        stints.insert(place, stint);
        if done {
            return true;
        }
    }
    false
}
