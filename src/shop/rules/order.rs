//! Rules for what comes before and after the work: setup, cans, batches, rags, shipping.

use crate::shop::Shop;
use crate::shop::cure::Ground;
use crate::shop::entry::{Fact, RagsOf, SubjectKind};
use crate::shop::lot::Lot;
use crate::shop::name::LotName;
use crate::shop::refusal::{Refusal, Wait};
use crate::shop::rules::{Objections, When, enough, free, in_order, unknown};
use crate::shop::setup::{Setup, StepWork};
use crate::time::Instant;

impl Shop {
    /// A rack, a finish or a recipe's rack room still in use can't vanish.
    pub(super) fn may_load(&self, new: &Setup) -> Objections {
        for lot in self.open_lots() {
            if let Some(rack) = lot.rack().filter(|rack| new.rack(rack).is_none()) {
                return Err(in_use("rack", rack, self.lots_on(rack)));
            }
            let finish = lot.recipe.steps.iter().filter_map(|step| match &step.work {
                StepWork::Coat { finish, .. } | StepWork::Cure { finish } => Some(finish),
                _ => None,
            });
            if let Some(gone) = finish.into_iter().find(|name| new.finish(name).is_none()) {
                return Err(in_use("finish", gone, [lot]));
            }
        }
        for rack in &new.racks {
            let taken = self.taken(&rack.name);
            if taken > rack.slots {
                let (rack, slots) = (rack.name.clone(), rack.slots);
                return Err(Refusal::RackTooSmall { rack, slots, taken });
            }
        }
        let open_can = |can: &&crate::shop::Can| can.emptied.is_none();
        if let Some(can) =
            self.cans.values().filter(open_can).find(|can| new.finish(&can.finish).is_none())
        {
            let by = vec![format!("can {}", can.name)];
            return Err(Refusal::InUse { what: "finish", name: can.finish.clone(), by });
        }
        let open_batch = |batch: &&crate::shop::Batch| batch.closed.is_none();
        if let Some(batch) =
            self.batches.values().filter(open_batch).find(|b| new.recipe(&b.recipe).is_none())
        {
            let by = vec![format!("batch {}", batch.name)];
            return Err(Refusal::InUse { what: "recipe", name: batch.recipe.clone(), by });
        }
        Ok(Vec::new())
    }

    pub(super) fn may_change_can(&self, fact: &Fact, at: Instant) -> Objections {
        match fact {
            Fact::CanOpened { can, finish, .. } => {
                let setup = self.needs_setup()?;
                if setup.finish(finish).is_none() {
                    let names = setup.finishes.iter().map(|finish| finish.name.as_str());
                    return Err(unknown("finish", finish, names));
                }
                if self.cans.contains_key(can) {
                    return Err(Refusal::NameTaken { what: SubjectKind::Can, name: can.clone() });
                }
            }
            Fact::CanEmptied { can: name } => {
                let can = self.known_can(name)?;
                if can.emptied.is_some() {
                    return Err(Refusal::Over { what: SubjectKind::Can, name: name.clone() });
                }
                in_order(name, at, can.opened)?;
            }
            _ => {}
        }
        Ok(Vec::new())
    }

    pub(super) fn may_change_batch(&self, fact: &Fact, at: Instant) -> Objections {
        match fact {
            Fact::BatchOpened { batch, recipe, pieces, .. } => {
                let setup = self.needs_setup()?;
                if setup.recipe(recipe).is_none() {
                    let names = setup.recipes.iter().map(|recipe| recipe.name.as_str());
                    return Err(unknown("recipe", recipe, names));
                }
                if self.batches.contains_key(batch) {
                    return Err(Refusal::NameTaken {
                        what: SubjectKind::Batch,
                        name: batch.clone(),
                    });
                }
                if *pieces == 0 {
                    return Err(Refusal::NoPieces);
                }
            }
            Fact::BatchClosed { batch: name } => {
                self.open_batch(name, at)?;
                let lots: Vec<_> = self
                    .open_lots()
                    .filter(|lot| lot.name.batch == *name)
                    .map(|lot| lot.name.clone())
                    .collect();
                if !lots.is_empty() {
                    return Err(Refusal::LotsOpen { batch: name.clone(), lots });
                }
            }
            _ => {}
        }
        Ok(Vec::new())
    }

    /// The batch, if it is open and was opened by then.
    pub(super) fn open_batch(&self, name: &str, at: Instant) -> Result<(), Refusal> {
        let batch = self.known_batch(name)?;
        if batch.closed.is_some() {
            return Err(Refusal::Over { what: SubjectKind::Batch, name: name.to_owned() });
        }
        in_order(name, at, batch.opened)
    }

    /// Refuses a batch that is closed.
    pub fn may_still_be_open(&self, name: &str) -> Result<(), Refusal> {
        if self.known_batch(name)?.closed.is_some() {
            return Err(Refusal::Over { what: SubjectKind::Batch, name: name.to_owned() });
        }
        Ok(())
    }

    /// The batch of that name, open or closed.
    pub fn known_batch(&self, name: &str) -> Result<&crate::shop::Batch, Refusal> {
        let names = self.batches.keys().map(String::as_str);
        self.batches.get(name).ok_or_else(|| unknown("batch", name, names))
    }

    /// The can of that name, open or empty.
    pub fn known_can(&self, name: &str) -> Result<&crate::shop::Can, Refusal> {
        let names = self.cans.keys().map(String::as_str);
        self.cans.get(name).ok_or_else(|| unknown("can", name, names))
    }

    pub(super) fn may_deal_with(&self, rags: &[RagsOf], at: Instant) -> Objections {
        if rags.is_empty() {
            return Err(Refusal::NoRags);
        }
        for RagsOf { coat, .. } in rags {
            let open = self.rags.get(coat).ok_or(Refusal::NoRags)?;
            in_order(&format!("the rags of {}", open.lot), at, open.since)?;
        }
        Ok(Vec::new())
    }

    /// Only cured, inspected pieces with every step behind them leave the shop; nothing overrules that.
    pub(super) fn may_ship(&self, lots: &[(LotName, u32)], when: When) -> Objections {
        for (name, pieces) in lots {
            let lot = self.lot_at(name, when.at)?;
            free(lot)?;
            enough(lot, *pieces)?;
            self.cured(lot, when)?;
            if let Some((_, step)) = lot.next_step() {
                let (lot, step) = (name.clone(), step.name());
                let inspects = |work: &StepWork| matches!(work, StepWork::Work { name, .. } if name.contains("inspect"));
                let left = self.known_lot(&lot)?;
                let uninspected = left
                    .recipe
                    .numbered()
                    .any(|(number, step)| number >= left.next && inspects(&step.work));
                return Err(if uninspected {
                    Refusal::Uninspected { lot, step }
                } else {
                    Refusal::StepsLeft { lot, step }
                });
            }
        }
        Ok(Vec::new())
    }

    fn cured(&self, lot: &Lot, when: When) -> Result<(), Refusal> {
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

fn in_use<'a>(what: &'static str, name: &str, lots: impl IntoIterator<Item = &'a Lot>) -> Refusal {
    let by = lots.into_iter().map(|lot| format!("lot {}", lot.name)).collect();
    Refusal::InUse { what, name: name.to_owned(), by }
}
