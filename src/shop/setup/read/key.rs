//! A key of the file: each section has one table of them, by which it is read, written and compared. A finish's keys are
//! also filled in from its class, and explained.

use toml::de::DeTable;

use super::page::{Page, Read, Table, optional};
use super::value::Value;
use crate::shop::setup::Finish;
use crate::shop::setup::change::Kind;
use crate::shop::setup::write::{Line, quoted};
use crate::units::System;

/// A key of a section.
pub struct Key<T: 'static> {
    pub name: &'static str,
    /// A value as the starting file gives it; nothing where that is not made from here.
    pub(crate) example: &'static str,
    /// What it says, for a fault and for the starting file.
    pub(crate) about: &'static str,
    /// What a fault asks for where it is left out; nothing where it may be.
    pub(super) needed: Option<&'static str>,
    pub(super) read: Reader<T>,
    pub(super) toml: Writer<T>,
    pub(super) said: Writer<T>,
}

/// How a value of the file is read; the words are what a fault asks for.
pub(super) type By<V> = for<'a> fn(&mut Page<'a>, &'a Value<'a>, &str) -> Read<V>;
type Reader<T> = for<'a> fn(&mut T, &mut Page<'a>, &'a Value<'a>, &str) -> Read<()>;
/// Nothing where there is no value.
type Writer<T> = fn(&T, System) -> Option<String>;

/// A key of the section that this stands in: by its field; with its own reader; with a name that is not the field's.
macro_rules! key {
    ($field:ident) => {
        key!($field, Held::read)
    };
    ($field:ident, $read:expr) => {
        key!(stringify!($field), $field, $read)
    };
    ($name:expr, $field:ident, $read:expr) => {
        Key::<Self> {
            said: |thing, units| thing.$field.said(units),
            ..Key::<Self>::new(
                $name,
                |thing, page, value, wanted| {
                    let read: super::key::By<_> = $read;
                    thing.$field = read(page, value, wanted)?;
                    Ok(())
                },
                |thing, units| thing.$field.toml(units),
            )
        }
    };
}
pub(super) use key;

/// What a section of the file describes.
pub(in crate::shop::setup) trait Section: Default + 'static {
    const HEADER: &'static str;
    /// What a change of it is a change of.
    const KIND: Kind;
    /// In the order of the file.
    const KEYS: &'static [Key<Self>];
    const NAME: fn(&Self) -> &str;
    /// How a value is marked that is not from the file but from the finish's class.
    const MARK: fn(&Self, &str) -> Option<String> = |_, _| None;

    /// Its keys and values, as the file has them.
    fn lines(&self, units: System) -> Vec<Line> {
        let line = |key: &Key<Self>| {
            let (value, mark) = ((key.toml)(self, units)?, Self::MARK(self, key.name));
            Some(Line { key: key.name, value, mark })
        };
        Self::KEYS.iter().filter_map(line).collect()
    }
}

/// Reads what a table says of a thing.
pub(super) fn section<'a, T: Section>(page: &mut Page<'a>, table: &Table<'a>) -> Read<T> {
    let mut thing = T::default();
    fill(page, table, &mut thing).map(|()| thing)
}

/// Takes into a thing what a table says of it, and marks all that is wrong there.
pub(super) fn fill<'a, T: Section>(
    page: &mut Page<'a>,
    table: &Table<'a>,
    thing: &mut T,
) -> Read<()> {
    let known: Vec<&str> = T::KEYS.iter().map(|key| key.name).collect();
    page.only(table, &known);
    let mut faulted = Ok(());
    for key in T::KEYS {
        let read = match (optional(table, key.name), key.needed) {
            (Some(value), _) => (key.read)(thing, page, value, &key.wanted()),
            (None, Some(expected)) => page.required(table, key.name, expected).map(|_| ()),
            (None, None) => continue,
        };
        faulted = faulted.and(read);
    }
    faulted
}

impl<T> Key<T> {
    pub(super) const fn new(name: &'static str, read: Reader<T>, toml: Writer<T>) -> Self {
        Self { name, example: "", about: "", needed: None, read, toml, said: toml }
    }

    /// With what a fault asks for where it is left out.
    pub(super) const fn needed(mut self, expected: &'static str) -> Self {
        self.needed = Some(expected);
        self
    }

    /// With what a fault says could stand there.
    pub(super) const fn about(mut self, about: &'static str) -> Self {
        self.about = about;
        self
    }

    /// With the starting file's example of it and what it says.
    pub(super) const fn says(mut self, example: &'static str, about: &'static str) -> Self {
        self.example = example;
        self.about(about)
    }

    fn wanted(&self) -> String {
        let Self { name, example, about, .. } = self;
        if example.is_empty() {
            return (*about).to_owned();
        }
        format!("{about}, as {name} = {example}")
    }

    /// Takes a class's value as if the file had it; says whether it could.
    pub(super) fn supply(&self, thing: &mut T, text: &str) -> bool {
        let value = match text {
            "yes" => "true".to_owned(),
            "no" => "false".to_owned(),
            text => quoted(text),
        };
        let text = format!("{} = {value}", self.name);
        let Ok(root) = DeTable::parse(&text) else { return false };
        let mut page = Page::new(&text, root.get_ref(), &[]);
        let value = root.get_ref().get(self.name);
        value.is_some_and(|value| (self.read)(thing, &mut page, value, "").is_ok())
    }

    /// Its value as a person reads it; nothing where there is none.
    pub(crate) fn said(&self, thing: &T, units: System) -> Option<String> {
        (self.said)(thing, units)
    }
}

impl Key<Finish> {
    /// A value that a class supplies, as a person reads it.
    pub(crate) fn said_of_class(&self, text: &str, units: System) -> Option<String> {
        let mut finish = Finish::default();
        self.supply(&mut finish, text);
        self.said(&finish, units)
    }
}
