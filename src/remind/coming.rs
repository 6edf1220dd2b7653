//! What is coming, as calendar events: each open lot's next step. A file written later says what moved since, and what
//! will not be after all.

use std::collections::{BTreeMap, BTreeSet};

use crate::remind::calendar::{Alarm, Event, Trigger, uid};
use crate::remind::due::still_to_begin;
use crate::shop::Shop;
use crate::shop::cure::Ground;
use crate::shop::due::{Action, Item};
use crate::shop::plan::StepPlan;
use crate::shop::refusal::Wait;
use crate::time::local::wall;
use crate::time::{Instant, Span, Zone};

/// How long before a window shuts its alarm rings.
const BEFORE_SHUT: Span = Span::hours(4);

/// How long an event is remembered once its time is over: a step is taken back sooner than that, if at all.
const REMEMBERED: Span = Span::days(365);

/// Seconds of a quarter of an hour.
const QUARTER: i64 = 15 * 60;

/// An event has at least this length, so that it can be seen in a calendar.
const SHORTEST: Span = Span::minutes(15);

/// The events of what is coming, in order of time: each lot's next step by its window, no sooner than the plan that is
/// kept has it; and what comes after it as that plan has it. `ledger` is a text that is this ledger's own.
pub fn coming(shop: &Shop, ledger: &str, now: Instant) -> Vec<Event> {
    let uid = |lot: &str, step: u32| uid(ledger, &format!("{lot}/{step}"));
    let steps = shop.kept.iter().flat_map(|plan| &plan.steps);
    let planned: BTreeMap<(&str, u32), &StepPlan> =
        steps.map(|step| ((step.lot.as_str(), step.step), step)).collect();
    let mut events: BTreeMap<String, Event> = BTreeMap::new();
    let held: BTreeSet<String> =
        shop.open_lots().filter(|lot| lot.held.is_some()).map(|lot| lot.name.to_string()).collect();
    let free = planned.values().filter(|step| !held.contains(&step.lot));
    for step in free.filter(|step| still_to_begin(shop, step)) {
        events.insert(uid(&step.lot, step.step), by_plan(shop, step));
    }
    for lot in shop.open_lots() {
        let item = steady(shop.next_item(lot, now));
        let name = lot.name.to_string();
        let key = uid(&name, item.step);
        match by_window(shop, &item, planned.get(&(name.as_str(), item.step)).copied()) {
            Some(event) if lot.held.is_none() => events.insert(key, event),
            _ => events.remove(&key),
        };
    }
    let named = events.into_iter().map(|(uid, event)| Event { uid, changed: now, ..event });
    let mut events: Vec<Event> = named.collect();
    events.sort_by(|a, b| (a.start, &a.summary).cmp(&(b.start, &b.summary)));
    events
}

/// Brings the events as they were last written, by UID, up to what is coming now: the same stay as they are, what moved
/// goes on under the next sequence, and what will not be is cancelled unless its time is over. Gives the events to write
/// now; what is remembered is in `kept`.
pub fn revise(kept: &mut BTreeMap<String, Event>, coming: Vec<Event>, now: Instant) -> Vec<Event> {
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
        if written.iter().any(|coming| coming.uid == event.uid) {
            continue;
        }
        if !event.cancelled && event.end > now {
            event.cancelled = true;
            event.sequence = event.sequence.saturating_add(1);
            event.changed = now;
        }
        // A reader needs to hear of it only until its time is over.
        if event.cancelled && event.end > now {
            written.push(event.clone());
        }
    }
    kept.retain(|_, event| REMEMBERED.after(event.end) > now);
    written.sort_by(|a, b| (a.start, &a.summary, &a.uid).cmp(&(b.start, &b.summary, &b.uid)));
    written
}

impl Event {
    /// Whether a reader would see no difference.
    fn says_the_same(&self, other: &Self) -> bool {
        let other = Self { sequence: self.sequence, changed: self.changed, ..other.clone() };
        *self == other
    }
}

