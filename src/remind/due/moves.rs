//! Lots that the kept plan has on another rack by now, and cured ones that stand where others are to go, until it is recorded.

use std::collections::BTreeMap;

use crate::plan::carry_off::{CarryOff, carried_off};
use crate::remind::due::{Thing, Who};
use crate::remind::notice::Kind;
use crate::shop::fact::LotMoved;
use crate::shop::plan::{ShopPlan, StayPlan};
use crate::shop::{Fact, Shop};
use crate::time::{Instant, local_date};

/// Only what would be accepted now.
pub(super) fn of_moves(shop: &Shop, now: Instant) -> Vec<Thing> {
    let Some(plan) = &shop.kept else { return Vec::new() };
    let things = to_other_racks(shop, plan, now).into_iter().chain(off_the_racks(shop, plan, now));
    things.collect()
}

fn to_other_racks(shop: &Shop, plan: &ShopPlan, now: Instant) -> Vec<Thing> {
    let mut last = BTreeMap::new();
    for stay in plan.to_move(shop).map(|to_move| to_move.stay) {
        if stay.from <= now && now < stay.until {
            last.insert(&stay.lot, stay);
        }
    }
    let thing = |stay: &StayPlan| {
        let why = plan.why_moved(&stay.lot, &stay.rack);
        let thing = of_lot(shop, &stay.lot, Some(&stay.rack), stay.from, now)?;
        Some(Thing { said: why.into_iter().collect(), ..thing })
    };
    last.into_values().filter_map(thing).collect()
}

fn off_the_racks(shop: &Shop, plan: &ShopPlan, now: Instant) -> Vec<Thing> {
    let (view, today) = (shop.viewpoint(now), local_date(now, shop.zone()));
    let off = carried_off(shop, plan, view).into_iter();
    let of_today = off.filter(|off| off.from.at() <= now && off.by.day() <= today);
    let thing = |off: CarryOff| {
        let thing = of_lot(shop, &off.lot, None, off.from.at(), now)?;
        let why = format!("makes room for {}", off.makes_room_for);
        Some(Thing { said: vec![why], until: Some(off.by.at()), ..thing })
    };
    of_today.filter_map(thing).collect()
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
