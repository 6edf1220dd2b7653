//! Lots that a failed touch test holds.

use serde::Serialize;

use crate::report::Page;
use crate::report::lot::TouchLine;
use crate::report::stamp::Reader;
use crate::shop::Shop;
use crate::shop::lot::Lot;

/// A lot that still grabbed when it was last touched.
#[derive(Debug, Clone, Serialize)]
pub struct GrabbedLine {
    /// The lot.
    pub lot: String,
    /// The test.
    #[serde(flatten)]
    pub test: TouchLine,
}

impl GrabbedLine {
    /// All of them; one that is held besides is in no plan.
    pub(super) fn all(shop: &Shop, reader: Reader) -> Vec<Self> {
        let line = |lot: &Lot| {
            let test = TouchLine::new(lot.still_grabs()?, reader);
            Some(Self { lot: lot.name.to_string(), test })
        };
        shop.open_lots().filter(|lot| lot.held.is_none()).filter_map(line).collect()
    }

    /// What they wait for, and how they are planned.
    pub(super) fn text(lines: &[Self], page: &mut Page) {
        if lines.is_empty() {
            return;
        }
        let said = |line: &Self| format!("{} ({})", line.lot, line.test);
        let lots: Vec<String> = lines.iter().map(said).collect();
        let text = format!(
            "Waiting for a touch test that passes, and planned no sooner than the next open day: {}",
            lots.join(", ")
        );
        page.hanging(0, 2, &text);
    }
}
