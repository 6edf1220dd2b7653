//! Proves the history whole: every hash, every number, every index, every reading, the layout itself, and that the rules'
//! fold can read it all. It looks at a copy, so that nobody waits who wants to record. What doesn't hang together is looked at at
//! once, each by a connection of its own.

use std::collections::{BTreeMap, BTreeSet};
use std::hash::{BuildHasher as _, RandomState};
use std::thread::{self, ScopedJoinHandle};

use rusqlite::Connection;

use crate::shop::{Entry, EntryId, Fact, Shop};
use crate::store::backup::noted_last;
use crate::store::index::{Key, Reader, keys};
use crate::store::migrate::fresh;
use crate::store::query::all;
use crate::store::reading::{Proof, all_proofs};
use crate::store::{Error, Store};

/// What was looked at.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Checked {
    /// Entries read.
    pub entries: usize,
    /// The last entry's hash; whoever notes it down can later tell that nothing before it has changed.
    pub(crate) last_hash: String,
    /// What is wrong, in order; empty when the history is whole.
    pub faults: Vec<Fault>,
}

/// Something wrong with the history.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Fault {
    #[error("the file itself is damaged: {0}")]
    File(String),
    #[error("the layout isn't tackfree's: {0} was changed, added or taken away")]
    Layout(String),
    #[error("entry {0} is missing")]
    Missing(i64),
    #[error("entry {0} was changed, or the one before it was: its hash does not fit")]
    Hash(i64),
    #[error("entry {0} can't be read: {1}")]
    Unreadable(i64, String),
    #[error("the readings that entry {0} brought are not the ones it took in")]
    Readings(i64),
    #[error("readings stand under entry {0}, which brought none")]
    Foreign(i64),
    #[error("the last entry noted down is {0}, and the last one there is {1}")]
    Last(i64, i64),
    #[error("the index of {0} is not what the entries say")]
    Index(&'static str),
    #[error("no entry has the hash {0}: entries after the one that had it were cut off or changed")]
    Noted(String),
}

impl Store {
    /// Reads the whole ledger and says everything that is wrong with it, held against a hash that somebody noted down.
    pub fn check(&mut self, noted: Option<&str>) -> Result<Checked, Error> {
        // Read first: whoever records meanwhile notes a later one down.
        let beside = noted_last(&self.path);
        let copy = self.copy()?;
        let noted: Vec<&str> = noted.into_iter().chain(beside.as_deref()).collect();
        check(Reader { connection: &copy.connection, path: &self.path }, &noted)
    }
}

/// What was found while the entries went by.
#[derive(Debug, Default)]
struct Passed {
    rows: usize,
    last: EntryId,
    last_hash: String,
    faults: Vec<Fault>,
    /// Whether all of them could be read, and so the rest can be held against them.
    read: bool,
    /// The hashes looked for that were found.
    noted: BTreeSet<String>,
    /// Not much more of it than is live.
    shop: Shop,
    /// How many things were live when what is over was let go of, and how many entries ago that was.
    live: usize,
    since: usize,
    /// Entries that brought readings and aren't taken back, and those that are.
    brought: BTreeMap<EntryId, String>,
    gone: BTreeMap<EntryId, String>,
    /// Of what the entries are about.
    sum: u64,
}

pub(super) fn check(reader: Reader<'_>, noted: &[&str]) -> Result<Checked, Error> {
    let refuse = |source| reader.failed(source);
    let file = reader.connection.path().unwrap_or_default();
    let of = RandomState::new();
    let (damage, beside, passed) = thread::scope(|scope| {
        let damage = scope.spawn(|| damage(&Connection::open(file)?));
        let beside = scope.spawn(|| -> rusqlite::Result<_> {
            let connection = Connection::open(file)?;
            Ok((all_proofs(&connection)?, about(&connection, &of)?))
        });
        let passed = entries(reader, noted, &of);
        (joined(damage), joined(beside), passed)
    });
    let mut faults = damage.map_err(refuse)?;
    faults.extend(layout(reader.connection).map_err(refuse)?);
    let mut passed = passed?;
    faults.append(&mut passed.faults);
    match reader.tip() {
        Ok((last, hash)) if last == passed.last && hash == passed.last_hash => {}
        Ok((last, _)) => faults.push(Fault::Last(last, passed.last)),
        Err(Error::Damaged { what, .. }) => faults.push(Fault::File(what)),
        Err(error) => return Err(error),
    }
    if passed.read {
        let (proofs, indexed) = beside.map_err(refuse)?;
        if indexed != Some(passed.sum) {
            faults.push(Fault::Index("what entries are about"));
        }
        faults.extend(open(reader.connection, &passed).map_err(refuse)?);
        faults.extend(readings(reader.connection, &passed, proofs).map_err(refuse)?);
    }
    let unknown = noted.iter().filter(|noted| !passed.noted.contains(**noted));
    faults.extend(unknown.map(|noted| Fault::Noted((*noted).to_owned())));
    Ok(Checked { entries: passed.rows, last_hash: passed.last_hash, faults })
}

