//! A lot waits for a decision.

use super::{Entry, EntryId, Happened, LotName, Objections, Shop, Subject, When};
use crate::shop::lot::Held;
use crate::shop::rule::free;

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LotHeld {
    pub lot: LotName,
    pub why: String,
}

impl Happened for LotHeld {
    const WORD: &'static str = "lot hold";

    fn subjects(&self, _: EntryId) -> Vec<Subject> {
        Subject::of_lot(&self.lot, None)
    }

    fn objections(&self, shop: &Shop, when: When) -> Objections {
        free(shop.lot_at(&self.lot, when.at)?)
    }

    fn apply(&self, shop: &mut Shop, entry: &Entry) {
        if let Some(lot) = shop.touched(&self.lot, entry) {
            lot.held = Some(Held { since: entry.at, why: self.why.clone() });
        }
    }

    fn said(&self, _: &Shop) -> String {
        format!("{}: {}", self.lot, self.why)
    }
}
