//! A topic of the reference as its file has it: what to do, what is answered, the statements behind it, and who decides.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Deserializer, Serialize};

use super::place::{Jurisdiction, Place};

/// One file of `reference/`. What must hold of all of them together (ids, lengths, words never printed) the tests hold.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Topic {
    /// Its name, as `caution NAME` takes it.
    pub name: String,
    pub(crate) title: String,
    /// When its short form appears by itself.
    pub(crate) when: String,
    /// Other names it answers to, lower case.
    pub also: Vec<String>,
    /// What to do in at most three lines.
    pub short: Vec<String>,
    #[serde(rename = "do")]
    pub(crate) what_to_do: Vec<String>,
    #[serde(deserialize_with = "flowing")]
    pub(crate) why: String,
    /// Why no verdict is given.
    #[serde(deserialize_with = "flowing")]
    pub no_verdict: String,
    /// Who has the last word.
    pub who_decides: Vec<String>,
    /// Whose word counts in one place: a key of `reference/places.toml`.
    pub authority: String,
    /// What to do now where something burns or somebody is hurt; it stands before every answer.
    #[serde(default, rename = "emergency")]
    pub emergencies: Vec<Answer>,
    #[serde(default, rename = "answer")]
    pub answers: Vec<Answer>,
    #[serde(rename = "statement")]
    pub statements: Vec<Statement>,
    /// Claims often heard that are wrong.
    #[serde(default)]
    pub heard: Vec<Heard>,
}

/// The answer to a question.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Answer {
    /// The words that ask for it, in any order: `rag bin/bag -water` wants the first, one of the next two, not the last.
    pub(super) asks: Vec<String>,
    pub says: Vec<String>,
    /// What differs from place to place, by its code.
    #[serde(default)]
    pub by_place: BTreeMap<Jurisdiction, String>,
    /// The statements behind it.
    #[serde(default)]
    pub see: Vec<String>,
    /// Whose word counts here, where it isn't the topic's.
    pub authority: Option<String>,
}

/// One fact, rule or figure, with its source and how it was checked.
#[derive(Debug, PartialEq, Eq, Deserialize, JsonSchema, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Statement {
    /// Its id in the reference ("R14").
    pub id: String,
    /// Where a number in it is from memory this says to look it up.
    #[serde(deserialize_with = "flowing")]
    pub says: String,
    #[serde(rename(deserialize = "where"))]
    pub places: Vec<Place>,
    /// Who says so: the law, standard, paper, notice or page.
    #[serde(deserialize_with = "flowing")]
    pub source: String,
    pub(crate) clause: Option<String>,
    /// The edition or year; `None` for a source without a date.
    pub(crate) year: Option<String>,
    /// In what it was read.
    #[serde(default, deserialize_with = "flowing_if_any")]
    pub read: Option<String>,
    /// What of it nobody looked up.
    #[serde(default, deserialize_with = "flowing_if_any")]
    pub memory: Option<String>,
    /// What it was worked out from, here.
    pub worked_out: Option<String>,
    /// What a second public source says: agrees, differs, or none found.
    #[serde(default, deserialize_with = "flowing_if_any")]
    pub second: Option<String>,
    /// When it was last held against its source, and how: the source's `page` again, the `notes` made when it was read, or
    /// `none` where nothing was found to hold it against. For whoever keeps the reference; nobody else is told.
    #[serde(skip_serializing)]
    pub checked: String,
}

/// A claim often heard that is wrong, and what is right.
#[derive(Debug, Deserialize, JsonSchema, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Heard {
    pub claim: String,
    #[serde(deserialize_with = "flowing")]
    pub right: String,
    pub(crate) met: Met,
    /// The statements behind what is right.
    pub see: Vec<String>,
}

/// How a wrong claim came into the reference.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Met {
    /// Met in a public page.
    Seen,
    /// Expected from those who ask.
    Expected,
}

/// How many statements were checked in which way.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, JsonSchema, Serialize)]
pub struct Tally {
    pub read: usize,
    /// Part read, part from memory.
    pub part_read: usize,
    pub from_memory: usize,
    pub worked_out: usize,
}

impl Topic {
    /// How the statements were checked, counted.
    pub fn tally(&self) -> Tally {
        let mut tally = Tally::default();
        for statement in &self.statements {
            match (&statement.read, &statement.memory) {
                (Some(_), Some(_)) => tally.part_read += 1,
                (Some(_), None) => tally.read += 1,
                (None, Some(_)) => tally.from_memory += 1,
                (None, None) => tally.worked_out += 1,
            }
        }
        tally
    }
}

/// A text that the file breaks into lines, as one line.
fn flowing<'de, D: Deserializer<'de>>(from: D) -> Result<String, D::Error> {
    let text = String::deserialize(from)?;
    Ok(text.split_whitespace().collect::<Vec<_>>().join(" "))
}

fn flowing_if_any<'de, D: Deserializer<'de>>(from: D) -> Result<Option<String>, D::Error> {
    flowing(from).map(Some)
}
