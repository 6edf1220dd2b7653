//! What stands where, how full, until when.

use schemars::JsonSchema;
use serde::Serialize;

use crate::report::Page;
use crate::report::Report;
use crate::report::lot::LotLine;
use crate::report::page::Tone;
use crate::shop::Shop;
use crate::shop::count::Count;
use crate::shop::lot::Lot;
use crate::shop::setup::Rack;
use crate::time::{Stamp, Viewpoint};

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Racks {
    /// The moment it speaks of.
    pub(crate) now: Stamp,
    /// In the setup's order.
    pub(crate) racks: Vec<RackShown>,
    /// Lots that stand on none.
    pub(crate) elsewhere: Vec<LotLine>,
}

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct RackShown {
    pub(crate) rack: String,
    pub(crate) room: String,
    /// dry, cure.
    #[serde(rename = "use")]
    pub(crate) purpose: Vec<&'static str>,
    pub(crate) slots: u32,
    /// Pieces on it.
    pub(crate) taken: u32,
    pub(crate) lots: Vec<OnRack>,
}

/// One lot on a rack.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct OnRack {
    #[serde(flatten)]
    pub(crate) line: LotLine,
    /// The soonest it can leave the rack, as far as its rests say.
    pub(crate) leaves_from: Option<Stamp>,
}

impl Racks {
    pub(crate) fn new(shop: &Shop, view: Viewpoint) -> Self {
        let setup = shop.setup.iter().flat_map(|setup| &setup.racks);
        let elsewhere = shop.open_lots().filter(|lot| lot.rack().is_none());
        Self {
            now: view.stamp(view.now),
            racks: setup.map(|rack| RackShown::new(shop, rack, view)).collect(),
            elsewhere: elsewhere.map(|lot| LotLine::new(shop, lot, view)).collect(),
        }
    }
}

impl RackShown {
    fn new(shop: &Shop, rack: &Rack, view: Viewpoint) -> Self {
        let mut purpose = Vec::new();
        if rack.purpose.dries() {
            purpose.push("dry");
        }
        if rack.purpose.cures() {
            purpose.push("cure");
        }
        Self {
            rack: rack.name.clone(),
            room: rack.room.clone(),
            purpose,
            slots: rack.slots,
            taken: shop.taken(&rack.name),
            lots: shop.lots_on(&rack.name).map(|lot| OnRack::new(shop, lot, rack, view)).collect(),
        }
    }
}

impl OnRack {
    fn new(shop: &Shop, lot: &Lot, rack: &Rack, view: Viewpoint) -> Self {
        let leaves = match lot.coats_done() {
            false => None,
            true if rack.purpose.dries() && !rack.purpose.cures() => {
                shop.may_leave(lot, view.now).and_then(|leave| leave.at)
            }
            true => shop.cure(lot, view.now).and_then(|cure| cure.at),
        };
        Self {
            line: LotLine::new(shop, lot, view),
            leaves_from: leaves.map(|leaves| view.stamp(leaves)),
        }
    }
}

impl Report for Racks {
    fn text(&self, page: &mut Page) {
        page.line(0, &format!("What stands where, {}", self.now.moment()));
        for rack in &self.racks {
            page.gap();
            let left = format!("{}  ({}, {})", rack.rack, rack.purpose.join(" and "), rack.room);
            let right = format!("{} {} of {}", bar(rack.taken, rack.slots), rack.taken, rack.slots);
            page.pair(0, &left, &right);
            for on in &rack.lots {
                let line = &on.line;
                page.pair(2, &title(line), &format!("{}: {}", line.state, line.words));
                page.line(6, &on.until());
            }
            if rack.lots.is_empty() {
                page.line(2, "empty");
            }
        }
        if !self.elsewhere.is_empty() {
            page.gap();
            page.heading(Tone::Strong, "on no rack");
            for line in &self.elsewhere {
                page.pair(2, &title(line), &format!("{}: {}", line.state, line.words));
            }
        }
    }
}

impl OnRack {
    fn until(&self) -> String {
        let next = match (&self.line.ready_at, &self.line.until, self.line.state) {
            (Some(from), Some(until), "resting") => {
                format!("next step from {}, until {}", from.both(), until.moment())
            }
            (Some(from), None, "resting" | "curing") => format!("next step from {}", from.both()),
            (_, Some(until), _) => format!("until {}", until.both()),
            _ => String::new(),
        };
        match &self.leaves_from {
            Some(leaves)
                if self.line.state != "curing"
                    && leaves.at() > self.line.ready_at.map_or(leaves.at(), |ready| ready.at()) =>
            {
                format!("{next}; may leave from {}", leaves.moment())
            }
            _ => next,
        }
    }
}

/// Ten signs: how full. The number stands beside it.
fn bar(taken: u32, slots: u32) -> String {
    let full = (u64::from(taken) * 10).div_ceil(u64::from(slots.max(1))).min(10);
    (0..10).map(|sign| if sign < full { '#' } else { '.' }).collect()
}

/// "salt-1  36 pieces", with a mark where something was recorded against the rules.
fn title(line: &LotLine) -> String {
    let flag = if line.flags.is_empty() { "" } else { " !" };
    format!("{}  {}{flag}", line.lot, Count(line.pieces, "piece"))
}
