//! Reads the shop: the entries about what is open, folded. Closed batches cost nothing.

use std::collections::{BTreeMap, BTreeSet};

use chrono::DateTime;
use rusqlite::{OptionalExtension as _, Row as SqlRow};

use crate::shop::{Entry, EntryId, Fact, Shop, Subject, SubjectKind};
use crate::store::chain::{Row, START};
use crate::store::index::{Reader, keys};
use crate::store::query::one;
use crate::store::{Error, Store, climate, stored};
use crate::time::Instant;

/// Which part of the ledger to read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Scope {
    /// The setup in force, and nothing else.
    Setup,
    Open,
    /// What is open, and of open cans each coat.
    Cans,
    /// What is open, and everything about these.
    With(Vec<Subject>),
    /// The same, and the newest batches by the recipes among these and by the recipes of the batches among these: what was
    /// thrown out of them, and their times.
    WithPast(Vec<Subject>),
    /// What is open, and everything about whatever is of that kind.
    Every(SubjectKind),
    /// What is open, and everything about what that entry and later ones are about.
    WithEntry(EntryId),
    /// The same for the last entry that stands.
    Last,
    /// What is open, and everything about whatever happened after that moment.
    Since(Instant),
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

/// How many of the last entries are held against their hashes, whatever is asked for.
const LAST: EntryId = 4;

const COLUMNS: &str = "id, at, recorded, fact, anyway, hash, act, form";

impl Store {
    /// Reads the shop.
    pub fn load(&mut self, scope: &Scope) -> Result<Loaded, Error> {
        self.load_at(scope, None)
    }

    /// Reads the shop as it was at a moment: entries of later happenings are left out, corrections always count.
    pub(crate) fn load_as_of(&mut self, scope: &Scope, at: Instant) -> Result<Loaded, Error> {
        self.load_at(scope, Some(at))
    }

    fn load_at(&mut self, scope: &Scope, at: Option<Instant>) -> Result<Loaded, Error> {
        let path = self.path.clone();
        let transaction =
            self.connection.transaction().map_err(|source| super::failed(&path, source))?;
        Reader { connection: &transaction, path: &path }.load(scope, at)
    }

    /// The batches that entries about a thing are about as well, by the index.
    pub(crate) fn batches_of(&self, subject: &Subject) -> Result<Vec<Subject>, Error> {
        let reader = self.reader();
        let mut batches = BTreeSet::new();
        for entry in reader.newest(subject.kind.word(), &subject.name, None)? {
            let keys = reader.keys(entry)?.into_iter();
            batches.extend(keys.filter(|(kind, _)| kind == SubjectKind::Batch.word()));
        }
        Ok(batches.into_iter().map(|(_, name)| Subject::new(SubjectKind::Batch, name)).collect())
    }

    /// The entry written last, and when that was.
    pub(crate) fn last_recorded(&self) -> Result<Option<(Instant, EntryId)>, Error> {
        let newest = "SELECT recorded, id FROM entry ORDER BY id DESC LIMIT 1";
        let newest: Option<(String, EntryId)> = self.reader().one(newest, [])?;
        Ok(newest.and_then(|(recorded, id)| {
            Some((crate::time::typed::read_rfc3339(&recorded).ok()?, id))
        }))
    }
}

