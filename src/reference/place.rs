//! Jurisdictions: where a statement holds, and what stands first for someone who works in one of them.

use std::fmt;
use std::str::FromStr;

use serde::{Serialize, Serializer};

use super::statement::Statement;

/// A jurisdiction by its code, as statements and `--where` name it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Jurisdiction {
    code: &'static str,
    name: &'static str,
    in_eu: bool,
}

/// A jurisdiction, or a part of it ("US (Washington)").
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Place {
    pub jurisdiction: Jurisdiction,
    /// The state or province, where the rule is only its own.
    pub part: Option<String>,
}

/// A jurisdiction the reference has no code for.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("the reference has nothing on `{0}`: expected one of {list}", list = Jurisdiction::codes())]
pub struct UnknownPlace(pub String);

/// A topic's statements in the order for one jurisdiction.
#[derive(Debug, Clone, PartialEq)]
pub struct ByPlace<'a> {
    /// Made for that jurisdiction itself. Empty: the reference has nothing on it here, and a screen says so.
    pub here: Vec<&'a Statement>,
    /// Holding there too: the EU's for its members, and what holds anywhere.
    pub wider: Vec<&'a Statement>,
    /// Made for other places; law elsewhere, the physics the same.
    pub elsewhere: Vec<&'a Statement>,
}

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
    /// Its code: two letters, or `anywhere`.
    pub const fn code(self) -> &'static str {
        self.code
    }

    /// Its name in English.
    pub const fn name(self) -> &'static str {
        self.name
    }

    /// Whether the EU's rules hold there.
    pub const fn in_eu(self) -> bool {
        self.in_eu
    }

    /// All that are known, by code.
    pub const fn all() -> &'static [Self] {
        ALL
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

impl Serialize for Jurisdiction {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.code)
    }
}

impl FromStr for Place {
    type Err = UnknownPlace;

    fn from_str(text: &str) -> Result<Self, UnknownPlace> {
        match text.split_once('(') {
            Some((code, part)) => Ok(Self {
                jurisdiction: code.parse()?,
                part: Some(part.trim().trim_end_matches(')').to_owned()),
            }),
            None => Ok(Self { jurisdiction: text.parse()?, part: None }),
        }
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

/// Orders statements for one jurisdiction; within each part they keep the order of the file.
pub(super) fn order(statements: &[Statement], wanted: Jurisdiction) -> ByPlace<'_> {
    let mut by = ByPlace { here: Vec::new(), wider: Vec::new(), elsewhere: Vec::new() };
    for statement in statements {
        let holds = |code: &str| statement.places.iter().any(|p| p.jurisdiction.code == code);
        if holds(wanted.code) {
            by.here.push(statement);
        } else if holds("anywhere") || (wanted.in_eu && holds("EU")) {
            by.wider.push(statement);
        } else {
            by.elsewhere.push(statement);
        }
    }
    by
}
