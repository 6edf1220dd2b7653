//! An order was changed: what it asks for from now on, whole.

use super::{
    Entry, EntryId, Happened, Objections, Refusal, Shop, Subject, SubjectKind, When, ordered,
};
use chrono::NaiveDate;

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BatchChanged {
    pub batch: String,
    /// Good pieces promised.
    pub pieces: u32,
    /// The date promised for.
    pub due: Option<NaiveDate>,
    /// The date the customer would like.
    pub wanted: Option<NaiveDate>,
    pub customer: Option<String>,
}

impl Happened for BatchChanged {
    const WORD: &'static str = "batch change";

    fn subjects(&self, _: EntryId) -> Vec<Subject> {
        vec![Subject::new(SubjectKind::Batch, &self.batch)]
    }

    fn objections(&self, shop: &Shop, when: When) -> Objections {
        shop.open_batch(&self.batch, when.at)?;
        let batch = shop.known_batch(&self.batch)?;
        let shipped = batch.gone();
        if self.pieces == 0 {
            return Err(Refusal::NoPieces);
        }
        // More may have left than were ordered: that stands whatever else is changed.
        if self.pieces < shipped && self.pieces != batch.pieces {
            let batch = self.batch.clone();
            return Err(Refusal::ShippedMore { batch, shipped, asked: self.pieces });
        }
        Ok(Vec::new())
    }

    fn apply(&self, shop: &mut Shop, _: &Entry) {
        let Some(batch) = shop.batches.get_mut(&self.batch) else { return };
        batch.pieces = self.pieces;
        batch.due = self.due;
        batch.wanted = self.wanted;
        batch.customer.clone_from(&self.customer);
    }

    fn said(&self, shop: &Shop) -> String {
        let recipe = shop.batches.get(&self.batch).map_or("", |batch| &batch.recipe);
        format!(
            "{}: {}",
            self.batch,
            ordered(self.pieces, recipe, self.due, self.customer.as_deref())
        )
    }
}
