//! A resting or curing lot was touched.

use super::{
    Entry, EntryId, Happened, LotName, Objections, Refusal, Shop, Subject, SubjectKind, When,
};
use crate::craft;
use crate::shop::lot::TouchTest;
use crate::shop::stage::Stage;

#[derive(Debug, Clone, PartialEq)]
pub struct Touched {
    pub lot: LotName,
    pub stage: Stage,
    /// After the last coat: what it says of the finish.
    pub of_cure: Option<CureTest>,
}

/// A touch test after the last coat, with the age it was made at.
#[derive(Debug, Clone, PartialEq)]
pub struct CureTest {
    pub finish: String,
    /// The lot's age over the sheet's cure time.
    pub share: f64,
}

impl Happened for Touched {
    const WORD: &'static str = "touch";

    fn subjects(&self, _: EntryId) -> Vec<Subject> {
        let mut subjects = Subject::of_lot(&self.lot, None);
        let finish = self.of_cure.iter();
        subjects.extend(finish.map(|test| Subject::new(SubjectKind::Finish, &test.finish)));
        subjects
    }

    fn objections(&self, shop: &Shop, when: When) -> Objections {
        match shop.lot_at(&self.lot, when.at)?.last_coat() {
            Some(_) => Ok(Vec::new()),
            None => Err(Refusal::NothingToTouch { lot: self.lot.clone() }),
        }
    }

    fn apply(&self, shop: &mut Shop, entry: &Entry) {
        if let Some(CureTest { finish, share }) = &self.of_cure {
            let found = craft::cure::TouchTest { share: *share, passed: !self.stage.grabs() };
            shop.tests.entry(finish.clone()).or_default().push(found);
        }
        if let Some(lot) = shop.touched(&self.lot, entry) {
            let after = lot.done.last().map_or(0, |done| done.step);
            lot.touches.push(TouchTest { at: entry.at, stage: self.stage, after });
        }
    }

    fn said(&self, _: &Shop) -> String {
        format!("{}: {}", self.lot, self.stage)
    }
}
