//! What loading a setup would change, as data with a sentence for each.

use std::collections::BTreeMap;
use std::fmt;

use schemars::JsonSchema;
use serde::Serialize;

use super::write::{
    Line, finish_lines, hours_lines, piece_lines, rack_lines, remind_lines, room_lines, shop_lines,
};
use super::{Finish, Piece, Rack, Recipe, Room, Setup};
use crate::time::PartialDate;
use crate::units::System;

/// What a setup is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    Shop,
    Room,
    Rack,
    Finish,
    Piece,
    Recipe,
}

/// A key whose value changes, as the file spells it; `None` where it was or will be left out.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema, Serialize)]
pub struct Altered {
    pub(crate) key: String,
    /// Its value so far.
    pub(crate) old: Option<String>,
    /// Its value from now on.
    pub(crate) new: Option<String>,
}

/// Why a recipe gets a new revision.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(tag = "because", rename_all = "snake_case")]
pub enum Revision {
    Steps {
        /// How many there were.
        old: usize,
        /// How many there will be.
        new: usize,
        /// The first that differs, counted from 1.
        first: usize,
    },
    /// It is for another piece.
    Piece {
        /// The piece so far.
        old: String,
        /// The piece from now on.
        new: String,
    },
}

/// One thing that loading would change.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(tag = "change", rename_all = "snake_case")]
pub enum Change {
    /// It is new.
    Added { kind: Kind, name: String },
    /// It is gone.
    Removed { kind: Kind, name: String },
    /// It is described otherwise; a sheet's date has a change of its own, and a recipe is revised.
    Altered {
        kind: Kind,
        name: String,
        /// What is different, in the order of the file.
        parts: Vec<Altered>,
    },
    /// A finish is copied from a sheet of another date.
    SheetRevised {
        finish: String,
        /// The sheet's date so far.
        old: Option<PartialDate>,
        /// The sheet's date from now on.
        new: Option<PartialDate>,
    },
    /// A recipe gets a new revision; lots begun keep theirs.
    RecipeRevised {
        recipe: String,
        /// What differs, at least one.
        because: Vec<Revision>,
    },
}

/// Everything that loading `new` over `old` would change: shop, rooms, racks, finishes, pieces, recipes; in each what is
/// new or altered in the order of the new file, then what is gone in the order of the old.
pub fn changes(old: Option<&Setup>, new: &Setup) -> Vec<Change> {
    let mut found = Vec::new();
    let units = new.shop.units;
    match old {
        None => found.push(Change::Added { kind: Kind::Shop, name: new.shop.name.clone() }),
        Some(old) => {
            let lines = |setup: &Setup| {
                let mut lines = shop_lines(&setup.shop);
                lines.extend(hours_lines(&setup.shop));
                lines.extend(remind_lines(&setup.remind));
                lines
            };
            found.extend(altered(Kind::Shop, &new.shop.name, &lines(old), &lines(new)));
        }
    }
    let room = |room: &Room| room.name.clone();
    let rooms = old.map(|old| &*old.rooms);
    compare(&mut found, Kind::Room, rooms, &new.rooms, room, |a, b| {
        altered(Kind::Room, &b.name, &room_lines(a, units), &room_lines(b, units))
            .into_iter()
            .collect()
    });
    let rack = |rack: &Rack| rack.name.clone();
    compare(&mut found, Kind::Rack, old.map(|old| &*old.racks), &new.racks, rack, |a, b| {
        altered(Kind::Rack, &b.name, &rack_lines(a), &rack_lines(b)).into_iter().collect()
    });
    let finish = |finish: &Finish| finish.name.clone();
    let finishes = old.map(|old| &*old.finishes);
    compare(&mut found, Kind::Finish, finishes, &new.finishes, finish, |a, b| {
        finish_changes(a, b, units)
    });
    let piece = |piece: &Piece| piece.name.clone();
    compare(&mut found, Kind::Piece, old.map(|old| &*old.pieces), &new.pieces, piece, |a, b| {
        altered(Kind::Piece, &b.name, &piece_lines(a, units), &piece_lines(b, units))
            .into_iter()
            .collect()
    });
    let recipe = |recipe: &Recipe| recipe.name.clone();
    let recipes = old.map(|old| &*old.recipes);
    compare(&mut found, Kind::Recipe, recipes, &new.recipes, recipe, |a, b| {
        revised(a, b).into_iter().collect()
    });
    found
}

