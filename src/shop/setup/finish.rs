//! A finish: a product as its maker's data sheet describes it.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::time::{Keeps, Span, SpanRange};
use crate::units::{Celsius, GramsPerLitre, Humidity, MilligramsPerCubicMetre, Q10, Spread};

/// A product by its data sheet. What the file leaves out and its class supplies is listed in `from_class`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Finish {
    /// Its name in the shop.
    pub name: String,
    /// The finish class of the reference it belongs to.
    pub kind: Option<String>,
    /// The data sheet all of this is copied from.
    pub sheet: Option<Sheet>,
    /// From application to wiping off.
    pub soak: SpanRange,
    /// From the end of one coat to the start of the next.
    pub recoat: SpanRange,
    /// To the sheet's food-contact or full-cure time, at `at`.
    pub cure: Span,
    /// The temperature for which the sheet gives its times.
    pub at: Option<Celsius>,
    /// Nothing cures below this.
    pub lowest: Option<Celsius>,
    /// Nothing cures above this.
    pub dampest: Option<Humidity>,
    /// The rate's ratio for 10 °C.
    pub q10: Option<Q10>,
    /// On sealed wood.
    pub spread: Option<Spread>,
    /// On bare wood, for the first coat; where left out `spread` serves.
    pub spread_bare: Option<Spread>,
    /// Solvent given off.
    pub voc: Option<GramsPerLitre>,
    /// The breathing limit on the sheet.
    pub air_limit: Option<AirLimit>,
    /// The lower flammable limit on the sheet. No class supplies it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lower_flammable: Option<AirLimit>,
    /// After opening, or after mixing.
    pub keeps: Option<Keeps>,
    /// Allergens; `None` is unknown, an empty list says the sheet names none.
    pub contains: Option<Vec<String>>,
    /// Whether its rags can set themselves on fire; `None` is unknown.
    pub self_heating: Option<bool>,
    /// Which of the above the file left out and the finish class supplied: key of the file → how the value is marked
    /// ("common practice", or the source).
    pub from_class: BTreeMap<String, String>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Sheet {
    pub title: String,
    /// Its date of issue.
    pub revised: Option<NaiveDate>,
}

/// A limit in air and where it comes from.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct AirLimit {
    pub mg_m3: MilligramsPerCubicMetre,
    /// "occupational limit on the sheet, 8 h".
    pub basis: String,
}

/// The finish classes of the reference by name, as far as they supply what a sheet leaves out.
pub type Classes = BTreeMap<String, ClassValues>;

/// What a finish class supplies; each value with how it is to be marked ("common practice", or the source).
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ClassValues {
    /// From application to wiping off.
    pub soak: Option<(SpanRange, String)>,
    /// From the end of one coat to the start of the next.
    pub recoat: Option<(SpanRange, String)>,
    /// To full cure, at `at`.
    pub cure: Option<(Span, String)>,
    /// The temperature for which the times hold.
    pub at: Option<(Celsius, String)>,
    /// Nothing cures below this.
    pub lowest: Option<(Celsius, String)>,
    /// Nothing cures above this.
    pub dampest: Option<(Humidity, String)>,
    /// The rate's ratio for 10 °C.
    pub q10: Option<(Q10, String)>,
    /// On sealed wood.
    pub spread: Option<(Spread, String)>,
    /// On bare wood.
    pub spread_bare: Option<(Spread, String)>,
    /// Solvent given off.
    pub voc: Option<(GramsPerLitre, String)>,
    pub air_limit: Option<(AirLimit, String)>,
    /// After opening, or after mixing.
    pub keeps: Option<(Keeps, String)>,
    /// Allergens.
    pub contains: Option<(Vec<String>, String)>,
    /// Whether rags can set themselves on fire.
    pub self_heating: Option<(bool, String)>,
}

/// The class of that name, in whatever case and spacing: "BLO" is "blo".
pub fn class_named<'c>(classes: &'c Classes, kind: &str) -> Option<&'c ClassValues> {
    let wanted = kind.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
    classes.get(kind).or_else(|| classes.get(&wanted))
}
