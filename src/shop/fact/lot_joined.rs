//! Two lots at the same step go on as one; its record names both histories.

use super::{Entry, EntryId, Happened, LotName, Objections, Refusal, Shop, Subject, When};
use crate::shop::rule::free;

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LotJoined {
    pub lot: LotName,
    /// The lot that goes on under the other's name.
    pub from: LotName,
}

impl Happened for LotJoined {
    const WORD: &'static str = "lot join";

    fn subjects(&self, _: EntryId) -> Vec<Subject> {
        [Subject::of_lot(&self.lot, None), Subject::of_lot(&self.from, None)].concat()
    }

    fn objections(&self, shop: &Shop, when: When) -> Objections {
        let (lot, from) = (shop.lot_at(&self.lot, when.at)?, shop.lot_at(&self.from, when.at)?);
        free(lot)?;
        free(from)?;
        let alike = lot.name != from.name
            && lot.name.batch == from.name.batch
            && (&lot.recipe, lot.next) == (&from.recipe, from.next)
            && lot.begun.is_none()
            && from.begun.is_none();
        if !alike {
            return Err(Refusal::CannotJoin { lot: self.lot.clone(), from: self.from.clone() });
        }
        match lot.rack().filter(|rack| from.rack() != Some(rack)) {
            Some(rack) => {
                shop.has_room(
                    rack,
                    lot.pieces.saturating_add(from.pieces),
                    when.at,
                    Some(&lot.name),
                )?;
                Ok(shop.rack_objections(from, from.pieces, rack, when))
            }
            None => Ok(Vec::new()),
        }
    }

    fn apply(&self, shop: &mut Shop, entry: &Entry) {
        let Some(from) = shop.touched(&self.from, entry) else { return };
        let mut part = from.clone();
        from.lose(entry.at, part.pieces);
        let Some(lot) = shop.touched(&self.lot, entry) else { return };
        lot.pieces += part.pieces;
        lot.flags.append(&mut part.flags);
        let mut others = std::mem::take(&mut part.joined);
        lot.joined.push(part);
        lot.joined.append(&mut others);
        let rack = lot.rack().map(str::to_owned);
        lot.stands(entry.at, rack);
    }

    fn said(&self, _: &Shop) -> String {
        format!("{} goes on in {}", self.from, self.lot)
    }
}
