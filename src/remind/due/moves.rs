//! Lots that are on another rack by now as the plan of the day goes on, and cured ones that stand where others are to go, until
//! it is recorded.

use std::collections::BTreeMap;

use crate::remind::due::{Thing, Who};
use crate::remind::forecast;
use crate::remind::notice::Kind;
use crate::shop::fact::LotMoved;
use crate::shop::{Fact, Shop};
use crate::store::Memory;
use crate::time::{Instant, local_date};

/// Only what would be accepted now.
pub(super) fn of_moves(shop: &Shop, told: &Memory, now: Instant) -> Vec<Thing> {
    let day = |at| local_date(at, shop.zone());
    // Of several racks by now the last.
    let mut last = BTreeMap::new();
    for carry in forecast::carries(told).into_iter().filter(|carry| carry.since <= now) {
        let due = match carry.to {
            Some(_) => now < carry.until,
            None => day(carry.until) <= day(now),
        };
        if due {
            last.insert((carry.to.is_none(), carry.lot.clone()), carry);
        }
    }
    let thing = |carry: forecast::Carry| {
        let thing = of_lot(shop, &carry.lot, carry.to.as_ref(), carry.since, now)?;
        let until = carry.to.is_none().then_some(carry.until);
        Some(Thing { said: carry.why.into_iter().collect(), until, ..thing })
    };
    last.into_values().filter_map(thing).collect()
}

/// A lot to carry to a rack, or off the racks; none where that is done or would be refused.
fn of_lot(
    shop: &Shop,
    lot: &str,
    to: Option<&String>,
    since: Instant,
    now: Instant,
) -> Option<Thing> {
    let lot = shop.lots.get(&lot.parse().ok()?)?;
    let stands = lot.rack().filter(|stands| Some(*stands) != to.map(String::as_str))?;
    let moved = LotMoved { lot: lot.name.clone(), rack: to.cloned() };
    let objections = shop.objections(&Fact::LotMoved(moved), now, now);
    objections.is_ok_and(|objections| objections.is_empty()).then_some(())?;
    let what = to.map_or_else(|| "off the racks".to_owned(), |rack| format!("to {rack}"));
    Some(Thing {
        about: format!("move/{}/{what}", lot.name),
        what,
        rack: Some(stands.to_owned()),
        pieces: lot.pieces,
        ..Thing::bare(Kind::Move, Who::Lot(lot.name.clone()), since)
    })
}
