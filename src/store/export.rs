//! The whole ledger as text, and a new database made from it: one JSON object a line, the first of which says how many
//! entries follow and what the last one's hash is, so that a file that was cut off is noticed.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use rusqlite::{Connection, params};
use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;

use crate::shop::{Entry, EntryId, Fact, Shop};
use crate::store::backup::{NotCopied, make_whole};
use crate::store::chain::{Row, START};
use crate::store::check::Checked;
use crate::store::index::Reader;
use crate::store::query::all;
use crate::store::reading::{rooms, sum_days};
use crate::store::{Error, Store, index};

/// The form that is written; a later one gets the next number.
const VERSION: u32 = 1;

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Head {
    /// "ledger".
    tackfree: String,
    version: u32,
    entries: EntryId,
    last_hash: String,
}

/// One entry, its texts byte for byte as they were hashed.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Line {
    entry: EntryId,
    at: String,
    recorded: String,
    act: Option<EntryId>,
    form: i64,
    fact: Box<RawValue>,
    anyway: Option<Box<RawValue>>,
    hash: String,
    /// The plan that it names by its digest.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    plan: Option<Plan>,
    /// The readings that it brought; those of an entry taken back too.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    readings: Vec<Reading>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Plan {
    digest: String,
    plan: Box<RawValue>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Reading {
    /// Seconds since 1970-01-01 UTC.
    at: i64,
    temp: Option<f64>,
    humidity: Option<f64>,
    surface: Option<f64>,
    lowest: Option<f64>,
    highest: Option<f64>,
}

impl Store {
    /// The whole ledger as JSON Lines.
    pub(crate) fn export(&mut self) -> Result<String, Error> {
        let path = self.path.clone();
        let refuse = |source| super::failed(&path, source);
        let transaction = self.connection.transaction().map_err(refuse)?;
        let reader = Reader { connection: &transaction, path: &path };
        let (entries, last_hash) = reader.tip()?;
        let mut text = String::new();
        let head = Head { tackfree: "ledger".to_owned(), version: VERSION, entries, last_hash };
        push(&mut text, &head).map_err(|error| reader.damaged(error.to_string()))?;
        reader.each(|row, before| {
            if row.hash != row.hash_after(before) {
                return Err(reader.damaged(format!("entry {} isn't as it was written", row.id)));
            }
            let line = line(reader, row)?;
            push(&mut text, &line).map_err(|error| reader.damaged(error.to_string()))
        })?;
        Ok(text)
    }

    /// Makes a database out of an export, where nothing is. It is whole before it stands there.
    pub fn import(text: &str, target: &Path) -> Result<Checked, NotCopied> {
        make_whole(target, target, None, |store, _| take_in(store, text))
    }
}

fn push(text: &mut String, line: &impl Serialize) -> serde_json::Result<()> {
    text.push_str(&serde_json::to_string(line)?);
    text.push('\n');
    Ok(())
}

fn line(reader: Reader<'_>, row: Row) -> Result<Line, Error> {
    let raw = |text: String| {
        RawValue::from_string(text).map_err(|error| reader.damaged(error.to_string()))
    };
    let (plan, readings) = match reader.parse(&row)?.fact {
        Fact::PlanKept(_) => (plan_of(reader, &row, raw)?, Vec::new()),
        Fact::ReadingsAdded(added) => {
            let days = (added.first.timestamp(), added.last.timestamp());
            let found = readings(reader.connection, (&added.room, days), row.id);
            (None, found.map_err(|source| reader.failed(source))?)
        }
        _ => (None, Vec::new()),
    };
    Ok(Line {
        entry: row.id,
        at: row.at,
        recorded: row.recorded,
        act: row.act,
        form: row.form,
        fact: raw(row.fact)?,
        anyway: row.anyway.map(raw).transpose()?,
        hash: row.hash,
        plan,
        readings,
    })
}

fn plan_of(
    reader: Reader<'_>,
    row: &Row,
    raw: impl Fn(String) -> Result<Box<RawValue>, Error>,
) -> Result<Option<Plan>, Error> {
    let find = "SELECT digest, plan FROM plan WHERE instr(?1, digest) > 0";
    match reader.one(find, [&row.fact])? {
        Some((digest, plan)) => Ok(Some(Plan { digest, plan: raw(plan)? })),
        None => Ok(None),
    }
}

/// What an entry brought, whether it stands or is taken back.
fn readings(
    connection: &Connection,
    (room, (first, last)): (&str, (i64, i64)),
    entry: EntryId,
) -> rusqlite::Result<Vec<Reading>> {
    let find = "SELECT at, temp, humidity, surface, lowest, highest FROM reading
                WHERE room = ?1 AND at BETWEEN ?2 AND ?3 AND entry = ?4
                UNION ALL SELECT at, temp, humidity, surface, lowest, highest FROM reading_gone
                WHERE entry = ?4 ORDER BY at";
    let found: Vec<_> = all(connection, find, params![room, first, last, entry])?;
    let reading = |(at, temp, humidity, surface, lowest, highest)| Reading {
        at,
        temp,
        humidity,
        surface,
        lowest,
        highest,
    };
    Ok(found.into_iter().map(reading).collect())
}

