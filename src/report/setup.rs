//! The setup, and what loading one changes, as they are shown.

use schemars::JsonSchema;
use serde::Serialize;

use crate::reference::FinishClass;
use crate::report::origin::rest_not_cure;
use crate::report::{Page, Report};
use crate::shop::Count;
use crate::shop::setup::change::Change;
use crate::shop::setup::{Finish, KEYS, Key, Setup, to_toml};
use crate::units::System;

/// `setup check` and `setup load`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct SetupChanges {
    pub(crate) file: String,
    /// Whether it is stored now.
    pub(crate) stored: bool,
    /// The database that was made for it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) new_database: Option<String>,
    pub(crate) changes: Vec<Change>,
    pub(crate) racks: usize,
    pub(crate) finishes: usize,
    pub(crate) recipes: usize,
    /// What the file leaves out and the class of the finish supplies.
    pub(crate) from_class: Vec<Supplied>,
    /// What else is worth a word, finish by finish.
    pub(crate) notes: Vec<String>,
}

/// One value that the class of a finish supplies.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Supplied {
    pub(crate) finish: String,
    /// The key of the setup file.
    pub(crate) key: &'static str,
    /// The value, in the units of the shop.
    pub value: String,
    /// How it is marked: "common practice", or where it comes from.
    pub mark: String,
}

/// `setup show`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct SetupShown {
    /// The setup in force, as data.
    #[serde(flatten)]
    pub(crate) setup: Setup,
}

/// `setup kinds`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct KindsShown {
    pub(crate) kinds: Vec<&'static FinishClass>,
    /// Whether every value is said with where it comes from.
    #[serde(skip)]
    pub(crate) whole: bool,
    #[serde(skip)]
    pub(crate) units: System,
}

/// `setup new`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct SetupWritten {
    pub(crate) file: String,
}

impl SetupChanges {
    pub(crate) fn new(file: &str, setup: &Setup, changes: Vec<Change>, stored: bool) -> Self {
        Self {
            file: file.to_owned(),
            stored,
            new_database: None,
            changes,
            racks: setup.racks.len(),
            finishes: setup.finishes.len(),
            recipes: setup.recipes.len(),
            from_class: setup
                .finishes
                .iter()
                .flat_map(|finish| supplied_by_class(finish, setup.shop.units))
                .collect(),
            notes: setup.finishes.iter().flat_map(notes).collect(),
        }
    }

    /// One line a finish and mark: "house oil: `use_within` \"6 months\" (common practice)".
    fn class_text(&self, page: &mut Page) {
        if self.from_class.is_empty() {
            return;
        }
        page.say("Left out, and supplied by the class of the finish:");
        let same = |a: &Supplied, b: &Supplied| a.finish == b.finish && a.mark == b.mark;
        let mut values: Vec<&Supplied> = self.from_class.iter().collect();
        values.sort_by(|a, b| (&a.finish, &a.mark).cmp(&(&b.finish, &b.mark)));
        for group in values.chunk_by(|a, b| same(a, b)) {
            let values: Vec<String> = group
                .iter()
                .map(|value| format!("{} {}", value.key, value.value.trim_matches('"')))
                .collect();
            if let Some(Supplied { finish, mark, .. }) = group.first() {
                page.item(format!("{finish}: {} ({mark})", values.join(", ")));
            }
        }
    }
}

fn supplied_by_class(finish: &Finish, units: System) -> Vec<Supplied> {
    let of = |key: &Key<Finish>| {
        let (value, mark) = (key.said(finish, units)?, finish.from_class.get(key.name)?.clone());
        Some(Supplied { finish: finish.name.clone(), key: key.name, value, mark })
    };
    KEYS.iter().filter_map(of).collect()
}

/// A finish that never cures, and what nobody knows of it.
fn notes(finish: &Finish) -> Vec<String> {
    let name = &finish.name;
    let mut notes = Vec::new();
    if finish.hardens() == Some(false) {
        notes.push(rest_not_cure(name));
    }
    if finish.self_heating.is_none() {
        let line =
            "self_heating is unknown: its rags are treated as if they can catch fire by themselves";
        notes.push(format!("{name}: {line}"));
    }
    if finish.contains.is_none() {
        notes.push(format!("{name}: contains is unknown: nuts and other allergens"));
    }
    notes
}

impl Report for SetupChanges {
    fn text(&self, page: &mut Page) {
        let (racks, finishes) =
            (Count(self.racks as u64, "rack"), Count(self.finishes as u64, "finish"));
        page.say(format!(
            "{}: no faults. {racks}, {finishes}, {}.",
            self.file,
            Count(self.recipes as u64, "recipe")
        ));
        if let Some(path) = &self.new_database {
            page.say(format!("new database: {path}"));
        }
        match (self.changes.is_empty(), self.stored) {
            (true, false) => page.say("It says what is stored already: nothing changes."),
            (true, true) => {
                page.say("Stored as it is now written; it means the same as before.");
            }
            (false, true) => page.say("Stored. What changed:"),
            (false, false) => page.say("Nothing is stored yet. Loading it would change:"),
        }
        for change in &self.changes {
            page.item(change.to_string());
        }
        self.class_text(page);
        for note in &self.notes {
            page.hang(note);
        }
        if !self.changes.is_empty() && !self.stored {
            page.say(format!("Store it with: tackfree setup load {}", self.file));
        }
    }
}

impl Report for SetupShown {
    fn text(&self, page: &mut Page) {
        page.verbatim(&to_toml(&self.setup));
        // Comments of the file they stand in, so that what is printed still reads back.
        let notes: Vec<String> = self.setup.finishes.iter().flat_map(notes).collect();
        if !notes.is_empty() {
            page.gap();
        }
        for note in notes {
            page.verbatim(&format!("# {note}"));
        }
    }
}

impl Report for KindsShown {
    fn text(&self, page: &mut Page) {
        for class in &self.kinds {
            page.say(&class.kind);
            page.item(format!("on tins: {}", class.also.join(", ")));
            let value = |key: &str| class.supplies.get(key).map_or("", |supplied| &supplied.value);
            if self.whole {
                page.item(&class.about);
                for key in KEYS {
                    let Some(supplied) = class.supplies.get(key.name) else { continue };
                    let said = key.said_of_class(&supplied.value, self.units);
                    let said = said.as_deref().unwrap_or(&supplied.value).trim_matches('"');
                    page.item(format!("{} {said} ({})", key.name, supplied.mark));
                }
                continue;
            }
            let heats = match value("self_heating") {
                "yes" => "; rags can catch fire by themselves",
                "no" => "",
                _ => "; whether its rags can catch fire by themselves is unknown",
            };
            let [soak, recoat, cure] = ["soak", "recoat", "cure"].map(value);
            page.item(format!("soak {soak}, recoat {recoat}, cure {cure}{heats}"));
        }
        if !self.whole {
            page.say("All of one, and where it comes from: tackfree setup kinds \"danish oil\"");
        }
    }
}

impl Report for SetupWritten {
    fn text(&self, page: &mut Page) {
        page.say(format!("Written: {}. Change it to your shop's, then:", self.file));
        page.under(format!("tackfree setup check {}", self.file));
        page.under(format!("tackfree setup load {}", self.file));
    }
}
