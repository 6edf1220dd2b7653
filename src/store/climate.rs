//! A room's readings: taken in with the entry that proves them, read back as far as open lots need them.

use chrono::{DateTime, TimeDelta};
use rusqlite::{Connection, params};
use sha2::{Digest as _, Sha256};

use crate::craft::cure::{Extremes, LOOK_BACK};
use crate::shop::Shop;
use crate::shop::climate::RoomReading;
use crate::shop::entry::EntryId;
use crate::shop::fact::ReadingsAdded;
use crate::shop::journal::Journal;
use crate::shop::refusal::Refusal;
use crate::store::{Error, Scope, Store};
use crate::time::Instant;
use crate::units::{Celsius, Humidity};

/// How far before a reading others are wanted: the two weeks from which unread hours are taken, and a day to spare.
const BEFORE_A_READING: TimeDelta = TimeDelta::days(LOOK_BACK.num_days() + 1);

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
    let coated = shop
        .open_lots()
        .flat_map(|lot| std::iter::once(lot).chain(&lot.joined))
        .filter_map(|lot| lot.done.iter().find(|done| done.coat.is_some()));
    let earliest = coated.map(|coat| coat.ended).min();
    let rooms: Vec<String> =
        shop.setup.iter().flat_map(|setup| &setup.rooms).map(|room| room.name.clone()).collect();
    let mut newest =
        connection.prepare_cached("SELECT max(at) FROM reading WHERE room = ?1 AND at <= ?2")?;
    let end = as_of.map_or(i64::MAX, |at| at.timestamp());
    for room in rooms {
        let last: Option<i64> = newest.query_row(params![room, end], |row| row.get(0))?;
        let Some(last) = last.and_then(|last| DateTime::from_timestamp(last, 0)) else { continue };
        // The stretch in which the earliest coat lies begins with the reading before it.
        let since = earliest.map_or(last, |coat| coat.min(last));
        let since: Option<i64> =
            newest.query_row(params![room, since.timestamp()], |row| row.get(0))?;
        let since = since.and_then(|since| DateTime::from_timestamp(since, 0)).unwrap_or(last);
        let log = between(connection, &room, before(since.min(last), BEFORE_A_READING), last)?;
        shop.climate.insert(room, log.into());
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
    let rows = "room, at, temp, humidity, surface, lowest, highest, entry";
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
        "SELECT at, temp, humidity, surface, lowest, highest FROM reading
         WHERE room = ?1 AND entry = ?2 ORDER BY at",
    )?;
    let mut rows = rows.query(params![room, entry])?;
    let mut hasher = Sha256::new();
    let (mut first, mut last) = (None, 0);
    while let Some(row) = rows.next()? {
        let at: i64 = row.get(0)?;
        first = first.or(Some(at));
        last = at;
        hasher.update(at.to_be_bytes());
        for column in 1..=5_u8 {
            let value: Option<f64> = row.get(usize::from(column))?;
            // What was not read before there were columns for it leaves no trace.
            if column > 3 && value.is_none() {
                continue;
            }
            // No reading and a reading of 0 are not the same.
            hasher.update([if column > 3 { column } else { u8::from(value.is_some()) }]);
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
        .prepare_cached("INSERT OR IGNORE INTO reading VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)")?;
    let mut new = 0_usize;
    for reading in readings {
        new += insert.execute(params![
            room,
            reading.at.timestamp(),
            reading.temp.map(Celsius::get),
            reading.humidity.map(Humidity::get),
            reading.surface.map(Celsius::get),
            reading.extremes.map(|extremes| extremes.lowest.get()),
            reading.extremes.map(|extremes| extremes.highest.get()),
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
        "SELECT at, temp, humidity, surface, lowest, highest FROM reading
         WHERE room = ?1 AND at BETWEEN ?2 AND ?3 ORDER BY at",
    )?;
    let wanted = params![room, from.timestamp(), until.timestamp()];
    let read = rows.query_map(wanted, |row| {
        let degrees = |column: usize| {
            let value: Option<f64> = row.get(column)?;
            Ok::<_, rusqlite::Error>(value.and_then(|value| Celsius::new(value).ok()))
        };
        let (temp, surface) = (degrees(1)?, degrees(3)?);
        let humidity: Option<f64> = row.get(2)?;
        let humidity = humidity.and_then(|humidity| Humidity::new(humidity).ok());
        let extremes = degrees(4)?.zip(degrees(5)?);
        let extremes = extremes.map(|(lowest, highest)| Extremes { lowest, highest });
        // A row that no room can have is no reading; `ledger check` says that it was changed.
        let at = DateTime::from_timestamp(row.get(0)?, 0);
        let at = at.filter(|_| temp.is_some() || extremes.is_some());
        Ok(at.map(|at| RoomReading { at, temp, humidity, surface, extremes }))
    })?;
    read.filter_map(Result::transpose).collect()
}

fn before(moment: Instant, by: TimeDelta) -> Instant {
    moment.checked_sub_signed(by).unwrap_or(moment)
}
