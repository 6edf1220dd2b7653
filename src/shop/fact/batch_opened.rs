//! An order was taken on.

use super::{
    Entry, EntryId, Happened, Objections, Refusal, Shop, Subject, SubjectKind, When, ordered,
};
use crate::shop::Batch;
use crate::shop::name::alike;
use chrono::NaiveDate;

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BatchOpened {
    pub batch: String,
    pub recipe: String,
    /// Good pieces promised.
    pub pieces: u32,
    /// The date promised for.
    pub due: Option<NaiveDate>,
    /// For whom, or any note.
    pub customer: Option<String>,
    /// The date the customer would like.
    pub wanted: Option<NaiveDate>,
}

impl Happened for BatchOpened {
    const WORD: &'static str = "batch open";

    fn subjects(&self, _: EntryId) -> Vec<Subject> {
        vec![
            Subject::new(SubjectKind::Batch, &self.batch),
            Subject::new(SubjectKind::Recipe, &self.recipe),
        ]
    }

    fn objections(&self, shop: &Shop, _: When) -> Objections {
        shop.known_recipe(&self.recipe)?;
        if let Some(name) = shop.batches.keys().find(|name| alike(name, &self.batch)) {
            return Err(Refusal::NameTaken { what: SubjectKind::Batch, name: name.clone() });
        }
        if self.pieces == 0 {
            return Err(Refusal::NoPieces);
        }
        Ok(Vec::new())
    }

    fn apply(&self, shop: &mut Shop, entry: &Entry) {
        let batch = Batch {
            due: self.due,
            wanted: self.wanted,
            customer: self.customer.clone(),
            ..Batch::order(&self.batch, &self.recipe, self.pieces, entry.at)
        };
        shop.batches.insert(self.batch.clone(), batch);
    }

    fn said(&self, _: &Shop) -> String {
        let ordered = ordered(self.pieces, &self.recipe, self.due, self.customer.as_deref());
        format!("{}: {ordered}", self.batch)
    }
}
