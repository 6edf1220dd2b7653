//! A room's readings: taken in with the entry that proves them, read back as far as open lots need them.

use chrono::{DateTime, TimeDelta};
use rusqlite::{Connection, params};
use sha2::{Digest as _, Sha256};

use crate::shop::Shop;
use crate::shop::climate::RoomReading;
use crate::shop::entry::EntryId;
use crate::shop::fact::ReadingsAdded;
use crate::shop::journal::Journal;
use crate::shop::refusal::Refusal;
use crate::store::{Error, Scope, Store};
use crate::time::Instant;
use crate::units::{Celsius, Humidity};

/// How far before the earliest coat readings are wanted, so that a stretch that begins before it is whole.
const BEFORE_A_COAT: TimeDelta = TimeDelta::days(1);

/// How far back the forecast looks, and a day to spare.
const LAST_DAYS: TimeDelta = TimeDelta::days(8);

/// What was taken in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TakenIn {
    /// How many readings were new.
    pub new: u32,
    /// The entry that brought them; none where nothing was new.
    pub entry: Option<EntryId>,
}

/// A reading that a room's log has.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KnownReading {
    pub reading: RoomReading,
    /// The entry that brought it.
    pub entry: EntryId,
}

impl Store {
    /// Takes readings of a room in, in one transaction: those of a moment that the room's log has already are passed over,
    /// so that the same file twice adds nothing.
    pub fn add_readings<E>(
        &mut self,
        now: Instant,
        room: &str,
        readings: &[RoomReading],
        file: Option<&str>,
        refused: impl Fn(&Journal, Refusal) -> E,
    ) -> Result<(TakenIn, Journal), E>
    where
        E: From<Error>,
    {
        let path = self.path.clone();
        let refuse = |source| E::from(super::failed(&path, source));
        self.record_beside(&Scope::Open, now, |transaction, journal| {
            let known = journal.shop.known_room(room).map(|_| ());
            known.map_err(|refusal| refused(journal, refusal))?;
            let entry = journal.next_id();
            let new = insert(transaction, room, readings, entry).map_err(refuse)?;
            if new == 0 {
                return Ok(TakenIn { new, entry: None });
            }
            let proof = proof(transaction, room, entry).map_err(refuse)?;
            let fact = ReadingsAdded {
                room: room.to_owned(),
                readings: new,
                first: proof.first,
                last: proof.last,
                file: file.map(str::to_owned),
                digest: proof.digest,
            };
            let entry = journal.record(now, fact).map_err(|refusal| refused(journal, refusal))?;
            Ok(TakenIn { new, entry: Some(entry) })
        })
    }

    /// A room's last reading up to a moment.
    pub fn last_reading(&self, room: &str, at: Instant) -> Result<Option<RoomReading>, Error> {
        let find = || {
            let mut last = self
                .connection
                .prepare_cached("SELECT max(at) FROM reading WHERE room = ?1 AND at <= ?2")?;
            let last: Option<i64> =
                last.query_row(params![room, at.timestamp()], |row| row.get(0))?;
            let Some(last) = last.and_then(|last| DateTime::from_timestamp(last, 0)) else {
                return Ok(None);
            };
            Ok(between(&self.connection, room, last, last)?.pop())
        };
        find().map_err(|source| self.failed(source))
    }

    /// A room's reading of exactly that moment, and the entry that brought it.
    pub fn reading_at(&self, room: &str, at: Instant) -> Result<Option<KnownReading>, Error> {
        let find = || {
            let Some(reading) = between(&self.connection, room, at, at)?.pop() else {
                return Ok(None);
            };
            let mut by = self
                .connection
                .prepare_cached("SELECT entry FROM reading WHERE room = ?1 AND at = ?2")?;
            let entry = by.query_row(params![room, at.timestamp()], |row| row.get(0))?;
            Ok(Some(KnownReading { reading, entry }))
        };
        find().map_err(|source| self.failed(source))
    }

    /// A room's readings from one moment to another, in order of time.
    pub fn readings(
        &self,
        room: &str,
        from: Instant,
        until: Instant,
    ) -> Result<Vec<RoomReading>, Error> {
        between(&self.connection, room, from, until).map_err(|source| self.failed(source))
    }
}

/// Reads into the shop what its open lots need of each room's log, as it is or as it was at `as_of`.
pub(super) fn attach(
    connection: &Connection,
    shop: &mut Shop,
    as_of: Option<Instant>,
) -> rusqlite::Result<()> {
    let coated =
        shop.open_lots().filter_map(|lot| lot.done.iter().find(|done| done.coat.is_some()));
    let earliest = coated.map(|coat| coat.ended).min();
    let rooms: Vec<String> =
        shop.setup.iter().flat_map(|setup| &setup.rooms).map(|room| room.name.clone()).collect();
    let mut newest =
        connection.prepare_cached("SELECT max(at) FROM reading WHERE room = ?1 AND at <= ?2")?;
    let end = as_of.map_or(i64::MAX, |at| at.timestamp());
    for room in rooms {
        let last: Option<i64> = newest.query_row(params![room, end], |row| row.get(0))?;
        let Some(last) = last.and_then(|last| DateTime::from_timestamp(last, 0)) else { continue };
        let recent = before(last, LAST_DAYS);
        let from = earliest.map_or(recent, |coat| recent.min(before(coat, BEFORE_A_COAT)));
        let log = between(connection, &room, from, last)?;
        shop.climate.insert(room, log);
    }
    Ok(())
}

