//! Copies of one moment, made while others read and write: for the check, for a backup, and back again.

use std::fs::{self, File};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use rusqlite::{Connection, OpenFlags};
use tempfile::NamedTempFile;

use crate::shop::EntryId;
use crate::store::check::Checked;
use crate::store::{Error, PATIENCE, Store, check, failed, files, look_at};

/// What the last hash is noted down under, beside the database.
pub(super) const LAST: &str = ".last";

/// What stands beside a file of that name, and would be taken for its own.
const JOURNALS: [&str; 2] = ["-journal", "-wal"];

/// Why there is no copy.
#[derive(Debug, thiserror::Error)]
pub enum NotCopied {
    #[error(transparent)]
    Store(#[from] Error),
    #[error("{0} is there already")]
    There(PathBuf),
    #[error(
        "{0} is there: it belongs to a file that is gone, and would be taken for the new one's"
    )]
    Journal(PathBuf),
    #[error("line {0} of the export: {1}")]
    Line(usize, String),
    #[error("{path} can't be written: {source}")]
    Io { path: PathBuf, source: io::Error },
    #[error("{0} isn't whole, and a copy of it would be no better")]
    NotWhole(PathBuf, Box<Checked>),
}

/// A copy that nobody else sees.
#[derive(Debug)]
pub(super) struct Copy {
    /// Dropped before its file.
    pub(super) connection: Connection,
    file: NamedTempFile,
}

impl Store {
    /// Notes the last hash down beside the database, where a ledger that lost its end finds it. It may lag behind: after a
    /// power cut, or where it can't be written; any hash that the ledger once had does.
    pub(super) fn note_last(&self, hash: &str) {
        note_last(&self.path, hash);
    }

    /// The last entry's hash.
    pub(crate) fn last_hash(&self) -> Result<String, Error> {
        Ok(self.reader().tip()?.1)
    }

    /// A copy of one moment, to be looked at in peace: a second's work at a million entries, for which whoever writes waits.
    pub(super) fn copy(&self) -> Result<Copy, Error> {
        if self.kept_nowhere() {
            return Err(Error::Missing { path: self.path.clone() });
        }
        let unwritten = |source| Error::Unopened { path: "a temporary file".into(), source };
        let file = NamedTempFile::new().map_err(unwritten)?;
        // Once with nobody waiting, so that what is copied under the lock is in memory.
        octets(&self.path, file.path())?;
        copy(&self.connection, &self.path, file.path())?;
        let connection = Connection::open(file.path()).map_err(|e| failed(file.path(), e))?;
        Ok(Copy { connection, file })
    }

    /// Writes a copy of one moment to a place where nothing is. It is whole before it stands there.
    pub(crate) fn back_up(&self, target: &Path) -> Result<Checked, NotCopied> {
        // Read first: whoever records meanwhile notes a later one down.
        let noted = noted_last(&self.path);
        // The place may be slow, and nobody is to wait for it.
        let copied = self.copy()?;
        put(&copied.connection, copied.file.path(), &self.path, noted.as_deref(), target)
    }

    /// Makes a database out of a backup, where nothing is.
    pub(crate) fn restore(backup: &Path, target: &Path) -> Result<Checked, NotCopied> {
        look_at(backup)?;
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let source = Connection::open_with_flags(Path::new(".").join(backup), flags);
        let source = source.map_err(|source| failed(backup, source))?;
        source.busy_timeout(PATIENCE).map_err(|source| failed(backup, source))?;
        put(&source, backup, backup, noted_last(backup).as_deref(), target)
    }

    /// Drops this ledger's oldest backups in a folder, and keeps so many; those dropped. A file that only looks like one
    /// of them stays.
    pub(crate) fn thin(
        &self,
        folder: &Path,
        stem: &str,
        keep: usize,
    ) -> Result<Vec<PathBuf>, NotCopied> {
        let refuse = |path: &Path| {
            let path = path.to_owned();
            move |source| NotCopied::Io { path, source }
        };
        let begun = self.reader().hash(1)?;
        let mut found = Vec::new();
        for file in fs::read_dir(folder).map_err(refuse(folder))? {
            let path = file.map_err(refuse(folder))?.path();
            let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
            if is_backup(&name, stem) && begins_with(&path) == begun {
                found.push(path);
            }
        }
        found.sort();
        let over = found.len().saturating_sub(keep);
        found.truncate(over);
        for path in &found {
            fs::remove_file(path).map_err(refuse(path))?;
            fs::remove_file(files::with_end(path, LAST)).ok();
        }
        Ok(found)
    }

