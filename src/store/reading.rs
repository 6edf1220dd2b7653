//! The rows of a room's log: what proves those of an entry, and the sum of those of a day.

use std::collections::BTreeMap;

use chrono::DateTime;
use rusqlite::{Connection, params};
use sha2::{Digest as _, Sha256};

use crate::craft::cure::Extremes;
use crate::shop::EntryId;
use crate::shop::climate::RoomReading;
use crate::store::query::all;
use crate::time::Instant;
use crate::units::{Celsius, Humidity};

pub(super) const DAY: i64 = 24 * 60 * 60;

/// Odd, so that one number that differs always makes a difference.
const FACTOR: i64 = 0x5851_F42D_4C95_7F2D;

/// A sum over the rows of each day.
pub(super) type Sums = BTreeMap<i64, i64>;

/// What proves an entry's readings.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Proof {
    pub(super) first: Instant,
    pub(super) last: Instant,
    pub(super) digest: String,
}

/// Proofs of entries, while their rows go by.
#[derive(Default)]
struct Proofs(BTreeMap<EntryId, (i64, i64, Sha256)>);

impl Proofs {
    fn take(&mut self, row: &Row) {
        let (_, last, hasher) =
            self.0.entry(row.entry).or_insert_with(|| (row.at, row.at, Sha256::new()));
        *last = row.at;
        row.hash(hasher);
    }

    fn end(self) -> BTreeMap<EntryId, Proof> {
        let moment = |seconds| DateTime::from_timestamp(seconds, 0).unwrap_or_default();
        let proof = |(first, last, hasher): (i64, i64, Sha256)| Proof {
            first: moment(first),
            last: moment(last),
            digest: format!("{:x}", hasher.finalize()),
        };
        self.0.into_iter().map(|(entry, found)| (entry, proof(found))).collect()
    }
}

/// The first and last moment of each entry's rows, and SHA-256 over all of them in order of time: of one room's rows from one
/// moment to another. Sums their days again as well.
pub(super) fn proofs_and_sums(
    connection: &Connection,
    room: &str,
    days: (i64, i64),
) -> rusqlite::Result<BTreeMap<EntryId, Proof>> {
    let (mut proofs, mut sums) = (Proofs::default(), Sums::new());
    each(connection, room, days, |row| {
        proofs.take(&row);
        row.count(&mut sums);
    })?;
    note_sums(connection, room, days, sums)?;
    Ok(proofs.end())
}

/// The same of every entry, and whether the sums of all days are those of the readings.
pub(super) fn all_proofs(
    connection: &Connection,
) -> rusqlite::Result<(BTreeMap<EntryId, Proof>, bool)> {
    let all = (i64::MIN, i64::MAX);
    let (mut proofs, mut days, mut hold) = (Proofs::default(), 0, true);
    for room in rooms(connection)? {
        let mut sums = Sums::new();
        each(connection, &room, all, |row| {
            proofs.take(&row);
            row.count(&mut sums);
        })?;
        hold &= sums == noted_sums(connection, &room, all)?;
        days += i64::try_from(sums.len()).unwrap_or(i64::MAX);
    }
    let noted = "SELECT count(*) FROM reading_day";
    let noted: i64 = connection.query_row(noted, [], |row| row.get(0))?;
    Ok((proofs.end(), hold && noted == days))
}

/// The rooms that have readings.
pub(super) fn rooms(connection: &Connection) -> rusqlite::Result<Vec<String>> {
    let rooms: Vec<_> = all(connection, "SELECT DISTINCT room FROM reading ORDER BY room", [])?;
    Ok(rooms.into_iter().map(|(room,)| room).collect())
}

/// Sums the days of a room again.
pub(super) fn sum_days(
    connection: &Connection,
    room: &str,
    days: (i64, i64),
) -> rusqlite::Result<()> {
    let mut sums = Sums::new();
    each(connection, room, days, |row| row.count(&mut sums))?;
    note_sums(connection, room, days, sums)
}

