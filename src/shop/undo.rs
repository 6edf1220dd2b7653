//! What may be taken back: what one command line recorded, where no later entry stands on it.

use std::collections::BTreeSet;

use crate::shop::fact::{ReadingsAdded, Voided};
use crate::shop::fold::voided;
use crate::shop::{Entry, EntryId, Fact, Journal, Refusal, Shop, SubjectKind};

impl Journal {
    /// The last entry that may be meant by "the last": the newest that is neither a taking back nor taken back.
    pub fn last(&self) -> Result<EntryId, Refusal> {
        let gone = voided(&self.entries);
        let stands =
            |entry: &&Entry| !gone.contains(&entry.id) && !matches!(entry.fact, Fact::Voided(_));
        self.entries.iter().rev().find(stands).map(|entry| entry.id).ok_or(Refusal::NothingToVoid)
    }

    /// Takes back all that the command line of an entry recorded and that still stands; a taking back may be taken back
    /// too. Refused where later entries stand on it.
    pub fn void(&mut self, id: EntryId, why: &str) -> Result<(), Refusal> {
        let act = self.voidable(id)?;
        let mut rags: BTreeSet<String> = self.shop.rags.keys().map(ToString::to_string).collect();
        for entry in act.into_iter().rev() {
            let touched = entry.subjects();
            let of_rags = touched.iter().filter(|subject| subject.kind == SubjectKind::Rags);
            rags.extend(of_rags.map(|subject| subject.name.clone()));
            self.record(self.now(), Voided { entry: entry.id, why: why.to_owned(), touched })?;
        }
        let climate = std::mem::take(&mut self.shop.climate);
        self.shop = Shop { climate, ..Shop::fold(&self.entries) };
        // Of a coat of a closed batch the entry may be read, and not the one that says what became of its rags.
        self.shop.rags.retain(|coat, _| rags.contains(&coat.to_string()));
        Ok(())
    }

    fn voidable(&self, id: EntryId) -> Result<Vec<Entry>, Refusal> {
        let named = self.entries.iter().find(|entry| entry.id == id);
        let named = named.ok_or(Refusal::NoEntry { entry: id })?;
        let gone = voided(&self.entries);
        if gone.contains(&id) {
            let by = |entry: &&Entry| matches!(&entry.fact, Fact::Voided(v) if v.entry == id);
            let by = self.entries.iter().rev().find(by).map_or(id, |entry| entry.id);
            return Err(Refusal::VoidedAlready { entry: id, by });
        }
        let act = self.entries.iter().filter(|e| e.act == named.act && !gone.contains(&e.id));
        let act: Vec<Entry> = act.cloned().collect();
        if let Some(entry) = act.iter().find(|entry| matches!(entry.fact, Fact::SetupLoaded(_))) {
            return Err(Refusal::NotVoidable { entry: entry.id, word: entry.fact.word() });
        }
        let later = self.standing_on(&act.iter().map(|entry| entry.id).collect());
        if later.is_empty() { Ok(act) } else { Err(Refusal::StoodOn { entry: id, later }) }
    }

    /// Entries that the rules would refuse had these never been: with them they stood, without them they don't. So is one
    /// that comes back, and finds that something else is in its place.
    fn standing_on(&self, act: &BTreeSet<EntryId>) -> Vec<(EntryId, String)> {
        let gone = voided(&self.entries);
        let gone_without = voided(self.entries.iter().filter(|entry| !act.contains(&entry.id)));
        let mut with = Shop { climate: self.shop.climate.clone(), ..Shop::default() };
        let mut without = with.clone();
        let (mut later, mut differ) = (Vec::new(), false);
        for entry in &self.entries {
            let was = !gone.contains(&entry.id);
            let is = !act.contains(&entry.id) && !gone_without.contains(&entry.id);
            differ |= was != is;
            if is {
                let stood = !was || (differ && stands(&with, entry));
                if stood && differ && !stands(&without, entry) {
                    let words = format!("{} {}", entry.fact.word(), entry.fact.said(&with));
                    later.push((entry.id, words));
                } else {
                    without.apply(entry);
                }
                if let (false, Fact::ReadingsAdded(back)) = (was, &entry.fact) {
                    later.extend(self.read_again(entry.id, back, &gone_without));
                }
            }
            if was {
                with.apply(entry);
            }
        }
        later
    }

    /// What was read since of the time that readings come back to.
    fn read_again(
        &self,
        id: EntryId,
        back: &ReadingsAdded,
        gone: &BTreeSet<EntryId>,
    ) -> Option<(EntryId, String)> {
        let mut newer =
            self.entries.iter().filter(|entry| entry.id > id && !gone.contains(&entry.id));
        newer.find_map(|entry| match &entry.fact {
            Fact::ReadingsAdded(since)
                if since.room == back.room
                    && since.first <= back.last
                    && back.first <= since.last =>
            {
                Some((entry.id, format!("{} {}", entry.fact.word(), entry.fact.said(&self.shop))))
            }
            _ => None,
        })
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
