//! Reading a setup file: the whole tree is walked and every fault marked, in one go.

mod finish;
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

pub use self::key::{KEYS, Key};
use self::page::{Page, Read, Table, optional};
pub(super) use self::rack::HEATED;
use self::recipe::Known;
pub(super) use self::shop::UNITS;
use super::fault::{Fault, quoted};
use super::{Rack, Setup};
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

    let room_tables = tables(page, &file, "room", "[[room]]");
    let rack_tables = tables(page, &file, "rack", "[[rack]]");
    let finish_tables = tables(page, &file, "finish", "[[finish]]");
    let piece_tables = tables(page, &file, "piece", "[[piece]]");
    let recipe_tables = tables(page, &file, "recipe", "[[recipe]]");

    let remind = remind::remind(page, &file);
    let rooms = named_once(page, &room_tables);
    let finishes = named_once(page, &finish_tables);
    let pieces = named_once(page, &piece_tables);
    named_once(page, &rack_tables);
    named_once(page, &recipe_tables);
    let known = Known { pieces: pieces.as_deref(), finishes: finishes.as_deref() };

    let rooms_read = each(page, &room_tables, rack::room);
    let racks: Read<Vec<Rack>> =
        each(page, &rack_tables, |page, table| rack::rack(page, table, rooms.as_deref()));
    let finishes_read = each(page, &finish_tables, finish::finish);
    let pieces_read = each(page, &piece_tables, piece::piece);
    let recipes = each(page, &recipe_tables, |page, table| recipe::recipe(page, table, &known));
    Ok(Setup {
        shop: shop?,
        rooms: rooms_read?,
        racks: racks?,
        finishes: finishes_read?,
        pieces: pieces_read?,
        recipes: recipes?,
        remind: remind?,
    })
}

/// The tables of a kind; none is none.
fn tables<'a>(
    page: &mut Page<'a>,
    file: &Table<'a>,
    key: &str,
    what: &'static str,
) -> Vec<Read<Table<'a>>> {
    let Some(value) = optional(file, key) else { return Vec::new() };
    match value.get_ref() {
        DeValue::Array(list) => list.iter().map(|item| page.table(item, what)).collect(),
        DeValue::Table(_) => {
            let found = format!("[{key}], of which there could be only one");
            vec![Err(page.fault(value.span(), found, what))]
        }
        _ => vec![page.table(value, what)],
    }
}

fn each<'a, T>(
    page: &mut Page<'a>,
    tables: &[Read<Table<'a>>],
    read: impl Fn(&mut Page<'a>, &Table<'a>) -> Read<T>,
) -> Read<Vec<T>> {
    let one = |table: &Read<Table<'a>>| match table {
        Ok(table) => read(page, table),
        Err(faulted) => Err(*faulted),
    };
    // Collected twice, because collecting into a result would stop at the first fault.
    let read: Vec<Read<T>> = tables.iter().map(one).collect();
    read.into_iter().collect()
}

/// The names of one kind, each marked where it stands a second time; nothing if not every
/// table shows one.
fn named_once<'a>(page: &mut Page<'a>, tables: &[Read<Table<'a>>]) -> Option<Vec<&'a str>> {
    let mut seen: BTreeSet<String> = BTreeSet::new();
    let mut names = Vec::new();
    let mut all = true;
    for table in tables {
        let Ok(table) = table else {
            all = false;
            continue;
        };
        let value = optional(table, "name");
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
            let expected = format!("each {} by a name of its own", table.what);
            let _ = page.fault(value.span(), found, expected);
        }
    }
    (all && !page.runs_on()).then_some(names)
}
