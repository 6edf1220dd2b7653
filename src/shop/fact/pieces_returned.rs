//! Pieces came back from a customer: a lot of their own that waits for a decision.

use super::{
    Entry, EntryId, Happened, LotName, Objections, Refusal, Shop, Subject, SubjectKind, When,
};
use crate::shop::count::Count;
use crate::shop::lot::Held;

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PiecesReturned {
    pub shipment: EntryId,
    pub lot: LotName,
    pub into: LotName,
    pub pieces: u32,
    pub why: String,
}

impl Happened for PiecesReturned {
    const WORD: &'static str = "ship return";

    fn subjects(&self, _: EntryId) -> Vec<Subject> {
        let lots = [Subject::of_lot(&self.lot, None), Subject::of_lot(&self.into, None)].concat();
        lots.into_iter().chain([Subject::new(SubjectKind::Shipment, self.shipment)]).collect()
    }

    fn objections(&self, shop: &Shop, when: When) -> Objections {
        let sent = shop.sent(self.shipment, when.at)?;
        if self.pieces == 0 {
            return Err(Refusal::NoPieces);
        }
        let away = sent.away(&self.lot);
        if self.pieces > away {
            let (shipment, lot) = (self.shipment, self.lot.clone());
            return Err(Refusal::NotSent { shipment, lot, away, asked: self.pieces });
        }
        Ok(Vec::new())
    }

    fn apply(&self, shop: &mut Shop, entry: &Entry) {
        if let Some(sent) = shop.shipments.get_mut(&self.shipment) {
            *sent.returned.entry(self.lot.clone()).or_default() += self.pieces;
        }
        let Some(lot) = shop.lots.get(&self.lot) else { return };
        let mut back = lot.clone();
        back.name = self.into.clone();
        back.split_from = Some(self.lot.clone());
        back.pieces = self.pieces;
        back.last_at = entry.at;
        // Where they stood is theirs too; the slots they took were the old lot's.
        for standing in &mut back.standing {
            standing.pieces = 0;
        }
        back.stands(entry.at, None);
        let why = format!("came back: {}", self.why);
        back.held = Some(Held { since: entry.at, why });
        if let Some(batch) = shop.batches.get_mut(&self.lot.batch) {
            batch.returned += self.pieces;
        }
        shop.take_in(back);
    }

    fn said(&self, _: &Shop) -> String {
        let pieces = Count(self.pieces, "piece");
        format!(
            "{pieces} of {} from shipment {}, now {}: {}",
            self.lot, self.shipment, self.into, self.why
        )
    }
}