    /// The last entry that another ledger has as well.
    pub(crate) fn last_common(&self, other: &Self) -> Result<EntryId, Error> {
        let (own, others) = (self.reader(), other.reader());
        let mut last = own.tip()?.0.min(others.tip()?.0);
        while last > 0 && own.hash(last)? != others.hash(last)? {
            last -= 1;
        }
        Ok(last)
    }
}

fn note_last(database: &Path, hash: &str) {
    let path = files::with_end(database, LAST);
    let noted = files::draft_beside(&path).and_then(|mut draft| {
        writeln!(draft, "{hash}")?;
        draft.persist(&path).map_err(|error| error.error)
    });
    drop(noted);
}

/// The hash noted down beside a database.
pub(super) fn noted_last(database: &Path) -> Option<String> {
    let text = fs::read_to_string(files::with_end(database, LAST)).ok()?;
    Some(text.trim().to_owned()).filter(|hash| !hash.is_empty())
}

/// Whether a name is the one that a backup gets: `shop-2026-03-02-083000.tackfree`.
fn is_backup(name: &str, stem: &str) -> bool {
    let moment = name.strip_prefix(stem).and_then(|rest| rest.strip_suffix(".tackfree"));
    moment.is_some_and(|moment| {
        let form = moment.chars().map(|sign| if sign.is_ascii_digit() { '0' } else { sign });
        form.eq("-0000-00-00-000000".chars())
    })
}

/// The first entry's hash in a file, where it has one.
fn begins_with(path: &Path) -> Option<String> {
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let file = Connection::open_with_flags(Path::new(".").join(path), flags).ok()?;
    file.query_row("SELECT hash FROM entry WHERE id = 1", [], |row| row.get(0)).ok()
}

/// Puts a copy of a file, spoken of by another path, where nothing is.
fn put(
    source: &Connection,
    file: &Path,
    path: &Path,
    noted: Option<&str>,
    target: &Path,
) -> Result<Checked, NotCopied> {
    make_whole(path, target, noted, |store, draft| {
        copy(source, file, draft)?;
        Ok(store.migrate()?)
    })
}

/// Makes a database where nothing is, spoken of by that path while it is filled. It is whole before it stands there, and has
/// the entry with the hash noted down.
pub(super) fn make_whole(
    path: &Path,
    target: &Path,
    noted: Option<&str>,
    fill: impl FnOnce(&mut Store, &Path) -> Result<(), NotCopied>,
) -> Result<Checked, NotCopied> {
    let refuse = |source| NotCopied::Io { path: target.to_owned(), source };
    if fs::symlink_metadata(target).is_ok() {
        return Err(NotCopied::There(target.to_owned()));
    }
    let journal = JOURNALS.map(|end| files::with_end(target, end));
    if let Some(journal) = journal.into_iter().find(|journal| fs::symlink_metadata(journal).is_ok())
    {
        return Err(NotCopied::Journal(journal));
    }
    let draft = files::draft_beside(target).map_err(refuse)?;
    let mut store = Store::connect(draft.path(), path)?;
    fill(&mut store, draft.path())?;
    let checked = check::check(store.reader(), noted.as_slice())?;
    if !checked.faults.is_empty() {
        return Err(NotCopied::NotWhole(path.to_owned(), Box::new(checked)));
    }
    drop(store);
    draft.as_file().sync_all().map_err(refuse)?;
    draft.persist_noclobber(target).map_err(|error| match error.error.kind() {
        io::ErrorKind::AlreadyExists => NotCopied::There(target.to_owned()),
        _ => refuse(error.error),
    })?;
    note_last(target, &checked.last_hash);
    files::sync_folder(target).map_err(refuse)?;
    Ok(checked)
}

/// Copies the file that a connection is to, as it is at one moment.
fn copy(source: &Connection, file: &Path, target: &Path) -> Result<(), Error> {
    let refuse = |source| failed(file, source);
    let locked = source.unchecked_transaction().map_err(refuse)?;
    // The lock is taken with the first thing read, and a crash's journal played back before that.
    locked
        .query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get::<_, i64>(0))
        .map_err(refuse)?;
    // The system lets go of the lock as the file is closed: nothing more is read under it.
    octets(file, target)
}

fn octets(file: &Path, target: &Path) -> Result<(), Error> {
    let unopened = |path: &Path, source| Error::Unopened { path: path.to_owned(), source };
    let mut from = File::open(file).map_err(|source| unopened(file, source))?;
    let mut to = File::create(target).map_err(|source| unopened(target, source))?;
    io::copy(&mut from, &mut to).map(|_| ()).map_err(|source| match source.kind() {
        io::ErrorKind::StorageFull => Error::Full { path: target.to_owned() },
        _ => unopened(target, source),
    })
}
