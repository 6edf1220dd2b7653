//! Appends to the ledger: read, hold against the rules, write, all in one transaction that no other writer shares.

use chrono::SecondsFormat;
use rusqlite::{Connection, TransactionBehavior, params};

use crate::shop::fold::voided;
use crate::shop::{Entry, Fact, Journal};
use crate::store::chain::Row;
use crate::store::index::Reader;
use crate::store::stored::{Beside, Written};
use crate::store::{Error, Loaded, Scope, Store, climate, index, stored};
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
        let reader = Reader { connection: &transaction, path: &path };
        let (last, hash) = reader.tip()?;
        let Loaded { shop, entries } = reader.load(scope, None)?;
        let mut journal = Journal::new(shop, entries, now, last + 1);
        let before = journal.shop.live();
        let outcome = write(&transaction, &mut journal)?;
        if !journal.added().is_empty() {
            let hash = append(&transaction, &journal, &hash).map_err(refuse)?;
            let tip = (journal.next_id() - 1, hash.as_str());
            index::close(&transaction, &before, &journal.shop.live(), tip).map_err(refuse)?;
            transaction.commit().map_err(refuse)?;
            self.note_last(&hash);
        }
        Ok((outcome, journal))
    }
}

/// Writes what a journal added; the last hash.
fn append(connection: &Connection, journal: &Journal, last_hash: &str) -> rusqlite::Result<String> {
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
    Ok(hash)
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
    row.insert(connection)?;
    index::add(connection, entry)?;
    Ok(row.hash)
}