fn note_sums(
    connection: &Connection,
    room: &str,
    days: (i64, i64),
    sums: Sums,
) -> rusqlite::Result<()> {
    let (first, last) = (days.0.div_euclid(DAY), days.1.div_euclid(DAY));
    connection.execute(
        "DELETE FROM reading_day WHERE room = ?1 AND day BETWEEN ?2 AND ?3",
        params![room, first, last],
    )?;
    let mut note = connection.prepare_cached("INSERT INTO reading_day VALUES (?1, ?2, ?3)")?;
    for (day, sum) in sums {
        note.execute(params![room, day, sum])?;
    }
    Ok(())
}

pub(super) fn noted_sums(
    connection: &Connection,
    room: &str,
    days: (i64, i64),
) -> rusqlite::Result<Sums> {
    let noted = "SELECT day, sum FROM reading_day WHERE room = ?1 AND day BETWEEN ?2 AND ?3";
    all(connection, noted, params![room, days.0.div_euclid(DAY), days.1.div_euclid(DAY)])
}

/// A row of a room's log.
pub(super) struct Row {
    at: i64,
    /// Temperature, humidity, surface, lowest, highest.
    values: [Option<f64>; 5],
    entry: EntryId,
}

/// Goes through a room's rows of whole days, in order of time.
pub(super) fn each(
    connection: &Connection,
    room: &str,
    days: (i64, i64),
    mut take: impl FnMut(Row),
) -> rusqlite::Result<()> {
    let mut rows = connection.prepare_cached(
        "SELECT at, temp, humidity, surface, lowest, highest, entry FROM reading
         WHERE room = ?1 AND at BETWEEN ?2 AND ?3 ORDER BY at",
    )?;
    let first = days.0.div_euclid(DAY).saturating_mul(DAY);
    let last = days.1.div_euclid(DAY).saturating_mul(DAY).saturating_add(DAY - 1);
    let mut rows = rows.query(params![room, first, last])?;
    while let Some(row) = rows.next()? {
        take(Row {
            at: row.get(0)?,
            values: [row.get(1)?, row.get(2)?, row.get(3)?, row.get(4)?, row.get(5)?],
            entry: row.get(6)?,
        });
    }
    Ok(())
}

impl Row {
    /// Adds it to its day's sum, in which each number counts by its place: one changed, missing or slipped in changes it.
    pub(super) fn count(&self, sums: &mut Sums) {
        let sum = sums.entry(self.at.div_euclid(DAY)).or_default();
        let values = self.values.iter().map(|value| value.map_or(i64::MAX, bits));
        for number in [self.at, self.entry].into_iter().chain(values) {
            *sum = sum.wrapping_mul(FACTOR).wrapping_add(number);
        }
    }

    fn hash(&self, hasher: &mut Sha256) {
        hasher.update(self.at.to_be_bytes());
        for (column, value) in (1_u8..).zip(self.values) {
            // What was not read before there were columns for it leaves no trace.
            if column > 3 && value.is_none() {
                continue;
            }
            // No reading and a reading of 0 are not the same.
            hasher.update([if column > 3 { column } else { u8::from(value.is_some()) }]);
            hasher.update(value.unwrap_or_default().to_be_bytes());
        }
    }

    /// A row that no room can have isn't a reading; `ledger check` says that it was changed.
    pub(super) fn reading(&self) -> Option<RoomReading> {
        let [temp, humidity, surface, lowest, highest] = self.values;
        let degrees = |value: Option<f64>| value.and_then(|value| Celsius::new(value).ok());
        let extremes = degrees(lowest).zip(degrees(highest));
        let (temp, extremes) =
            (degrees(temp), extremes.map(|(lowest, highest)| Extremes { lowest, highest }));
        let at = DateTime::from_timestamp(self.at, 0);
        let at = at.filter(|_| temp.is_some() || extremes.is_some())?;
        let humidity = humidity.and_then(|humidity| Humidity::new(humidity).ok());
        Some(RoomReading { at, temp, humidity, surface: degrees(surface), extremes })
    }
}

const fn bits(value: f64) -> i64 {
    i64::from_ne_bytes(value.to_ne_bytes())
}
