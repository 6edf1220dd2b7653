//! What is coming, as calendar events: each open lot's next step. A file written later says what moved since, and what
//! will not be after all.

use std::collections::BTreeMap;

use crate::remind::calendar::{Alarm, Event, Trigger, uid};
use crate::shop::Shop;
use crate::shop::cure::Ground;
use crate::shop::due::{Action, Item};
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

/// The events of what is coming, in order of time. `ledger` is a text that is this ledger's own.
pub fn coming(shop: &Shop, ledger: &str, now: Instant) -> Vec<Event> {
    let free = shop.open_lots().filter(|lot| lot.held.is_none());
    let mut events: Vec<Event> =
        free.filter_map(|lot| event(shop, ledger, steady(shop.next_item(lot, now)), now)).collect();
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

/// The event of a lot's next step; none while the room as it is never lets it come.
fn event(shop: &Shop, ledger: &str, item: Item, now: Instant) -> Option<Event> {
    let from = item.from?;
    let zone = shop.zone();
    let hours = shop.setup.as_ref().map(|setup| &setup.shop.hours);
    // A soak is wiped when it is over, open or not; all else begins when hands are there.
    let start = match hours {
        Some(hours) if item.action != Action::Wipe => hours.next_open(zone, from).unwrap_or(from),
        _ => from,
    };
    let length = Span::minutes(i64::from(item.minutes)).max(SHORTEST);
    let title = format!("{}: {}", item.lot, item.name);
    let mut alarms = vec![Alarm { trigger: Trigger::Before(Span::ZERO), text: title.clone() }];
    let shuts = item.until.map(|until| (until, BEFORE_SHUT.before(until)));
    if let Some((until, warns)) = shuts.filter(|(_, warns)| *warns > start) {
        let text = format!("{title}, no later than {}", moment(until, zone));
        alarms.push(Alarm { trigger: Trigger::After(Span::between(start, warns)), text });
    }
    Some(Event {
        uid: uid(ledger, &format!("{}/{}", item.lot, item.step)),
        sequence: 0,
        changed: now,
        start,
        end: length.after(start),
        summary: title,
        description: description(&item, from, zone),
        location: item.rack,
        cancelled: false,
        alarms,
    })
}

fn description(item: &Item, from: Instant, zone: Zone) -> String {
    let mut lines = vec![
        format!("{} {}", item.pieces, if item.pieces == 1 { "piece" } else { "pieces" }),
        format!("No sooner than {}", moment(from, zone)),
    ];
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
