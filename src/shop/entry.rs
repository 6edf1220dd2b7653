//! The ledger's entries: every fact recorded, in order, never changed.

pub use crate::shop::fact::Fact;
pub use crate::shop::subject::{Subject, SubjectKind};
use crate::time::Instant;

/// An entry's number in the ledger, from 1.
pub type EntryId = i64;

/// One fact, as the ledger holds it.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    pub id: EntryId,
    /// The command line it comes from, by the first entry that it recorded.
    pub(crate) act: EntryId,
    pub at: Instant,
    /// When it was written down.
    pub(crate) recorded: Instant,
    pub fact: Fact,
    /// Set when rules stood against it and it was recorded all the same.
    pub anyway: Option<Anyway>,
}

/// What a person overruled, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Anyway {
    pub(crate) reason: String,
    /// The rules that stood against it, by their short names.
    pub(crate) overruled: Vec<String>,
}

impl Entry {
    /// Everything this entry is about, sorted, each once.
    pub fn subjects(&self) -> Vec<Subject> {
        let mut subjects = self.fact.subjects(self.id);
        subjects.sort();
        subjects.dedup();
        subjects
    }
}
