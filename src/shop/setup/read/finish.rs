//! `[[finish]]`: what the sheet says, and what the finish's class supplies where the sheet is silent.

use super::held::Held;
use super::key::{Key, Section, fill, key};
use super::page::{Page, Read, Table, optional};
use super::value::Value;
use crate::reference::finishes::UNKNOWN;
use crate::reference::{self, FinishClass};
use crate::shop::nearest::nearest;
use crate::shop::setup::Finish;
use crate::shop::setup::change::Kind;
use crate::shop::setup::fault::quoted;
use crate::time::SpanRange;
use crate::units::Shown;

/// Without these a coat can't be timed.
const NEEDED: [&str; 3] = ["soak", "recoat", "cure"];

impl Section for Finish {
    const HEADER: &'static str = "[[finish]]";
    const KIND: Kind = Kind::Finish;
    const NAME: fn(&Self) -> &str = |finish| &finish.name;
    const MARK: fn(&Self, &str) -> Option<String> =
        |finish, key| finish.from_class.get(key).cloned();
    const KEYS: &'static [Key<Self>] = &[
        key!(name)
            .says("\"house oil\"", "what the shop calls it")
            .needed("name = \"…\", what the shop calls the finish"),
        key!(kind).says("\"polymerised drying oil\"", "a finish class; it supplies what is left out below"),
        key!(sheet).says(
            "{ title = \"maker's technical sheet\", revised = \"2025-04-01\" }",
            "the data sheet the numbers come from; its date, month or year",
        ),
        key!(soak, ended).says("\"10m..20m\"", "from applying to wiping off, the shortest and the longest"),
        key!(recoat).says(
            "\"24h..7d\"",
            "from one coat to the next, the shortest and the longest; \"24h..\" where the tin names no longest",
        ),
        key!(cure).says("\"21d\"", "to the sheet's food-contact or full-cure time"),
        key!(sheet_temp).says("23.0", "temperature for which the sheet gives these times, °C"),
        key!(min_temp).says("10.0", "temperature below which nothing cures, °C"),
        key!(max_humidity).says("80", "relative humidity above which nothing cures, %"),
        key!(q10).says("2.0", "how much faster it cures when 10 °C warmer; left out, a careful value is used"),
        key!(coverage).says("18.0", "how far a litre goes on sealed wood, m²"),
        key!(coverage_bare).says("12.0", "how far a litre goes on bare wood, for the first coat, m²"),
        key!(voc).says("420", "solvent given off by a litre, g"),
        key!(air_limit).says(
            "{ mg_m3 = 350, basis = \"occupational limit on the sheet, 8 h\" }",
            "the breathing limit, and where it stands",
        ),
        key!(lower_flammable).says(
            "{ mg_m3 = 45000, basis = \"on the sheet\" }",
            "the lower flammable limit, if the sheet names it",
        ),
        key!(use_within).says(
            "\"6 months\"",
            "how long it keeps after opening, or after mixing a two-part finish",
        ),
        key!(contains).says("[\"walnut\"]", "allergens; [] if the sheet names none, left out if nobody knows"),
        key!(self_heating).says("true", "whether rags wet with it can catch fire by themselves"),
        key!(litre_cost).says("38.50", "what a litre costs, in your money"),
    ];
}

/// Every key of a finish, in the order of the file.
pub const KEYS: &[Key<Finish>] = Finish::KEYS;

pub(super) fn finish<'a>(page: &mut Page<'a>, table: &Table<'a>) -> Read<Finish> {
    let mut finish = Finish::default();
    let mut faulted = fill(page, table, &mut finish).err();
    let class = optional(table, "kind").map(|value| class(page, value)).transpose();
    match class {
        Ok(class) => {
            if let Some(class) = class {
                fill_in(table, &mut finish, class);
            }
            faulted = complete(page, table, &finish, class).err().or(faulted);
        }
        Err(wrong) => faulted = Some(wrong),
    }
    if let (None, Some(lowest), Some(at)) = (faulted, finish.min_temp, finish.sheet_temp)
        && lowest > at
    {
        let value = optional(table, "min_temp").or_else(|| optional(table, "sheet_temp"));
        let span = value.map_or(table.span.clone(), Value::span);
        let said = |temp| Shown::new(temp, page.units);
        let (lowest, at) = (said(lowest), said(at));
        let found = format!("min_temp {lowest} above sheet_temp {at}, for which the times hold");
        faulted = Some(page.fault(span, found, "min_temp not above sheet_temp"));
    }
    faulted.map_or(Ok(finish), Err)
}

/// A soak has an end: somebody wipes.
fn ended<'a>(page: &mut Page<'a>, value: &'a Value<'a>, wanted: &str) -> Read<SpanRange> {
    let soak: SpanRange = Held::read(page, value, wanted)?;
    if soak.longest().is_none() {
        return Err(page.fault(value.span(), "a soak without an end", wanted));
    }
    Ok(soak)
}

fn class<'a>(page: &mut Page<'a>, value: &'a Value<'a>) -> Read<&'static FinishClass> {
    let kind = page.name(value)?;
    let called = reference::classes_called(kind);
    if let [class] = *called {
        return Ok(class);
    }
    let all: Vec<&FinishClass> = reference::classes().iter().collect();
    let (found, expected, classes) = if called.is_empty() {
        ("which no class of finish is called", "one of these, by any of its names", all)
    } else {
        (
            "which could mean more than one thing",
            "the one the tin means, by a name of its own",
            called,
        )
    };
    let meant = nearest(kind, classes.iter().flat_map(|class| class.names()));
    let meant = meant.filter(|meant| *meant != kind);
    let found = format!("the kind {}, {found}", quoted(kind));
    let choice = |class: &&FinishClass| format!("{} ({})", class.kind, class.also.join(", "));
    let choices = classes.iter().map(choice).collect();
    Err(page.fault_with(value.span(), found, expected, meant, choices))
}

/// Takes from the class what the file leaves out, and notes that it did.
fn fill_in(table: &Table<'_>, finish: &mut Finish, class: &FinishClass) {
    for key in KEYS.iter().filter(|key| !table.entries.contains_key(key.name)) {
        let supplied = class.supplies.get(key.name).filter(|supplied| supplied.value != UNKNOWN);
        if let Some(supplied) = supplied
            && key.supply(finish, &supplied.value)
        {
            finish.from_class.insert(key.name.to_owned(), supplied.mark.clone());
        }
    }
}

/// Marks, in one fault, which of soak, recoat and cure neither the file nor the class gives.
fn complete<'a>(
    page: &mut Page<'a>,
    table: &Table<'a>,
    finish: &Finish,
    class: Option<&FinishClass>,
) -> Read<()> {
    let given = |key: &str| table.entries.contains_key(key) || finish.from_class.contains_key(key);
    let missing: Vec<String> = NEEDED
        .into_iter()
        .filter(|key| !given(key) && !page.misspelt(table, key))
        .map(quoted)
        .collect();
    if missing.is_empty() {
        // A misspelt one has its fault already.
        return page.misspelt_one(table, &NEEDED).map_or(Ok(()), Err);
    }
    let found = format!("no {} in {}", missing.join(", no "), table.what);
    let expected = match class {
        None => "what the sheet says, or a kind whose class supplies it".to_owned(),
        Some(class) => {
            format!("what the sheet says: the class {} does not supply it", quoted(&class.kind))
        }
    };
    Err(page.lacking(table, &found, &expected))
}
