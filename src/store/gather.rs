//! Finds the entries that a scope reads, each by the index, and each thing's entries counted through.

use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};

use chrono::SecondsFormat;
use rusqlite::{Connection, params};

use crate::shop::name::alike;
use crate::shop::{EntryId, Subject, SubjectKind};
use crate::store::index::{ANY, Key, Reader};
use crate::store::query::all;
use crate::store::{Error, Scope, Store};
use crate::time::Instant;

/// How many touch tests tell of a finish: enough for years of them, and no more work as the ledger grows.
const TESTS: u32 = 200;

/// How many of the newest entries with times tell of a recipe's pace: ten of each step are enough for its minutes.
const TIMES: u32 = 100;

/// The same where somebody asks for the pace itself.
const ALL_TIMES: u32 = 400;

/// How many batches of one recipe tell of its scrap.
const PAST: u32 = 24;

/// How many coats of a can that is never emptied are gone through. What more were laid from it is told as not reckoned.
const COATS: u32 = 500;

/// How many of its first entries tell what a can is: it may be opened by mistake, and that taken back, before any coat.
const FIRST: u32 = 20;

/// What is to be read, as it is gone through.
#[derive(Debug, Default)]
pub(super) struct Gathered {
    pub(super) wanted: BTreeSet<Key>,
    /// What is open, and the cans that somebody asks about.
    open: BTreeSet<Key>,
    asked: BTreeSet<String>,
    /// Wanted, and not looked at yet.
    ahead: Vec<Key>,
    /// The entries found so far, each with what the index says that it is about.
    pub(super) entries: BTreeMap<EntryId, BTreeSet<Key>>,
    /// The cans of which not every entry is read.
    in_part: BTreeSet<String>,
    /// How many entries about each of those are passed over.
    pub(super) passed_over: BTreeMap<String, u32>,
}

impl Gathered {
    fn want(&mut self, key: Key) {
        if self.wanted.insert(key.clone()) {
            self.ahead.push(key);
        }
    }
}

impl Store {
    /// Everything of that kind that was ever called so, or by a name that looks like it.
    pub(crate) fn alike(&self, kind: SubjectKind, name: &str) -> Result<Vec<Subject>, Error> {
        let names = self.reader().every(kind)?.into_iter().map(|(_, known)| known);
        Ok(names.filter(|known| alike(known, name)).map(|name| Subject { kind, name }).collect())
    }

    /// Every shipment's number and whom it went to: all that is read of those to others.
    pub(crate) fn addressees(&self) -> Result<Vec<(EntryId, String)>, Error> {
        let reader = self.reader();
        // Tells of any that the index lacks.
        reader.every(SubjectKind::Shipment)?;
        reader.all(
            "SELECT entry.id, entry.fact ->> 'to' FROM about JOIN entry ON entry.id = about.entry
             WHERE about.kind = 'shipment' AND entry.fact ->> 'to' NOT NULL",
            [],
        )
    }
}

