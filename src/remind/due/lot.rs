//! A lot's next step: ready, closing, closed.

use crate::remind::due::{Thing, wipe};
use crate::remind::notice::Kind;
use crate::remind::wording::touch_first;
use crate::shop::due::{Action, Item, Urgency};
use crate::shop::refusal::Wait;
use crate::shop::{Lot, Shop};
use crate::time::{Instant, Span, first_instant_of, local_date, words};

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
    let closing = item.until.filter(|_| item.action == Action::Do);
    match (item.urgency, closing) {
        (Urgency::Overdue, Some(_)) => Some(thing(Kind::Closing, true, "")),
        (Urgency::Closing, Some(until)) => {
            let unseen = shop.unseen(item.from, until, item.minutes, now);
            let closed = unseen.map(|from| {
                let [from, until] = [from, until].map(|at| words::moment(at, now, shop.zone()));
                format!("the shop isn't open between {from} and {until}")
            });
            let near = || closing_stage(shop, item, until, now);
            let stage = if closed.is_some() { "unseen" } else { near() };
            let touch = item.grabbed.as_ref().map(|_| touch_first(&item.lot));
            let at_any_hour = closed.is_some();
            let said = touch.into_iter().chain(closed).collect();
            Some(Thing { at_any_hour, said, ..thing(Kind::Closing, false, stage) })
        }
        (Urgency::Ready, _) => Some(thing(kind_of(item)?, false, "")),
        _ => None,
    }
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

/// How near its end the window is: half a working day before, at the opening after that, and in its last hour.
fn closing_stage(shop: &Shop, item: &Item, until: Instant, now: Instant) -> &'static str {
    let Some(setup) = &shop.setup else { return "soon" };
    if now >= Span::hours(1).before(until) {
        return "hour";
    }
    // Told the day before, it is told once more when the day begins on which it closes.
    let zone = setup.shop.zone;
    let midnight = first_instant_of(local_date(now, zone), zone);
    let today = setup.shop.hours.stretches(zone, midnight, Span::seconds(1).after(now));
    let soon_then = |opened: Instant| shop.closes_soon(until, item.minutes, opened);
    if today.first().is_some_and(|(opened, _)| soon_then(*opened)) { "opening" } else { "soon" }
}
