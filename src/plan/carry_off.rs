//! What has to be carried off a rack, so that those who come after find their slots there.

use schemars::JsonSchema;
use serde::Serialize;

use crate::shop::Shop;
use crate::shop::lot::Lot;
use crate::shop::plan::{ShopPlan, StayPlan};
use crate::time::{Instant, Stamp, Viewpoint};

/// Pieces that need no rack any more and stand where others are to go. The plan counts their slots as free; on record they
/// take them until they are carried off.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema, Serialize)]
pub(crate) struct CarryOff {
    pub(crate) lot: String,
    pub(crate) pieces: u32,
    pub(crate) rack: String,
    /// No sooner: its cure is over.
    pub(crate) from: Stamp,
    /// No later.
    pub(crate) by: Stamp,
    /// The lot that goes there then.
    pub(crate) makes_room_for: String,
}

/// A lot on a rack, as it will be on record.
struct Standing {
    lot: String,
    pieces: u32,
    rack: String,
    /// From when it needs no rack; none for a held lot, which nobody touches.
    free_from: Option<Instant>,
}

/// What a plan needs carried off, in order of time: of each rack what has been free for longest, and no more than has to be.
pub(crate) fn carried_off(shop: &Shop, plan: &ShopPlan, view: Viewpoint) -> Vec<CarryOff> {
    let mut standing: Vec<Standing> =
        shop.open_lots().filter_map(|lot| Standing::now(lot, plan)).collect();
    let mut carried = Vec::new();
    // In order of time.
    for moment in plan.stays.chunk_by(|a, b| a.from == b.from) {
        // Who goes to another rack has gone before anyone comes.
        let stays_there = |on: &Standing| {
            let goes = moment.iter().find(|stay| stay.lot == on.lot);
            goes.is_none_or(|stay| stay.rack == on.rack)
        };
        standing.retain(stays_there);
        for stay in moment {
            make_room(shop, stay, view, &mut standing, &mut carried);
            standing.push(Standing::of(stay));
        }
    }
    carried
}

/// Carries off what a stay leaves no slots for; the lot itself, if it stands there already, is put down anew.
fn make_room(
    shop: &Shop,
    stay: &StayPlan,
    view: Viewpoint,
    standing: &mut Vec<Standing>,
    carried: &mut Vec<CarryOff>,
) {
    standing.retain(|on| on.lot != stay.lot);
    let rack = shop.setup.as_ref().and_then(|setup| setup.rack(&stay.rack));
    let slots = rack.map_or(0, |rack| rack.slots);
    let taken = |standing: &[Standing]| -> u32 {
        standing.iter().filter(|on| on.rack == stay.rack).map(|on| on.pieces).sum()
    };
    while taken(standing).saturating_add(stay.pieces) > slots {
        let free = |(place, on): (usize, &Standing)| {
            let from = on.free_from.filter(|from| on.rack == stay.rack && *from <= stay.from)?;
            Some((from, place))
        };
        let Some((from, place)) = standing.iter().enumerate().filter_map(free).min() else {
            return;
        };
        let Standing { lot, pieces, rack, .. } = standing.remove(place);
        let (from, by) = (view.stamp(from), view.stamp(stay.from));
        let makes_room_for = stay.lot.clone();
        carried.push(CarryOff { lot, pieces, rack, from, by, makes_room_for });
    }
}

impl Standing {
    fn now(lot: &Lot, plan: &ShopPlan) -> Option<Self> {
        let (name, rack) = (lot.name.to_string(), lot.rack()?.to_owned());
        let until = plan.stays.iter().filter(|stay| stay.lot == name).map(|stay| stay.until).max();
        let free_from = until.unwrap_or(plan.now);
        Some(Self {
            lot: name,
            pieces: lot.pieces,
            rack,
            free_from: lot.held.is_none().then_some(free_from),
        })
    }

    fn of(stay: &StayPlan) -> Self {
        let (lot, rack) = (stay.lot.clone(), stay.rack.clone());
        Self { lot, pieces: stay.pieces, rack, free_from: Some(stay.until) }
    }
}
