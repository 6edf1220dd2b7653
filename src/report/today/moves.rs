//! Lots that stand on another rack than the plan has them on, or where others are to go: on the sheet until the move is recorded.

use schemars::JsonSchema;
use serde::Serialize;

use crate::plan::carry_off::CarryOff;
use crate::report::row;
use crate::report::today::{Day, Line};
use crate::shop::plan::{ShopPlan, ToMove};
use crate::shop::{Count, Shop};
use crate::time::{Stamp, Viewpoint};

/// A lot to move.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Move {
    pub(crate) lot: String,
    pub(crate) pieces: u32,
    /// Where it stands.
    pub(crate) off: String,
    pub(crate) rack: String,
    /// No sooner.
    pub(crate) from: Stamp,
    /// Whether it cures there.
    pub(crate) cures: bool,
}

impl Move {
    /// The moves of a day, in the order in which they can be made.
    pub(super) fn all(shop: &Shop, plan: &ShopPlan, day: &Day, view: Viewpoint) -> Vec<Self> {
        let of_day = plan.to_move(shop).filter(|to_move| day.holds(to_move.stay.from));
        let shown = of_day.map(|ToMove { off, stay }| Self {
            lot: stay.lot.clone(),
            pieces: stay.pieces,
            off,
            rack: stay.rack.clone(),
            from: view.stamp(stay.from),
            cures: stay.cures,
        });
        shown.collect()
    }

    pub(super) fn line(&self) -> Line {
        let Self { lot, pieces, off, rack, from, cures } = self;
        let now = from.is_past();
        let when =
            if now { "now".to_owned() } else { format!("from {}", from.minute_up().clock()) };
        let (to, here) = (format!("move to {rack}"), format!("{pieces} on {off}"));
        Line {
            parts: row![when, lot, to, here, if *cures { "to cure there" } else { "" }],
            then: now.then(|| format!("then: tackfree lot move {lot} --rack {rack:?}")),
        }
    }
}

impl Line {
    pub(super) fn off(off: &CarryOff) -> Self {
        let CarryOff { lot, pieces, rack, by, makes_room_for: others, .. } = off;
        let (by, rack) = (format!("by {}", by.clock()), format!("move off {rack}"));
        Self {
            parts: row![by, lot, rack, Count(*pieces, "piece"), format!("for {others}")],
            then: Some(format!("then: tackfree lot move {lot} --off")),
        }
    }
}
