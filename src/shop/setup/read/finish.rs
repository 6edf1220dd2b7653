//! `[[finish]]`: what the sheet says, and what the finish's class supplies where the sheet is silent.

use std::collections::BTreeMap;

use super::page::{Page, Read, Table, optional};
use super::value::{Value, shown};
use crate::shop::nearest::nearest;
use crate::shop::setup::fault::quoted;
use crate::shop::setup::finish::{ClassValues, Classes, class_named};
use crate::shop::setup::{AirLimit, Finish, Sheet};
use crate::time::{Keeps, Span, SpanRange};
use crate::units::{Celsius, GramsPerLitre, Humidity, Q10, Spread};

/// Every key of a finish.
const KEYS: [&str; 18] = [
    "name",
    "kind",
    "sheet",
    "soak",
    "recoat",
    "cure",
    "at",
    "lowest",
    "dampest",
    "q10",
    "spread",
    "spread_bare",
    "voc",
    "air_limit",
    "lower_flammable",
    "keeps",
    "contains",
    "self_heating",
];
/// Ten years: no sheet asks for longer, and sums of them stay far from any limit.
pub(super) const LONGEST_WAIT: Span = Span::days(3650);

/// What the file itself says of a finish, beside its name, kind and sheet.
struct Own {
    soak: Option<SpanRange>,
    recoat: Option<SpanRange>,
    cure: Option<Span>,
    at: Option<Celsius>,
    lowest: Option<Celsius>,
    dampest: Option<Humidity>,
    q10: Option<Q10>,
    spread: Option<Spread>,
    spread_bare: Option<Spread>,
    voc: Option<GramsPerLitre>,
    air_limit: Option<AirLimit>,
    lower_flammable: Option<AirLimit>,
    keeps: Option<Keeps>,
    contains: Option<Vec<String>>,
    self_heating: Option<bool>,
}

/// Reads a finish.
pub(super) fn finish<'a>(
    page: &mut Page<'a>,
    table: &Table<'a>,
    classes: &Classes,
) -> Read<Finish> {
    page.only(table, &KEYS);
    let name = page
        .required(table, "name", "name = \"…\", what the finish is called in the shop")
        .and_then(|value| page.name(value));
    let kind = optional(table, "kind").map(|value| kind(page, value, classes)).transpose();
    let sheet = optional(table, "sheet").map(|value| sheet(page, value)).transpose();
    let own = own(page, table);
    let class = kind.ok().flatten().and_then(|kind| class_named(classes, kind));
    let complete = kind.and_then(|kind| complete(page, table, kind, class));
    let (name, own) = (name?, own?);
    complete?;
    let finish = filled(name, own, class)
        .ok_or_else(|| page.lacking(table, "a finish without its times", "soak, recoat, cure"))?;
    let warm = match (finish.lowest, finish.at) {
        (Some(lowest), Some(at)) if lowest > at => {
            let value = optional(table, "lowest").or_else(|| optional(table, "at"));
            let span = value.map_or(table.span.clone(), Value::span);
            let found = format!("lowest {lowest} above {at}, for which the times hold");
            Err(page.fault(span, found, "lowest not above at"))
        }
        _ => Ok(()),
    };
    warm.and(Ok(Finish { kind: kind?.map(str::to_owned), sheet: sheet?, ..finish }))
}

/// Any text is a kind; but one that is nearly a known class is a slip that would lose what the class supplies.
fn kind<'a>(page: &mut Page<'a>, value: &'a Value<'a>, classes: &Classes) -> Read<&'a str> {
    let kind = page.text(value, "the name of a finish class")?;
    if class_named(classes, kind).is_some() {
        return Ok(kind);
    }
    match nearest(kind, classes.keys().map(String::as_str)) {
        None => Ok(kind),
        Some(class) => {
            let found = format!("the kind {}, no class of the reference", quoted(kind));
            let meant = Some(class.to_owned());
            Err(page.fault_near(value.span(), found, "a class of the reference", meant))
        }
    }
}

fn sheet<'a>(page: &mut Page<'a>, value: &'a Value<'a>) -> Read<Sheet> {
    let table = page.table(value, "sheet")?;
    page.only(&table, &["title", "revised"]);
    let title = page
        .required(&table, "title", "title = \"…\", what the data sheet is called")
        .and_then(|value| page.text(value, "the sheet's title"));
    let revised = optional(&table, "revised").map(|value| page.date(value)).transpose();
    Ok(Sheet { title: title?.to_owned(), revised: revised? })
}

