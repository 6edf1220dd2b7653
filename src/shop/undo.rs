//! What may be taken back: an entry on which no later one stands.

use crate::shop::Shop;
use crate::shop::entry::{Entry, EntryId, Fact, Subject};
use crate::shop::fold::voided;
use crate::shop::journal::Journal;
use crate::shop::refusal::Refusal;

impl Journal {
    /// The last entry that may be meant by "the last": the newest that is neither a taking back nor taken back.
    pub fn last(&self) -> Result<EntryId, Refusal> {
        let gone = voided(&self.entries);
        let stands =
            |entry: &&Entry| !gone.contains(&entry.id) && !matches!(entry.fact, Fact::Voided(_));
        self.entries.iter().rev().find(stands).map(|entry| entry.id).ok_or(Refusal::NothingToVoid)
    }

    /// What an entry is about, if it may be taken back.
    pub(super) fn voidable(&self, id: EntryId) -> Result<Vec<Subject>, Refusal> {
        let entry = self
            .entries
            .iter()
            .find(|entry| entry.id == id)
            .ok_or(Refusal::NoEntry { entry: id })?;
        let gone = voided(&self.entries);
        if gone.contains(&id) {
            return Err(Refusal::VoidedAlready { entry: id });
        }
        if matches!(entry.fact, Fact::Voided(_) | Fact::SetupLoaded(_)) {
            return Err(Refusal::NotVoidable { entry: id, word: entry.fact.word() });
        }
        let later = self.standing_on(id);
        if later.is_empty() {
            Ok(entry.subjects())
        } else {
            Err(Refusal::StoodOn { entry: id, later })
        }
    }

    /// Later entries that the rules would refuse had this one never been: with it they stood, without it they don't.
    fn standing_on(&self, id: EntryId) -> Vec<(EntryId, String)> {
        let gone = voided(&self.entries);
        let mut with = Shop { climate: self.shop.climate.clone(), ..Shop::default() };
        let mut without = with.clone();
        let mut later = Vec::new();
        for entry in self.entries.iter().filter(|entry| !gone.contains(&entry.id)) {
            if entry.id > id && stands(&with, entry) && !stands(&without, entry) {
                later.push((entry.id, format!("{} {}", entry.fact.word(), entry.fact.said(&with))));
            } else if entry.id != id {
                without.apply(entry);
            }
            with.apply(entry);
        }
        later
    }
}

fn stands(shop: &Shop, entry: &Entry) -> bool {
    match (shop.objections(&entry.fact, entry.at, entry.recorded), &entry.anyway) {
        (Ok(objections), Some(anyway)) => objections
            .iter()
            .all(|refusal| anyway.overruled.iter().any(|rule| rule == refusal.rule())),
        (Ok(objections), None) => objections.is_empty(),
        (Err(_), _) => false,
    }
}
