//! A lot was carried to another rack, or off the racks.

use super::{Entry, EntryId, Happened, LotName, Objections, Shop, Subject, When};
use crate::shop::rule::free;

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LotMoved {
    pub lot: LotName,
    /// The rack; none is off the racks.
    pub rack: Option<String>,
}

impl Happened for LotMoved {
    const WORD: &'static str = "lot move";

    fn subjects(&self, _: EntryId) -> Vec<Subject> {
        Subject::of_lot(&self.lot, self.rack.as_ref())
    }

    fn objections(&self, shop: &Shop, when: When) -> Objections {
        let lot = shop.lot_at(&self.lot, when.at)?;
        free(lot)?;
        let Some(rack) = &self.rack else {
            return Ok(shop.too_soon_to_move(lot, "leave the rack", when).into_iter().collect());
        };
        shop.has_room(rack, lot.pieces, when.at, Some(&lot.name))?;
        Ok(shop.rack_objections(lot, lot.pieces, rack, when))
    }

    fn apply(&self, shop: &mut Shop, entry: &Entry) {
        if let Some(lot) = shop.touched(&self.lot, entry) {
            lot.flag(entry, lot.next);
            lot.stands(entry.at, self.rack.clone());
        }
    }

    fn said(&self, _: &Shop) -> String {
        match &self.rack {
            Some(rack) => format!("{} to {rack}", self.lot),
            None => format!("{} off the racks", self.lot),
        }
    }
}
