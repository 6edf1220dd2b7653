//! An earlier entry is taken back.

use super::{Entry, EntryId, Happened, Objections, Shop, Subject, When};

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Voided {
    pub(crate) entry: EntryId,
    pub(crate) why: String,
    /// What that entry touched, so that readers of those find this one.
    pub(crate) touched: Vec<Subject>,
}

impl Happened for Voided {
    const WORD: &'static str = "undo";

    fn subjects(&self, _: EntryId) -> Vec<Subject> {
        self.touched.clone()
    }

    /// Whether anything stands on that entry needs the entries: see `undo`.
    fn objections(&self, _: &Shop, _: When) -> Objections {
        Ok(Vec::new())
    }

    /// Taking back is the matter of [`Shop::fold`], which sees all entries.
    fn apply(&self, _: &mut Shop, _: &Entry) {}

    fn said(&self, _: &Shop) -> String {
        format!("entry {}: {}", self.entry, self.why)
    }
}