fn joined<T>(thread: ScopedJoinHandle<'_, T>) -> T {
    thread.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic))
}

/// Goes through the entries once, and holds no more of them than what is open after them.
fn entries(reader: Reader<'_>, noted: &[&str], of: &RandomState) -> Result<Passed, Error> {
    let voided = voided(reader)?;
    let last_of = last_of_batches(reader.connection).map_err(|source| reader.failed(source))?;
    let mut passed = Passed { read: true, ..Passed::default() };
    reader.each(|row, before| {
        passed.faults.extend((passed.last + 1..row.id).map(Fault::Missing));
        if row.hash != row.hash_after(before) {
            passed.faults.push(Fault::Hash(row.id));
        }
        let known = noted.iter().filter(|noted| row.hash.starts_with(**noted));
        passed.noted.extend(known.map(|noted| (*noted).to_owned()));
        passed.rows += 1;
        passed.last = row.id;
        match reader.parse(&row) {
            Ok(entry) => passed.take(&entry, voided.contains(&entry.id), of),
            Err(error) => {
                passed.read = false;
                passed.faults.push(Fault::Unreadable(row.id, error.to_string()));
            }
        }
        passed.since += 1;
        if passed.since > 4 * passed.live {
            let over = |batch: &str| last_of.get(batch).is_some_and(|last| *last <= row.id);
            (passed.live, passed.since) = (passed.shop.let_go(over), 0);
        }
        passed.last_hash = row.hash;
        Ok(())
    })?;
    Ok(passed)
}

impl Passed {
    fn take(&mut self, entry: &Entry, voided: bool, of: &RandomState) {
        for (kind, name) in keys(entry) {
            self.sum = self.sum.wrapping_add(of.hash_one((kind.as_str(), name.as_str(), entry.id)));
        }
        if let Fact::ReadingsAdded(added) = &entry.fact {
            let whose = if voided { &mut self.gone } else { &mut self.brought };
            whose.insert(entry.id, added.digest.clone());
        }
        if !voided {
            self.shop.apply(entry);
        }
    }
}

/// A sum over what the index says that entries are about, whatever their order; `None` where they aren't counted through as
/// they stand. That its rows can be found by entry as well is for `SQLite`'s own check to say.
fn about(connection: &Connection, of: &RandomState) -> rusqlite::Result<Option<u64>> {
    let mut about = connection.prepare(
        "SELECT kind, name, entry, nth FROM about NOT INDEXED ORDER BY kind, name, entry",
    )?;
    let mut counted =
        connection.prepare("SELECT kind, name, entries FROM counted ORDER BY kind, name")?;
    let (mut about, mut counted) = (about.query([])?, counted.query([])?);
    let (mut sum, mut thing, mut turn, mut whole) = (0_u64, Key::default(), 0, true);
    let mut is_counted = |(kind, name): &Key, entries: i64| -> rusqlite::Result<bool> {
        let Some(row) = counted.next()? else { return Ok(false) };
        let same = row.get_ref(0)?.as_str()? == kind && row.get_ref(1)?.as_str()? == name;
        Ok(same && row.get::<_, i64>(2)? == entries)
    };
    while let Some(row) = about.next()? {
        let (kind, name) = (row.get_ref(0)?.as_str()?, row.get_ref(1)?.as_str()?);
        if (kind, name) != (thing.0.as_str(), thing.1.as_str()) {
            whole &= turn == 0 || is_counted(&thing, turn)?;
            (thing, turn) = ((kind.to_owned(), name.to_owned()), 0);
        }
        turn += 1;
        whole &= row.get::<_, i64>(3)? == turn;
        sum = sum.wrapping_add(of.hash_one((kind, name, row.get::<_, EntryId>(2)?)));
    }
    whole &= turn == 0 || is_counted(&thing, turn)?;
    Ok((whole && counted.next()?.is_none()).then_some(sum))
}

