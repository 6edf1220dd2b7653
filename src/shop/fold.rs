//! The fold: what the shop is after one more entry.
//!
//! It takes accepted entries and asks no questions; an entry about something unknown changes nothing, and `ledger check`
//! is where such a thing comes to light.

use std::collections::BTreeSet;

use crate::shop::Shop;
use crate::shop::entry::{Entry, EntryId, Fact};
use crate::shop::lot::Lot;
use crate::shop::name::LotName;

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
    pub(crate) fn apply(&mut self, entry: &Entry) {
        entry.fact.apply(self, entry);
    }

    /// A lot that goes on under its own name from now on, among those of its batch.
    pub(super) fn take_in(&mut self, lot: Lot) {
        if let Some(batch) = self.batches.get_mut(&lot.name.batch) {
            batch.lots = batch.lots.max(lot.name.number);
        }
        self.lots.insert(lot.name.clone(), lot);
    }

    /// The lot an entry changes; that entry is now the last recorded of it.
    pub(super) fn touched(&mut self, name: &LotName, entry: &Entry) -> Option<&mut Lot> {
        let lot = self.lots.get_mut(name)?;
        lot.last_at = entry.at;
        Some(lot)
    }
}

/// The entries that are taken back: by a later one that is not taken back itself.
pub fn voided<'a>(entries: impl IntoIterator<Item = &'a Entry>) -> BTreeSet<EntryId> {
    let entries: Vec<&Entry> = entries.into_iter().collect();
    let mut gone = BTreeSet::new();
    for entry in entries.into_iter().rev() {
        if let (Fact::Voided(voided), false) = (&entry.fact, gone.contains(&entry.id)) {
            gone.insert(voided.entry);
        }
    }
    gone
}
