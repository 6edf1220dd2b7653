//! The rags of coats were dealt with.

use super::{
    Entry, EntryId, Happened, LotName, Objections, Refusal, Shop, Subject, SubjectKind, When,
};
use crate::shop::count::all_of;
use crate::shop::rule::in_order;

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RagsDealtWith {
    pub rags: Vec<RagsOf>,
    pub how: String,
}

/// The rags of one coat.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RagsOf {
    pub coat: EntryId,
    /// The lot coated, so that whoever reads its batch reads of its rags too.
    pub lot: LotName,
}

impl Happened for RagsDealtWith {
    const WORD: &'static str = "rags done";

    fn subjects(&self, _: EntryId) -> Vec<Subject> {
        let lots = self.rags.iter().flat_map(|rags| Subject::of_lot(&rags.lot, None));
        let rags = self.rags.iter().map(|rags| Subject::new(SubjectKind::Rags, rags.coat));
        lots.chain(rags).collect()
    }

    fn objections(&self, shop: &Shop, when: When) -> Objections {
        if self.rags.is_empty() {
            return Err(Refusal::NoRags);
        }
        for RagsOf { coat, .. } in &self.rags {
            let open = shop.rags.get(coat).ok_or(Refusal::NoRags)?;
            in_order(&format!("the rags of {}", open.lot), when.at, open.since)?;
        }
        Ok(Vec::new())
    }

    fn apply(&self, shop: &mut Shop, _: &Entry) {
        for rags in &self.rags {
            shop.rags.remove(&rags.coat);
        }
    }

    fn said(&self, _: &Shop) -> String {
        let coat = |rags: &RagsOf| format!("{} ({})", rags.coat, rags.lot);
        format!("rags of {}: {}", all_of(self.rags.iter().map(coat)), self.how)
    }
}
