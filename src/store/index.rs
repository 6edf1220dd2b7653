//! The indexes: which entries are about what, and what is open. A row that is lost or changed is noticed as it is read:
//! the entries about a thing are counted through, how many there are stands apart, and each entry says what it is about.

use std::collections::BTreeSet;
use std::path::Path;

use rusqlite::{Connection, params};

use crate::shop::{Entry, EntryId, Subject, SubjectKind};
use crate::store::{Error, failed};

/// The kind under which the newest entries of a kind are found, whatever they are about.
pub(super) const ANY: &str = "any";

/// The kinds that are found so.
const FOUND_BY_KIND: [SubjectKind; 3] = [SubjectKind::Plan, SubjectKind::Finish, SubjectKind::Pace];

/// What an entry stands under in the index, by kind and name.
pub(super) type Key = (String, String);

/// A database being read.
#[derive(Debug, Clone, Copy)]
pub(super) struct Reader<'a> {
    pub(super) connection: &'a Connection,
    pub(super) path: &'a Path,
}

/// Everything that an entry stands under.
pub(super) fn keys(entry: &Entry) -> BTreeSet<Key> {
    let subjects = entry.subjects();
    let any = subjects.iter().filter(|subject| FOUND_BY_KIND.contains(&subject.kind));
    let any: Vec<Key> = any.map(|s| (ANY.to_owned(), s.kind.word().to_owned())).collect();
    subjects.into_iter().map(|s| (s.kind.word().to_owned(), s.name)).chain(any).collect()
}

/// Puts an entry in.
pub(super) fn add(connection: &Connection, entry: &Entry) -> rusqlite::Result<()> {
    let mut count = connection.prepare_cached(
        "INSERT INTO counted VALUES (?1, ?2, 1)
         ON CONFLICT DO UPDATE SET entries = entries + 1 RETURNING entries",
    )?;
    let mut about = connection.prepare_cached("INSERT INTO about VALUES (?1, ?2, ?3, ?4)")?;
    for (kind, name) in keys(entry) {
        let nth: i64 = count.query_row([&kind, &name], |row| row.get(0))?;
        about.execute(params![kind, name, entry.id, nth])?;
    }
    Ok(())
}

/// Brings up to date what is open, and which entry is the last.
pub(super) fn close(
    connection: &Connection,
    before: &BTreeSet<Subject>,
    after: &BTreeSet<Subject>,
    (last, hash): (EntryId, &str),
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
    connection.execute(
        "UPDATE tip SET entry = ?1, hash = ?2, open = (SELECT count(*) FROM open_now)",
        params![last, hash],
    )?;
    Ok(())
}

impl Reader<'_> {
    pub(super) fn failed(&self, source: rusqlite::Error) -> Error {
        failed(self.path, source)
    }

    pub(super) fn damaged(&self, what: impl Into<String>) -> Error {
        Error::Damaged { path: self.path.to_owned(), what: what.into() }
    }

    /// The last entry's number and hash, as they were noted down when it was written.
    pub(super) fn tip(&self) -> Result<(EntryId, String), Error> {
        let tip = self.one("SELECT entry, hash FROM tip", [])?;
        tip.ok_or_else(|| self.damaged("it doesn't say which entry is the last"))
    }

    /// Everything open, as many as there were when the last entry was written.
    pub(super) fn open(&self) -> Result<BTreeSet<Key>, Error> {
        let open: BTreeSet<Key> = self.all("SELECT kind, name FROM open_now", [])?;
        let counted = "SELECT (SELECT open FROM tip), (SELECT count(*) FROM open_now)";
        let counted: Option<(i64, i64)> = self.one(counted, [])?;
        let found = i64::try_from(open.len()).ok();
        if counted.is_some_and(|(noted, there)| noted == there && Some(noted) == found) {
            Ok(open)
        } else {
            Err(self.damaged("what is open isn't all there"))
        }
    }

    /// The newest entries under a key, newest first: all of them, or so many.
    pub(super) fn newest(
        &self,
        kind: &str,
        name: &str,
        most: Option<u32>,
    ) -> Result<Vec<EntryId>, Error> {
        let newest = "SELECT entry, nth FROM about WHERE kind = ?1 AND name = ?2
                      ORDER BY entry DESC LIMIT ?3";
        let limit = most.map_or(-1, i64::from);
        let found: Vec<(EntryId, i64)> = self.all(newest, params![kind, name, limit])?;
        let counted = self.counted(kind, name)?;
        let all = most.is_none_or(|most| i64::from(most) > counted);
        let wanted = if all { counted } else { most.map_or(counted, i64::from) };
        let in_turn = found.iter().zip(0..).all(|((_, nth), back)| *nth == counted - back);
        if in_turn && i64::try_from(found.len()) == Ok(wanted) {
            Ok(found.into_iter().map(|(entry, _)| entry).collect())
        } else {
            Err(self.damaged(format!("of the entries about {kind} {name} some are missing")))
        }
    }

    /// How many entries are about a thing.
    pub(super) fn counted(&self, kind: &str, name: &str) -> Result<i64, Error> {
        let counted = "SELECT entries FROM counted WHERE kind = ?1 AND name = ?2";
        Ok(self.one(counted, [kind, name])?.map_or(0, |(entries,)| entries))
    }

    /// What the index says that an entry is about.
    pub(super) fn keys(&self, entry: EntryId) -> Result<BTreeSet<Key>, Error> {
        self.all("SELECT kind, name FROM about INDEXED BY about_by_entry WHERE entry = ?1", [entry])
    }

    /// Holds an entry that was read against what the index says of it.
    pub(super) fn hold(&self, entry: &Entry, indexed: &BTreeSet<Key>) -> Result<(), Error> {
        if *indexed == keys(entry) {
            Ok(())
        } else {
            Err(self.damaged(format!("the index doesn't say what entry {} is about", entry.id)))
        }
    }

    /// An entry's hash, where there is such an entry.
    pub(super) fn hash(&self, entry: EntryId) -> Result<Option<String>, Error> {
        let hash = self.one("SELECT hash FROM entry WHERE id = ?1", [entry])?;
        Ok(hash.map(|(hash,)| hash))
    }
}
