//! A shipment did not go: its pieces are in hand again.

use super::{
    Entry, EntryId, Happened, LotName, Objections, Refusal, Shop, Subject, SubjectKind, When,
};
use crate::shop::rule::in_order;

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShipmentCancelled {
    pub shipment: EntryId,
    /// The lots in it, so that whoever reads them reads this.
    pub lots: Vec<LotName>,
    pub why: String,
}

impl Happened for ShipmentCancelled {
    const WORD: &'static str = "ship cancel";

    fn subjects(&self, _: EntryId) -> Vec<Subject> {
        let lots = self.lots.iter().flat_map(|lot| Subject::of_lot(lot, None));
        lots.chain([Subject::new(SubjectKind::Shipment, self.shipment)]).collect()
    }

    fn objections(&self, shop: &Shop, when: When) -> Objections {
        let sent = shop.sent(self.shipment, when.at)?;
        if sent.came_back() > 0 {
            return Err(Refusal::CameBack { shipment: self.shipment });
        }
        for (name, pieces) in &sent.lots {
            let lot = shop.known_lot(name)?;
            in_order(&name.to_string(), when.at, lot.last_at)?;
            if let Some(rack) = lot.rack() {
                let all = lot.pieces.saturating_add(*pieces);
                shop.has_room(rack, all, when.at, Some(name))?;
            }
        }
        Ok(Vec::new())
    }

    fn apply(&self, shop: &mut Shop, entry: &Entry) {
        let Some(sent) = shop.shipments.get_mut(&self.shipment) else { return };
        sent.cancelled = Some(self.why.clone());
        for (name, pieces) in sent.lots.clone() {
            if let Some(batch) = shop.batches.get_mut(&name.batch) {
                batch.shipped = batch.shipped.saturating_sub(pieces);
            }
            if let Some(lot) = shop.touched(&name, entry) {
                lot.pieces += pieces;
                let rack = lot.rack().map(str::to_owned);
                lot.stands(entry.at, rack);
            }
        }
    }

    fn said(&self, _: &Shop) -> String {
        format!("shipment {}: {}", self.shipment, self.why)
    }
}
