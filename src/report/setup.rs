//! The setup, and what loading one changes, as they are shown.

use serde::Serialize;

use crate::report::count::Count;
use crate::report::{Page, Report};
use crate::shop::setup::Setup;
use crate::shop::setup::change::Change;

/// `setup check` and `setup load`.
#[derive(Debug, Clone, Serialize)]
pub struct SetupChanges {
    /// The file.
    pub file: String,
    /// Whether it is stored now.
    pub stored: bool,
    /// What it changes.
    pub changes: Vec<Change>,
    /// What it describes.
    pub racks: usize,
    /// What it describes.
    pub finishes: usize,
    /// What it describes.
    pub recipes: usize,
}

/// `setup show`.
#[derive(Debug, Clone, Serialize)]
pub struct SetupShown {
    /// The setup in force, as data.
    #[serde(flatten)]
    pub setup: Setup,
    #[serde(skip)]
    toml: String,
}

/// `setup new`.
#[derive(Debug, Clone, Serialize)]
pub struct SetupWritten {
    /// The file.
    pub file: String,
}

impl SetupChanges {
    /// What a file changes.
    pub fn new(file: &str, setup: &Setup, changes: Vec<Change>, stored: bool) -> Self {
        Self {
            file: file.to_owned(),
            stored,
            changes,
            racks: setup.racks.len(),
            finishes: setup.finishes.len(),
            recipes: setup.recipes.len(),
        }
    }
}

impl SetupShown {
    /// A setup with the file that would say it.
    pub fn new(setup: Setup, toml: String) -> Self {
        Self { setup, toml }
    }
}

impl Report for SetupChanges {
    fn text(&self, page: &mut Page) {
        let (racks, finishes) =
            (Count(self.racks as u64, "rack"), Count(self.finishes as u64, "finish"));
        page.line(
            0,
            &format!(
                "{}: no faults. {racks}, {finishes}, {}.",
                self.file,
                Count(self.recipes as u64, "recipe")
            ),
        );
        match (self.changes.is_empty(), self.stored) {
            (true, _) => page.line(0, "It says what is stored already: nothing changes."),
            (false, true) => page.line(0, "Stored. What changed:"),
            (false, false) => page.line(0, "Nothing is stored yet. Loading it would change:"),
        }
        for change in &self.changes {
            page.hanging(2, 4, &change.to_string());
        }
        if !self.changes.is_empty() && !self.stored {
            page.line(0, &format!("Store it with: tackfree setup load {}", self.file));
        }
    }
}

impl Report for SetupShown {
    fn text(&self, page: &mut Page) {
        page.verbatim(&self.toml);
    }
}

impl Report for SetupWritten {
    fn text(&self, page: &mut Page) {
        page.line(0, &format!("Written: {}. Change it to your shop's, then:", self.file));
        page.line(2, &format!("tackfree setup check {}", self.file));
        page.line(2, &format!("tackfree setup load {}", self.file));
    }
}
