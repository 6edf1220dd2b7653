//! Reads the shop: the entries about what is open, folded. Closed batches cost nothing.

use std::path::Path;

use rusqlite::{Connection, OptionalExtension as _, Row as SqlRow, params};

use crate::shop::Shop;
use crate::shop::entry::{Entry, EntryId, Fact, Subject, SubjectKind};
use crate::store::chain::Row;
use crate::store::{Error, Store, climate, stored};
use crate::time::Instant;

/// Which part of the ledger to read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Scope {
    Open,
    /// What is open, and everything about these.
    With(Vec<Subject>),
    /// The same, and the newest batches by the recipes of the batches among these: what was thrown out of them, and their
    /// times.
    WithPast(Vec<Subject>),
    /// What is open, and everything about whatever is of that kind.
    Every(SubjectKind),
    /// What is open, and everything about what that entry and later ones are about.
    WithEntry(EntryId),
    /// The same for the last entry that stands.
    Last,
    /// Everything.
    All,
}

/// The shop as read.
#[derive(Debug, Clone)]
pub struct Loaded {
    pub shop: Shop,
    /// The entries it is the fold of, oldest first.
    pub entries: Vec<Entry>,
}

/// How many touch tests tell of a finish: enough for years of them, and no more work as the ledger grows.
const TESTS: u32 = 200;

/// How many of the newest entries with times tell of the pace.
const TIMES: u32 = 400;

/// How many batches of one recipe tell of its scrap.
const PAST: u32 = 24;

const COLUMNS: &str = "id, at, recorded, fact, anyway, hash, act, form";

impl Store {
    /// Reads the shop.
    pub fn load(&mut self, scope: &Scope) -> Result<Loaded, Error> {
        let path = self.path.clone();
        let transaction =
            self.connection.transaction().map_err(|source| super::failed(&path, source))?;
        load(&transaction, scope, &path)
    }

    /// The entry written last, and when that was.
    pub fn last_recorded(&self) -> Result<Option<(Instant, EntryId)>, Error> {
        let newest = self
            .connection
            .query_row("SELECT recorded, id FROM entry ORDER BY id DESC LIMIT 1", [], |row| {
                Ok((row.get::<_, String>(0)?, row.get(1)?))
            })
            .optional()
            .map_err(|source| self.failed(source))?;
        Ok(newest.and_then(|(recorded, id)| {
            Some((crate::time::typed::read_rfc3339(&recorded).ok()?, id))
        }))
    }

    /// Reads the shop as it was at a moment: entries of later happenings are left out, corrections always count.
    pub fn load_as_of(&mut self, at: Instant) -> Result<Loaded, Error> {
        let Loaded { mut entries, .. } = self.load(&Scope::All)?;
        entries.retain(|entry| entry.at <= at || matches!(entry.fact, Fact::Voided(_)));
        let mut shop = Shop::fold(&entries);
        let refuse = |source| super::failed(&self.path, source);
        climate::attach(&self.connection, &mut shop, Some(at)).map_err(refuse)?;
        Ok(Loaded { shop, entries })
    }
}

/// The shop as a transaction sees it.
pub(super) fn load(connection: &Connection, scope: &Scope, path: &Path) -> Result<Loaded, Error> {
    let refuse = |source| super::failed(path, source);
    let rows = read(connection, scope).map_err(refuse)?;
    let entries =
        rows.iter().map(|row| parse(connection, row, path)).collect::<Result<Vec<_>, _>>()?;
    let mut shop = Shop::fold(&entries);
    climate::attach(connection, &mut shop, None).map_err(refuse)?;
    Ok(Loaded { shop, entries })
}

