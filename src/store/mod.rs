//! The database: one `SQLite` file that holds the ledger and the two indexes a reader needs.
//!
//! The rollback journal is `SQLite`'s default and is left so: switching a new file to another mode does not wait for its
//! turn, and of twenty processes that open a new file at once a few would fail. It is also one file to copy.

mod append;
mod calendar;
mod chain;
mod check;
mod claims;
mod climate;
pub mod files;
mod migrate;
mod read;

use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::Connection;

pub use check::{Checked, Fault};
pub use claims::{CLOCKS_DIFFER, Claim, Mark, Memory, SENT, Wanted};
pub use climate::{KnownReading, TakenIn};
pub use read::{Loaded, Scope};

/// How long a command waits for another that is writing.
const PATIENCE: Duration = Duration::from_secs(10);

#[derive(Debug)]
pub struct Store {
    connection: Connection,
    path: PathBuf,
}

/// What went wrong with the database.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// Another program is writing and did not finish in time.
    #[error("{path} is busy: another program has been writing to it for over {} s", PATIENCE.as_secs())]
    Busy { path: PathBuf },
    /// A later version of the program made it.
    #[error(
        "{path} was written by a newer tackfree: its layout is {found}, this one knows up to {known}"
    )]
    Newer {
        path: PathBuf,
        found: i64,
        /// The newest layout known here.
        known: i64,
    },
    /// It is an `SQLite` file of something else.
    #[error("{path} is a database, but not one of tackfree's")]
    NotOurs { path: PathBuf },
    /// An entry can't be read.
    #[error("entry {entry} in {path} can't be read: {what}")]
    Unreadable {
        path: PathBuf,
        entry: i64,
        /// What is wrong with it.
        what: String,
    },
    /// The folder of the database can't be made or found.
    #[error("the folder of {path} can't be used: {source}")]
    Folder { path: PathBuf, source: std::io::Error },
    /// Anything else `SQLite` says.
    #[error("{path}: {source}")]
    Sqlite { path: PathBuf, source: rusqlite::Error },
}

impl Store {
    /// Opens the database, makes it where there is none, and brings its layout up to date.
    pub fn open(path: &Path) -> Result<Self, Error> {
        let refuse = |source| failed(path, source);
        let connection = Connection::open(path).map_err(refuse)?;
        let mut store = Self { connection, path: path.to_owned() };
        store.set_up().map_err(refuse)?;
        store.migrate()?;
        Ok(store)
    }

    pub fn path(&self) -> &Path {
        &self.path
    }

    fn set_up(&self) -> rusqlite::Result<()> {
        self.connection.busy_timeout(PATIENCE)?;
        self.connection.pragma_update(None, "foreign_keys", true)?;
        self.connection.pragma_update(None, "synchronous", "FULL")
    }

    fn failed(&self, source: rusqlite::Error) -> Error {
        failed(&self.path, source)
    }
}

fn failed(path: &Path, source: rusqlite::Error) -> Error {
    let path = path.to_owned();
    match source.sqlite_error_code() {
        Some(rusqlite::ErrorCode::DatabaseBusy | rusqlite::ErrorCode::DatabaseLocked) => {
            Error::Busy { path }
        }
        Some(rusqlite::ErrorCode::NotADatabase) => Error::NotOurs { path },
        _ => Error::Sqlite { path, source },
    }
}
