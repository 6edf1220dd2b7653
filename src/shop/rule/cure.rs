//! Whether a lot is cured.

use crate::shop::cure::Ground;
use crate::shop::refusal::Wait;
use crate::shop::rule::When;
use crate::shop::{Lot, Refusal, Shop};

impl Shop {
    /// Refuses a lot that is not cured, or grabbed when it was last touched.
    pub(in crate::shop) fn cured(&self, lot: &Lot, when: When) -> Result<(), Refusal> {
        if lot.recipe.last_coat().is_none() {
            return Ok(());
        }
        let cure = self.cure(lot, when.now);
        let reached = cure.as_ref().and_then(|cure| cure.at);
        if reached.is_none_or(|reached| when.at < reached) {
            return Err(Refusal::Uncured {
                lot: lot.name.clone(),
                coats_left: cure.is_none(),
                ready_at: reached,
                at: when.at,
                ground: cure.map_or(Ground::Readings, |cure| cure.ground()),
                origin: Box::new(self.origin(lot, Wait::Cure)),
            });
        }
        match lot.barred_from_shipping() {
            Some(test) => {
                let (lot, stage, tested) = (lot.name.clone(), test.stage, test.at);
                Err(Refusal::Grabs { lot, stage, tested })
            }
            None => Ok(()),
        }
    }
}
