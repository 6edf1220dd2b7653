//! A climate logger's file: rows of a moment, a temperature and mostly a humidity, in whatever shape the logger writes them.
//!
//! The columns are found by their headings, the delimiter by trying, the order of day and month by every date of the
//! file. A line that can't be read is named with its number; whether the rest is stored is the caller's choice.

mod header;
mod number;
mod stamp;
mod wall;

use std::borrow::Cow;

use chrono::{FixedOffset, NaiveDateTime};
use csv::{ReaderBuilder, StringRecord};
use schemars::JsonSchema;
use serde::Serialize;

use crate::shop::climate::RoomReading;
use crate::time::{Instant, Zone};
use crate::units::{Celsius, Humidity, OutOfRange};
use header::Columns;
pub(crate) use number::Unit;
pub(crate) use stamp::{DateOrder, offset_of};
use stamp::{Written, WrittenDate};

/// So many lines may stand before the headings.
const TITLE_LINES: usize = 40;

/// What separates fields, the rarest in titles first.
const DELIMITERS: [u8; 4] = [b'\t', b';', b',', b'|'];

/// What the file itself may not say.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hints {
    /// The shop's zone, for stamps without an offset.
    pub(crate) zone: Zone,
    /// The time now: nothing was read after it.
    pub(crate) now: Instant,
    /// The unit of temperatures, whatever the headings say.
    pub(crate) unit: Option<Unit>,
    /// The order of day and month, where the dates leave it open.
    pub(crate) order: Option<DateOrder>,
    /// The offset of stamps that carry none, where the logger's clock keeps one all year.
    pub(crate) offset: Option<FixedOffset>,
}

impl Hints {
    /// Nothing but what the shop and the clock say.
    pub const fn new(zone: Zone, now: Instant) -> Self {
        Self { zone, now, unit: None, order: None, offset: None }
    }
}

/// What was found in a file.
#[derive(Debug, Clone, PartialEq)]
pub struct Log {
    /// The readings, in the order of the lines.
    pub(crate) readings: Vec<RoomReading>,
    /// The lines that can't be read, in order; those past the first twenty are only counted.
    pub(crate) bad: Vec<BadLine>,
    /// How many lines can't be read in all.
    pub(crate) bad_lines: usize,
    /// How it was read.
    pub(crate) layout: Layout,
}

/// How a file was read.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema, Serialize)]
pub(crate) struct Layout {
    /// The line of the headings, from 1.
    pub(crate) header_line: usize,
    /// The heading of the moment; of date and time where they are apart.
    pub(crate) time: Vec<String>,
    /// The heading of the temperature.
    pub(crate) temp: String,
    /// The heading of the humidity, if there is one.
    pub(crate) humidity: Option<String>,
    /// The heading of the surface's temperature, if there is one.
    pub(crate) surface: Option<String>,
    /// celsius or fahrenheit.
    pub(crate) unit: Unit,
    /// Whether nothing said so.
    pub(crate) unit_assumed: bool,
    /// What stamps without an offset were taken as: the zone's name, or an offset.
    pub(crate) stamps: String,
}

/// A line that can't be read.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub(crate) struct BadLine {
    /// Its number, from 1.
    pub(crate) line: usize,
    pub(crate) why: String,
}

/// Why a line can't be read.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
enum Fault {
    #[error(
        "{found} fields where the headings are {expected}; a decimal comma needs quotes or another delimiter"
    )]
    Fields { found: usize, expected: usize },
    #[error("{0:?} isn't a date and time")]
    Stamp(String),
    #[error("there's no such date: {0:?}")]
    NoSuchDate(String),
    #[error("no temperature")]
    NoTemperature,
    #[error("{found:?} isn't a {what}")]
    Number { what: &'static str, found: String },
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
    #[error(
        "{0} comes twice that night and the order of the lines does not tell which: if the logger's clock keeps one offset all year, name it with --offset"
    )]
    Twice(NaiveDateTime),
    #[error(
        "{0} never comes, the clocks go forward over it: if the logger's clock keeps one offset all year, name it with --offset"
    )]
    Never(NaiveDateTime),
    #[error("{0} lies ahead: nothing is read before it happens")]
    Ahead(NaiveDateTime),
}