impl Reader<'_> {
    /// Finds what a scope reads.
    pub(super) fn gather(
        &self,
        scope: &Scope,
        at: Option<Instant>,
        last: EntryId,
    ) -> Result<Gathered, Error> {
        let mut all = Gathered::default();
        if *scope == Scope::Setup {
            self.newest("setup", "setup", Some(1))?
                .into_iter()
                .try_for_each(|id| self.add_entry(&mut all, id))?;
            return Ok(all);
        }
        all.open = self.open()?;
        for key in all.open.clone() {
            all.want(key);
        }
        match scope {
            Scope::With(subjects) | Scope::WithPast(subjects) => {
                // Of a recipe the newest batches are meant, not all there ever were.
                let about = |subject: &&Subject| subject.kind != SubjectKind::Recipe;
                for subject in subjects.iter().filter(about) {
                    all.want(key(subject.kind, &subject.name));
                    all.asked.insert(subject.name.clone());
                }
            }
            Scope::Every(kind) => {
                for key in self.every(*kind)? {
                    all.want(key);
                }
            }
            Scope::Cans => all.asked = all.open.iter().map(|(_, name)| name.clone()).collect(),
            Scope::WithEntry(_)
            | Scope::Since(_)
            | Scope::Last
            | Scope::Setup
            | Scope::Open
            | Scope::All => {}
        }
        let from = self.from(scope, at)?;
        if let Some(from) = from {
            // Any of those may have closed what was open, and may stand on the entry that is taken back.
            for id in from.max(1)..=last {
                let keys = self.keys(id)?;
                let passed = ["setup", "rack", "finish", "recipe", "pace", ANY];
                let wanted = keys.iter().filter(|(kind, _)| !passed.contains(&kind.as_str()));
                wanted.for_each(|key| all.want(key.clone()));
                all.entries.insert(id, keys);
            }
        }
        if let Scope::WithPast(subjects) = scope {
            self.add_past(&mut all, subjects)?;
        }
        self.add_newest(&mut all, from)?;
        while let Some(key) = all.ahead.pop() {
            self.add(&mut all, &key)?;
        }
        let most = if matches!(scope, Scope::WithPast(_)) { ALL_TIMES } else { TIMES };
        self.add_times(&mut all, most, from)?;
        all.passed_over = self.passed_over(&all)?;
        Ok(all)
    }

    /// The first entry from which on all is read, and what all of those are about: what an entry is taken back with, or
    /// whatever happened after a moment.
    fn from(&self, scope: &Scope, at: Option<Instant>) -> Result<Option<EntryId>, Error> {
        let find = || {
            let entry = match scope {
                Scope::WithEntry(entry) => Some(*entry),
                Scope::Last => last_standing(self.connection)?,
                _ => None,
            };
            let back = entry.map(|entry| first_of(self.connection, entry)).transpose()?;
            let since = if let Scope::Since(since) = scope { Some(*since) } else { None };
            let Some(at) = at.into_iter().chain(since).min() else { return Ok(back) };
            let at = at.to_rfc3339_opts(SecondsFormat::Secs, true);
            let later = "SELECT min(id) FROM entry INDEXED BY entry_by_at WHERE at > ?1";
            let later = self.connection.query_row(later, [at], |row| row.get(0))?;
            Ok(back.into_iter().chain::<Option<EntryId>>(later).min())
        };
        find().map_err(|source: rusqlite::Error| self.failed(source))
    }

    /// Finds the entries about one thing, and what else has to be read with them.
    fn add(&self, all: &mut Gathered, (kind, name): &Key) -> Result<(), Error> {
        let is_can = kind == SubjectKind::Can.word();
        let most = is_can.then(|| self.coats_of(all, name)).transpose()?;
        let mut found = self.newest(kind, name, most)?;
        if is_can && u32::try_from(found.len()).ok() == most {
            found.extend(self.first_of_can(name)?.into_iter().map(|(first, _)| first));
            all.in_part.insert(name.clone());
        }
        for id in found {
            self.add_entry(all, id)?;
            let keys = all.entries.get(&id).cloned().unwrap_or_default();
            let with: &[&str] = match kind.as_str() {
                // A lot given from one batch to another has its history in both. And a batch's coats came from cans: what
                // those were, opened when and by which maker's lot, belongs to its record.
                "batch" if keys.iter().any(|(kind, _)| kind == "given") => &["batch", "can"],
                "batch" => &["can"],
                _ => &[],
            };
            let with = keys.into_iter().filter(|(kind, _)| with.contains(&kind.as_str()));
            with.for_each(|key| all.want(key));
        }
        Ok(())
    }

    fn add_entry(&self, all: &mut Gathered, id: EntryId) -> Result<(), Error> {
        if let Entry::Vacant(place) = all.entries.entry(id) {
            place.insert(self.keys(id)?);
        }
        Ok(())
    }

    /// How many of a can's newest entries are gone through. Of one of unknown size nothing is reckoned: all its coats are read
    /// for whoever asks about it, and else no more than tell that it is there.
    fn coats_of(&self, all: &Gathered, can: &str) -> Result<u32, Error> {
        let there = !all.asked.contains(can) && all.open.contains(&key(SubjectKind::Can, can));
        let unknown = there && self.first_of_can(can)?.iter().all(|(_, litres)| litres.is_none());
        Ok(if unknown { FIRST } else { COATS })
    }

    /// The first entries about a can, and what those that open it say of its size.
    fn first_of_can(&self, can: &str) -> Result<Vec<(EntryId, Option<f64>)>, Error> {
        let first: Vec<(i64, EntryId, Option<f64>)> = self.all(
            "SELECT nth, about.entry, fact ->> 'litres' FROM about CROSS JOIN entry ON id = about.entry
             WHERE kind = 'can' AND name = ?1 ORDER BY about.entry LIMIT ?2",
            params![can, FIRST],
        )?;
        if first.iter().zip(1..).any(|((nth, ..), turn)| *nth != turn) {
            return Err(
                self.damaged(format!("of the first entries about can {can} some are missing"))
            );
        }
        Ok(first.into_iter().map(|(_, entry, litres)| (entry, litres)).collect())
    }

    /// How many entries about each can that was gone through in part were passed over.
    fn passed_over(&self, all: &Gathered) -> Result<BTreeMap<String, u32>, Error> {
        let count = |can: &String| -> Result<(String, u32), Error> {
            let key = key(SubjectKind::Can, can);
            let read = all.entries.values().filter(|keys| keys.contains(&key)).count();
            let counted = usize::try_from(self.counted(&key.0, &key.1)?).unwrap_or(0);
            Ok((can.clone(), u32::try_from(counted.saturating_sub(read)).unwrap_or(u32::MAX)))
        };
        all.in_part.iter().map(count).collect()
    }

    /// Of all times the newest, and of those of each recipe that is read, lots long gone included.
    fn add_times(&self, all: &mut Gathered, most: u32, from: Option<EntryId>) -> Result<(), Error> {
        let keys = all.entries.values().flatten().filter(|(kind, _)| kind == "recipe");
        let recipes: BTreeSet<String> = keys.map(|(_, recipe)| recipe.clone()).collect();
        let of_recipes = recipes.into_iter().map(|recipe| ("pace".to_owned(), recipe));
        for (kind, name) in of_recipes.chain([(ANY.to_owned(), "pace".to_owned())]) {
            let most = most + self.since(&kind, &name, from)?;
            for id in self.newest(&kind, &name, Some(most))? {
                self.add_entry(all, id)?;
            }
        }
        Ok(())
    }

    /// How many entries about a thing there are since one. What happened since is no more than looked at beside what was there
    /// before; and what may be taken back is held against the rules as they were.
    fn since(&self, kind: &str, name: &str, from: Option<EntryId>) -> Result<u32, Error> {
        let Some(from) = from else { return Ok(0) };
        let since = "SELECT count(*) FROM about WHERE kind = ?1 AND name = ?2 AND entry >= ?3";
        Ok(self.one(since, params![kind, name, from])?.map_or(0, |(since,)| since))
    }

    /// The setup, and the newest of what is read whatever it is about: of kept plans the last not taken back; of touch tests
    /// after the last coat the newest, lots long gone included.
    fn add_newest(&self, all: &mut Gathered, from: Option<EntryId>) -> Result<(), Error> {
        let since = self.since(ANY, "finish", from)?;
        let tests = self.newest(ANY, "finish", Some(TESTS + since))?;
        let setups = self.newest("setup", "setup", from.is_none().then_some(1))?;
        let plan = self.plan(from)?;
        for id in tests.into_iter().chain(setups).chain(plan) {
            self.add_entry(all, id)?;
        }
        Ok(())
    }

    /// The last kept plan that wasn't taken back, before an entry.
    fn plan(&self, before: Option<EntryId>) -> Result<Option<EntryId>, Error> {
        let kept = self.newest(ANY, "plan", None)?;
        let count: Option<(i64,)> =
            self.one("SELECT count(*) FROM about WHERE kind = 'plan'", [])?;
        let plan = "SELECT max(entry) FROM (SELECT min(entry) AS entry FROM about
                        WHERE kind = 'plan' AND entry < ?1 GROUP BY name HAVING count(*) % 2 = 1)";
        let plan: Option<(Option<EntryId>,)> = self.one(plan, [before.unwrap_or(EntryId::MAX)])?;
        if i64::try_from(kept.len()).ok() == count.map(|(count,)| count) {
            Ok(plan.and_then(|(plan,)| plan))
        } else {
            Err(self.damaged("of the kept plans some are missing"))
        }
    }

    /// Wants the newest batches by these recipes and by those of the batches wanted.
    fn add_past(&self, all: &mut Gathered, subjects: &[Subject]) -> Result<(), Error> {
        let named = subjects.iter().filter(|subject| subject.kind == SubjectKind::Recipe);
        let mut recipes: BTreeSet<String> = named.map(|subject| subject.name.clone()).collect();
        for (kind, name) in all.wanted.iter().filter(|(kind, _)| kind == "batch") {
            for id in self.newest(kind, name, None)? {
                let keys = self.keys(id)?.into_iter();
                recipes.extend(keys.filter(|(kind, _)| kind == "recipe").map(|(_, name)| name));
            }
        }
        for recipe in recipes {
            for id in self.newest("recipe", &recipe, Some(PAST))? {
                let keys = self.keys(id)?.into_iter();
                keys.filter(|(kind, _)| kind == "batch").for_each(|key| all.want(key));
            }
        }
        Ok(())
    }

    /// Everything of a kind that was ever recorded.
    fn every(&self, kind: SubjectKind) -> Result<Vec<Key>, Error> {
        let every = "SELECT DISTINCT kind, name FROM about WHERE kind = ?1";
        let every: Vec<Key> = self.all(every, [kind.word()])?;
        let count = "SELECT count(*) FROM counted WHERE kind = ?1";
        let count: Option<(i64,)> = self.one(count, [kind.word()])?;
        if i64::try_from(every.len()).ok() != count.map(|(count,)| count) {
            return Err(self.damaged(format!("the index lacks a {kind}")));
        }
        Ok(every)
    }
}

