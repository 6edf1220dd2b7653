//! Something worth keeping was written down about a batch, a lot, a can, a shipment or the shop.

use super::{Entry, EntryId, Happened, LotName, Objections, Shop, Subject, SubjectKind, When};
use crate::shop::Note;

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Noted {
    pub about: Subject,
    pub text: String,
}

impl Happened for Noted {
    const WORD: &'static str = "note";

    fn subjects(&self, _: EntryId) -> Vec<Subject> {
        let lot: Option<LotName> = match self.about.kind {
            SubjectKind::Lot => self.about.name.parse().ok(),
            _ => None,
        };
        lot.map_or_else(|| vec![self.about.clone()], |lot| Subject::of_lot(&lot, None))
    }

    fn objections(&self, _: &Shop, _: When) -> Objections {
        Ok(Vec::new())
    }

    fn apply(&self, shop: &mut Shop, entry: &Entry) {
        let note = Note { at: entry.at, text: self.text.clone() };
        shop.notes.entry(self.about.clone()).or_default().push(note);
    }

    fn said(&self, _: &Shop) -> String {
        format!("{} {}: {}", self.about.kind, self.about.name, self.text)
    }
}