/// Why nothing of a file can be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Unreadable {
    #[error("it is empty")]
    Empty,
    #[error(
        "none of the first {TITLE_LINES} lines names its columns: expected headings for the time and the temperature"
    )]
    NoHeader,
    #[error(
        "{example:?} may be day before month or month before day, and no date of the file tells"
    )]
    DateOrder {
        /// A date of it.
        example: String,
    },
    #[error(
        "line {day_first} has the day before the month, line {month_first} the month before the day"
    )]
    DateOrders {
        /// A line with the day first.
        day_first: usize,
        /// A line with the month first.
        month_first: usize,
    },
}

/// A row whose fields were read, its moment not yet settled.
struct Row {
    byte: usize,
    written: Written,
    temp: Celsius,
    humidity: Option<Humidity>,
    surface: Option<Celsius>,
}

/// Reads a logger's file.
pub fn read(bytes: &[u8], hints: &Hints) -> Result<Log, Unreadable> {
    let text = text_of(bytes);
    if text.trim().is_empty() {
        return Err(Unreadable::Empty);
    }
    let (columns, delimiter) = DELIMITERS
        .iter()
        .find_map(|delimiter| header_of(&text, *delimiter))
        .ok_or(Unreadable::NoHeader)?;
    let unit = hints.unit.or(columns.unit).unwrap_or(Unit::Celsius);
    let mut faults: Vec<(usize, Fault)> = Vec::new();
    let mut rows: Vec<Row> = Vec::new();
    let body = text.get(columns.end..).unwrap_or_default();
    let mut reader = reader_of(body, delimiter);
    let (mut record, mut joined) = (StringRecord::new(), String::new());
    // The text is UTF-8 and rows may have any length, so nothing else ends the reading.
    while reader.read_record(&mut record).unwrap_or(false) {
        if record.iter().all(|field| field.trim().is_empty()) {
            continue;
        }
        let begins = record.position().map_or(0, csv::Position::byte);
        let byte = columns.end + usize::try_from(begins).unwrap_or(usize::MAX);
        match row_of(&record, &columns, hints.unit, unit, &mut joined) {
            Ok(row) => rows.push(Row { byte, ..row }),
            Err(fault) => faults.push((byte, fault)),
        }
    }
    let order = order_of(&rows, hints.order, &text)?;
    let offset = hints.offset.or(columns.offset);
    let readings = settle(rows, order, offset, hints, &mut faults);
    faults.sort_by_key(|(byte, _)| *byte);
    let bad = faults
        .iter()
        .take(BadLine::NAMED)
        .map(|(byte, fault)| BadLine { line: line_at(&text, *byte), why: cut(&fault.to_string()) });
    let layout = columns.layout(line_at(&text, columns.start), unit, hints, offset);
    Ok(Log { readings, bad: bad.collect(), bad_lines: faults.len(), layout })
}

/// What a fault says, cut where it quotes more than anybody reads: a quote that is never closed takes in the rest of a file.
fn cut(text: &str) -> String {
    const MOST: usize = 300;
    match text.char_indices().nth(MOST) {
        Some((end, _)) => format!("{}…", text.get(..end).unwrap_or_default()),
        None => text.to_owned(),
    }
}

impl BadLine {
    /// So many are named; the rest are counted.
    pub(crate) const NAMED: usize = 20;
}

