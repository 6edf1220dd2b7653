//! The fold: what the shop is after one more entry.
//!
//! It takes accepted entries and asks no questions; an entry about something unknown changes nothing, and `ledger check`
//! is where such a thing comes to light.

use std::collections::BTreeSet;

use crate::craft::cure::TouchTest;
use crate::shop::entry::{CoatLaid, Entry, EntryId, Fact};
use crate::shop::lot::{Flag, Held, Lot, StepDone};
use crate::shop::name::LotName;
use crate::shop::{Batch, Can, Rags, Shop};
use crate::time::Instant;
use crate::units::Litres;

impl Shop {
    /// The shop after all of these entries, in their order; what a later entry takes back never happened.
    pub fn fold<'a>(entries: impl IntoIterator<Item = &'a Entry> + Clone) -> Self {
        let voided = voided(entries.clone());
        let mut shop = Self::default();
        for entry in entries {
            if !voided.contains(&entry.id) {
                shop.apply(entry);
            }
        }
        shop
    }

    /// Takes one accepted entry in. Taking back is the matter of [`Shop::fold`]: here it changes nothing.
    pub fn apply(&mut self, entry: &Entry) {
        let at = entry.at;
        match &entry.fact {
            Fact::SetupLoaded { setup, revisions } => {
                self.setup = Some((**setup).clone());
                self.revisions.clone_from(revisions);
            }
            Fact::CanOpened { .. } | Fact::CanEmptied { .. } => self.apply_to_can(&entry.fact, at),
            Fact::BatchOpened { .. } | Fact::BatchClosed { .. } => {
                self.apply_to_batch(&entry.fact, at);
            }
            Fact::LotStarted { .. } => self.start_lot(entry),
            Fact::LotSplit { lot, into, pieces, rack } => {
                self.split_lot(at, lot, into, *pieces, rack.as_deref());
            }
            Fact::RagsDealtWith { rags, .. } => {
                for rags in rags {
                    self.rags.remove(&rags.coat);
                }
            }
            Fact::Shipped { lots, .. } => {
                for (name, pieces) in lots {
                    if let Some(batch) = self.batches.get_mut(&name.batch) {
                        batch.shipped += pieces;
                    }
                    if let Some(lot) = self.lots.get_mut(name) {
                        lot.lose(at, *pieces);
                        lot.last_at = at;
                    }
                }
            }
            Fact::LotMoved { lot, .. }
            | Fact::LotHeld { lot, .. }
            | Fact::LotReleased { lot }
            | Fact::PiecesRejected { lot, .. }
            | Fact::StepBegun { lot, .. } => self.apply_to_lot(lot, entry),
            Fact::Touched { lot, stage, of_cure } => {
                if let Some(test) = of_cure {
                    let found = TouchTest { share: test.share, passed: !stage.grabs() };
                    self.tests.entry(test.finish.clone()).or_default().push(found);
                }
                self.apply_to_lot(lot, entry);
            }
            Fact::StepDone { lot, coat, .. } => {
                self.note_coat(lot, coat.as_ref(), entry);
                self.note_times(entry);
                self.apply_to_lot(lot, entry);
            }
            Fact::PaceTimed { .. } => self.note_times(entry),
            Fact::PlanKept { plan } => self.kept = Some((**plan).clone()),
            // The readings themselves are no part of the fold.
            Fact::ReadingsAdded { .. } | Fact::Voided { .. } => {}
        }
    }

    fn apply_to_can(&mut self, fact: &Fact, at: Instant) {
        match fact {
            Fact::CanOpened { can, finish, litres, maker_lot } => {
                let opened = Can {
                    name: can.clone(),
                    finish: finish.clone(),
                    opened: at,
                    litres: *litres,
                    maker_lot: maker_lot.clone(),
                    emptied: None,
                    coats: 0,
                    drawn: Litres::ZERO,
                    not_reckoned: 0,
                };
                self.cans.insert(can.clone(), opened);
            }
            Fact::CanEmptied { can } => {
                if let Some(can) = self.cans.get_mut(can) {
                    can.emptied = Some(at);
                }
            }
            _ => {}
        }
    }

    fn apply_to_batch(&mut self, fact: &Fact, at: Instant) {
        match fact {
            Fact::BatchOpened { batch, recipe, pieces, due, customer } => {
                let opened = Batch {
                    name: batch.clone(),
                    recipe: recipe.clone(),
                    pieces: *pieces,
                    due: *due,
                    customer: customer.clone(),
                    opened: at,
                    closed: None,
                    started: 0,
                    rejected: 0,
                    shipped: 0,
                    lots: 0,
                };
                self.batches.insert(batch.clone(), opened);
            }
            Fact::BatchClosed { batch } => {
                if let Some(batch) = self.batches.get_mut(batch) {
                    batch.closed = Some(at);
                }
            }
            _ => {}
        }
    }

    fn start_lot(&mut self, entry: &Entry) {
        let Fact::LotStarted { lot: name, recipe, revision, pieces, rack, from_step } = &entry.fact
        else {
            return;
        };
        let behind =
            recipe.numbered().filter(|(number, step)| number < from_step && !step.is_cure());
        let done = behind.map(|(step, what)| StepDone {
            entry: entry.id,
            step,
            begun: None,
            ended: entry.at,
            pieces: *pieces,
            coat: what.coat().map(|finish| CoatLaid {
                finish: finish.to_owned(),
                can: None,
                drawn: None,
            }),
            minutes: None,
        });
        let mut lot = Lot {
            name: name.clone(),
            recipe: recipe.clone(),
            revision: *revision,
            pieces: *pieces,
            next: *from_step,
            begun: None,
            done: done.collect(),
            standing: Vec::new(),
            held: None,
            touches: Vec::new(),
            flags: Vec::new(),
            last_at: entry.at,
            split_from: None,
        };
        lot.flag(entry, *from_step);
        lot.stands(entry.at, rack.clone());
        if let Some(batch) = self.batches.get_mut(&name.batch) {
            batch.started += pieces;
            batch.lots = batch.lots.max(name.number);
        }
        self.lots.insert(name.clone(), lot);
    }

    fn split_lot(
        &mut self,
        at: Instant,
        from: &LotName,
        into: &LotName,
        pieces: u32,
        rack: Option<&str>,
    ) {
        let Some(lot) = self.lots.get_mut(from) else { return };
        let mut new = lot.clone();
        let beside = lot.rack().map(str::to_owned);
        lot.lose(at, pieces);
        lot.last_at = at;
        new.name = into.clone();
        new.split_from = Some(from.clone());
        new.pieces = pieces;
        new.last_at = at;
        // Its pieces stood on the rack as the old lot's until now.
        new.standing.clear();
        new.stands(at, rack.map(str::to_owned).or(beside));
        if let Some(batch) = self.batches.get_mut(&into.batch) {
            batch.lots = batch.lots.max(into.number);
        }
        self.lots.insert(into.clone(), new);
    }

    /// Every coat leaves rags, and draws on its can, whether its batch was read or is long closed.
    fn note_coat(&mut self, lot: &LotName, coat: Option<&CoatLaid>, entry: &Entry) {
        let Some(coat) = coat else { return };
        let rags = Rags { lot: lot.clone(), finish: coat.finish.clone(), since: entry.at };
        self.rags.insert(entry.id, rags);
        if let Some(can) = coat.can.as_ref().and_then(|can| self.cans.get_mut(can)) {
            can.coats += 1;
            can.draw(coat.drawn);
        }
    }

    fn apply_to_lot(&mut self, name: &LotName, entry: &Entry) {
        let at = entry.at;
        let Some(lot) = self.lots.get_mut(name) else { return };
        lot.last_at = at;
        match &entry.fact {
            Fact::LotMoved { rack, .. } => {
                lot.flag(entry, lot.next);
                lot.stands(at, rack.clone());
            }
            Fact::LotHeld { why, .. } => lot.held = Some(Held { since: at, why: why.clone() }),
            Fact::LotReleased { .. } => lot.held = None,
            Fact::PiecesRejected { pieces, .. } => {
                lot.lose(at, *pieces);
                if let Some(batch) = self.batches.get_mut(&name.batch) {
                    batch.rejected += pieces;
                }
            }
            Fact::StepBegun { step, rack, .. } => {
                lot.flag(entry, *step);
                lot.begun = Some(at);
                lot.next = *step;
                if rack.is_some() {
                    lot.stands(at, rack.clone());
                }
            }
            Fact::Touched { stage, .. } => {
                let after = lot.done.last().map_or(0, |done| done.step);
                lot.touches.push(crate::shop::lot::TouchTest { at, stage: *stage, after });
            }
            Fact::StepDone { step, pieces, coat, minutes, rack, .. } => {
                lot.flag(entry, *step);
                let begun = lot.begun.take().filter(|_| *step == lot.next);
                lot.next = step.saturating_add(1);
                lot.done.push(StepDone {
                    entry: entry.id,
                    step: *step,
                    begun,
                    ended: at,
                    pieces: *pieces,
                    coat: coat.clone(),
                    minutes: *minutes,
                });
                if rack.is_some() {
                    lot.stands(at, rack.clone());
                }
            }
            _ => {}
        }
    }
}

impl Lot {
    fn flag(&mut self, entry: &Entry, step: u32) {
        if let Some(anyway) = &entry.anyway {
            self.flags.push(Flag {
                entry: entry.id,
                step,
                overruled: anyway.overruled.clone(),
                reason: anyway.reason.clone(),
            });
        }
    }
}

/// The entries that later ones take back.
pub fn voided<'a>(entries: impl IntoIterator<Item = &'a Entry>) -> BTreeSet<EntryId> {
    let taken_back = |entry: &Entry| match &entry.fact {
        Fact::Voided { entry, .. } => Some(*entry),
        _ => None,
    };
    entries.into_iter().filter_map(taken_back).collect()
}
