//! Proves the history whole: every hash, every number, every index, and that the rules' fold can read it all.

use std::collections::BTreeSet;

use rusqlite::Connection;

use crate::shop::Shop;
use crate::shop::entry::{Entry, Fact};
use crate::shop::fold::voided;
use crate::store::chain::START;
use crate::store::climate::proof;
use crate::store::read::{parse, read};
use crate::store::{Error, Scope, Store};

/// What was looked at.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Checked {
    /// Entries read.
    pub entries: usize,
    /// The last entry's hash; whoever notes it down can later tell that nothing before it has changed.
    pub last_hash: String,
    /// What is wrong, in order; empty when the history is whole.
    pub faults: Vec<Fault>,
}

/// Something wrong with the history.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Fault {
    /// `SQLite`'s own check.
    #[error("the file itself is damaged: {0}")]
    File(String),
    /// A number is missing.
    #[error("entry {0} is missing")]
    Missing(i64),
    /// A row or one before it was changed.
    #[error("entry {0} was changed, or the one before it was: its hash does not fit")]
    Hash(i64),
    /// A row can't be read.
    #[error("entry {0} can't be read: {1}")]
    Unreadable(i64, String),
    /// A reading that an entry brought was changed, or is gone.
    #[error("the readings that entry {0} brought are not the ones it took in")]
    Readings(i64),
    /// An index is not what the entries say.
    #[error("the index of {0} is not what the entries say")]
    Index(&'static str),
}

impl Store {
    /// Reads the whole ledger and says everything that is wrong with it.
    pub fn check(&mut self) -> Result<Checked, Error> {
        let path = self.path.clone();
        let refuse = |source| super::failed(&path, source);
        let transaction = self.connection.transaction().map_err(refuse)?;
        let mut faults = damage(&transaction).map_err(refuse)?;
        let rows = read(&transaction, &Scope::All).map_err(refuse)?;
        let (mut previous, mut expected) = (START.to_owned(), 1);
        let mut entries = Vec::new();
        for row in &rows {
            faults.extend((expected..row.id).map(Fault::Missing));
            expected = row.id.saturating_add(1);
            if row.hash != row.hash_after(&previous) {
                faults.push(Fault::Hash(row.id));
            }
            previous.clone_from(&row.hash);
            match parse(&transaction, row, &path) {
                Ok(entry) => entries.push(entry),
                Err(error) => faults.push(Fault::Unreadable(row.id, error.to_string())),
            }
        }
        if entries.len() == rows.len() {
            let about = entries.iter().flat_map(|entry| {
                let named = move |s: crate::shop::entry::Subject| {
                    (s.kind.word().to_owned(), s.name, entry.id)
                };
                entry.subjects().into_iter().map(named)
            });
            let about: BTreeSet<_> = about.collect();
            if about != stored_about(&transaction).map_err(refuse)? {
                faults.push(Fault::Index("what entries are about"));
            }
            faults.extend(changed_readings(&transaction, &entries).map_err(refuse)?);
            let live = Shop::fold(&entries).live();
            let live: BTreeSet<_> =
                live.into_iter().map(|s| (s.kind.word().to_owned(), s.name)).collect();
            if live != stored_open(&transaction).map_err(refuse)? {
                faults.push(Fault::Index("what is open"));
            }
        }
        Ok(Checked { entries: rows.len(), last_hash: previous, faults })
    }
}

/// Entries whose readings are not what their digest says.
fn changed_readings(connection: &Connection, entries: &[Entry]) -> rusqlite::Result<Vec<Fault>> {
    let gone = voided(entries);
    let mut faults = Vec::new();
    for entry in entries.iter().filter(|entry| !gone.contains(&entry.id)) {
        if let Fact::ReadingsAdded(added) = &entry.fact
            && proof(connection, &added.room, entry.id)?.digest != added.digest
        {
            faults.push(Fault::Readings(entry.id));
        }
    }
    Ok(faults)
}

fn damage(connection: &Connection) -> rusqlite::Result<Vec<Fault>> {
    let mut check = connection.prepare("PRAGMA integrity_check(20)")?;
    let said: Vec<String> =
        check.query_map([], |row| row.get(0))?.collect::<rusqlite::Result<_>>()?;
    Ok(said.into_iter().filter(|line| line != "ok").map(Fault::File).collect())
}

fn stored_about(connection: &Connection) -> rusqlite::Result<BTreeSet<(String, String, i64)>> {
    let mut all = connection.prepare("SELECT kind, name, entry FROM about")?;
    all.query_map([], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?.collect()
}

fn stored_open(connection: &Connection) -> rusqlite::Result<BTreeSet<(String, String)>> {
    let mut all = connection.prepare("SELECT kind, name FROM open_now")?;
    all.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?.collect()
}
