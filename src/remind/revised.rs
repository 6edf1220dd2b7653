//! Calendar events written again: what moved since, what is done, and what will not be after all.

use std::collections::BTreeMap;

use crate::remind::calendar::Event;
use crate::shop::{Lot, LotName, Shop};
use crate::time::{Instant, Span};

/// How long an event is remembered once its time is over: a step is taken back sooner than that, if at all.
const REMEMBERED: Span = Span::days(365);

/// Brings the events as they were last written, by UID, up to what is coming now: the same stay as they are, what moved
/// goes on under the next sequence. What was done stands as done until its time is over: an event has no status for that
/// (RFC 5545 has COMPLETED for a to-do alone), and readers strike out or hide what is cancelled, as if it had been given up.
/// What will not be is cancelled. Gives the events to write now; what is remembered is in `kept`.
pub(crate) fn revise(
    kept: &mut BTreeMap<String, Event>,
    coming: Vec<Event>,
    is_done: impl Fn(&str) -> bool,
    now: Instant,
) -> Vec<Event> {
    let mut written = Vec::new();
    for event in coming {
        let event = match kept.get(&event.uid) {
            Some(before) if before.says_the_same(&event) => before.clone(),
            Some(before) => Event { sequence: before.sequence.saturating_add(1), ..event },
            None => event,
        };
        kept.insert(event.uid.clone(), event.clone());
        written.push(event);
    }
    for event in kept.values_mut() {
        if event.end <= now || written.iter().any(|coming| coming.uid == event.uid) {
            continue;
        }
        let over = if is_done(&event.of) { event.done() } else { event.given_up() };
        if !event.says_the_same(&over) {
            let sequence = event.sequence.saturating_add(1);
            *event = Event { sequence, changed: now, ..over };
        }
        // A reader needs to hear of it only until its time is over.
        written.push(event.clone());
    }
    kept.retain(|_, event| REMEMBERED.after(event.end) > now);
    written.sort_by(|a, b| (a.start, &a.summary, &a.uid).cmp(&(b.start, &b.summary, &b.uid)));
    written
}

/// Before the summary of what was done.
const DONE: &str = "Done: ";

impl Event {
    fn done(&self) -> Self {
        let summary = match self.summary.strip_prefix(DONE) {
            Some(_) => self.summary.clone(),
            None => format!("{DONE}{}", self.summary),
        };
        Self { summary, cancelled: false, alarms: Vec::new(), ..self.clone() }
    }

    fn given_up(&self) -> Self {
        let summary = self.summary.strip_prefix(DONE).unwrap_or(&self.summary).to_owned();
        Self { summary, cancelled: true, ..self.clone() }
    }

    /// Whether a reader would see no difference.
    fn says_the_same(&self, other: &Self) -> bool {
        let other = Self { sequence: self.sequence, changed: self.changed, ..other.clone() };
        *self == other
    }
}

/// Whether what an event is of was done, rather than given up: then it isn't news that it won't come.
pub(crate) fn is_done(shop: &Shop, of: &str) -> bool {
    match of.split_once('/') {
        Some(("rags", coat)) => coat.parse().is_ok_and(|coat: i64| {
            let laid = |lot: &Lot| lot.done.iter().any(|done| done.entry == coat);
            !shop.rags.contains_key(&coat) && shop.lots.values().any(laid)
        }),
        Some(("promised", batch)) => {
            shop.batches.get(batch).is_none_or(|batch| batch.closed.is_some())
        }
        Some((lot, step)) => {
            let to = step.strip_prefix("move/");
            let step = step.trim_end_matches("/closes").parse().unwrap_or(u32::MAX);
            let lot = lot.parse().ok().and_then(|lot: LotName| shop.lots.get(&lot));
            lot.is_some_and(|lot| {
                if to.is_some() {
                    return lot.rack() == to;
                }
                let shipped = lot.finished() && lot.pieces == 0;
                lot.done.iter().any(|done| done.step == step) || shipped
            })
        }
        None => false,
    }
}
