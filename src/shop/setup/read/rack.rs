//! `[[room]]` and `[[rack]]`.

use super::page::{Page, Read, Table, optional};
use super::value::{Value, shown};
use crate::shop::setup::fault::quoted;
use crate::shop::setup::{Heated, Purpose, Rack, Room};

/// The words for when a room is heated.
pub(in crate::shop::setup) const HEATED: [(&str, Heated); 3] =
    [("by day", Heated::ByDay), ("always", Heated::Always), ("no", Heated::No)];
/// More slots than any shop has; a slip of the keyboard has more.
const MOST_SLOTS: u32 = 100_000;

pub(super) fn room<'a>(page: &mut Page<'a>, table: &Table<'a>) -> Read<Room> {
    page.only(table, &["name", "heated", "unread_temp"]);
    let name = page
        .required(table, "name", "name = \"…\", what the room is called")
        .and_then(|value| page.name(value));
    let heated = optional(table, "heated").map(|value| page.one_of(value, &HEATED)).transpose();
    let unread_temp = optional(table, "unread_temp")
        .map(|value| page.quantity(value, "how warm it is when nobody reads it, °C"))
        .transpose();
    Ok(Room { name: name?.to_owned(), heated: heated?, unread_temp: unread_temp? })
}

/// Reads a rack whose room is one of `rooms`, if they could all be read.
pub(super) fn rack<'a>(
    page: &mut Page<'a>,
    table: &Table<'a>,
    rooms: Option<&[&str]>,
) -> Read<Rack> {
    page.only(table, &["name", "room", "slots", "use"]);
    let name = page
        .required(table, "name", "name = \"…\", what the rack is called")
        .and_then(|value| page.name(value));
    let room = page
        .required(table, "room", "room = \"…\", the name of a [[room]]")
        .and_then(|value| page.named(value, "room", rooms));
    let slots = page
        .required(table, "slots", "slots = …, how many pieces it holds")
        .and_then(|value| page.count(value, "slots", MOST_SLOTS));
    let purpose = page
        .required(table, "use", "use = [\"dry\"], [\"cure\"] or [\"dry\", \"cure\"]")
        .and_then(|value| purpose(page, value));
    Ok(Rack { name: name?.to_owned(), room: room?.to_owned(), slots: slots?, purpose: purpose? })
}

fn purpose<'a>(page: &mut Page<'a>, value: &'a Value<'a>) -> Read<Purpose> {
    const EXPECTED: &str =
        "a list of \"dry\" (between coats), \"cure\" (after the last coat), or both";
    let list = page.list(value, EXPECTED)?;
    if list.is_empty() {
        return Err(page.fault(value.span(), shown(value), EXPECTED));
    }
    let (mut dries, mut cures) = (false, false);
    let mut wrong = None;
    for item in list {
        let word = item.get_ref().as_str();
        match word {
            Some("dry") if !dries => dries = true,
            Some("cure") if !cures => cures = true,
            Some(word @ ("dry" | "cure")) => {
                let found = format!("{} a second time", quoted(word));
                wrong = Some(page.fault(item.span(), found, "each use once"));
            }
            _ => {
                let word = word.unwrap_or_default();
                let names = ["dry", "cure"];
                wrong = Some(page.unknown_name(item.span(), shown(item), EXPECTED, word, names));
            }
        }
    }
    match (wrong, dries, cures) {
        (Some(faulted), _, _) => Err(faulted),
        (None, true, true) => Ok(Purpose::DryAndCure),
        (None, true, false) => Ok(Purpose::Dry),
        (None, false, _) => Ok(Purpose::Cure),
    }
}

impl<'a> Page<'a> {
    /// A name that refers to one of `names`; where those could not all be read, any name will do.
    pub(super) fn named(
        &mut self,
        value: &'a Value<'a>,
        kind: &str,
        names: Option<&[&str]>,
    ) -> Read<&'a str> {
        let name = self.name(value)?;
        let Some(names) = names.filter(|names| !names.contains(&name)) else { return Ok(name) };
        let found = format!("the {kind} {}, which no [[{kind}]] has as its name", quoted(name));
        let expected = match names {
            [] => format!("the name of a [[{kind}]]; the file has none"),
            _ => format!("the name of a [[{kind}]] of this file"),
        };
        Err(self.unknown_name(value.span(), found, expected, name, names.iter().copied()))
    }
}
