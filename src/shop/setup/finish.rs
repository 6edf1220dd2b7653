//! A finish: a product as its maker's data sheet describes it.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::reference::{self, FinishClass};
use crate::time::{Keeps, PartialDate, Span, SpanRange};
use crate::units::{Celsius, Coverage, GramsPerLitre, Humidity, MilligramsPerCubicMetre, Q10};

/// A product by its data sheet; `read::KEYS` says what each field is.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Finish {
    pub name: String,
    pub kind: Option<String>,
    pub sheet: Option<Sheet>,
    pub soak: SpanRange,
    pub recoat: SpanRange,
    pub cure: Span,
    #[serde(rename = "at")]
    pub sheet_temp: Option<Celsius>,
    #[serde(rename = "lowest")]
    pub min_temp: Option<Celsius>,
    #[serde(rename = "dampest")]
    pub max_humidity: Option<Humidity>,
    pub q10: Option<Q10>,
    #[serde(rename = "spread")]
    pub coverage: Option<Coverage>,
    #[serde(rename = "spread_bare")]
    pub coverage_bare: Option<Coverage>,
    pub voc: Option<GramsPerLitre>,
    pub air_limit: Option<AirLimit>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lower_flammable: Option<AirLimit>,
    #[serde(rename = "keeps")]
    pub use_within: Option<Keeps>,
    /// `None` is unknown, an empty list says the sheet names none.
    pub contains: Option<Vec<String>>,
    /// `None` is unknown.
    pub self_heating: Option<bool>,
    /// Which of the above the file left out and the finish class supplied: key of the file → how the value is marked
    /// ("common practice", or the source).
    #[serde(serialize_with = "by_old_keys", deserialize_with = "by_new_keys")]
    pub from_class: BTreeMap<String, String>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Sheet {
    pub title: String,
    /// Its date of issue.
    pub revised: Option<PartialDate>,
}

/// A limit in air and where it comes from.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct AirLimit {
    pub mg_m3: MilligramsPerCubicMetre,
    /// "occupational limit on the sheet, 8 h".
    pub basis: String,
}

/// Keys that once had other names, old and new. A file that has an old one is told the new one; a ledger keeps the old.
pub(super) const RENAMED: [(&str, &str); 8] = [
    ("at", "sheet_temp"),
    ("lowest", "min_temp"),
    ("dampest", "max_humidity"),
    ("spread", "coverage"),
    ("spread_bare", "coverage_bare"),
    ("keeps", "use_within"),
    ("outline", "profile"),
    ("per_blank", "pieces_per_blank"),
];

fn by_old_keys<S: serde::Serializer>(
    marks: &BTreeMap<String, String>,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    let old = |key: &str| RENAMED.iter().find(|(_, new)| *new == key).map(|(old, _)| *old);
    let named = marks.iter().map(|(key, mark)| (old(key).unwrap_or(key), mark));
    named.collect::<BTreeMap<_, _>>().serialize(serializer)
}

fn by_new_keys<'de, D: serde::Deserializer<'de>>(
    deserializer: D,
) -> Result<BTreeMap<String, String>, D::Error> {
    let marks = BTreeMap::<String, String>::deserialize(deserializer)?;
    let new = |key: &str| RENAMED.iter().find(|(old, _)| *old == key).map(|(_, new)| *new);
    Ok(marks
        .into_iter()
        .map(|(key, mark)| (new(&key).map_or_else(|| key.clone(), str::to_owned), mark))
        .collect())
}

impl Finish {
    /// The class of the reference it belongs to.
    pub fn class(&self) -> Option<&'static FinishClass> {
        reference::class(self.kind.as_deref()?)
    }

    /// How the value under a key of the setup file is marked where the class supplied it, in short: "common practice".
    pub fn marked(&self, key: &str) -> Option<&str> {
        self.from_class.get(key)?.split([',', ';']).next().map(str::trim)
    }

    /// Whether anything in it cures; `None` where no class says.
    pub fn hardens(&self) -> Option<bool> {
        self.class().map(|class| class.hardens.value)
    }
}