impl Reader<'_> {
    /// The shop as a transaction sees it.
    pub(super) fn load(&self, scope: &Scope, at: Option<Instant>) -> Result<Loaded, Error> {
        let last = self.hold_last()?;
        let mut entries = Vec::new();
        let mut passed_over = BTreeMap::new();
        let mut rags = None;
        if *scope == Scope::All {
            self.each(|row, before| {
                self.hold_hash(&row, before)?;
                entries.push(self.parse(&row)?);
                Ok(())
            })?;
        } else {
            let gathered = self.gather(scope, at, last)?;
            passed_over = gathered.passed_over;
            rags = Some(gathered.wanted);
            for (id, keys) in gathered.entries {
                let entry = self.proved(id)?.0;
                self.hold(&entry, &keys)?;
                entries.push(entry);
            }
        }
        if let Some(at) = at {
            // Before its first setup the shop is shown by that one: its sheets held before anybody typed them in.
            let mut setups =
                entries.iter().filter(|entry| matches!(entry.fact, Fact::SetupLoaded(_)));
            let known = setups.clone().any(|setup| setup.at <= at);
            let first = setups.next().filter(|_| !known).map(|setup| setup.id);
            entries.retain(|entry| {
                entry.at <= at || Some(entry.id) == first || matches!(entry.fact, Fact::Voided(_))
            });
        }
        let mut shop = Shop::fold(&entries);
        for (can, coats) in passed_over {
            if let Some(can) = shop.cans.get_mut(&can) {
                can.coats = can.coats.saturating_add(coats);
                can.not_reckoned = can.not_reckoned.saturating_add(coats);
            }
        }
        // Coats of batches long closed are read for their cans and their times. Their rags are open where the index says so,
        // or where something happened to them since the moment asked for.
        if let Some(wanted) = rags {
            let rags = SubjectKind::Rags.word();
            shop.rags.retain(|coat, _| wanted.contains(&(rags.to_owned(), coat.to_string())));
        }
        if *scope != Scope::Setup {
            climate::attach(*self, &mut shop, at)?;
        }
        Ok(Loaded { shop, entries })
    }

    /// Holds the last entries against their hashes, the index and what was noted down of them; the last one's number. A
    /// copy made while somebody was writing, or without the journal of a crash, comes to light here.
    fn hold_last(&self) -> Result<EntryId, Error> {
        let (last, hash) = self.tip()?;
        let found = self.one("SELECT coalesce(max(id), 0) FROM entry", [])?;
        let found: EntryId = found.map_or(0, |(id,)| id);
        if found != last {
            return Err(self.damaged(format!("its last entry should be {last} and is {found}")));
        }
        for id in (last - LAST + 1).max(1)..=last {
            let (entry, found) = self.proved(id)?;
            if id == last && found != hash {
                return Err(self.damaged(format!("entry {id} isn't the one that was written last")));
            }
            self.hold(&entry, &self.keys(id)?)?;
            for (kind, name) in keys(&entry).iter().filter(|_| id == last) {
                if self.newest(kind, name, Some(1))? != [id] {
                    return Err(self.damaged(format!("the index lacks entry {id}")));
                }
            }
        }
        Ok(last)
    }

    /// Goes through the ledger, each row with the hash before it.
    pub(super) fn each(
        &self,
        mut look: impl FnMut(Row, &str) -> Result<(), Error>,
    ) -> Result<(), Error> {
        let refuse = |source| self.failed(source);
        let all = format!("SELECT {COLUMNS} FROM entry ORDER BY id");
        let mut all = self.connection.prepare(&all).map_err(refuse)?;
        let mut rows = all.query([]).map_err(refuse)?;
        let mut before = START.to_owned();
        while let Some(found) = rows.next().map_err(refuse)? {
            let found = row(found).map_err(refuse)?;
            let hash = found.hash.clone();
            look(found, &before)?;
            before = hash;
        }
        Ok(())
    }

    /// An entry, held against the hash before it; and its own.
    fn proved(&self, id: EntryId) -> Result<(Entry, String), Error> {
        let read = || {
            let one = format!(
                "SELECT {COLUMNS}, (SELECT hash FROM entry WHERE id = ?1 - 1) FROM entry WHERE id = ?1"
            );
            let mut one = self.connection.prepare_cached(&one)?;
            one.query_row([id], |found| Ok((row(found)?, found.get(8)?))).optional()
        };
        let found = read().map_err(|source| self.failed(source))?;
        let (row, before): (Row, Option<String>) =
            found.ok_or_else(|| self.damaged(format!("entry {id} is gone")))?;
        let before = before.or_else(|| (id == 1).then(|| START.to_owned()));
        let before = before.ok_or_else(|| self.damaged(format!("entry {} is gone", id - 1)))?;
        self.hold_hash(&row, &before)?;
        Ok((self.parse(&row)?, row.hash))
    }

    fn hold_hash(&self, row: &Row, before: &str) -> Result<(), Error> {
        if row.hash == row.hash_after(before) {
            Ok(())
        } else {
            Err(self.damaged(format!("entry {} isn't as it was written", row.id)))
        }
    }

    pub(super) fn parse(&self, row: &Row) -> Result<Entry, Error> {
        let unreadable =
            |what: String| Error::Unreadable { path: self.path.to_owned(), entry: row.id, what };
        let instant = |text: &str| match DateTime::parse_from_rfc3339(text) {
            Ok(instant) => Ok(instant.to_utc()),
            Err(error) => Err(unreadable(format!("{text:?} isn't a moment: {error}"))),
        };
        let plan = |digest: &str| {
            let found = one(self.connection, "SELECT plan FROM plan WHERE digest = ?1", [digest]);
            found.map(|found| found.map(|(plan,)| plan)).map_err(|error| error.to_string())
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
