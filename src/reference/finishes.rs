//! Finish classes: what the reference supplies when a setup leaves it out, each value with where it comes from.

use serde::Serialize;

use super::blocks::{Block, Field, blocks, phrases, sections};
use super::fault::{Fault, FaultKind};
use super::never::never_printed;
use crate::units::{Celsius, Humidity, Q10, Spread};

/// A value and where it comes from ("common practice", or its source), shown wherever the value is used.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Supplied<T> {
    pub value: T,
    pub mark: String,
}

/// A class of finish.
///
/// Times are in the setup file's own notation ("24h..7d", "6 months"), so that whoever reads a setup reads them with the
/// same reader and the same refusals.
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
    /// From application to wiping off.
    pub soak: Supplied<String>,
    /// From one coat to the next.
    pub recoat: Supplied<String>,
    /// To the end of cure, or of the rest of a finish that does not harden.
    pub cure: Supplied<String>,
    /// The temperature the times are for, °C.
    pub at: Supplied<Celsius>,
    /// Nothing cures below this, °C.
    pub lowest: Supplied<Celsius>,
    /// Nothing cures above this, % relative humidity.
    pub dampest: Supplied<Humidity>,
    /// Ratio of rates for 10 °C.
    pub q10: Supplied<Q10>,
    /// On sealed wood, m² per litre.
    pub spread: Supplied<Spread>,
    /// On bare wood, m² per litre.
    pub spread_bare: Supplied<Spread>,
    /// After opening, or after mixing.
    pub keeps: Supplied<String>,
    /// Allergens; `None` is unknown and is said to be.
    pub contains: Supplied<Option<Vec<String>>>,
    /// Whether it gives off solvent; `None` is unknown, and the sheet says.
    pub gives_off_solvent: Supplied<Option<bool>>,
    /// Whether its rags can set themselves on fire; `None` is unknown, and they are then treated as if.
    pub self_heating: Supplied<Option<bool>>,
    /// The line of `reference/finishes.txt` where it begins.
    pub line: usize,
}

/// The class whose second part may be an isocyanate; before it the topic on driers and hardeners shows.
pub const TWO_PART_OIL: &str = "hardening two-part oil";

const FIELDS: &[&str] = &[
    "kind",
    "also",
    "about",
    "hardens",
    "soak",
    "recoat",
    "cure",
    "at",
    "lowest",
    "dampest",
    "q10",
    "spread",
    "spread_bare",
    "keeps",
    "contains",
    "gives_off_solvent",
    "self_heating",
];

impl FinishClass {
    /// The mark of the value under a key of the setup file; `None` for a key that no class supplies.
    pub fn mark(&self, key: &str) -> Option<&str> {
        Some(match key {
            "soak" => &self.soak.mark,
            "recoat" => &self.recoat.mark,
            "cure" => &self.cure.mark,
            "at" => &self.at.mark,
            "lowest" => &self.lowest.mark,
            "dampest" => &self.dampest.mark,
            "q10" => &self.q10.mark,
            "spread" => &self.spread.mark,
            "spread_bare" => &self.spread_bare.mark,
            "keeps" => &self.keeps.mark,
            "contains" => &self.contains.mark,
            "self_heating" => &self.self_heating.mark,
            _ => return None,
        })
    }
}

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
    block.only(file, FIELDS)?;
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
        soak: reader.text("soak")?,
        recoat: reader.text("recoat")?,
        cure: reader.text("cure")?,
        at: reader.number("at", Celsius::new)?,
        lowest: reader.number("lowest", Celsius::new)?,
        dampest: reader.number("dampest", Humidity::new)?,
        q10: reader.number("q10", Q10::new)?,
        spread: reader.number("spread", Spread::new)?,
        spread_bare: reader.number("spread_bare", Spread::new)?,
        keeps: reader.text("keeps")?,
        contains: reader.value("contains", "a list or unknown", |text| {
            Some(if text == "unknown" { None } else { Some(phrases(text)) })
        })?,
        gives_off_solvent: reader.value("gives_off_solvent", "yes, no or unknown", or_unknown)?,
        self_heating: reader.value("self_heating", "yes, no or unknown", or_unknown)?,
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

    fn text(&self, key: &'static str) -> Result<Supplied<String>, Fault> {
        self.value(key, "a time", |text| Some(text.to_owned()))
    }

    fn number<T, E>(
        &self,
        key: &'static str,
        make: impl FnOnce(f64) -> Result<T, E>,
    ) -> Result<Supplied<T>, Fault> {
        self.value(key, "a number within what the quantity can be", |text| {
            text.parse::<f64>().ok().and_then(|number| make(number).ok())
        })
    }
}
