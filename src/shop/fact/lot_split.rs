//! Some pieces of a lot go on by themselves.

use super::{Entry, EntryId, Happened, LotName, Objections, Refusal, Shop, Subject, When, on};
use crate::shop::count::Count;
use crate::shop::rule::enough;

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LotSplit {
    pub lot: LotName,
    pub into: LotName,
    /// Pieces in the new lot.
    pub pieces: u32,
    /// Where the new lot stands, if it moved.
    pub rack: Option<String>,
    /// Whether the step that the rest has begun is still to be begun for them.
    pub not_begun: bool,
}

impl Happened for LotSplit {
    const WORD: &'static str = "lot split";

    fn subjects(&self, _: EntryId) -> Vec<Subject> {
        [Subject::of_lot(&self.lot, None), Subject::of_lot(&self.into, self.rack.as_ref())].concat()
    }

    fn objections(&self, shop: &Shop, when: When) -> Objections {
        let lot = shop.lot_at(&self.lot, when.at)?;
        enough(lot, self.pieces)?;
        if self.pieces == lot.pieces {
            return Err(Refusal::SplitAll { lot: lot.name.clone(), pieces: self.pieces });
        }
        match &self.rack {
            Some(rack) if lot.rack() != Some(rack) => {
                shop.has_room(rack, self.pieces, when.at, None)?;
                Ok(shop.rack_objections(lot, self.pieces, rack, when))
            }
            Some(_) | None => Ok(Vec::new()),
        }
    }

    fn apply(&self, shop: &mut Shop, entry: &Entry) {
        let Some(lot) = shop.touched(&self.lot, entry) else { return };
        let mut new = lot.part(entry.at, &self.into, self.pieces, self.rack.clone());
        if self.not_begun {
            new.begun = None;
        }
        shop.take_in(new);
    }

    fn said(&self, _: &Shop) -> String {
        let (pieces, rack) = (Count(self.pieces, "piece"), on(self.rack.as_ref()));
        format!("{pieces} of {} go on as {}{rack}", self.lot, self.into)
    }
}
