//! The chain: each entry's hash covers the hash before it, so that no entry can be changed, dropped or slipped in unseen.

use rusqlite::{Connection, params};
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
    /// None up to layout 4.
    pub(super) act: Option<i64>,
    pub(super) form: i64,
}

impl Row {
    /// SHA-256 in hexadecimal over the previous hash and every column, each with its length before it so that no two
    /// rows can spell the same bytes. A row of layout 4 or earlier is hashed as it was then.
    pub(super) fn hash_after(&self, previous: &str) -> String {
        let id = self.id.to_string();
        let anyway = self.anyway.as_deref().unwrap_or_default();
        let act = self.act.map(|act| [act.to_string(), self.form.to_string()]);
        let mut hasher = Sha256::new();
        let parts = [previous, &id, &self.at, &self.recorded, &self.fact, anyway];
        for part in parts.into_iter().chain(act.iter().flatten().map(String::as_str)) {
            hasher.update(u64::try_from(part.len()).unwrap_or(u64::MAX).to_be_bytes());
            hasher.update(part.as_bytes());
        }
        format!("{:x}", hasher.finalize())
    }

    /// Writes it down.
    pub(super) fn insert(&self, connection: &Connection) -> rusqlite::Result<()> {
        let mut insert = connection
            .prepare_cached("INSERT INTO entry VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)")?;
        insert.execute(params![
            self.id,
            self.at,
            self.recorded,
            self.fact,
            self.anyway,
            self.hash,
            self.act,
            self.form
        ])?;
        Ok(())
    }
}
