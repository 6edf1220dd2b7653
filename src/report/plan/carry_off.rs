//! What has to be moved off a rack, as shown.

use crate::plan::carry_off::CarryOff;
use crate::report::Page;

/// Lots shown one by one.
const SHOWN: usize = 6;

impl CarryOff {
    /// The first of them, and how it is recorded.
    pub(super) fn text(lines: &[Self], page: &mut Page) {
        let Some(first) = lines.first() else { return };
        for line in lines.iter().take(SHOWN) {
            let (pieces, by) = (line.pieces, line.by.moment());
            let (lot, rack, others) = (&line.lot, &line.rack, &line.makes_room_for);
            page.hanging(
                2,
                6,
                format!("by {by}  move {lot} ({pieces}) off {rack}, to make room for {others}"),
            );
        }
        if lines.len() > SHOWN {
            page.under(format!("and {} more", lines.len() - SHOWN));
        }
        page.under(format!("Record it: tackfree lot move {} --off", first.lot));
    }
}
