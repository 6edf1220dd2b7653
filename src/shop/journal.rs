//! A run of entries being written: each is held against the rules as the shop stands after the ones before it.

use crate::shop::fact::Fact;
use crate::shop::{Anyway, Entry, EntryId, Refusal, Shop};
use crate::time::Instant;

/// The shop as read, and what is being added to it. Nothing is kept unless all of it is.
#[derive(Debug)]
pub struct Journal {
    /// The shop after everything recorded so far, this run included.
    pub shop: Shop,
    /// What was read, oldest first, then what this run adds.
    pub entries: Vec<Entry>,
    now: Instant,
    /// The first entry of this run.
    act: EntryId,
    next_id: EntryId,
    read: usize,
}

impl Journal {
    /// Begins after the entries read; `next_id` is the number of the first new one.
    pub fn new(shop: Shop, entries: Vec<Entry>, now: Instant, next_id: EntryId) -> Self {
        let read = entries.len();
        Self { shop, entries, now, act: next_id, next_id, read }
    }

    /// The time now, as the command sees it.
    pub const fn now(&self) -> Instant {
        self.now
    }

    /// The number the next entry recorded will have.
    pub const fn next_id(&self) -> EntryId {
        self.next_id
    }

    /// Records a fact that no rule stands against.
    pub fn record(&mut self, at: Instant, fact: impl Into<Fact>) -> Result<EntryId, Refusal> {
        self.record_anyway(at, fact, None)
    }

    /// Records a fact; where only rules stand against it that a person may overrule, and a reason is given, it is
    /// recorded all the same and flagged. A reason that overrules nothing flags nothing.
    pub fn record_anyway(
        &mut self,
        at: Instant,
        fact: impl Into<Fact>,
        reason: Option<&str>,
    ) -> Result<EntryId, Refusal> {
        let fact = fact.into();
        let mut objections = self.shop.objections(&fact, at, self.now)?;
        let anyway = match reason {
            Some(reason) if !objections.is_empty() => Some(Anyway {
                reason: reason.to_owned(),
                overruled: objections.iter().map(|refusal| refusal.rule().to_owned()).collect(),
            }),
            _ if objections.is_empty() => None,
            _ => return Err(objections.swap_remove(0)),
        };
        let entry = Entry { id: self.next_id, act: self.act, at, recorded: self.now, fact, anyway };
        self.next_id += 1;
        self.shop.apply(&entry);
        let id = entry.id;
        self.entries.push(entry);
        Ok(id)
    }

    /// What was read before this run.
    pub(crate) fn before(&self) -> &[Entry] {
        self.entries.get(..self.read).unwrap_or_default()
    }

    /// What this run added.
    pub fn added(&self) -> &[Entry] {
        self.entries.get(self.read..).unwrap_or_default()
    }
}
