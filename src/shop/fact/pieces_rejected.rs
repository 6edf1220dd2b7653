//! Pieces were thrown out.

use super::{
    Entry, EntryId, Happened, LotName, Objections, Refusal, Shop, Subject, When, step_name,
};
use crate::shop::count::Count;
use crate::shop::rule::enough;

#[derive(Debug, Clone, PartialEq, Eq)]
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
        let lot = shop.lot_at(&self.lot, when.at)?;
        enough(lot, self.pieces)?;
        let next = lot.next_step().map_or(lot.recipe.count(), |(step, _)| step);
        if lot.recipe.step(self.step).is_none() || self.step > next {
            let steps = lot.recipe.numbered().filter(|(number, _)| *number <= next);
            return Err(Refusal::NotReached {
                lot: self.lot.clone(),
                step: self.step,
                reached: steps
                    .map(|(number, _)| format!("{number} {}", lot.recipe.words(number)))
                    .collect(),
            });
        }
        Ok(Vec::new())
    }

    fn apply(&self, shop: &mut Shop, entry: &Entry) {
        let Some(lot) = shop.touched(&self.lot, entry) else { return };
        lot.lose(entry.at, self.pieces);
        if let Some(batch) = shop.batches.get_mut(&self.lot.batch) {
            batch.rejected += self.pieces;
        }
    }

    fn said(&self, shop: &Shop) -> String {
        let (pieces, step) = (Count(self.pieces, "piece"), step_name(shop, &self.lot, self.step));
        format!("{}: {pieces} at {step}, {}", self.lot, self.why)
    }
}
