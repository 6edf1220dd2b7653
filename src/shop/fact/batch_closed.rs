//! An order is over.

use super::{
    Entry, EntryId, Happened, LotName, Objections, Refusal, Shop, Subject, SubjectKind, When,
};

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BatchClosed {
    pub batch: String,
}

impl Happened for BatchClosed {
    const WORD: &'static str = "batch close";

    fn subjects(&self, _: EntryId) -> Vec<Subject> {
        vec![Subject::new(SubjectKind::Batch, &self.batch)]
    }

    fn objections(&self, shop: &Shop, when: When) -> Objections {
        shop.open_batch(&self.batch, when.at)?;
        let lots = shop.open_lots().filter(|lot| lot.name.batch == self.batch);
        let lots: Vec<LotName> = lots.map(|lot| lot.name.clone()).collect();
        if !lots.is_empty() {
            return Err(Refusal::LotsOpen { batch: self.batch.clone(), lots });
        }
        Ok(Vec::new())
    }

    fn apply(&self, shop: &mut Shop, entry: &Entry) {
        if let Some(batch) = shop.batches.get_mut(&self.batch) {
            batch.closed = Some(entry.at);
        }
    }

    fn said(&self, _: &Shop) -> String {
        self.batch.clone()
    }
}
