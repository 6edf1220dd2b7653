//! Finish classes: what the reference supplies when a setup leaves it out, each value with where it comes from.

use std::collections::BTreeMap;

use serde::Serialize;

use super::blocks::{Block, Field, blocks, phrases, sections};
use super::fault::{Fault, FaultKind};
use super::never::never_printed;

/// A value and where it comes from ("common practice", or its source), shown wherever the value is used.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Supplied<T> {
    pub value: T,
    pub mark: String,
}

/// A class of finish.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FinishClass {
    /// Its name, as a setup's `kind` gives it.
    pub kind: String,
    /// Other names it goes by, lower case.
    pub also: Vec<String>,
    /// What it is, in a sentence or two.
    pub about: String,
    /// Whether anything in it cures. Where not, `cure` is a rest and is said to be one.
    pub hardens: Supplied<bool>,
    /// Whether it gives off solvent; `None` is unknown, and the sheet says.
    pub gives_off_solvent: Supplied<Option<bool>>,
    /// What it supplies, by the setup file's keys and in its notation, so that one reader reads both; or [`UNKNOWN`].
    pub supplies: BTreeMap<String, Supplied<String>>,
    /// The line of `reference/finishes.txt` where it begins.
    pub line: usize,
}

/// The value of a key that no class can know, such as the nuts in a can.
pub const UNKNOWN: &str = "unknown";

/// The class whose second part may be an isocyanate; before it the topic on driers and hardeners shows.
pub const TWO_PART_OIL: &str = "hardening two-part oil";

/// What each class says of itself.
const ITSELF: [&str; 5] = ["kind", "also", "about", "hardens", "gives_off_solvent"];

/// What each class supplies.
const SUPPLIES: [&str; 12] = [
    "soak",
    "recoat",
    "cure",
    "sheet_temp",
    "min_temp",
    "max_humidity",
    "q10",
    "coverage",
    "coverage_bare",
    "use_within",
    "contains",
    "self_heating",
];

/// Reads the file of classes and holds it to the schema.
pub(super) fn read(file: &str, text: &str) -> Result<Vec<FinishClass>, Fault> {
    let parts = sections(text);
    let lines = parts.first().map(|part| part.lines.as_slice()).unwrap_or_default();
    let classes: Vec<FinishClass> =
        blocks(file, lines)?.iter().map(|block| class(file, block)).collect::<Result<_, _>>()?;
    let mut names: Vec<&str> = Vec::new();
    for class in &classes {
        for name in std::iter::once(&class.kind).chain(&class.also) {
            if names.contains(&name.as_str()) {
                return Err(Fault::at(file, class.line, FaultKind::Twice(name.clone())));
            }
            names.push(name);
        }
    }
    Ok(classes)
}

fn class(file: &str, block: &Block) -> Result<FinishClass, Fault> {
    block.only(file, &[&ITSELF[..], &SUPPLIES[..]].concat())?;
    for field in block.fields() {
        if let Some(phrase) = never_printed(&field.value) {
            return Err(Fault::at(file, field.line, FaultKind::NeverPrinted(phrase)));
        }
    }
    let kind = block.need(file, "a class", "kind")?.value.to_lowercase();
    let reader = Reader { file, block, what: format!("class {kind}") };
    Ok(FinishClass {
        also: phrases(&reader.field("also")?.value).iter().map(|n| n.to_lowercase()).collect(),
        about: reader.field("about")?.value.clone(),
        hardens: reader.value("hardens", "yes or no", yes_or_no)?,
        gives_off_solvent: reader.value("gives_off_solvent", "yes, no or unknown", or_unknown)?,
        supplies: SUPPLIES
            .into_iter()
            .map(|key| Ok((key.to_owned(), reader.value(key, "", |text| Some(text.to_owned()))?)))
            .collect::<Result<_, Fault>>()?,
        line: block.line,
        kind,
    })
}

fn yes_or_no(text: &str) -> Option<bool> {
    match text {
        "yes" => Some(true),
        "no" => Some(false),
        _ => None,
    }
}

#[expect(
    clippy::option_option,
    reason = "outer: whether it can be read; inner: whether it is known"
)]
fn or_unknown(text: &str) -> Option<Option<bool>> {
    if text == "unknown" { Some(None) } else { yes_or_no(text).map(Some) }
}

/// One class being read.
struct Reader<'a> {
    file: &'a str,
    block: &'a Block,
    what: String,
}

impl Reader<'_> {
    fn field(&self, key: &'static str) -> Result<&Field, Fault> {
        self.block.need(self.file, &self.what, key)
    }

    fn value<T>(
        &self,
        key: &'static str,
        expected: &str,
        read: impl FnOnce(&str) -> Option<T>,
    ) -> Result<Supplied<T>, Fault> {
        let field = self.field(key)?;
        let fault = |expected: String| {
            let (field_name, value) = (field.key.clone(), field.value.clone());
            let kind = FaultKind::Value { field: field_name, value, expected };
            Fault::at(self.file, field.line, kind)
        };
        let (value, mark) = field
            .value
            .split_once('|')
            .map(|(value, mark)| (value.trim(), mark.trim()))
            .filter(|(value, mark)| !value.is_empty() && !mark.is_empty())
            .ok_or_else(|| fault("`value | where it comes from`".to_owned()))?;
        let value = read(value).ok_or_else(|| fault(expected.to_owned()))?;
        Ok(Supplied { value, mark: mark.to_owned() })
    }
}
