//! The fold: what the shop is after one more entry.
//!
//! It takes accepted entries and asks no questions; an entry about something unknown changes nothing, and `ledger check`
//! is where such a thing comes to light.

use std::collections::BTreeSet;

use crate::shop::{Entry, EntryId, Fact, Lot, LotName, Shop, Subject, SubjectKind};

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

    /// Lets go of what is over, of batches only where that is said of them: what is left tells what is live, and no more.
    /// How many things those are.
    pub(crate) fn let_go(&mut self, over: impl Fn(&str) -> bool) -> usize {
        let live = self.live();
        let is_live = |batch: &str| live.contains(&Subject::new(SubjectKind::Batch, batch));
        self.batches.retain(|name, _| !over(name) || is_live(name));
        self.lots.retain(|lot, _| self.batches.contains_key(&lot.batch));
        self.shipments
            .retain(|_, sent| sent.lots.iter().any(|(lot, _)| self.lots.contains_key(lot)));
        self.cans.retain(|_, can| can.emptied.is_none());
        self.tests.clear();
        self.samples.clear();
        self.notes.clear();
        self.stock.clear();
        live.len()
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
