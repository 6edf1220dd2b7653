//! What has to be carried off a rack, as it is shown.

use serde::Serialize;

use crate::plan::carry_off::{CarryOff, carried_off};
use crate::report::Page;
use crate::report::count::Count;
use crate::report::page::Tone;
use crate::shop::Shop;
use crate::shop::plan::ShopPlan;
use crate::time::{Stamp, Viewpoint};

/// Lots shown one by one.
const SHOWN: usize = 6;

/// A lot that stands where another is to go.
#[derive(Debug, Clone, Serialize)]
pub struct CarryOffLine {
    pub lot: String,
    pub pieces: u32,
    pub rack: String,
    /// No sooner: its cure is over.
    pub from: Stamp,
    /// No later.
    pub by: Stamp,
    /// The lot that goes there then.
    pub makes_room_for: String,
}

impl CarryOffLine {
    /// All that a plan needs.
    pub fn all(shop: &Shop, plan: &ShopPlan, view: Viewpoint) -> Vec<Self> {
        let line = |off: CarryOff| Self {
            lot: off.lot,
            pieces: off.pieces,
            rack: off.rack,
            from: view.stamp(off.from),
            by: view.stamp(off.by),
            makes_room_for: off.makes_room_for,
        };
        carried_off(shop, plan).into_iter().map(line).collect()
    }

    /// The first of them, and how it is recorded.
    pub(super) fn text(lines: &[Self], page: &mut Page) {
        let Some(first) = lines.first() else { return };
        page.gap();
        page.heading(Tone::Strong, "To carry off, so that others find their slots");
        for line in lines.iter().take(SHOWN) {
            let (pieces, by) = (Count(line.pieces, "piece"), line.by.moment());
            let (lot, rack, others) = (&line.lot, &line.rack, &line.makes_room_for);
            page.hanging(2, 6, &format!("{lot}: {pieces} off {rack} by {by}, for {others}"));
        }
        if lines.len() > SHOWN {
            page.line(2, &format!("and {} more", lines.len() - SHOWN));
        }
        page.line(2, &format!("Record it: tackfree lot move {} --off", first.lot));
    }
}