/// The rows of a scope, oldest first.
pub(super) fn read(connection: &Connection, scope: &Scope) -> rusqlite::Result<Vec<Row>> {
    if *scope == Scope::All {
        let mut all = connection.prepare(&format!("SELECT {COLUMNS} FROM entry ORDER BY id"))?;
        return all.query_map([], row)?.collect();
    }
    // What may be taken back is held against the rules as they were: for that every setup is read, else the last one.
    let setups = match scope {
        Scope::WithEntry(_) | Scope::Last => "entry",
        _ => "max(entry)",
    };
    let mut extra = match scope {
        Scope::With(subjects) | Scope::WithPast(subjects) => subjects.clone(),
        Scope::WithEntry(entry) => subjects_from(connection, first_of(connection, *entry)?)?,
        Scope::Last => match last_standing(connection)? {
            Some(entry) => subjects_from(connection, first_of(connection, entry)?)?,
            None => Vec::new(),
        },
        Scope::Every(kind) => every(connection, *kind)?,
        Scope::Open | Scope::All => Vec::new(),
    };
    extra.push(Subject::new(SubjectKind::Setup, "setup"));
    connection.execute_batch(
        "CREATE TEMP TABLE IF NOT EXISTS wanted (kind TEXT, name TEXT, PRIMARY KEY (kind, name)); DELETE FROM wanted;
         INSERT INTO wanted SELECT kind, name FROM open_now;",
    )?;
    let mut insert = connection.prepare_cached("INSERT OR IGNORE INTO wanted VALUES (?1, ?2)")?;
    for subject in &extra {
        insert.execute(params![subject.kind.word(), subject.name])?;
    }
    if let Scope::WithPast(_) = scope {
        add_past(connection)?;
    }
    // A lot given from one batch to another has its history in both.
    connection.execute(
        "WITH RECURSIVE kin (name) AS (
             SELECT name FROM wanted WHERE kind = 'batch'
             UNION
             SELECT other.name FROM kin
             CROSS JOIN about AS batch ON batch.kind = 'batch' AND batch.name = kin.name
             CROSS JOIN about AS given ON given.entry = batch.entry AND given.kind = 'given'
             CROSS JOIN about AS other ON other.entry = given.entry AND other.kind = 'batch')
         INSERT OR IGNORE INTO wanted SELECT 'batch', name FROM kin",
        [],
    )?;
    // CROSS JOIN: SQLite begins with what is wanted, and never goes through the whole index for it.
    // A batch's coats came from cans: what those were, opened when and by which maker's lot, belongs to its record.
    connection.execute(
        "INSERT OR IGNORE INTO wanted
         SELECT 'can', can.name FROM wanted
         CROSS JOIN about AS batch ON batch.kind = wanted.kind AND batch.name = wanted.name
         CROSS JOIN about AS can ON can.entry = batch.entry AND can.kind = 'can'
         WHERE wanted.kind = 'batch'",
        [],
    )?;
    // A can brings in coats of batches long closed, and so do times: whether their rags were dealt with is read too.
    connection.execute(
        "INSERT OR IGNORE INTO wanted
         SELECT 'rags', rags.name FROM wanted
         CROSS JOIN about AS coat ON coat.kind = wanted.kind AND coat.name = wanted.name
         CROSS JOIN about AS rags ON rags.entry = coat.entry AND rags.kind = 'rags'
         WHERE wanted.kind = 'can'
         UNION
         SELECT 'rags', rags.name
         FROM (SELECT entry FROM about WHERE kind = 'pace' ORDER BY entry DESC LIMIT ?1) AS timed
         CROSS JOIN about AS rags ON rags.entry = timed.entry AND rags.kind = 'rags'",
        [TIMES],
    )?;
    // Of kept plans the last not taken back; of touch tests after the last coat the newest, lots long gone included.
    let mut wanted = connection.prepare_cached(&format!(
        "SELECT {COLUMNS} FROM entry WHERE id IN (
             SELECT about.entry FROM wanted CROSS JOIN about USING (kind, name) WHERE kind <> 'setup'
             UNION SELECT {setups} FROM about WHERE kind = 'setup'
             UNION SELECT max(entry) FROM (
                 SELECT min(entry) AS entry FROM about WHERE kind = 'plan' GROUP BY name HAVING count(*) % 2 = 1)
             UNION SELECT * FROM (SELECT entry FROM about WHERE kind = 'finish' ORDER BY entry DESC LIMIT {TESTS})
             UNION SELECT * FROM (SELECT entry FROM about WHERE kind = 'pace' ORDER BY entry DESC LIMIT {TIMES}))
         ORDER BY id"
    ))?;
    wanted.query_map([], row)?.collect()
}

fn every(connection: &Connection, kind: SubjectKind) -> rusqlite::Result<Vec<Subject>> {
    let mut names = connection.prepare_cached("SELECT DISTINCT name FROM about WHERE kind = ?1")?;
    let names = names.query_map([kind.word()], |row| row.get::<_, String>(0))?;
    names.map(|name| name.map(|name| Subject { kind, name })).collect()
}

/// Wants the newest batches by the recipes of those wanted.
fn add_past(connection: &Connection) -> rusqlite::Result<()> {
    connection.execute(
        "INSERT OR IGNORE INTO wanted
         SELECT 'batch', name FROM (
             SELECT past.name, row_number() OVER (PARTITION BY of.name ORDER BY past.entry DESC) AS age
             FROM (SELECT DISTINCT recipe.name FROM wanted
                   CROSS JOIN about AS batch ON batch.kind = wanted.kind AND batch.name = wanted.name
                   CROSS JOIN about AS recipe ON recipe.entry = batch.entry AND recipe.kind = 'recipe'
                   WHERE wanted.kind = 'batch') AS of
             CROSS JOIN about AS opened ON opened.kind = 'recipe' AND opened.name = of.name
             CROSS JOIN about AS past ON past.entry = opened.entry AND past.kind = 'batch')
         WHERE age <= ?1",
        [PAST],
    )?;
    Ok(())
}

