//! Lots that a failed touch test holds.

use schemars::JsonSchema;
use serde::Serialize;

use crate::report::Page;
use crate::report::lot::TouchLine;
use crate::shop::{Lot, Shop};
use crate::time::Viewpoint;

/// A lot that still grabbed when it was last touched.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct GrabbedLine {
    pub(crate) lot: String,
    /// What waits for a test that passes.
    pub(crate) waits: Waits,
    #[serde(flatten)]
    pub(crate) test: TouchLine,
}

/// What a failed touch test holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Waits {
    Step,
    /// Shipping alone: the steps are done, or were recorded against the rules since.
    Shipping,
}

impl GrabbedLine {
    /// All of them; one that is held besides is in no plan.
    pub(super) fn all(shop: &Shop, view: Viewpoint) -> Vec<Self> {
        let line = |lot: &Lot| {
            let step =
                lot.still_grabs().filter(|_| !lot.finished()).map(|test| (Waits::Step, test));
            let shipping = || Some((Waits::Shipping, lot.barred_from_shipping()?));
            let (waits, test) = step.or_else(shipping)?;
            Some(Self { lot: lot.name.to_string(), waits, test: TouchLine::new(test, view) })
        };
        shop.open_lots().filter(|lot| lot.held.is_none()).filter_map(line).collect()
    }

    /// What they wait for, and how they are planned.
    pub(super) fn text(lines: &[Self], page: &mut Page) {
        for (waits, how) in [
            (
                Waits::Step,
                "Waiting for a touch test that passes, and planned no sooner than the next open day",
            ),
            (
                Waits::Shipping,
                "Not shipped before a touch test passes, and ready no sooner than the next open day",
            ),
        ] {
            let of_these = lines.iter().filter(|line| line.waits == waits);
            let lots: Vec<String> =
                of_these.map(|line| format!("{} ({})", line.lot, line.test)).collect();
            if !lots.is_empty() {
                page.hang(format!("{how}: {}", lots.join(", ")));
            }
        }
    }
}
