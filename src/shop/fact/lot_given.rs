//! A lot was given to another batch of the same recipe, where it goes on under a name of that batch.

use super::{
    Entry, EntryId, Happened, LotName, Objections, Refusal, Shop, Subject, SubjectKind, When,
};

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LotGiven {
    pub lot: LotName,
    pub into: LotName,
}

impl Happened for LotGiven {
    const WORD: &'static str = "lot give";

    fn subjects(&self, id: EntryId) -> Vec<Subject> {
        let lots = [Subject::of_lot(&self.lot, None), Subject::of_lot(&self.into, None)].concat();
        lots.into_iter().chain([Subject::new(SubjectKind::Given, id)]).collect()
    }

    fn objections(&self, shop: &Shop, when: When) -> Objections {
        let lot = shop.lot_at(&self.lot, when.at)?;
        shop.open_batch(&self.into.batch, when.at)?;
        let batch = shop.known_batch(&self.into.batch)?;
        if batch.recipe != lot.recipe.name {
            return Err(Refusal::OtherRecipe {
                lot: self.lot.clone(),
                recipe: lot.recipe.name.clone(),
                batch: batch.name.clone(),
                wanted: batch.recipe.clone(),
            });
        }
        Ok(Vec::new())
    }

    fn apply(&self, shop: &mut Shop, entry: &Entry) {
        let Some(lot) = shop.touched(&self.lot, entry) else { return };
        let pieces = lot.pieces;
        let mut given = lot.part(entry.at, &self.into, pieces, None);
        // What held it was the order it had no longer.
        given.held = None;
        let old = shop.batches.get_mut(&self.lot.batch);
        if let Some(old) = old {
            old.started = old.started.saturating_sub(pieces);
        }
        if let Some(new) = shop.batches.get_mut(&self.into.batch) {
            new.started += pieces;
        }
        shop.take_in(given);
    }

    fn said(&self, _: &Shop) -> String {
        format!("{} goes on as {}", self.lot, self.into)
    }
}
