//! `[[finish]]`: what the sheet says, and what the finish's class supplies where the sheet is silent.

use super::key::KEYS;
use super::page::{Page, Read, Table, optional};
use super::value::Value;
use crate::reference::finishes::UNKNOWN;
use crate::reference::{self, FinishClass};
use crate::shop::nearest::nearest;
use crate::shop::setup::Finish;
use crate::shop::setup::fault::quoted;
use crate::units::Shown;

/// Without these a coat can't be timed.
const NEEDED: [&str; 3] = ["soak", "recoat", "cure"];

pub(super) fn finish<'a>(page: &mut Page<'a>, table: &Table<'a>) -> Read<Finish> {
    let known: Vec<&str> = KEYS.iter().map(|key| key.name).collect();
    page.only(table, &known);
    let mut finish = Finish::default();
    let named = page.required(table, "name", "name = \"…\", what the shop calls the finish");
    let mut faulted = named.err();
    for key in KEYS {
        let Some(value) = optional(table, key.name) else { continue };
        let read = (key.slot_mut)(&mut finish).read(page, value, &key.wanted());
        faulted = read.err().or(faulted);
        if key.name == "soak" && finish.soak.longest().is_none() {
            let found = "a soak without an end";
            faulted = Some(page.fault(value.span(), found, key.wanted()));
        }
    }
    let class = optional(table, "kind").map(|value| class(page, value)).transpose();
    match class {
        Ok(class) => {
            if let Some(class) = class {
                fill(table, &mut finish, class);
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
    let meant = nearest(kind, classes.iter().flat_map(|class| class.names())).map(str::to_owned);
    let meant = meant.filter(|meant| meant != kind);
    let found = format!("the kind {}, {found}", quoted(kind));
    let choice = |class: &&FinishClass| format!("{} ({})", class.kind, class.also.join(", "));
    let choices = classes.iter().map(choice).collect();
    Err(page.fault_with(value.span(), found, expected, meant, choices))
}

/// Takes from the class what the file leaves out, and notes that it did.
fn fill(table: &Table<'_>, finish: &mut Finish, class: &FinishClass) {
    for key in KEYS.iter().filter(|key| !table.entries.contains_key(key.name)) {
        let supplied = class.supplies.get(key.name).filter(|supplied| supplied.value != UNKNOWN);
        if let Some(supplied) = supplied
            && (key.slot_mut)(finish).supply(&supplied.value)
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
