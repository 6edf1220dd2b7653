//! The chain: each entry's hash covers the hash before it, so that no entry can be changed, dropped or slipped in unseen.

use sha2::{Digest as _, Sha256};

/// The hash before the first entry.
pub(super) const START: &str = "";

/// One row of the ledger as it is stored.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Row {
    pub(super) id: i64,
    pub(super) at: String,
    pub(super) recorded: String,
    pub(super) fact: String,
    pub(super) anyway: Option<String>,
    pub(super) hash: String,
}

impl Row {
    /// SHA-256 in hexadecimal over the previous hash and every column, each with its length before it so that no two
    /// rows can spell the same bytes.
    pub(super) fn hash_after(&self, previous: &str) -> String {
        let id = self.id.to_string();
        let anyway = self.anyway.as_deref().unwrap_or_default();
        let mut hasher = Sha256::new();
        for part in [previous, &id, &self.at, &self.recorded, &self.fact, anyway] {
            hasher.update(u64::try_from(part.len()).unwrap_or(u64::MAX).to_be_bytes());
            hasher.update(part.as_bytes());
        }
        format!("{:x}", hasher.finalize())
    }
}