/// The item with its times in quarters of an hour where they are reckoned from a room's readings, on the careful side:
/// such times drift with each reading, and an event must not move for a minute.
fn steady(mut item: Item) -> Item {
    let reckoned =
        matches!(item.wait, Some(Wait::Recoat | Wait::Cure)) && item.ground != Ground::Sheet;
    if reckoned {
        item.from = item.from.map(|from| quarters(from, QUARTER - 1));
        item.until = item.until.map(|until| quarters(until, 0));
    }
    item
}

fn quarters(at: Instant, more: i64) -> Instant {
    let seconds = at.timestamp().saturating_add(more);
    Instant::from_timestamp(seconds.saturating_sub(seconds.rem_euclid(QUARTER)), 0).unwrap_or(at)
}

/// The event of a lot's next step, not before the plan has it; none while the room as it is never lets it come.
fn by_window(shop: &Shop, item: &Item, planned: Option<&StepPlan>) -> Option<Event> {
    let from = item.from?;
    let zone = shop.zone();
    let hours = shop.setup.as_ref().map(|setup| &setup.shop.hours);
    let planned = planned.filter(|_| item.action == Action::Do);
    // A soak is wiped when it is over, open or not; all else begins when hands are there.
    let opens = match hours {
        Some(hours) if item.action != Action::Wipe => hours.next_open(zone, from).unwrap_or(from),
        _ => from,
    };
    let start = planned.map_or(opens, |step| step.start.max(opens));
    let length = match planned {
        Some(step) => Span::between(step.start, step.end),
        None => Span::minutes(i64::from(item.minutes)),
    };
    let mut event = Event {
        description: description(item, from, zone),
        location: item.rack.clone(),
        ..bare(format!("{}: {}", item.lot, item.name), start, length)
    };
    let shuts = item.until.map(|until| (until, BEFORE_SHUT.before(until)));
    if let Some((until, warns)) = shuts.filter(|(_, warns)| *warns > start) {
        let text = format!("{}, no later than {}", event.summary, moment(until, zone));
        event.alarms.push(Alarm { trigger: Trigger::After(Span::between(start, warns)), text });
    }
    Some(event)
}

/// The event of a step further on, as the plan has it.
fn by_plan(shop: &Shop, step: &StepPlan) -> Event {
    let lines = [
        pieces(step.pieces),
        "By the plan that is kept".to_owned(),
        format!("Without moving the date no later than {}", moment(step.latest_start, shop.zone())),
        format!("Record it: tackfree done {}", step.lot),
    ];
    Event {
        description: lines.join("\n"),
        location: step.rack.clone(),
        ..bare(
            format!("{}: {}", step.lot, step.name),
            step.start,
            Span::between(step.start, step.end),
        )
    }
}

/// An event with an alarm at its beginning, still nameless.
fn bare(summary: String, start: Instant, length: Span) -> Event {
    let alarm = Alarm { trigger: Trigger::Before(Span::ZERO), text: summary.clone() };
    Event {
        uid: String::new(),
        sequence: 0,
        changed: start,
        start,
        end: length.max(SHORTEST).after(start),
        summary,
        description: String::new(),
        location: None,
        cancelled: false,
        alarms: vec![alarm],
    }
}

fn pieces(count: u32) -> String {
    format!("{count} {}", if count == 1 { "piece" } else { "pieces" })
}

fn description(item: &Item, from: Instant, zone: Zone) -> String {
    let mut lines = vec![pieces(item.pieces), format!("No sooner than {}", moment(from, zone))];
    if let Some(until) = item.until {
        lines.push(format!("No later than {}", moment(until, zone)));
    }
    if item.ground == Ground::Sheet {
        lines.push("By the sheet's own times: no readings of the room".to_owned());
    }
    lines.push(match item.action {
        Action::Ship => format!("Record it: tackfree ship {} --to \"…\"", item.lot),
        Action::Do | Action::Finish | Action::Wipe => {
            format!("Record it: tackfree done {}", item.lot)
        }
    });
    lines.join("\n")
}

/// With date and year: it is read on other days than it is written.
fn moment(at: Instant, zone: Zone) -> String {
    wall(at, zone).format("%a %-d %b %Y %H:%M").to_string()
}