/// Finds what is new, altered and gone among the things of one kind.
fn compare<T>(
    found: &mut Vec<Change>,
    kind: Kind,
    old: Option<&[T]>,
    new: &[T],
    name: impl Fn(&T) -> String,
    between: impl Fn(&T, &T) -> Vec<Change>,
) {
    let old = old.unwrap_or_default();
    let mut left: BTreeMap<String, &T> = old.iter().map(|thing| (name(thing), thing)).collect();
    for thing in new {
        match left.remove(&name(thing)) {
            Some(before) => found.extend(between(before, thing)),
            None => found.push(Change::Added { kind, name: name(thing) }),
        }
    }
    for thing in old.iter().filter(|thing| left.contains_key(&name(thing))) {
        found.push(Change::Removed { kind, name: name(thing) });
    }
}

/// The keys with another value, in the order of the file.
fn altered(kind: Kind, name: &str, old: &[Line], new: &[Line]) -> Option<Change> {
    let value_of = |lines: &[Line], key: &str| {
        let line = lines.iter().find(|line| line.key == key)?;
        Some(match &line.mark {
            None => line.value.clone(),
            Some(_) => format!("{} (from the kind)", line.value),
        })
    };
    let mut keys: Vec<&str> = new.iter().map(|line| line.key).collect();
    keys.extend(old.iter().map(|line| line.key).filter(|key| value_of(new, key).is_none()));
    let parts: Vec<Altered> = keys
        .into_iter()
        .map(|key| Altered {
            key: key.to_owned(),
            old: value_of(old, key),
            new: value_of(new, key),
        })
        .filter(|part| part.old != part.new)
        .collect();
    (!parts.is_empty()).then(|| Change::Altered { kind, name: name.to_owned(), parts })
}

fn finish_changes(old: &Finish, new: &Finish, units: System) -> Vec<Change> {
    let date = |finish: &Finish| finish.sheet.as_ref().and_then(|sheet| sheet.revised);
    let mut found = Vec::new();
    if date(old) != date(new) {
        let finish = new.name.clone();
        found.push(Change::SheetRevised { finish, old: date(old), new: date(new) });
    }
    // The date has been told; what else the sheet's line says has not.
    let mut dated = old.clone();
    if let Some(sheet) = &mut dated.sheet {
        sheet.revised = date(new);
    }
    let old_lines = finish_lines(&dated, units);
    found.extend(altered(Kind::Finish, &new.name, &old_lines, &finish_lines(new, units)));
    found
}

fn revised(old: &Recipe, new: &Recipe) -> Option<Change> {
    let mut because = Vec::new();
    if old.piece != new.piece {
        because.push(Revision::Piece { old: old.piece.clone(), new: new.piece.clone() });
    }
    if old.steps != new.steps {
        let same = old.steps.iter().zip(&new.steps).take_while(|(a, b)| a == b).count();
        because.push(Revision::Steps {
            old: old.steps.len(),
            new: new.steps.len(),
            first: same + 1,
        });
    }
    let recipe = new.name.clone();
    (!because.is_empty()).then_some(Change::RecipeRevised { recipe, because })
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Shop => "shop",
            Self::Room => "room",
            Self::Rack => "rack",
            Self::Finish => "finish",
            Self::Piece => "piece",
            Self::Recipe => "recipe",
        })
    }
}

impl fmt::Display for Altered {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { key, old, new } = self;
        match (old, new) {
            // A profile is longer than a sentence.
            _ if key == "profile" => f.write_str("another profile"),
            (Some(old), Some(new)) => write!(f, "{key} {old} becomes {new}"),
            (None, Some(new)) => write!(f, "{key} {new} added"),
            (Some(old), None) => write!(f, "{key} {old} left out"),
            (None, None) => f.write_str(key),
        }
    }
}

impl fmt::Display for Revision {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Piece { old, new } => write!(f, "for the piece \"{new}\" instead of \"{old}\""),
            Self::Steps { old, new, first } if old == new => {
                write!(f, "its steps differ from step {first} on")
            }
            Self::Steps { old, new, first } => {
                write!(f, "{new} steps instead of {old}, different from step {first} on")
            }
        }
    }
}

impl fmt::Display for Change {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let dated = |date: &Option<PartialDate>| {
            date.map_or("an undated sheet".to_owned(), |date| format!("the sheet of {date}"))
        };
        match self {
            Self::Added { kind, name } => write!(f, "{kind} \"{name}\" added"),
            Self::Removed { kind, name } => write!(f, "{kind} \"{name}\" removed"),
            Self::Altered { kind, name, parts } => {
                write!(f, "{kind} \"{name}\": {}", joined(parts))
            }
            Self::SheetRevised { finish, old, new } => {
                write!(
                    f,
                    "finish \"{finish}\": sheet revised, {} instead of {}",
                    dated(new),
                    dated(old)
                )
            }
            Self::RecipeRevised { recipe, because } => {
                write!(f, "recipe \"{recipe}\": new revision, {}", joined(because))
            }
        }
    }
}

fn joined<T: fmt::Display>(parts: &[T]) -> String {
    parts.iter().map(T::to_string).collect::<Vec<_>>().join("; ")
}