fn take_in(store: &mut Store, text: &str) -> Result<(), NotCopied> {
    let mut lines = (1..).zip(text.lines());
    let no_head = || NotCopied::Line(1, "this isn't an export of tackfree's ledger".to_owned());
    let (_, head) = lines.next().ok_or_else(no_head)?;
    let head: Head = serde_json::from_str(head).map_err(|_| no_head())?;
    if head.tackfree != "ledger" || head.version != VERSION {
        let known = format!("it is of version {}, this tackfree knows {VERSION}", head.version);
        return Err(NotCopied::Line(1, known));
    }
    store.lay_out()?;
    let path = store.path.clone();
    let transaction =
        store.connection.transaction().map_err(|source| super::failed(&path, source))?;
    let reader = Reader { connection: &transaction, path: &path };
    let (mut hash, mut entries, mut brought) = (START.to_owned(), Vec::new(), BTreeMap::new());
    for (number, line) in lines {
        let fault = |what: String| NotCopied::Line(number, what);
        let line: Line = serde_json::from_str(line).map_err(|error| fault(error.to_string()))?;
        let (row, plan, readings) = line.apart();
        if row.hash != row.hash_after(&hash) {
            return Err(fault(format!("entry {} isn't as it was written", row.id)));
        }
        let entry = insert(reader, &row, plan).map_err(|error| fault(error.to_string()))?;
        if !readings.is_empty() {
            brought.insert(entry.id, readings);
        }
        entries.push(entry);
        hash = row.hash;
    }
    let found = entries.last().map_or(0, |entry| entry.id);
    if (found, &hash) != (head.entries, &head.last_hash) {
        let what = format!(
            "the file says that {} entries follow, and ends with entry {found}",
            head.entries
        );
        return Err(NotCopied::Line(1, what));
    }
    let finish = || -> rusqlite::Result<()> {
        put_readings(&transaction, &entries, &brought)?;
        let live = Shop::fold(&entries).live();
        index::close(&transaction, &BTreeSet::new(), &live, (found, &hash))
    };
    finish().map_err(|source| super::failed(&path, source))?;
    Ok(transaction.commit().map_err(|source| super::failed(&path, source))?)
}

impl Line {
    fn apart(self) -> (Row, Option<Plan>, Vec<Reading>) {
        let text = |raw: Box<RawValue>| String::from(Box::<str>::from(raw));
        let row = Row {
            id: self.entry,
            at: self.at,
            recorded: self.recorded,
            fact: text(self.fact),
            anyway: self.anyway.map(text),
            hash: self.hash,
            act: self.act,
            form: self.form,
        };
        (row, self.plan, self.readings)
    }
}

fn insert(reader: Reader<'_>, row: &Row, plan: Option<Plan>) -> Result<Entry, Error> {
    let refuse = |source| reader.failed(source);
    if let Some(Plan { digest, plan }) = plan {
        let mut keep = reader
            .connection
            .prepare_cached("INSERT OR IGNORE INTO plan VALUES (?1, ?2)")
            .map_err(refuse)?;
        keep.execute(params![digest, plan.get()]).map_err(refuse)?;
    }
    row.insert(reader.connection).map_err(refuse)?;
    let entry = reader.parse(row)?;
    index::add(reader.connection, &entry).map_err(refuse)?;
    Ok(entry)
}

/// Puts the readings where they belong: those of entries taken back aside.
fn put_readings(
    connection: &Connection,
    entries: &[Entry],
    brought: &BTreeMap<EntryId, Vec<Reading>>,
) -> rusqlite::Result<()> {
    let gone = crate::shop::fold::voided(entries);
    for entry in entries {
        let (Fact::ReadingsAdded(added), Some(readings)) = (&entry.fact, brought.get(&entry.id))
        else {
            continue;
        };
        let table = if gone.contains(&entry.id) { "reading_gone" } else { "reading" };
        let mut put = connection.prepare_cached(&format!(
            "INSERT INTO {table} (room, at, temp, humidity, surface, lowest, highest, entry)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)"
        ))?;
        for of in readings {
            put.execute(params![
                added.room,
                of.at,
                of.temp,
                of.humidity,
                of.surface,
                of.lowest,
                of.highest,
                entry.id
            ])?;
        }
    }
    for room in rooms(connection)? {
        sum_days(connection, &room, (i64::MIN, i64::MAX))?;
    }
    Ok(())
}