fn own<'a>(page: &mut Page<'a>, table: &Table<'a>) -> Read<Own> {
    const SOAK: &str = "from applying to wiping off, least..most, as \"10m..20m\"";
    const RECOAT: &str = "from one coat to the next, least..most, as \"24h..7d\"";
    let get = |key| optional(table, key);
    let soak = get("soak").map(|value| range(page, value, SOAK)).transpose();
    let recoat = get("recoat").map(|value| range(page, value, RECOAT)).transpose();
    let cure = get("cure").map(|value| cure(page, value)).transpose();
    let at = get("at").map(|value| page.quantity(value, "a temperature")).transpose();
    let lowest = get("lowest").map(|value| page.quantity(value, "a temperature")).transpose();
    let dampest =
        get("dampest").map(|value| page.quantity(value, "a relative humidity")).transpose();
    let q10 = get("q10").map(|value| page.quantity(value, "a rate's ratio for 10 °C")).transpose();
    let spread = get("spread").map(|value| page.quantity(value, "a spread")).transpose();
    let spread_bare = get("spread_bare").map(|value| page.quantity(value, "a spread")).transpose();
    let voc = get("voc").map(|value| page.quantity(value, "solvent given off")).transpose();
    let air_limit = get("air_limit").map(|value| limit(page, value, "air_limit")).transpose();
    let lower_flammable =
        get("lower_flammable").map(|value| limit(page, value, "lower_flammable")).transpose();
    let keeps = get("keeps").map(|value| keeps(page, value)).transpose();
    let contains = get("contains").map(|value| contains(page, value)).transpose();
    let self_heating = get("self_heating").map(|value| page.flag(value)).transpose();
    Ok(Own {
        soak: soak?,
        recoat: recoat?,
        cure: cure?,
        at: at?,
        lowest: lowest?,
        dampest: dampest?,
        q10: q10?,
        spread: spread?,
        spread_bare: spread_bare?,
        voc: voc?,
        air_limit: air_limit?,
        lower_flammable: lower_flammable?,
        keeps: keeps?,
        contains: contains?,
        self_heating: self_heating?,
    })
}

fn range<'a>(page: &mut Page<'a>, value: &'a Value<'a>, expected: &str) -> Read<SpanRange> {
    let range: SpanRange = page.parsed(value, expected)?;
    if range.max > Span::ZERO && range.max <= LONGEST_WAIT {
        Ok(range)
    } else {
        let expected = format!("{expected}; more than nothing, at most 3650d");
        Err(page.fault(value.span(), shown(value), expected))
    }
}

fn cure<'a>(page: &mut Page<'a>, value: &'a Value<'a>) -> Read<Span> {
    const EXPECTED: &str =
        "the sheet's full-cure time, as \"21d\"; more than nothing, at most 3650d";
    let span: Span = page.parsed(value, EXPECTED)?;
    if span > Span::ZERO && span <= LONGEST_WAIT {
        Ok(span)
    } else {
        Err(page.fault(value.span(), shown(value), EXPECTED))
    }
}

fn keeps<'a>(page: &mut Page<'a>, value: &'a Value<'a>) -> Read<Keeps> {
    const EXPECTED: &str =
        "how long an opened can keeps, as \"6 months\" or \"90d\"; more than nothing";
    match page.parsed(value, EXPECTED)? {
        Keeps::Months(0) | Keeps::For(Span::ZERO) => {
            Err(page.fault(value.span(), shown(value), EXPECTED))
        }
        keeps => Ok(keeps),
    }
}

fn limit<'a>(page: &mut Page<'a>, value: &'a Value<'a>, what: &'static str) -> Read<AirLimit> {
    let table = page.table(value, what)?;
    page.only(&table, &["mg_m3", "basis"]);
    let mg_m3 = page
        .required(&table, "mg_m3", "mg_m3 = …, the limit in mg/m³")
        .and_then(|value| page.quantity(value, "a concentration in air"));
    let basis = page
        .required(&table, "basis", "basis = \"…\", which limit it is and where it stands")
        .and_then(|value| page.text(value, "which limit it is and where it stands"));
    Ok(AirLimit { mg_m3: mg_m3?, basis: basis?.to_owned() })
}