/// Loggers write UTF-8, with a mark in front or none, UTF-16 with a mark, or one byte a letter.
fn text_of(bytes: &[u8]) -> Cow<'_, str> {
    let wide = |from: fn([u8; 2]) -> u16, bytes: &[u8]| {
        let units = bytes.chunks_exact(2).map(|pair| match pair {
            [a, b] => from([*a, *b]),
            _ => 0,
        });
        Cow::Owned(char::decode_utf16(units).map(|c| c.unwrap_or('\u{FFFD}')).collect())
    };
    match bytes {
        [0xEF, 0xBB, 0xBF, rest @ ..] => text_of(rest),
        [0xFF, 0xFE, rest @ ..] => wide(u16::from_le_bytes, rest),
        [0xFE, 0xFF, rest @ ..] => wide(u16::from_be_bytes, rest),
        _ => match std::str::from_utf8(bytes) {
            Ok(text) => Cow::Borrowed(text),
            Err(_) => Cow::Owned(bytes.iter().map(|byte| char::from(*byte)).collect()),
        },
    }
}

fn reader_of(text: &str, delimiter: u8) -> csv::Reader<&[u8]> {
    ReaderBuilder::new()
        .delimiter(delimiter)
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes())
}

/// The headings, if one of the first lines holds them when cut by that delimiter. A title may look like headings too: the
/// first line whose next rows begin with a moment counts, or, where none does, the first that could be headings.
fn header_of(text: &str, delimiter: u8) -> Option<(Columns, u8)> {
    let mut start = 0;
    let mut likely = None;
    for line in text.split_inclusive('\n').take(TITLE_LINES) {
        let end = start + line.len();
        let mut record = StringRecord::new();
        if reader_of(line, delimiter).read_record(&mut record).unwrap_or(false)
            && let Some(columns) = Columns::find(&record, start, end)
        {
            if is_dated(text.get(end..).unwrap_or_default(), delimiter, &columns) {
                return Some((columns, delimiter));
            }
            likely = likely.or(Some((columns, delimiter)));
        }
        start = end;
    }
    likely
}

/// Whether one of the next rows begins with a moment.
fn is_dated(body: &str, delimiter: u8, columns: &Columns) -> bool {
    let mut joined = String::new();
    let rows = reader_of(body, delimiter).into_records().take(5).flatten().collect::<Vec<_>>();
    rows.iter().any(|row| stamp::written(columns.moment(row, &mut joined)).is_some())
}

fn row_of(
    record: &StringRecord,
    columns: &Columns,
    forced: Option<Unit>,
    unit: Unit,
    joined: &mut String,
) -> Result<Row, Fault> {
    // Some loggers end every row with a delimiter.
    let extra = record.iter().skip(columns.width).any(|field| !field.trim().is_empty());
    if extra {
        return Err(Fault::Fields { found: record.len(), expected: columns.width });
    }
    let field = |place: usize| record.get(place).unwrap_or_default();
    let stamp = columns.moment(record, joined);
    let written = stamp::written(stamp).ok_or_else(|| Fault::Stamp(stamp.trim().to_owned()))?;
    let temp = temperature(field(columns.temp), forced, unit)?.ok_or(Fault::NoTemperature)?;
    let humidity = columns.humidity.map(&field).map_or(Ok(None), humidity)?;
    let surface = match columns.surface {
        Some((place, own)) => temperature(field(place), forced, own.unwrap_or(unit))?,
        None => None,
    };
    Ok(Row { byte: 0, written, temp, humidity, surface })
}

fn temperature(text: &str, forced: Option<Unit>, unit: Unit) -> Result<Option<Celsius>, Fault> {
    let wrong = || Fault::Number { what: "temperature", found: text.trim().to_owned() };
    let Some((value, own)) = number::read(text).map_err(|_| wrong())? else { return Ok(None) };
    let own = own.map_or(Ok(None), |sign| Unit::of_sign(&sign).map(Some).ok_or_else(wrong))?;
    Ok(Some(forced.or(own).unwrap_or(unit).celsius(value)?))
}

