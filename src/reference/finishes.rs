//! Finish classes: what the reference supplies when a setup leaves it out, each value with where it comes from.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A value and where it comes from ("common practice", or its source), shown wherever the value is used.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize, JsonSchema, Serialize)]
pub struct Supplied<T> {
    pub value: T,
    pub mark: String,
}

/// A class of finish.
#[derive(Debug, Clone, PartialEq, Deserialize, JsonSchema, Serialize)]
pub struct FinishClass {
    /// Its name, as a setup's `kind` gives it.
    pub kind: String,
    /// Other names it goes by, lower case.
    pub also: Vec<String>,
    /// What it is, in a sentence or two.
    pub(crate) about: String,
    /// Whether anything in it cures. Where not, `cure` is a rest and is said to be one.
    pub hardens: Supplied<bool>,
    /// Whether it gives off solvent; `None` is unknown, and the sheet says.
    pub(crate) gives_off_solvent: Supplied<Option<bool>>,
    /// What it supplies, by the setup file's keys and in its notation, so that one reader serves both; or
    /// [`UNKNOWN`].
    #[serde(flatten)]
    pub supplies: BTreeMap<String, Supplied<String>>,
}

/// `reference/finishes.toml`.
#[derive(Debug, Deserialize)]
pub(super) struct ClassFile {
    pub(super) class: Vec<FinishClass>,
}

impl FinishClass {
    /// Its name and the others it goes by.
    pub(crate) fn names(&self) -> impl Iterator<Item = &str> {
        std::iter::once(&self.kind).chain(&self.also).map(String::as_str)
    }
}

/// The value of a key that no class can know, such as the nuts in a can.
pub const UNKNOWN: &str = "unknown";

/// The class whose second part may be an isocyanate; before it the topic on driers and hardeners shows.
pub const TWO_PART_OIL: &str = "hardening two-part oil";
