//! A room's readings: taken in with the entry that proves them, read back as far as open lots need them.

use chrono::{DateTime, TimeDelta};
use rusqlite::{Connection, OptionalExtension as _, params};

use crate::craft::cure::{LOOK_BACK, SEASONED};
use crate::shop::climate::RoomReading;
use crate::shop::fact::ReadingsAdded;
use crate::shop::setup::Room;
use crate::shop::{EntryId, Journal, Refusal, Shop};
use crate::store::index::Reader;
use crate::store::reading::{DAY, Sums, each, noted_sums, proofs_and_sums, sum_days};
use crate::store::{Error, Scope, Store};
use crate::time::Instant;
use crate::units::{Celsius, Humidity};

/// How far before a reading others are wanted: the two weeks from which unread hours are taken, and a day to spare.
const BEFORE_A_READING: TimeDelta = TimeDelta::days(LOOK_BACK.num_days() + 1);

/// The same before the last one of a room that follows the season.
const BEFORE_THE_LAST: TimeDelta = TimeDelta::days(SEASONED.num_days() + 1);

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TakenIn {
    /// How many readings were new.
    pub(crate) new: u32,
    /// How many say otherwise than the log, and were passed over.
    pub(crate) differ: u32,
    /// The entry that brought them; none where nothing was new.
    pub entry: Option<EntryId>,
}

/// A reading that a room's log has.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct KnownReading {
    pub(crate) reading: RoomReading,
    /// The entry that brought it.
    pub(crate) entry: EntryId,
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
    ) -> Result<(TakenIn, Journal), E>
    where
        E: From<Error> + From<Refusal>,
    {
        let path = self.path.clone();
        let refuse = |source| E::from(super::failed(&path, source));
        self.record_beside(&Scope::Open, now, |transaction, journal| {
            journal.shop.known_room(room)?;
            let entry = journal.next_id();
            let (new, differ) = insert(transaction, room, readings, entry).map_err(refuse)?;
            if new == 0 {
                return Ok(TakenIn { new, differ, entry: None });
            }
            let days = readings.iter().map(|reading| reading.at.timestamp());
            let days = days.clone().min().zip(days.max()).unwrap_or_default();
            let proof = proofs_and_sums(transaction, room, days).map_err(refuse)?.remove(&entry);
            let proof = proof.ok_or_else(|| refuse(rusqlite::Error::QueryReturnedNoRows))?;
            let fact = ReadingsAdded {
                room: room.to_owned(),
                readings: new,
                first: proof.first,
                last: proof.last,
                file: file.map(str::to_owned),
                digest: proof.digest,
            };
            let entry = journal.record(now, fact)?;
            Ok(TakenIn { new, differ, entry: Some(entry) })
        })
    }

    /// A room's last reading up to a moment.
    pub(crate) fn last_reading(
        &self,
        room: &str,
        at: Instant,
    ) -> Result<Option<RoomReading>, Error> {
        let reader = self.reader();
        let Some(last) = reader.newest_reading(room, at.timestamp())? else { return Ok(None) };
        Ok(reader.between(room, last, at)?.pop())
    }

    /// A room's reading of exactly that moment, and the entry that brought it.
    pub(crate) fn reading_at(
        &self,
        room: &str,
        at: Instant,
    ) -> Result<Option<KnownReading>, Error> {
        let Some(reading) = self.reader().between(room, at, at)?.pop() else { return Ok(None) };
        let by = "SELECT entry FROM reading WHERE room = ?1 AND at = ?2";
        let by: Option<(EntryId,)> = self.reader().one(by, params![room, at.timestamp()])?;
        Ok(by.map(|(entry,)| KnownReading { reading, entry }))
    }

    /// A room's readings from one moment to another, in order of time.
    pub(crate) fn readings(
        &self,
        room: &str,
        from: Instant,
        until: Instant,
    ) -> Result<Vec<RoomReading>, Error> {
        self.reader().between(room, from, until)
    }
}

/// Reads into the shop what its open lots need of each room's log, as it is or as it was at `as_of`.
pub(super) fn attach(
    reader: Reader<'_>,
    shop: &mut Shop,
    as_of: Option<Instant>,
) -> Result<(), Error> {
    let coated = shop
        .open_lots()
        .flat_map(|lot| std::iter::once(lot).chain(&lot.joined))
        .filter_map(|lot| lot.done.iter().find(|done| done.coat.is_some()));
    let earliest = coated.map(|coat| coat.ended).min();
    let follows = |room: &Room| room.heated.is_some_and(|heated| heated.lets_in() > 0.0);
    let rooms: Vec<(String, bool)> = shop
        .setup
        .iter()
        .flat_map(|setup| &setup.rooms)
        .map(|room| (room.name.clone(), follows(room)))
        .collect();
    let end = as_of.map_or(i64::MAX, |at| at.timestamp());
    for (room, seasonal) in rooms {
        let Some(last) = reader.newest_reading(&room, end)? else { continue };
        // The stretch in which the earliest coat lies begins with the reading before it.
        let since = earliest.map_or(last, |coat| coat.min(last));
        let since = reader.newest_reading(&room, since.timestamp())?.unwrap_or(last);
        let from = before(since.min(last), BEFORE_A_READING);
        let from = if seasonal { from.min(before(last, BEFORE_THE_LAST)) } else { from };
        let log = reader.between(&room, from, last)?;
        shop.climate.insert(room, log.into());
    }
    Ok(())
}

