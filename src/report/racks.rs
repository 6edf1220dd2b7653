//! What stands where, how full, until when.

use schemars::JsonSchema;
use serde::Serialize;

use crate::report::due::window_end;
use crate::report::lot::LotLine;
use crate::report::{Columns, Page, Report, Tone, row};
use crate::shop::setup::Rack;
use crate::shop::{Count, Lot, Shop};
use crate::time::{Stamp, Viewpoint};
use crate::units::{Celsius, Shown};

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
    /// How warm its room was of late.
    pub(crate) room_temp_c: Option<Shown<Celsius>>,
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

    fn columns(&self, page: &Page) -> Columns<3> {
        let on_racks = self.racks.iter().flat_map(|rack| &rack.lots).map(|on| &on.line);
        let rows: Vec<_> = on_racks.chain(&self.elsewhere).map(LotLine::parts).collect();
        page.columns(2, &rows)
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
            room_temp_c: shop.usual_temp(&rack.room, view.now).map(|temp| view.shown(temp)),
            purpose,
            slots: rack.slots,
            taken: shop.taken(&rack.name),
            lots: shop.lots_on(&rack.name).map(|lot| OnRack::new(shop, lot, rack, view)).collect(),
        }
    }

    /// "wire shelf", "garage 9 °C", "######....", "36 of 60", "drying".
    fn head(&self) -> [String; 5] {
        let air = self.room_temp_c.map_or_else(String::new, |temp| format!(" {temp:.0}"));
        let purpose: Vec<&str> =
            self.purpose.iter().map(|it| if *it == "dry" { "drying" } else { "curing" }).collect();
        let (bar, taken) =
            (bar(self.taken, self.slots), format!("{} of {}", self.taken, self.slots));
        row![self.rack, format!("{}{air}", self.room), bar, taken, purpose.join(" and ")]
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

    fn until(&self) -> String {
        let moved = self.line.moved();
        let next = match (&self.line.ready_at, &self.line.until, self.line.state) {
            (Some(from), Some(until), "resting") => {
                format!(
                    "from {}{moved}{}",
                    from.minute_up().both(),
                    window_end(Some(*from), *until)
                )
            }
            (Some(from), None, "resting" | "curing") => {
                format!("from {}{moved}", from.minute_up().both())
            }
            (_, Some(until), "overdue") => format!("should have been by {}", until.both()),
            (_, Some(until), _) => format!("until {}", until.both()),
            _ => String::new(),
        };
        match &self.leaves_from {
            Some(leaves)
                if self.line.state != "curing"
                    && leaves.at() > self.line.ready_at.map_or(leaves.at(), |ready| ready.at()) =>
            {
                format!("{next}; may leave from {}", leaves.minute_up().moment())
            }
            _ => next,
        }
    }
}

impl Report for Racks {
    fn text(&self, page: &mut Page) {
        page.say(format!("What stands where, {}", self.now.in_full()));
        let heads: Vec<_> = self.racks.iter().map(RackShown::head).collect();
        let (heads_wide, lots_wide) = (page.columns(0, &heads), self.columns(page));
        for (rack, head) in self.racks.iter().zip(&heads) {
            page.gap();
            page.row(Tone::Strong, 0, heads_wide, head);
            for on in &rack.lots {
                on.line.on_rack(lots_wide, page);
                let until = on.until();
                if !until.is_empty() {
                    page.hanging(6, 8, &until);
                }
            }
            page.under(format!("free {}", rack.slots.saturating_sub(rack.taken)));
        }
        if !self.elsewhere.is_empty() {
            page.section(Tone::Strong, "on no rack");
            for line in &self.elsewhere {
                line.on_rack(lots_wide, page);
            }
        }
    }
}

/// Ten signs: how full. The number stands beside it.
fn bar(taken: u32, slots: u32) -> String {
    let full = (u64::from(taken) * 10).div_ceil(u64::from(slots.max(1))).min(10);
    (0..10).map(|sign| if sign < full { '#' } else { '.' }).collect()
}

impl LotLine {
    /// "salt-1", "36 pieces", "resting: coat 2 of 3, house oil"; with a mark where something was recorded against the rules.
    fn parts(&self) -> [String; 3] {
        let flag = if self.flags.is_empty() { "" } else { " !" };
        let state = if self.state == "overdue" { "OVERDUE" } else { self.state };
        let pieces = format!("{}{flag}", Count(self.pieces, "piece"));
        [self.lot.clone(), pieces, format!("{state}: {}", self.words)]
    }

    fn on_rack(&self, columns: Columns<3>, page: &mut Page) {
        let tone = if self.state == "overdue" { Tone::Late } else { Tone::Plain };
        page.row(tone, 2, columns, &self.parts());
    }
}