fn humidity(text: &str) -> Result<Option<Humidity>, Fault> {
    let wrong = || Fault::Number { what: "humidity", found: text.trim().to_owned() };
    let Some((value, sign)) = number::read(text).map_err(|_| wrong())? else { return Ok(None) };
    match sign.as_deref().map(str::trim) {
        None | Some("%" | "%rh" | "% rh" | "rh") => Ok(Some(Humidity::new(value)?)),
        Some(_) => Err(wrong()),
    }
}

/// Whether the day or the month comes first, by every date of the file that leaves no choice.
fn order_of(rows: &[Row], given: Option<DateOrder>, text: &str) -> Result<DateOrder, Unreadable> {
    if let Some(order) = given {
        return Ok(order);
    }
    let (mut day_first, mut month_first, mut open) = (None, None, None);
    for row in rows {
        if let WrittenDate::Open { first, second, .. } = row.written.date {
            let place = match (first > 12, second > 12) {
                (true, _) => &mut day_first,
                (false, true) => &mut month_first,
                (false, false) if first == second => continue,
                (false, false) => &mut open,
            };
            place.get_or_insert(row.byte);
        }
    }
    match (day_first, month_first, open) {
        (Some(day_first), Some(month_first), _) => Err(Unreadable::DateOrders {
            day_first: line_at(text, day_first),
            month_first: line_at(text, month_first),
        }),
        (None, Some(_), _) => Ok(DateOrder::MonthFirst),
        (Some(_), None, _) | (None, None, None) => Ok(DateOrder::DayFirst),
        (None, None, Some(byte)) => {
            let line = text.get(byte..).unwrap_or_default().trim_start();
            let example = line.split(|c: char| !c.is_ascii_digit() && !matches!(c, '/' | '-'));
            let example = example.clone().find(|word| word.len() > 5);
            Err(Unreadable::DateOrder { example: example.unwrap_or_default().to_owned() })
        }
    }
}

/// Settles every row's moment.
fn settle(
    rows: Vec<Row>,
    order: DateOrder,
    offset: Option<FixedOffset>,
    hints: &Hints,
    faults: &mut Vec<(usize, Fault)>,
) -> Vec<RoomReading> {
    let mut dated = Vec::with_capacity(rows.len());
    for row in rows {
        match row.written.local(order) {
            Some(local) => dated.push((row, local)),
            None => faults.push((row.byte, Fault::NoSuchDate(row.written.shown()))),
        }
    }
    let stamps: Vec<(NaiveDateTime, Option<FixedOffset>)> =
        dated.iter().map(|(row, local)| (*local, row.written.offset.or(offset))).collect();
    let instants = wall::instants(&stamps, hints.zone);
    let mut readings = Vec::with_capacity(dated.len());
    for ((row, local), instant) in dated.into_iter().zip(instants) {
        match instant {
            Ok(at) if at > hints.now => faults.push((row.byte, Fault::Ahead(local))),
            Ok(at) => {
                let Row { temp, humidity, surface, .. } = row;
                let temp = Some(temp);
                readings.push(RoomReading { at, temp, humidity, surface, extremes: None });
            }
            Err(fault) => faults.push((row.byte, fault)),
        }
    }
    readings
}

/// The number of the line that begins at that byte, or after the line ends that stand there.
fn line_at(text: &str, byte: usize) -> usize {
    let rest = text.as_bytes().get(byte..).unwrap_or_default();
    let skipped = rest.iter().take_while(|byte| matches!(byte, b'\r' | b'\n')).count();
    let before = text.as_bytes().get(..byte.saturating_add(skipped)).unwrap_or(text.as_bytes());
    let mut lines = 1;
    let mut returned = false;
    for byte in before {
        // A carriage return ends a line by itself only where no line feed follows it.
        lines += usize::from(returned && *byte != b'\n') + usize::from(*byte == b'\n');
        returned = *byte == b'\r';
    }
    lines + usize::from(returned)
}
