//! A setup file was stored.

use std::collections::BTreeMap;

use super::{Entry, EntryId, Happened, Objections, Refusal, Shop, Subject, SubjectKind, When};
use crate::shop::lot::Lot;
use crate::shop::setup::{Setup, StepWork};
use crate::shop::{Batch, Can};

#[derive(Debug, Clone, PartialEq)]
pub struct SetupLoaded {
    pub setup: Box<Setup>,
    /// Revision of each recipe, by name, from 1.
    pub revisions: BTreeMap<String, u32>,
    /// The file as the person wrote it; none of a ledger that kept no text yet.
    pub text: Option<String>,
}

impl Happened for SetupLoaded {
    const WORD: &'static str = "setup load";

    fn subjects(&self, _: EntryId) -> Vec<Subject> {
        vec![Subject::new(SubjectKind::Setup, "setup")]
    }

    /// A rack, a finish or a recipe still in use can't vanish.
    fn objections(&self, shop: &Shop, _: When) -> Objections {
        let new = &self.setup;
        for lot in shop.open_lots() {
            if let Some(rack) = lot.rack().filter(|rack| new.rack(rack).is_none()) {
                return Err(in_use("rack", rack, shop.lots_on(rack)));
            }
            let finish = lot.recipe.steps.iter().filter_map(|step| match &step.work {
                StepWork::Coat { finish, .. } | StepWork::Cure { finish } => Some(finish),
                StepWork::Work { .. }
                | StepWork::Sand { .. }
                | StepWork::Raise { .. }
                | StepWork::Rub { .. } => None,
            });
            if let Some(gone) = finish.into_iter().find(|name| new.finish(name).is_none()) {
                return Err(in_use("finish", gone, [lot]));
            }
        }
        for rack in &new.racks {
            let taken = shop.taken(&rack.name);
            if taken > rack.slots {
                let (rack, slots) = (rack.name.clone(), rack.slots);
                return Err(Refusal::RackTooSmall { rack, slots, taken });
            }
        }
        let open_can = |can: &&Can| can.emptied.is_none() && new.finish(&can.finish).is_none();
        if let Some(can) = shop.cans.values().find(open_can) {
            let by = vec![format!("can {}", can.name)];
            return Err(Refusal::InUse { what: "finish", name: can.finish.clone(), by });
        }
        let open_batch =
            |batch: &&Batch| batch.closed.is_none() && new.recipe(&batch.recipe).is_none();
        if let Some(batch) = shop.batches.values().find(open_batch) {
            let by = vec![format!("batch {}", batch.name)];
            return Err(Refusal::InUse { what: "recipe", name: batch.recipe.clone(), by });
        }
        Ok(Vec::new())
    }

    fn apply(&self, shop: &mut Shop, _: &Entry) {
        shop.setup = Some((*self.setup).clone());
        shop.revisions.clone_from(&self.revisions);
        shop.setup_text.clone_from(&self.text);
    }

    fn said(&self, _: &Shop) -> String {
        format!("{} racks, {} recipes", self.setup.racks.len(), self.setup.recipes.len())
    }
}

fn in_use<'a>(what: &'static str, name: &str, lots: impl IntoIterator<Item = &'a Lot>) -> Refusal {
    let by = lots.into_iter().map(|lot| format!("lot {}", lot.name)).collect();
    Refusal::InUse { what, name: name.to_owned(), by }
}
