//! A held lot goes on.

use super::{Entry, EntryId, Happened, LotName, Objections, Refusal, Shop, Subject, When};

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LotReleased {
    pub lot: LotName,
}

impl Happened for LotReleased {
    const WORD: &'static str = "lot release";

    fn subjects(&self, _: EntryId) -> Vec<Subject> {
        Subject::of_lot(&self.lot, None)
    }

    fn objections(&self, shop: &Shop, when: When) -> Objections {
        match &shop.lot_at(&self.lot, when.at)?.held {
            Some(_) => Ok(Vec::new()),
            None => Err(Refusal::NotHeld { lot: self.lot.clone() }),
        }
    }

    fn apply(&self, shop: &mut Shop, entry: &Entry) {
        if let Some(lot) = shop.touched(&self.lot, entry) {
            lot.held = None;
        }
    }

    fn said(&self, _: &Shop) -> String {
        self.lot.to_string()
    }
}