impl Reader<'_> {
    /// The moment of a room's newest reading up to another moment.
    fn newest_reading(&self, room: &str, until: i64) -> Result<Option<Instant>, Error> {
        let max = |of, with| -> Result<Option<i64>, Error> {
            Ok(self.one::<(Option<i64>,)>(of, params![room, with])?.and_then(|(max,)| max))
        };
        let newest = max("SELECT max(at) FROM reading WHERE room = ?1 AND at <= ?2", until)?;
        // Where that day has none so early, the day before it must be the newest with any.
        let day = "SELECT max(day) FROM reading_day WHERE room = ?1 AND day < ?2";
        let day = max(day, until.div_euclid(DAY))?;
        if day.is_some_and(|day| newest.is_none_or(|newest| newest.div_euclid(DAY) < day)) {
            return Err(self.damaged(format!("readings of {room} are missing")));
        }
        Ok(newest.and_then(|newest| DateTime::from_timestamp(newest, 0)))
    }

    /// The readings from one moment to another: whole days are read, each held against its sum.
    fn between(
        &self,
        room: &str,
        from: Instant,
        until: Instant,
    ) -> Result<Vec<RoomReading>, Error> {
        let days = (from.timestamp(), until.timestamp());
        let read = || {
            let (mut readings, mut sums) = (Vec::new(), Sums::new());
            each(self.connection, room, days, |row| {
                row.count(&mut sums);
                readings.extend(row.reading());
            })?;
            Ok((readings, sums, noted_sums(self.connection, room, days)?))
        };
        let (mut readings, sums, noted) = read().map_err(|source| self.failed(source))?;
        if sums != noted {
            return Err(self.damaged(format!("a reading of {room} isn't as it was taken in")));
        }
        readings.retain(|reading| from <= reading.at && reading.at <= until);
        Ok(readings)
    }
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
    let of = format!("SELECT room, min(at), max(at) FROM {from} WHERE entry = ?1 GROUP BY room");
    let of = connection
        .query_row(&of, [entry], |row| Ok((row.get::<_, String>(0)?, (row.get(1)?, row.get(2)?))));
    let rows = "room, at, temp, humidity, surface, lowest, highest, entry";
    let copy = format!("INSERT INTO {to} ({rows}) SELECT {rows} FROM {from} WHERE entry = ?1");
    let copied = connection.execute(&copy, [entry])?;
    connection.execute(&format!("DELETE FROM {from} WHERE entry = ?1"), [entry])?;
    if let Some((room, days)) = of.optional()? {
        sum_days(connection, &room, days)?;
    }
    Ok(copied)
}

fn insert(
    connection: &Connection,
    room: &str,
    readings: &[RoomReading],
    entry: EntryId,
) -> rusqlite::Result<(u32, u32)> {
    let mut insert = connection
        .prepare_cached("INSERT OR IGNORE INTO reading VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)")?;
    let mut same = connection.prepare_cached(
        "SELECT count(*) FROM reading WHERE room = ?1 AND at = ?2 AND temp IS ?3 AND humidity IS ?4
         AND surface IS ?5 AND lowest IS ?6 AND highest IS ?7",
    )?;
    let (mut new, mut differ) = (0_u32, 0_u32);
    for reading in readings {
        let at = reading.at.timestamp();
        let extremes = reading.extremes;
        let values = [
            reading.temp.map(Celsius::get),
            reading.humidity.map(Humidity::get),
            reading.surface.map(Celsius::get),
            extremes.map(|extremes| extremes.lowest.get()),
            extremes.map(|extremes| extremes.highest.get()),
        ];
        let [temp, humidity, surface, lowest, highest] = values;
        let added =
            insert.execute(params![room, at, temp, humidity, surface, lowest, highest, entry])?;
        if added > 0 {
            new += 1;
            continue;
        }
        let there = params![room, at, temp, humidity, surface, lowest, highest];
        let there: i64 = same.query_row(there, |row| row.get(0))?;
        differ += u32::from(there == 0);
    }
    Ok((new, differ))
}

fn before(moment: Instant, by: TimeDelta) -> Instant {
    moment.checked_sub_signed(by).unwrap_or(moment)
}
