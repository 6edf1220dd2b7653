//! Brings the layout of a database up to date, and refuses one that is newer or somebody else's.

use rusqlite::{Connection, TransactionBehavior};

use crate::store::{Error, Store};

/// The layouts in order: the first makes layout 1 out of nothing.
const MIGRATIONS: [&str; 4] = [
    include_str!("../../migrations/0001_ledger.sql"),
    include_str!("../../migrations/0002_climate.sql"),
    include_str!("../../migrations/0003_reminders.sql"),
    include_str!("../../migrations/0004_told.sql"),
];

/// What `SQLite`'s `application_id` holds in our files: "tack" in ASCII.
const APPLICATION: i64 = 0x7461_636B;

impl Store {
    pub(super) fn migrate(&mut self) -> Result<(), Error> {
        let path = self.path.clone();
        let known = i64::try_from(MIGRATIONS.len()).unwrap_or(i64::MAX);
        let current = layout(&self.connection).map_err(|source| self.failed(source))?;
        if current == Some(known) {
            return Ok(());
        }
        let refuse = |source| super::failed(&path, source);
        // Taken at once, so that of many processes one migrates and the others wait and find it done.
        let transaction = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(refuse)?;
        let found = layout(&transaction)
            .map_err(refuse)?
            .ok_or_else(|| Error::NotOurs { path: path.clone() })?;
        if found > known {
            return Err(Error::Newer { path, found, known });
        }
        for (number, sql) in (1..).zip(MIGRATIONS).filter(|(number, _)| *number > found) {
            transaction.execute_batch(sql).map_err(refuse)?;
            transaction.pragma_update(None, "user_version", number).map_err(refuse)?;
        }
        transaction.pragma_update(None, "application_id", APPLICATION).map_err(refuse)?;
        transaction.commit().map_err(refuse)
    }
}

/// The layout number; 0 for an empty file, `None` for somebody else's.
fn layout(connection: &Connection) -> rusqlite::Result<Option<i64>> {
    let pragma = |name| connection.pragma_query_value(None, name, |row| row.get::<_, i64>(0));
    let application = pragma("application_id")?;
    if application == APPLICATION {
        return pragma("user_version").map(Some);
    }
    let tables: i64 =
        connection.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
    Ok((tables == 0 && application == 0).then_some(0))
}
