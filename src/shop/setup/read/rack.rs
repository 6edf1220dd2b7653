//! `[[room]]` and `[[rack]]`.

use super::held::Held;
use super::key::{Key, Section, key};
use super::page::{Page, Read};
use super::value::{Value, shown};
use crate::shop::setup::change::Kind;
use crate::shop::setup::fault::quoted;
use crate::shop::setup::{Heated, Purpose, Rack, Room, write};
use crate::units::System;

/// The words for when a room is heated.
const HEATED: [(&str, Heated); 3] =
    [("by day", Heated::ByDay), ("always", Heated::Always), ("no", Heated::No)];
/// The words for what a rack is for.
const USES: [&str; 2] = ["dry", "cure"];
/// More slots than any shop has; a slip of the keyboard has more.
pub(crate) const MOST_SLOTS: u32 = 100_000;

impl Section for Room {
    const HEADER: &'static str = "[[room]]";
    const KIND: Kind = Kind::Room;
    const NAME: fn(&Self) -> &str = |room| &room.name;
    const KEYS: &'static [Key<Self>] = &[
        key!(name).needed("name = \"…\", what the room is called"),
        key!(heated),
        key!(unread_temp).about("how warm it is when nobody reads it, °C"),
    ];
}

impl Section for Rack {
    const HEADER: &'static str = "[[rack]]";
    const KIND: Kind = Kind::Rack;
    const NAME: fn(&Self) -> &str = |rack| &rack.name;
    const KEYS: &'static [Key<Self>] = &[
        key!(name).needed("name = \"…\", what the rack is called"),
        key!(room, |page, value, _| page.named(value, "room").map(str::to_owned))
            .needed("room = \"…\", the name of a [[room]]"),
        key!(slots, |page, value, what| page.count(value, what, MOST_SLOTS))
            .about("slots")
            .needed("slots = …, how many pieces it holds"),
        key!("use", purpose, Held::read)
            .about("a list of \"dry\" (between coats), \"cure\" (after the last coat), or both")
            .needed("use = [\"dry\"], [\"cure\"] or [\"dry\", \"cure\"]"),
    ];
}

impl Held for Heated {
    fn read<'a>(page: &mut Page<'a>, value: &'a Value<'a>, _: &str) -> Read<Self> {
        page.one_of(value, &HEATED)
    }

    fn toml(&self, _: System) -> Option<String> {
        Some(write::word_of(&HEATED, self))
    }
}

impl Held for Purpose {
    fn read<'a>(page: &mut Page<'a>, value: &'a Value<'a>, wanted: &str) -> Read<Self> {
        let mut uses = Vec::new();
        page.items(value, wanted, |page, item| {
            let word = item.get_ref().as_str().unwrap_or_default();
            if uses.contains(&word) {
                let found = format!("{} a second time", quoted(word));
                return Err(page.fault(item.span(), found, "each use once"));
            }
            if !USES.contains(&word) {
                return Err(page.unknown_name(item.span(), shown(item), wanted, word, USES));
            }
            uses.push(word);
            Ok(())
        })?;
        match (uses.contains(&"dry"), uses.contains(&"cure")) {
            (true, true) => Ok(Self::DryAndCure),
            (true, false) => Ok(Self::Dry),
            (false, true) => Ok(Self::Cure),
            (false, false) => Err(page.fault(value.span(), shown(value), wanted)),
        }
    }

    fn toml(&self, _: System) -> Option<String> {
        Some(write::words(match self {
            Self::Dry => &USES[..1],
            Self::Cure => &USES[1..],
            Self::DryAndCure => &USES,
        }))
    }
}
