//! Brings the layout of a database up to date, and refuses one that is newer or somebody else's.

use std::path::Path;

use rusqlite::{Connection, ErrorCode, TransactionBehavior};

use crate::store::{Error, Store, reading};

/// The layouts in order: the first makes layout 1 out of nothing.
const MIGRATIONS: [&str; 7] = [
    include_str!("../../migrations/0001_ledger.sql"),
    include_str!("../../migrations/0002_climate.sql"),
    include_str!("../../migrations/0003_reminders.sql"),
    include_str!("../../migrations/0004_told.sql"),
    include_str!("../../migrations/0005_acts.sql"),
    include_str!("../../migrations/0006_extremes.sql"),
    include_str!("../../migrations/0007_counted.sql"),
];

/// The layout from which on the readings of each day are summed up.
const DAYS_SUMMED: i64 = 7;

/// What `SQLite`'s `application_id` holds in our files: "tack" in ASCII.
const APPLICATION: i64 = 0x7461_636B;

impl Store {
    /// Brings an older layout up to date; an empty file is none.
    pub(super) fn migrate(&mut self) -> Result<(), Error> {
        let found = layout(&self.connection).map_err(|source| self.failed(source))?;
        if found == Some(newest()) {
            return Ok(());
        }
        self.up_to_date(|path, found| {
            if found == 0 { Err(Error::Empty { path: path.to_owned() }) } else { Ok(()) }
        })
    }

    /// Makes the newest layout out of nothing.
    pub(super) fn lay_out(&mut self) -> Result<(), Error> {
        self.up_to_date(|_, _| Ok(()))
    }

    fn up_to_date(
        &mut self,
        fits: impl FnOnce(&Path, i64) -> Result<(), Error>,
    ) -> Result<(), Error> {
        let path = self.path.clone();
        let refuse = |source| super::failed(&path, source);
        // Taken at once, so that of many processes one migrates and the others wait and find it done.
        let transaction = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(refuse)?;
        let found = layout(&transaction)
            .map_err(refuse)?
            .ok_or_else(|| Error::NotOurs { path: path.clone() })?;
        let known = newest();
        if found > known {
            return Err(Error::Newer { path, found, known });
        }
        fits(&path, found)?;
        for (number, sql) in (1..).zip(MIGRATIONS).filter(|(number, _)| *number > found) {
            transaction.execute_batch(sql).map_err(|source| match source.sqlite_error_code() {
                // The whole text of the migration says nothing to anybody.
                Some(ErrorCode::Unknown) | None => Error::Damaged {
                    path: path.clone(),
                    what: format!("it says that its layout is {found}, and it isn't"),
                },
                _ => refuse(source),
            })?;
            transaction.pragma_update(None, "user_version", number).map_err(refuse)?;
        }
        if found < DAYS_SUMMED {
            for room in reading::rooms(&transaction).map_err(refuse)? {
                reading::sum_days(&transaction, &room, (i64::MIN, i64::MAX)).map_err(refuse)?;
            }
        }
        transaction.pragma_update(None, "application_id", APPLICATION).map_err(refuse)?;
        transaction.commit().map_err(refuse)
    }
}

/// The newest layout, with nothing in it.
pub(super) fn fresh() -> rusqlite::Result<Connection> {
    let connection = Connection::open_in_memory()?;
    MIGRATIONS.into_iter().try_for_each(|sql| connection.execute_batch(sql))?;
    Ok(connection)
}

fn newest() -> i64 {
    i64::try_from(MIGRATIONS.len()).unwrap_or(i64::MAX)
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
