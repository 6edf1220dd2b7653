//! An order was cancelled: its lots wait for a decision, and can be given to another batch.

use super::{Entry, EntryId, Happened, Objections, Shop, Subject, SubjectKind, When};
use crate::shop::lot::Held;

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BatchCancelled {
    pub batch: String,
    pub why: String,
}

impl Happened for BatchCancelled {
    const WORD: &'static str = "batch cancel";

    fn subjects(&self, _: EntryId) -> Vec<Subject> {
        vec![Subject::new(SubjectKind::Batch, &self.batch)]
    }

    fn objections(&self, shop: &Shop, when: When) -> Objections {
        shop.open_batch(&self.batch, when.at).map(|()| Vec::new())
    }

    fn apply(&self, shop: &mut Shop, entry: &Entry) {
        if let Some(batch) = shop.batches.get_mut(&self.batch) {
            batch.closed = Some(entry.at);
            batch.cancelled = Some(self.why.clone());
        }
        let why = format!("its order was cancelled: {}", self.why);
        for lot in shop.lots.values_mut().filter(|lot| lot.name.batch == self.batch) {
            lot.held.get_or_insert(Held { since: entry.at, why: why.clone() });
        }
    }

    fn said(&self, _: &Shop) -> String {
        format!("{}: {}", self.batch, self.why)
    }
}
