//! Pieces left the shop; the shipment's number is the entry's.

use std::collections::BTreeMap;

use super::{
    Entry, EntryId, Happened, LotName, Objections, Refusal, Shop, Subject, SubjectKind, When,
};
use crate::shop::Sent;
use crate::shop::count::all_of;
use crate::shop::rule::{enough, free};
use crate::shop::setup::Step;

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shipped {
    pub to: String,
    /// The pieces of each lot.
    pub lots: Vec<(LotName, u32)>,
}

impl Happened for Shipped {
    const WORD: &'static str = "ship";

    fn subjects(&self, id: EntryId) -> Vec<Subject> {
        let lots = self.lots.iter().flat_map(|(lot, _)| Subject::of_lot(lot, None));
        lots.chain([Subject::new(SubjectKind::Shipment, id)]).collect()
    }

    /// Only cured, inspected pieces with every step behind them leave the shop; nothing overrules that.
    fn objections(&self, shop: &Shop, when: When) -> Objections {
        for (name, pieces) in &self.lots {
            let lot = shop.lot_at(name, when.at)?;
            free(lot)?;
            enough(lot, *pieces)?;
            shop.cured(lot, when)?;
            if let Some((number, _)) = lot.next_step() {
                let (name, step) = (name.clone(), lot.recipe.words(number));
                let mut left = lot.recipe.numbered().filter(|(number, _)| *number >= lot.next);
                return Err(if left.any(|(_, step)| Step::inspects(step)) {
                    Refusal::Uninspected { lot: name, step }
                } else {
                    Refusal::StepsLeft { lot: name, step }
                });
            }
        }
        Ok(Vec::new())
    }

    fn apply(&self, shop: &mut Shop, entry: &Entry) {
        let (to, lots) = (self.to.clone(), self.lots.clone());
        let sent = Sent { at: entry.at, to, lots, cancelled: None, returned: BTreeMap::new() };
        shop.shipments.insert(entry.id, sent);
        for (name, pieces) in &self.lots {
            if let Some(batch) = shop.batches.get_mut(&name.batch) {
                batch.shipped += pieces;
            }
            if let Some(lot) = shop.touched(name, entry) {
                lot.lose(entry.at, *pieces);
            }
        }
    }

    fn said(&self, _: &Shop) -> String {
        let lot = |(lot, pieces): &(LotName, u32)| format!("{pieces} of {lot}");
        format!("{} to {}", all_of(self.lots.iter().map(lot)), self.to)
    }
}
