//! Appends to the ledger: read, hold against the rules, write, all in one transaction that no other writer shares.

use std::collections::BTreeSet;
use std::path::Path;

use chrono::SecondsFormat;
use rusqlite::{Connection, OptionalExtension as _, TransactionBehavior, params};

use crate::shop::entry::{Entry, EntryId, Fact, Subject};
use crate::shop::fold::voided;
use crate::shop::journal::Journal;
use crate::store::chain::{Row, START};
use crate::store::read::load;
use crate::store::stored::{self, Beside, Written};
use crate::store::{Error, Loaded, Scope, Store, climate};
use crate::time::Instant;

impl Store {
    /// Lets `write` record in a journal of the shop as it is, and keeps all of it or, where it fails, nothing.
    ///
    /// The write lock is taken before the shop is read, so that two commands at once can't both be right.
    pub fn record<T, E>(
        &mut self,
        scope: &Scope,
        now: Instant,
        write: impl FnOnce(&mut Journal) -> Result<T, E>,
    ) -> Result<(T, Journal), E>
    where
        E: From<Error>,
    {
        self.record_beside(scope, now, |_, journal| write(journal))
    }

    /// The same for entries that bring rows of other tables with them: all of it is in the one transaction.
    pub(super) fn record_beside<T, E>(
        &mut self,
        scope: &Scope,
        now: Instant,
        write: impl FnOnce(&Connection, &mut Journal) -> Result<T, E>,
    ) -> Result<(T, Journal), E>
    where
        E: From<Error>,
    {
        let path = self.path.clone();
        let refuse = |source| E::from(super::failed(&path, source));
        let transaction = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(refuse)?;
        let (last, hash) = tip(&transaction).map_err(refuse)?;
        let mut journal = journal(&transaction, scope, now, last, &path)?;
        let before = journal.shop.live();
        let outcome = write(&transaction, &mut journal)?;
        append(&transaction, &journal, &hash).map_err(refuse)?;
        note_open(&transaction, &before, &journal.shop.live()).map_err(refuse)?;
        transaction.commit().map_err(refuse)?;
        Ok((outcome, journal))
    }
}

/// The shop as the transaction sees it, ready to be written to.
fn journal(
    connection: &Connection,
    scope: &Scope,
    now: Instant,
    last: EntryId,
    path: &Path,
) -> Result<Journal, Error> {
    let Loaded { shop, entries } = load(connection, scope, path)?;
    Ok(Journal::new(shop, entries, now, last + 1))
}

/// Writes what a journal added.
fn append(connection: &Connection, journal: &Journal, last_hash: &str) -> rusqlite::Result<()> {
    let mut hash = last_hash.to_owned();
    for entry in journal.added() {
        hash = insert(connection, entry, &hash)?;
    }
    let before = voided(journal.before());
    let after = voided(&journal.entries);
    for entry in journal.before().iter().filter(|e| matches!(e.fact, Fact::ReadingsAdded(_))) {
        match (before.contains(&entry.id), after.contains(&entry.id)) {
            (false, true) => climate::put_away(connection, entry.id)?,
            (true, false) => climate::bring_back(connection, entry.id)?,
            (true, true) | (false, false) => {}
        }
    }
    Ok(())
}

/// The last entry's number and hash.
fn tip(connection: &Connection) -> rusqlite::Result<(i64, String)> {
    let last = connection
        .query_row("SELECT id, hash FROM entry ORDER BY id DESC LIMIT 1", [], |row| {
            Ok((row.get(0)?, row.get(1)?))
        })
        .optional()?;
    Ok(last.unwrap_or((0, START.to_owned())))
}

fn insert(connection: &Connection, entry: &Entry, previous: &str) -> rusqlite::Result<String> {
    let json = |error: serde_json::Error| rusqlite::Error::ToSqlConversionFailure(Box::new(error));
    let anyway = entry.anyway.as_ref().map(stored::write_anyway).transpose().map_err(json)?;
    let Written { fact, beside } = stored::write(&entry.fact).map_err(json)?;
    if let Some(Beside { digest, text }) = beside {
        let mut keep = connection.prepare_cached("INSERT OR IGNORE INTO plan VALUES (?1, ?2)")?;
        keep.execute(params![digest, text])?;
    }
    let mut row = Row {
        id: entry.id,
        at: entry.at.to_rfc3339_opts(SecondsFormat::Secs, true),
        recorded: entry.recorded.to_rfc3339_opts(SecondsFormat::Secs, true),
        fact,
        anyway,
        hash: String::new(),
        act: Some(entry.act),
        form: stored::FORM,
    };
    row.hash = row.hash_after(previous);
    connection
        .prepare_cached("INSERT INTO entry VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)")?
        .execute(params![
            row.id,
            row.at,
            row.recorded,
            row.fact,
            row.anyway,
            row.hash,
            row.act,
            row.form
        ])?;
    let mut about = connection.prepare_cached("INSERT INTO about VALUES (?1, ?2, ?3)")?;
    for subject in entry.subjects() {
        about.execute(params![subject.kind.word(), subject.name, entry.id])?;
    }
    Ok(row.hash)
}

/// Brings the index of what is open up to date.
fn note_open(
    connection: &Connection,
    before: &BTreeSet<Subject>,
    after: &BTreeSet<Subject>,
) -> rusqlite::Result<()> {
    let mut close =
        connection.prepare_cached("DELETE FROM open_now WHERE kind = ?1 AND name = ?2")?;
    for subject in before.difference(after) {
        close.execute(params![subject.kind.word(), subject.name])?;
    }
    let mut open = connection.prepare_cached("INSERT OR IGNORE INTO open_now VALUES (?1, ?2)")?;
    for subject in after.difference(before) {
        open.execute(params![subject.kind.word(), subject.name])?;
    }
    Ok(())
}
