//! Pieces were thrown out.

use serde::{Deserialize, Serialize};

use super::{Entry, EntryId, Happened, LotName, Objections, Shop, Subject, When};
use crate::shop::count::Count;
use crate::shop::rule::enough;

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PiecesRejected {
    pub lot: LotName,
    pub pieces: u32,
    pub why: String,
    /// The step they failed at, from 1 (the next step to do, or the last one done when all are).
    pub step: u32,
}

impl Happened for PiecesRejected {
    const WORD: &'static str = "lot reject";

    fn subjects(&self, _: EntryId) -> Vec<Subject> {
        Subject::of_lot(&self.lot, None)
    }

    fn objections(&self, shop: &Shop, when: When) -> Objections {
        enough(shop.lot_at(&self.lot, when.at)?, self.pieces).map(|()| Vec::new())
    }

    fn apply(&self, shop: &mut Shop, entry: &Entry) {
        let Some(lot) = shop.touched(&self.lot, entry) else { return };
        lot.lose(entry.at, self.pieces);
        if let Some(batch) = shop.batches.get_mut(&self.lot.batch) {
            batch.rejected += self.pieces;
        }
    }

    fn said(&self, _: &Shop) -> String {
        format!("{}: {}, {}", self.lot, Count(self.pieces, "piece"), self.why)
    }
}
