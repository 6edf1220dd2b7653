//! What loading a setup would change, as data with a sentence for each.

use std::collections::BTreeMap;
use std::fmt;

use schemars::JsonSchema;
use serde::Serialize;

use super::read::Section;
use super::write::{Line, hours_lines};
use super::{Finish, Recipe, Setup};
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
    match old {
        None => found.push(Change::Added { kind: Kind::Shop, name: new.shop.name.clone() }),
        Some(old) => {
            let lines = |setup: &Setup| {
                let Setup { shop, remind, .. } = setup;
                let units = shop.units;
                [shop.lines(units), hours_lines(shop), remind.lines(units)].concat()
            };
            found.extend(altered(Kind::Shop, &new.shop.name, &lines(old), &lines(new)));
        }
    }
    compare(&mut found, old, new, |setup| &setup.rooms, altered_keys);
    compare(&mut found, old, new, |setup| &setup.racks, altered_keys);
    compare(&mut found, old, new, |setup| &setup.finishes, finish_changes);
    compare(&mut found, old, new, |setup| &setup.pieces, altered_keys);
    compare(&mut found, old, new, |setup| &setup.recipes, |old, new, _| revised(old, new));
    found
}

/// Finds what is new, altered and gone among the things of one kind.
fn compare<T: Section, C: IntoIterator<Item = Change>>(
    found: &mut Vec<Change>,
    old: Option<&Setup>,
    new: &Setup,
    of: fn(&Setup) -> &[T],
    between: impl Fn(&T, &T, System) -> C,
) {
    let (kind, name) = (T::KIND, |thing: &T| T::NAME(thing).to_owned());
    let old = old.map(of).unwrap_or_default();
    let mut left: BTreeMap<&str, &T> = old.iter().map(|thing| (T::NAME(thing), thing)).collect();
    for thing in of(new) {
        match left.remove(T::NAME(thing)) {
            Some(before) => found.extend(between(before, thing, new.shop.units)),
            None => found.push(Change::Added { kind, name: name(thing) }),
        }
    }
    for thing in old.iter().filter(|thing| left.contains_key(T::NAME(thing))) {
        found.push(Change::Removed { kind, name: name(thing) });
    }
}

fn altered_keys<T: Section>(old: &T, new: &T, units: System) -> Option<Change> {
    altered(T::KIND, T::NAME(new), &old.lines(units), &new.lines(units))
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
    found.extend(altered_keys(&dated, new, units));
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
