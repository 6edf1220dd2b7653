//! A lot's next step: ready, closing, closed.

use crate::remind::due::{Thing, wipe};
use crate::remind::notice::Kind;
use crate::shop::Shop;
use crate::shop::due::{Action, Item, Urgency};
use crate::shop::lot::Lot;
use crate::shop::refusal::Wait;
use crate::time::{Instant, Span, first_instant_of, local_date, words};

/// A window is said to be closing while no more open time than this is left of it, beside the step's own minutes: half a
/// working day, in which the step can still be fitted in. Counted in open time, a weekend before the end counts nothing.
pub(in crate::remind) const CLOSING: Span = Span::hours(4);

/// What closes before the shop opens again is told in so much of the open time before.
const LAST: Span = Span::minutes(30);

pub(super) fn of_lot(shop: &Shop, lot: &Lot, item: &Item, now: Instant) -> Option<Thing> {
    // Oil sets on a held lot as on any other.
    if item.action == Action::Wipe {
        return wipe::of_soak(shop, lot, item, now);
    }
    if item.action == Action::Finish || lot.held.is_some() {
        return None;
    }
    let last = lot.done.last().map_or(0, |done| done.entry);
    let thing = |kind: Kind, late: bool, stage: &str| {
        let closed = if late { "-closed" } else { "" };
        Thing {
            about: format!("{}{closed}/{}/{}/{last}", kind.word(), item.lot, item.step),
            stage: stage.to_owned(),
            late,
            ..Thing::of(kind, item, item.from.unwrap_or(now))
        }
    };
    if item.action == Action::Do {
        if item.urgency == Urgency::Overdue {
            return Some(thing(Kind::Closing, true, ""));
        }
        if closes_unseen(shop, item, now) {
            let unseen = thing(Kind::Closing, false, "unseen");
            let said = |at| words::moment(at, now, shop.zone());
            let why = unseen.until.map(|until| {
                let from = said(unseen.since.max(now));
                format!("no open hour lies between {from} and {}", said(until))
            });
            return Some(Thing { at_any_hour: true, said: why.into_iter().collect(), ..unseen });
        }
    }
    item.from.filter(|from| now >= *from)?;
    if item.action == Action::Do
        && let Some(stage) = closing(shop, item, now)
    {
        return Some(thing(Kind::Closing, false, stage));
    }
    // A surface that still grabs waits for its next touch test, whatever the clock says.
    let kind = kind_of(item)?;
    item.grabbed.is_none().then(|| thing(kind, false, ""))
}

/// What the end of a wait is told as; a step that waited for nothing is known to whoever did the one before. Where nothing
/// in a finish cures its wait was a rest.
fn kind_of(item: &Item) -> Option<Kind> {
    match item.wait? {
        Wait::Cure if item.origin.only_rests.is_none() => Some(Kind::Cured),
        Wait::Rest | Wait::Recoat | Wait::Cure => Some(Kind::Ready),
        Wait::Soak => None,
    }
}

/// Whether the window closes before the shop opens again, and it is the last open half hour, or later.
fn closes_unseen(shop: &Shop, item: &Item, now: Instant) -> bool {
    let (Some(until), Some(setup)) = (item.until, &shop.setup) else { return false };
    let (hours, zone) = (&setup.shop.hours, setup.shop.zone);
    let closes = if hours.is_open(zone, now) { hours.closes(zone, now) } else { Some(now) };
    closes.is_some_and(|closes| {
        let opens = hours.next_open(zone, closes);
        closes <= LAST.after(now) && closes < until && opens.is_none_or(|opens| opens >= until)
    })
}

/// How near its end the window is: half a working day before, at the opening after that, and in its last hour.
fn closing(shop: &Shop, item: &Item, now: Instant) -> Option<&'static str> {
    let until = item.until?;
    let needed = CLOSING.saturating_add(Span::minutes(i64::from(item.minutes)));
    let Some(setup) = &shop.setup else {
        return (Span::between(now, until) <= needed).then_some("soon");
    };
    let (hours, zone) = (&setup.shop.hours, setup.shop.zone);
    if hours.open_span(zone, now, until) > needed {
        return None;
    }
    if now >= Span::hours(1).before(until) {
        return Some("hour");
    }
    // Told the day before, it is told once more when the day begins on which it closes.
    let midnight = first_instant_of(local_date(now, zone), zone);
    let today = hours.stretches(zone, midnight, Span::seconds(1).after(now));
    let soon_then = |opened: Instant| hours.open_span(zone, opened, until) <= needed;
    Some(if today.first().is_some_and(|(opened, _)| soon_then(*opened)) {
        "opening"
    } else {
        "soon"
    })
}