/// The last entry about each batch: nothing further is said of it.
fn last_of_batches(connection: &Connection) -> rusqlite::Result<BTreeMap<String, EntryId>> {
    let last = "SELECT name, max(entry) FROM about WHERE kind = 'batch' GROUP BY name";
    all(connection, last, [])
}

/// The entries that are taken back. Only entries that take back are looked at, from the last on.
fn voided(reader: Reader<'_>) -> Result<BTreeSet<EntryId>, Error> {
    let back: Vec<(EntryId, EntryId)> = reader.all(
        "SELECT id, fact ->> 'entry' FROM entry
         WHERE fact LIKE '{\"fact\":\"voided\"%' AND json_valid(fact) ORDER BY id DESC",
        [],
    )?;
    let mut gone = BTreeSet::new();
    for (id, entry) in back {
        if !gone.contains(&id) {
            gone.insert(entry);
        }
    }
    Ok(gone)
}

fn open(connection: &Connection, passed: &Passed) -> rusqlite::Result<Option<Fault>> {
    let open: BTreeSet<Key> = all(connection, "SELECT kind, name FROM open_now", [])?;
    let noted: Option<i64> =
        connection.query_row("SELECT max(open) FROM tip", [], |row| row.get(0))?;
    let live = passed.shop.live().into_iter().map(|s| (s.kind.word().to_owned(), s.name));
    let same = noted == i64::try_from(open.len()).ok() && open == live.collect();
    Ok((!same).then_some(Fault::Index("what is open")))
}

/// Each reading belongs to one entry that brought it and stands, and is under that entry's digest.
fn readings(
    connection: &Connection,
    passed: &Passed,
    (mut proofs, sums_hold): (BTreeMap<EntryId, Proof>, bool),
) -> rusqlite::Result<Vec<Fault>> {
    let mut faults = Vec::new();
    for (entry, digest) in &passed.brought {
        if proofs.remove(entry).map(|Proof { digest, .. }| digest).as_ref() != Some(digest) {
            faults.push(Fault::Readings(*entry));
        }
    }
    faults.extend(proofs.into_keys().map(Fault::Foreign));
    let aside: BTreeSet<(EntryId,)> =
        all(connection, "SELECT DISTINCT entry FROM reading_gone", [])?;
    let foreign = aside.into_iter().filter(|(entry,)| !passed.gone.contains_key(entry));
    faults.extend(foreign.map(|(entry,)| Fault::Foreign(entry)));
    if faults.is_empty() && !sums_hold {
        faults.push(Fault::Index("the readings of each day"));
    }
    Ok(faults)
}

fn damage(connection: &Connection) -> rusqlite::Result<Vec<Fault>> {
    let said: Vec<(String,)> = all(connection, "PRAGMA integrity_check(20)", [])?;
    Ok(said.into_iter().filter(|(line,)| line != "ok").map(|(line,)| Fault::File(line)).collect())
}

/// What differs from a new database, as text.
fn layout(connection: &Connection) -> rusqlite::Result<Vec<Fault>> {
    let fresh = fresh()?;
    let read = |of: &Connection| -> rusqlite::Result<BTreeSet<(String, String)>> {
        let schema = "SELECT type || ' ' || name, coalesce(sql, '') FROM sqlite_schema
                      WHERE name NOT GLOB 'sqlite_stat*'";
        let schema: Vec<(String, String)> = all(of, schema, [])?;
        Ok(schema.into_iter().map(|(name, sql)| (name, bare(&sql))).collect())
    };
    let (here, fresh) = (read(connection)?, read(&fresh)?);
    let differ = here.symmetric_difference(&fresh).map(|(name, _)| name.clone());
    Ok(differ.collect::<BTreeSet<_>>().into_iter().map(Fault::Layout).collect())
}

/// What a text of SQL says, without its comments and line breaks: those were other in a file of an earlier day.
fn bare(sql: &str) -> String {
    let lines = sql.lines().map(|line| line.split("--").next().unwrap_or_default());
    lines.flat_map(str::split_whitespace).collect::<Vec<_>>().join(" ")
}
