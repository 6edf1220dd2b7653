//! A container is empty or thrown away.

use super::{Entry, EntryId, Happened, Objections, Refusal, Shop, Subject, SubjectKind, When};
use crate::shop::rule::in_order;

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CanEmptied {
    pub can: String,
}

impl Happened for CanEmptied {
    const WORD: &'static str = "can empty";

    fn subjects(&self, _: EntryId) -> Vec<Subject> {
        vec![Subject::new(SubjectKind::Can, &self.can)]
    }

    fn objections(&self, shop: &Shop, when: When) -> Objections {
        let can = shop.known_can(&self.can)?;
        if can.emptied.is_some() {
            return Err(Refusal::Over { what: SubjectKind::Can, name: self.can.clone() });
        }
        in_order(&self.can, when.at, can.opened)?;
        Ok(Vec::new())
    }

    fn apply(&self, shop: &mut Shop, entry: &Entry) {
        if let Some(can) = shop.cans.get_mut(&self.can) {
            can.emptied = Some(entry.at);
        }
    }

    fn said(&self, _: &Shop) -> String {
        self.can.clone()
    }
}