/// The first entry that taking an entry's command line back changes anything of: of one that takes back, what comes back.
fn first_of(connection: &Connection, entry: EntryId) -> rusqlite::Result<EntryId> {
    let mut act = connection.prepare_cached(
        "SELECT id, iif(fact ->> 'fact' = 'voided', fact ->> 'entry', NULL) FROM entry
         WHERE id = ?1 OR act = (SELECT act FROM entry WHERE id = ?1)",
    )?;
    let found = act.query_map([entry], |row| Ok((row.get(0)?, row.get(1)?)))?;
    let found: Vec<(EntryId, Option<EntryId>)> = found.collect::<Result<_, _>>()?;
    let mut first = entry;
    for (id, back) in found {
        // It names an earlier one, in a file that nobody tampered with.
        let back = back.filter(|back| *back < id).map(|back| first_of(connection, back));
        first = first.min(id).min(back.transpose()?.unwrap_or(id));
    }
    Ok(first)
}

/// What an entry and all later ones are about, for whoever takes it back: any of those may stand on it, though their batch
/// be closed since. What was over before it stands on nothing.
fn subjects_from(connection: &Connection, entry: EntryId) -> rusqlite::Result<Vec<Subject>> {
    let mut about = connection.prepare_cached(
        "SELECT DISTINCT kind, name FROM about INDEXED BY about_by_entry
         WHERE entry >= ?1 AND kind NOT IN ('setup', 'rack', 'finish', 'recipe', 'pace')",
    )?;
    let found = about.query_map([entry], |row| {
        let (kind, name): (String, String) = (row.get(0)?, row.get(1)?);
        Ok(kind_of(&kind).map(|kind| Subject { kind, name }))
    })?;
    let found: Vec<Option<Subject>> = found.collect::<Result<_, _>>()?;
    Ok(found.into_iter().flatten().collect())
}

/// The newest entry that neither takes back nor is taken back; found from the end, so a long history costs nothing.
fn last_standing(connection: &Connection) -> rusqlite::Result<Option<EntryId>> {
    let mut newest = connection.prepare_cached(
        "SELECT id, iif(fact ->> 'fact' = 'voided', fact ->> 'entry', NULL) FROM entry ORDER BY id DESC",
    )?;
    let mut gone = std::collections::BTreeSet::new();
    let mut rows = newest.query([])?;
    while let Some(row) = rows.next()? {
        let (id, takes_back): (EntryId, Option<EntryId>) = (row.get(0)?, row.get(1)?);
        match (takes_back, gone.contains(&id)) {
            (Some(entry), false) => {
                gone.insert(entry);
            }
            (None, false) => return Ok(Some(id)),
            (_, true) => {}
        }
    }
    Ok(None)
}

fn kind_of(word: &str) -> Option<SubjectKind> {
    SubjectKind::ALL.into_iter().find(|kind| kind.word() == word)
}

fn row(row: &SqlRow<'_>) -> rusqlite::Result<Row> {
    Ok(Row {
        id: row.get(0)?,
        at: row.get(1)?,
        recorded: row.get(2)?,
        fact: row.get(3)?,
        anyway: row.get(4)?,
        hash: row.get(5)?,
        act: row.get(6)?,
        form: row.get(7)?,
    })
}

/// The entry in a row.
pub(super) fn parse(connection: &Connection, row: &Row, path: &Path) -> Result<Entry, Error> {
    let unreadable =
        |what: String| Error::Unreadable { path: path.to_owned(), entry: row.id, what };
    let instant = |text: &str| {
        crate::time::typed::read_rfc3339(text).map_err(|error| unreadable(error.to_string()))
    };
    let plan = |digest: &str| {
        let found = connection
            .prepare_cached("SELECT plan FROM plan WHERE digest = ?1")
            .and_then(|mut plan| plan.query_row([digest], |row| row.get(0)).optional());
        found.map_err(|error| error.to_string())
    };
    let anyway = row.anyway.as_deref().map(stored::read_anyway).transpose();
    Ok(Entry {
        id: row.id,
        act: row.act.unwrap_or(row.id),
        at: instant(&row.at)?,
        recorded: instant(&row.recorded)?,
        fact: stored::read(row.form, &row.fact, plan).map_err(unreadable)?,
        anyway: anyway.map_err(|error| unreadable(error.to_string()))?,
    })
}
