//! Pieces go back to a step and keep their history; part of a lot goes back as a lot of its own.

use super::{
    Entry, EntryId, Happened, LotName, Objections, Refusal, Shop, Subject, When, step_name,
};
use crate::shop::count::Count;
use crate::shop::rule::enough;
use crate::shop::setup::Step;

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LotReworked {
    pub lot: LotName,
    /// The lot they go on as; the same one where all its pieces go back.
    pub into: LotName,
    pub pieces: u32,
    /// The step they go back to, from 1.
    pub from_step: u32,
    pub why: String,
}

impl Happened for LotReworked {
    const WORD: &'static str = "lot rework";

    fn subjects(&self, _: EntryId) -> Vec<Subject> {
        [Subject::of_lot(&self.lot, None), Subject::of_lot(&self.into, None)].concat()
    }

    fn objections(&self, shop: &Shop, when: When) -> Objections {
        let lot = shop.lot_at(&self.lot, when.at)?;
        enough(lot, self.pieces)?;
        let by_hand = lot.recipe.step(self.from_step).is_some_and(|step| !step.is_cure());
        if !by_hand || self.from_step >= lot.next {
            let steps = lot
                .recipe
                .numbered()
                .filter(|(number, step)| *number < lot.next && !step.is_cure());
            return Err(Refusal::NotBehind {
                lot: self.lot.clone(),
                step: self.from_step,
                behind: steps
                    .map(|(number, step)| format!("{number} {}", Step::name(step)))
                    .collect(),
            });
        }
        Ok(Vec::new())
    }

    fn apply(&self, shop: &mut Shop, entry: &Entry) {
        let Some(lot) = shop.touched(&self.lot, entry) else { return };
        let mut back = if self.into == self.lot {
            lot.clone()
        } else {
            lot.part(entry.at, &self.into, self.pieces, None)
        };
        back.next = self.from_step;
        back.begun = None;
        back.held = None;
        back.reworked = back.done.len();
        for part in &mut back.joined {
            part.reworked = part.done.len();
            part.next = self.from_step;
        }
        // What a touch test found is past once the surface is worked again.
        back.touches.clear();
        shop.take_in(back);
    }

    fn said(&self, shop: &Shop) -> String {
        let (pieces, step) =
            (Count(self.pieces, "piece"), step_name(shop, &self.lot, self.from_step));
        let into = if self.into == self.lot { String::new() } else { format!(" as {}", self.into) };
        format!(
            "{pieces} of {} back to step {} ({step}){into}: {}",
            self.lot, self.from_step, self.why
        )
    }
}
