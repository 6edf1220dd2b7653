//! Reading a setup file: the whole tree is walked and every fault marked, in one go.

mod finish;
mod held;
mod key;
mod page;
mod piece;
mod place;
mod rack;
mod recipe;
mod remind;
mod shop;
mod value;

use std::collections::BTreeSet;

use toml::de::{DeTable, DeValue};

pub use self::finish::KEYS;
pub use self::key::Key;
pub(super) use self::key::Section;
use self::key::section;
use self::page::{Page, Read, Table, optional};
pub(crate) use self::rack::MOST_SLOTS;
use super::Setup;
use super::fault::{Fault, quoted};
use crate::shop::name::looks;

/// Reads a setup file; what a finish leaves out its class supplies. All that is wrong, in the order of the file.
pub fn read(text: &str) -> Result<Setup, Vec<Fault>> {
    let (legible, mut errors) = without_dead_lines(text);
    let (root, others) = DeTable::parse_recoverable(&legible);
    errors.extend(others);
    let root = root.get_ref();
    let mut page = Page::new(text, root, &errors);
    let setup = setup(&mut page, root);
    let faults = page.into_faults();
    setup.ok().filter(|_| faults.is_empty()).ok_or(faults)
}

/// The text with blanks for each line that is a key without a value, and what TOML says of those: its reader gives up at
/// such a line, and what comes after it would go unread.
fn without_dead_lines(text: &str) -> (String, Vec<toml::de::Error>) {
    /// One line more may come to light where another is gone; a file that goes on like this isn't a setup file.
    const ROUNDS: usize = 8;
    let mut legible = text.to_owned();
    let mut dead = Vec::new();
    for _ in 0..ROUNDS {
        let (_, mut errors) = DeTable::parse_recoverable(&legible);
        errors.retain(|error| error.message().starts_with("key with no value"));
        if errors.is_empty() {
            break;
        }
        let places: BTreeSet<usize> =
            errors.iter().filter_map(|error| Some(error.span()?.start)).collect();
        let mut start = 0;
        let lines = legible.split_inclusive('\n').map(|line| {
            let end = start + line.len();
            let is_dead = places.range(start..end).next().is_some();
            start = end;
            if is_dead { blank(line) } else { line.to_owned() }
        });
        legible = lines.collect();
        dead.extend(errors);
    }
    (legible, dead)
}

/// Blanks in the place of a line, byte for byte.
fn blank(line: &str) -> String {
    line.bytes().map(|byte| if byte == b'\n' { '\n' } else { ' ' }).collect()
}

fn setup<'a>(page: &mut Page<'a>, root: &'a DeTable<'a>) -> Read<Setup> {
    let file = Table { entries: root, span: 0..0, what: "the file" };
    page.only(&file, &["shop", "room", "rack", "finish", "piece", "recipe", "remind"]);
    let shop = page
        .required(&file, "shop", "a table [shop] with name, timezone and hours")
        .and_then(|value| page.table(value, "[shop]"))
        .and_then(|table| shop::workshop(page, &table));

    let remind = optional(&file, "remind").map(|value| {
        let table = page.table(value, "[remind]")?;
        section(page, &table)
    });
    // What the later ones refer to comes before them.
    let rooms = each(page, &file, section);
    let racks = each(page, &file, section);
    let finishes = each(page, &file, finish::finish);
    let pieces = each(page, &file, piece::piece);
    let recipes = each(page, &file, section);
    Ok(Setup {
        shop: shop?,
        rooms: rooms?,
        racks: racks?,
        finishes: finishes?,
        pieces: pieces?,
        recipes: recipes?,
        remind: remind.transpose()?.unwrap_or_default(),
    })
}

/// The things of a kind.
fn each<'a, T: Section>(
    page: &mut Page<'a>,
    file: &Table<'a>,
    read: fn(&mut Page<'a>, &Table<'a>) -> Read<T>,
) -> Read<Vec<T>> {
    let tables = tables(page, file, T::HEADER);
    named_once(page, T::HEADER, &tables);
    let one = |table: Read<Table<'a>>| table.and_then(|table| read(page, &table));
    // Collected twice, because collecting into a result would stop at the first fault.
    let read: Vec<Read<T>> = tables.into_iter().map(one).collect();
    read.into_iter().collect()
}

/// The tables with a header; none is none.
fn tables<'a>(page: &mut Page<'a>, file: &Table<'a>, header: &'static str) -> Vec<Read<Table<'a>>> {
    let key = kind(header);
    let Some(value) = optional(file, key) else { return Vec::new() };
    match value.get_ref() {
        DeValue::Array(list) => list.iter().map(|item| page.table(item, header)).collect(),
        DeValue::Table(_) => {
            let found = format!("[{key}], of which there could be only one");
            vec![Err(page.fault(value.span(), found, header))]
        }
        _ => vec![page.table(value, header)],
    }
}

/// "room" of "[[room]]".
fn kind(header: &'static str) -> &'static str {
    header.trim_matches(['[', ']'])
}

/// Marks each name that stands a second time, and notes the names of the kind if every table shows one.
fn named_once<'a>(page: &mut Page<'a>, header: &'static str, tables: &[Read<Table<'a>>]) {
    let mut seen: BTreeSet<String> = BTreeSet::new();
    let mut names = Vec::new();
    let mut all = true;
    for table in tables {
        let value = table.as_ref().ok().and_then(|table| optional(table, "name"));
        let Some((value, name)) = value.and_then(|value| Some((value, value.get_ref().as_str()?)))
        else {
            all = false;
            continue;
        };
        if seen.insert(looks(name)) {
            names.push(name);
        } else {
            let again =
                if names.contains(&name) { "a second time" } else { "that looks like another" };
            let found = format!("the name {} {again}", quoted(name));
            let expected = format!("each {header} by a name of its own");
            let _ = page.fault(value.span(), found, expected);
        }
    }
    if all && !page.runs_on() {
        page.names.insert(kind(header), names);
    }
}
