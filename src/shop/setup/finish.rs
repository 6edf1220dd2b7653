//! A finish: a product as its maker's data sheet describes it.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use crate::reference::{self, FinishClass};
use crate::time::{Keeps, PartialDate, Span, SpanRange};
use crate::units::{
    Celsius, Coverage, GramsPerLitre, Humidity, MilligramsPerCubicMetre, Money, Q10,
};

/// A product by its data sheet; `read::KEYS` says what each field is.
#[derive(Debug, Clone, Default, PartialEq, JsonSchema, Serialize)]
pub struct Finish {
    pub name: String,
    pub kind: Option<String>,
    pub sheet: Option<Sheet>,
    pub soak: SpanRange,
    pub recoat: SpanRange,
    pub cure: Span,
    #[serde(rename = "sheet_temp_c")]
    pub sheet_temp: Option<Celsius>,
    #[serde(rename = "min_temp_c")]
    pub min_temp: Option<Celsius>,
    #[serde(rename = "max_humidity_percent")]
    pub max_humidity: Option<Humidity>,
    pub q10: Option<Q10>,
    #[serde(rename = "coverage_m2_per_l")]
    pub coverage: Option<Coverage>,
    #[serde(rename = "coverage_bare_m2_per_l")]
    pub coverage_bare: Option<Coverage>,
    #[serde(rename = "voc_g_per_l")]
    pub voc: Option<GramsPerLitre>,
    pub air_limit: Option<AirLimit>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lower_flammable: Option<AirLimit>,
    pub use_within: Option<Keeps>,
    /// `None` is unknown, an empty list says the sheet names none.
    pub contains: Option<Vec<String>>,
    /// `None` is unknown.
    pub self_heating: Option<bool>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub litre_cost: Option<Money>,
    /// Which of the above the file left out and the finish class supplied: key of the file → how the value is marked
    /// ("common practice", or the source).
    pub from_class: BTreeMap<String, String>,
}

#[derive(Debug, Clone, PartialEq, Eq, JsonSchema, Serialize)]
pub struct Sheet {
    pub title: String,
    /// Its date of issue.
    pub revised: Option<PartialDate>,
}

/// A limit in air and where it comes from.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct AirLimit {
    pub mg_m3: MilligramsPerCubicMetre,
    /// "occupational limit on the sheet, 8 h".
    pub basis: String,
}

/// Keys that once had other names, old and new. A file that has an old one is told the new one; a ledger keeps the old.
pub(crate) const RENAMED: [(&str, &str); 8] = [
    ("at", "sheet_temp"),
    ("lowest", "min_temp"),
    ("dampest", "max_humidity"),
    ("spread", "coverage"),
    ("spread_bare", "coverage_bare"),
    ("keeps", "use_within"),
    ("outline", "profile"),
    ("per_blank", "pieces_per_blank"),
];

impl Finish {
    /// The class of the reference it belongs to.
    pub(crate) fn class(&self) -> Option<&'static FinishClass> {
        reference::class(self.kind.as_deref()?)
    }

    /// How the value under a key of the setup file is marked where the class supplied it, in short: "common practice".
    pub fn marked(&self, key: &str) -> Option<&str> {
        self.from_class.get(key)?.split([',', ';']).next().map(str::trim)
    }

    /// Whether anything in it cures; `None` where no class says.
    pub(crate) fn hardens(&self) -> Option<bool> {
        self.class().map(|class| class.hardens.value)
    }
}
