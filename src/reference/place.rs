//! Jurisdictions: where a statement holds, and what stands first for someone who works in one of them.

use std::collections::BTreeMap;
use std::fmt;
use std::str::FromStr;

use schemars::JsonSchema;
use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize};

use super::topic::Statement;

/// A jurisdiction by its code, as statements and `--where` name it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, JsonSchema, Serialize)]
#[serde(into = "String")]
pub struct Jurisdiction {
    code: &'static str,
    name: &'static str,
    in_eu: bool,
}

/// A jurisdiction, or a part of it ("US (Washington)").
#[derive(Debug, Clone, PartialEq, Eq, Deserialize, JsonSchema, Serialize)]
#[serde(try_from = "String")]
pub struct Place {
    pub(crate) jurisdiction: Jurisdiction,
    /// The state or province, where the rule is only its own.
    pub(crate) part: Option<String>,
}

/// A jurisdiction the reference has no code for.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("the reference has nothing on `{0}`: expected one of {list}", list = Jurisdiction::codes())]
pub struct UnknownPlace(pub String);

const fn outside(code: &'static str, name: &'static str) -> Jurisdiction {
    Jurisdiction { code, name, in_eu: false }
}

const fn member(code: &'static str, name: &'static str) -> Jurisdiction {
    Jurisdiction { code, name, in_eu: true }
}

/// All known, by code. EU members without a statement of their own are here because the EU's rules hold there.
const ALL: &[Jurisdiction] = &[
    outside("anywhere", "anywhere"),
    member("AT", "Austria"),
    outside("AU", "Australia"),
    member("BE", "Belgium"),
    member("BG", "Bulgaria"),
    outside("CA", "Canada"),
    member("CY", "Cyprus"),
    member("CZ", "Czechia"),
    member("DE", "Germany"),
    member("DK", "Denmark"),
    member("EE", "Estonia"),
    member("ES", "Spain"),
    outside("EU", "European Union"),
    member("FI", "Finland"),
    member("FR", "France"),
    member("GR", "Greece"),
    member("HR", "Croatia"),
    member("HU", "Hungary"),
    member("IE", "Ireland"),
    member("IT", "Italy"),
    member("LT", "Lithuania"),
    member("LU", "Luxembourg"),
    member("LV", "Latvia"),
    member("MT", "Malta"),
    member("NL", "Netherlands"),
    outside("NZ", "New Zealand"),
    member("PL", "Poland"),
    member("PT", "Portugal"),
    member("RO", "Romania"),
    member("SE", "Sweden"),
    member("SI", "Slovenia"),
    member("SK", "Slovakia"),
    outside("UK", "United Kingdom"),
    outside("US", "United States"),
];

impl Jurisdiction {
    /// Its name in English.
    pub(crate) const fn name(self) -> &'static str {
        self.name
    }

    /// The value kept under its code, or for a member under the EU's.
    pub(crate) fn of<V>(self, by_place: &BTreeMap<Self, V>) -> Option<&V> {
        let union = || by_place.iter().find(|(place, _)| self.in_eu && place.code == "EU");
        by_place.get(&self).or_else(|| union().map(|(_, value)| value))
    }

    fn codes() -> String {
        ALL.iter().map(|known| known.code).collect::<Vec<_>>().join(", ")
    }
}

impl FromStr for Jurisdiction {
    type Err = UnknownPlace;

    /// Reads a code or a name, in any case; `GB` is `UK` and `USA` is `US`.
    fn from_str(text: &str) -> Result<Self, UnknownPlace> {
        let text = text.trim();
        let wanted = match text.to_ascii_uppercase().as_str() {
            "GB" | "GREAT BRITAIN" | "ENGLAND" | "SCOTLAND" | "WALES" => "UK".to_owned(),
            "USA" => "US".to_owned(),
            "EL" => "GR".to_owned(),
            _ => text.to_owned(),
        };
        ALL.iter()
            .copied()
            .find(|known| {
                known.code.eq_ignore_ascii_case(&wanted) || known.name.eq_ignore_ascii_case(&wanted)
            })
            .ok_or_else(|| UnknownPlace(text.to_owned()))
    }
}

impl fmt::Display for Jurisdiction {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code)
    }
}

impl<'de> Deserialize<'de> for Jurisdiction {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        String::deserialize(from)?.parse().map_err(D::Error::custom)
    }
}

impl From<Jurisdiction> for String {
    fn from(jurisdiction: Jurisdiction) -> Self {
        jurisdiction.code.to_owned()
    }
}

impl TryFrom<String> for Place {
    type Error = UnknownPlace;

    fn try_from(text: String) -> Result<Self, UnknownPlace> {
        let (code, part) = match text.split_once('(') {
            Some((code, part)) => (code, Some(part.trim().trim_end_matches(')').to_owned())),
            None => (text.as_str(), None),
        };
        Ok(Self { jurisdiction: code.parse()?, part })
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.part {
            Some(part) => write!(f, "{} ({part})", self.jurisdiction),
            None => write!(f, "{}", self.jurisdiction),
        }
    }
}

impl Statement {
    /// 0 where it is made for that place, 1 where it holds there too, 2 where it is another's law.
    pub fn distance(&self, from: Jurisdiction) -> u8 {
        let holds = |code: &str| self.places.iter().any(|p| p.jurisdiction.code == code);
        match (holds(from.code), holds("anywhere") || (from.in_eu && holds("EU"))) {
            (true, _) => 0,
            (false, true) => 1,
            (false, false) => 2,
        }
    }
}