fn contains<'a>(page: &mut Page<'a>, value: &'a Value<'a>) -> Read<Vec<String>> {
    let list =
        page.list(value, "a list of allergens, as [\"walnut\"]; [] if the sheet names none")?;
    let mut names: Vec<String> = Vec::new();
    let mut faulted = None;
    for item in list {
        match page.name(item) {
            Ok(name) if names.iter().any(|known| known == name) => {
                let found = format!("{} a second time", quoted(name));
                faulted = Some(page.fault(item.span(), found, "each allergen once"));
            }
            Ok(name) => names.push(name.to_owned()),
            Err(wrong) => faulted = Some(wrong),
        }
    }
    faulted.map_or(Ok(names), Err)
}

/// Marks, in one fault, which of soak, recoat and cure neither the file nor the class gives.
fn complete<'a>(
    page: &mut Page<'a>,
    table: &Table<'a>,
    kind: Option<&str>,
    class: Option<&ClassValues>,
) -> Read<()> {
    let needed = [
        ("soak", class.is_some_and(|class| class.soak.is_some())),
        ("recoat", class.is_some_and(|class| class.recoat.is_some())),
        ("cure", class.is_some_and(|class| class.cure.is_some())),
    ];
    let missing: Vec<String> = needed
        .into_iter()
        .filter(|&(key, supplied)| {
            !supplied && !table.entries.contains_key(key) && !page.misspelt(table, key)
        })
        .map(|(key, _)| quoted(key))
        .collect();
    if missing.is_empty() {
        // A misspelt one has its fault already.
        return page.misspelt_one(table, &["soak", "recoat", "cure"]).map_or(Ok(()), Err);
    }
    let found = format!("no {} in {}", missing.join(", no "), table.what);
    let expected = match (kind, class) {
        (None, _) => {
            "what the sheet says, or a kind whose class in the reference supplies it".to_owned()
        }
        (Some(kind), None) => format!(
            "what the sheet says: the kind {} is no class of the reference that could supply it",
            quoted(kind)
        ),
        (Some(kind), Some(_)) => {
            format!("what the sheet says: the class {} does not supply it", quoted(kind))
        }
    };
    Err(page.lacking(table, &found, &expected))
}

/// Takes from the class what the file leaves out, and notes that it did.
struct Filling(BTreeMap<String, String>);

impl Filling {
    fn take<T: Clone>(
        &mut self,
        key: &str,
        own: Option<T>,
        supplied: Option<&(T, String)>,
    ) -> Option<T> {
        own.or_else(|| {
            let (value, mark) = supplied?;
            self.0.insert(key.to_owned(), mark.clone());
            Some(value.clone())
        })
    }
}

/// The finish without its kind and sheet; nothing if a time that every finish has is neither in the file nor supplied.
fn filled(name: &str, own: Own, class: Option<&ClassValues>) -> Option<Finish> {
    let none = ClassValues::default();
    let class = class.unwrap_or(&none);
    let mut fill = Filling(BTreeMap::new());
    Some(Finish {
        name: name.to_owned(),
        kind: None,
        sheet: None,
        soak: fill.take("soak", own.soak, class.soak.as_ref())?,
        recoat: fill.take("recoat", own.recoat, class.recoat.as_ref())?,
        cure: fill.take("cure", own.cure, class.cure.as_ref())?,
        at: fill.take("at", own.at, class.at.as_ref()),
        lowest: fill.take("lowest", own.lowest, class.lowest.as_ref()),
        dampest: fill.take("dampest", own.dampest, class.dampest.as_ref()),
        q10: fill.take("q10", own.q10, class.q10.as_ref()),
        spread: fill.take("spread", own.spread, class.spread.as_ref()),
        spread_bare: fill.take("spread_bare", own.spread_bare, class.spread_bare.as_ref()),
        voc: fill.take("voc", own.voc, class.voc.as_ref()),
        air_limit: fill.take("air_limit", own.air_limit, class.air_limit.as_ref()),
        lower_flammable: own.lower_flammable,
        keeps: fill.take("keeps", own.keeps, class.keeps.as_ref()),
        contains: fill.take("contains", own.contains, class.contains.as_ref()),
        self_heating: fill.take("self_heating", own.self_heating, class.self_heating.as_ref()),
        from_class: fill.0,
    })
}
