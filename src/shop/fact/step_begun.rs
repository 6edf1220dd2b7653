//! A step was begun.

use super::{
    Entry, EntryId, Happened, LotName, Objections, Refusal, Shop, Subject, When, on, step_name,
};

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepBegun {
    pub lot: LotName,
    /// The step, from 1.
    pub step: u32,
    /// Where it was put, if this is its first coat.
    pub rack: Option<String>,
}

impl Happened for StepBegun {
    const WORD: &'static str = "begin";

    fn subjects(&self, _: EntryId) -> Vec<Subject> {
        Subject::of_lot(&self.lot, self.rack.as_ref())
    }

    fn objections(&self, shop: &Shop, when: When) -> Objections {
        let asked = shop.step_asked(&self.lot, self.step, when.at)?;
        if let Some(since) = asked.lot.begun {
            let (lot, step) = (self.lot.clone(), asked.lot.recipe.words(asked.next));
            return Err(Refusal::AlreadyBegun { lot, step, since });
        }
        let mut objections: Vec<Refusal> = asked.wrong.clone().into_iter().collect();
        objections.extend(shop.outside_window(&asked, self.rack.as_deref(), when));
        objections.extend(shop.place_objections(&asked, self.rack.as_deref(), when.at)?);
        Ok(objections)
    }

    fn apply(&self, shop: &mut Shop, entry: &Entry) {
        let Some(lot) = shop.touched(&self.lot, entry) else { return };
        lot.flag(entry, self.step);
        lot.begun = Some(entry.at);
        lot.next = self.step;
        if self.rack.is_some() {
            lot.stands(entry.at, self.rack.clone());
        }
    }

    fn said(&self, shop: &Shop) -> String {
        let (step, rack) = (step_name(shop, &self.lot, self.step), on(self.rack.as_ref()));
        format!("{} {step}{rack}", self.lot)
    }
}