fn key(kind: SubjectKind, name: &str) -> Key {
    (kind.word().to_owned(), name.to_owned())
}

/// The first entry that taking an entry's command line back changes anything of: of one that takes back, what comes back.
fn first_of(connection: &Connection, entry: EntryId) -> rusqlite::Result<EntryId> {
    let act = "SELECT id, iif(fact ->> 'fact' = 'voided', fact ->> 'entry', NULL) FROM entry
               WHERE id = ?1 OR act = (SELECT act FROM entry WHERE id = ?1)";
    let found: Vec<(EntryId, Option<EntryId>)> = all(connection, act, [entry])?;
    let mut first = entry;
    for (id, back) in found {
        // It names an earlier one, in a file that nobody tampered with.
        let back = back.filter(|back| *back < id).map(|back| first_of(connection, back));
        first = first.min(id).min(back.transpose()?.unwrap_or(id));
    }
    Ok(first)
}

/// The newest entry that neither takes back nor is taken back; found from the end, so a long history costs nothing.
fn last_standing(connection: &Connection) -> rusqlite::Result<Option<EntryId>> {
    let mut newest = connection.prepare_cached(
        "SELECT id, iif(fact ->> 'fact' = 'voided', fact ->> 'entry', NULL) FROM entry ORDER BY id DESC",
    )?;
    let mut gone = BTreeSet::new();
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
