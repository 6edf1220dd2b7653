//! The database: one `SQLite` file that holds the ledger and the two indexes a reader needs.
//!
//! The rollback journal is `SQLite`'s default and is left so: switching a new file to another mode does not wait for its
//! turn, and of twenty processes that open a new file at once a few would fail. It is also one file to copy.

mod append;
mod backup;
mod calendar;
mod chain;
mod check;
mod claims;
mod climate;
mod export;
pub(crate) mod files;
mod gather;
mod index;
mod migrate;
mod query;
mod read;
mod reading;
pub mod stored;

use std::path::{Path, PathBuf};
use std::time::Duration;
use std::{fs, io};

use rusqlite::config::DbConfig;
use rusqlite::{Connection, ErrorCode, OpenFlags};

pub use backup::NotCopied;
pub use check::{Checked, Fault};
pub use claims::{CLOCKS_DIFFER, Claim, Mark, Memory, SENT, Wanted};
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
    #[error("{path} is busy: another program has been writing to it for over {} s", PATIENCE.as_secs())]
    Busy { path: PathBuf },
    #[error(
        "{path} was written by a newer tackfree: its layout is {found}, this one knows up to {known}"
    )]
    Newer {
        path: PathBuf,
        found: i64,
        /// The newest layout known here.
        known: i64,
    },
    #[error("{path} is a database, but not one of tackfree's")]
    NotOurs { path: PathBuf },
    #[error("{path} isn't a database, and so not one of tackfree's")]
    NoDatabase { path: PathBuf },
    #[error("there's no database {path}")]
    Missing { path: PathBuf },
    #[error("{path} is empty: no shop was ever stored in it, or all of it is gone")]
    Empty { path: PathBuf },
    #[error("{path} is damaged: {what}")]
    Damaged { path: PathBuf, what: String },
    #[error("{path} can't be written to: it is read-only for you, or its folder or disk is")]
    ReadOnly { path: PathBuf },
    #[error("the disk of {path} is full")]
    Full { path: PathBuf },
    #[error("entry {entry} in {path} can't be read: {what}")]
    Unreadable {
        path: PathBuf,
        entry: i64,
        /// What is wrong with it.
        what: String,
    },
    #[error("the folder of {path} can't be used: {source}")]
    Folder { path: PathBuf, source: io::Error },
    #[error("{path} can't be opened: {source}")]
    Unopened { path: PathBuf, source: io::Error },
    #[error("{path}: {source}")]
    Sqlite { path: PathBuf, source: rusqlite::Error },
}

impl Store {
    /// Opens a database that is there, and brings its layout up to date.
    pub fn open(path: &Path) -> Result<Self, Error> {
        look_at(path)?;
        let mut store = Self::connect(path, path)?;
        store.migrate()?;
        Ok(store)
    }

    /// Makes a database where there is none, in a folder that is there; says whether it had to. It is made beside and put
    /// in its place whole, so that of many at once one makes it and nobody sees half of it.
    pub fn make(path: &Path) -> Result<bool, Error> {
        if fs::symlink_metadata(path).is_ok() {
            return Ok(false);
        }
        let refuse = |source| Error::Folder { path: path.to_owned(), source };
        let draft = files::draft_beside(path).map_err(refuse)?;
        Self::connect(draft.path(), path)?.lay_out()?;
        draft.as_file().sync_all().map_err(refuse)?;
        match draft.persist_noclobber(path) {
            Ok(_) => files::sync_folder(path).map(|()| true).map_err(refuse),
            Err(error) if error.error.kind() == io::ErrorKind::AlreadyExists => Ok(false),
            Err(error) => Err(refuse(error.error)),
        }
    }

    /// What a shop is before anything is stored in it, in memory.
    pub(crate) fn nothing_yet(path: &Path) -> Result<Self, Error> {
        let connection = Connection::open_in_memory().map_err(|source| failed(path, source))?;
        let mut store = Self { connection, path: path.to_owned() };
        store.lay_out()?;
        Ok(store)
    }

    /// Whether it is in memory alone.
    pub(crate) fn kept_nowhere(&self) -> bool {
        self.connection.path().is_none_or(str::is_empty)
    }

    /// Waits no longer than this for another that is writing, from now on.
    pub(crate) fn wait_at_most(&self, patience: Duration) -> Result<(), Error> {
        self.connection.busy_timeout(patience).map_err(|source| self.failed(source))
    }

    pub(crate) fn path(&self) -> &Path {
        &self.path
    }

    /// Connects to a file that is there, which is spoken of by another path where it is still to be put in its place.
    fn connect(file: &Path, path: &Path) -> Result<Self, Error> {
        let refuse = |source| failed(path, source);
        // Neither a URI nor a name that SQLite reads as one of its own, such as ":memory:".
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let connection =
            Connection::open_with_flags(Path::new(".").join(file), flags).map_err(refuse)?;
        connection.busy_timeout(PATIENCE).map_err(refuse)?;
        connection.pragma_update(None, "foreign_keys", true).map_err(refuse)?;
        // Else each new value of a cached statement has it planned again: half of a reading command's time in SQLite.
        let steady = DbConfig::SQLITE_DBCONFIG_ENABLE_QPSG;
        connection.set_db_config(steady, true).map_err(refuse)?;
        // FULL does not sync the folder after the rollback journal is gone: a power cut brings it back, and it takes back
        // what was acknowledged.
        connection.pragma_update(None, "synchronous", "EXTRA").map_err(refuse)?;
        Ok(Self { connection, path: path.to_owned() })
    }

    fn reader(&self) -> index::Reader<'_> {
        index::Reader { connection: &self.connection, path: &self.path }
    }

    fn failed(&self, source: rusqlite::Error) -> Error {
        failed(&self.path, source)
    }
}

/// What the operating system says of a file, before `SQLite` puts it in words of its own.
fn look_at(path: &Path) -> Result<(), Error> {
    let unopened = |source| Error::Unopened { path: path.to_owned(), source };
    match fs::metadata(path) {
        Ok(found) if found.is_file() => fs::File::open(path).map(|_| ()).map_err(unopened),
        Ok(found) if found.is_dir() => Err(unopened(io::Error::other("it is a folder"))),
        Ok(_) => Err(unopened(io::Error::other("it isn't a file"))),
        Err(source) if source.kind() != io::ErrorKind::NotFound => Err(unopened(source)),
        Err(_) => match fs::metadata(files::folder(path)) {
            Ok(_) => Err(Error::Missing { path: path.to_owned() }),
            Err(source) => Err(Error::Folder { path: path.to_owned(), source }),
        },
    }
}

fn failed(path: &Path, source: rusqlite::Error) -> Error {
    let path = path.to_owned();
    match source.sqlite_error_code() {
        Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Error::Busy { path },
        Some(ErrorCode::NotADatabase) => Error::NoDatabase { path },
        Some(ErrorCode::DatabaseCorrupt) => Error::Damaged { path, what: source.to_string() },
        Some(ErrorCode::ReadOnly) => Error::ReadOnly { path },
        Some(ErrorCode::DiskFull) => Error::Full { path },
        _ => Error::Sqlite { path, source },
    }
}