/// Puts the readings of an entry that is taken back where nothing reads them.
pub(super) fn put_away(connection: &Connection, entry: EntryId) -> rusqlite::Result<()> {
    moved(connection, entry, ["reading", "reading_gone"]).map(|_| ())
}

/// The way back. Up to layout 4 the readings of an entry taken back were dropped: those can't come back.
pub(super) fn bring_back(connection: &Connection, entry: EntryId) -> rusqlite::Result<()> {
    match moved(connection, entry, ["reading_gone", "reading"])? {
        0 => Err(rusqlite::Error::QueryReturnedNoRows),
        _ => Ok(()),
    }
}

fn moved(
    connection: &Connection,
    entry: EntryId,
    [from, to]: [&str; 2],
) -> rusqlite::Result<usize> {
    let rows = "room, at, temp, humidity, surface, entry";
    let copy = format!("INSERT INTO {to} ({rows}) SELECT {rows} FROM {from} WHERE entry = ?1");
    let copied = connection.execute(&copy, [entry])?;
    connection.execute(&format!("DELETE FROM {from} WHERE entry = ?1"), [entry])?;
    Ok(copied)
}

/// What proves an entry's readings.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Proof {
    pub(super) first: Instant,
    pub(super) last: Instant,
    pub(super) digest: String,
}

/// The first and last moment of an entry's rows, and SHA-256 over all of them in order of time.
pub(super) fn proof(
    connection: &Connection,
    room: &str,
    entry: EntryId,
) -> rusqlite::Result<Proof> {
    let mut rows = connection.prepare(
        "SELECT at, temp, humidity, surface FROM reading WHERE room = ?1 AND entry = ?2 ORDER BY at",
    )?;
    let mut rows = rows.query(params![room, entry])?;
    let mut hasher = Sha256::new();
    let (mut first, mut last) = (None, 0);
    while let Some(row) = rows.next()? {
        let at: i64 = row.get(0)?;
        first = first.or(Some(at));
        last = at;
        hasher.update(at.to_be_bytes());
        for column in 1..=3 {
            let value: Option<f64> = row.get(column)?;
            // No reading and a reading of 0 are not the same.
            hasher.update([u8::from(value.is_some())]);
            hasher.update(value.unwrap_or_default().to_be_bytes());
        }
    }
    let moment = |seconds| DateTime::from_timestamp(seconds, 0).unwrap_or_default();
    Ok(Proof {
        first: moment(first.unwrap_or_default()),
        last: moment(last),
        digest: format!("{:x}", hasher.finalize()),
    })
}

fn insert(
    connection: &Connection,
    room: &str,
    readings: &[RoomReading],
    entry: EntryId,
) -> rusqlite::Result<u32> {
    let mut insert = connection
        .prepare_cached("INSERT OR IGNORE INTO reading VALUES (?1, ?2, ?3, ?4, ?5, ?6)")?;
    let mut new = 0_usize;
    for reading in readings {
        new += insert.execute(params![
            room,
            reading.at.timestamp(),
            reading.temp.get(),
            reading.humidity.map(Humidity::get),
            reading.surface.map(Celsius::get),
            entry
        ])?;
    }
    Ok(u32::try_from(new).unwrap_or(u32::MAX))
}

fn between(
    connection: &Connection,
    room: &str,
    from: Instant,
    until: Instant,
) -> rusqlite::Result<Vec<RoomReading>> {
    let mut rows = connection.prepare_cached(
        "SELECT at, temp, humidity, surface FROM reading
         WHERE room = ?1 AND at BETWEEN ?2 AND ?3 ORDER BY at",
    )?;
    let wanted = params![room, from.timestamp(), until.timestamp()];
    let read = rows.query_map(wanted, |row| {
        let (at, temp): (i64, f64) = (row.get(0)?, row.get(1)?);
        let (humidity, surface): (Option<f64>, Option<f64>) = (row.get(2)?, row.get(3)?);
        // A row that no room can have is no reading; `ledger check` says that it was changed.
        Ok(DateTime::from_timestamp(at, 0).zip(Celsius::new(temp).ok()).map(|(at, temp)| {
            let humidity = humidity.and_then(|humidity| Humidity::new(humidity).ok());
            let surface = surface.and_then(|surface| Celsius::new(surface).ok());
            RoomReading { at, temp, humidity, surface }
        }))
    })?;
    read.filter_map(Result::transpose).collect()
}

fn before(moment: Instant, by: TimeDelta) -> Instant {
    moment.checked_sub_signed(by).unwrap_or(moment)
}
