//! `[remind]`: commands of the shop's own.

use toml::de::DeValue;

use super::page::{Page, Read, Table, optional};
use super::value::Value;
use crate::shop::setup::fault::quoted;
use crate::shop::setup::remind::{KINDS, Remind, Told};

const COMMAND: &str = "a program and its arguments, as [\"mail-me\", \"--now\"]";

pub(super) fn remind<'a>(page: &mut Page<'a>, file: &Table<'a>) -> Read<Remind> {
    let Some(value) = optional(file, "remind") else { return Ok(Remind::default()) };
    let table = page.table(value, "[remind]")?;
    let unknown = page.only(&table, &["run", "sound"]);
    let run = optional(&table, "run").map(|value| run(page, value)).transpose();
    let sound = optional(&table, "sound").map(|value| command(page, value)).transpose();
    let (run, sound) = (run?, sound?);
    match unknown {
        Some(faulted) => Err(faulted),
        None => Ok(Remind { run: run.unwrap_or_default(), sound: sound.unwrap_or_default() }),
    }
}

/// One command, or several, each with the kinds it is told of.
fn run<'a>(page: &mut Page<'a>, value: &'a Value<'a>) -> Read<Vec<Told>> {
    const EXPECTED: &str =
        "a program and its arguments, or several of { command = [\"…\"], kinds = [\"wipe\"] }";
    let list = page.list(value, EXPECTED)?;
    let several = list.iter().any(|item| matches!(item.get_ref(), DeValue::Table(_)));
    if !several {
        return Ok(vec![Told { command: command(page, value)?, kinds: Vec::new() }]);
    }
    let read: Vec<Read<Told>> = list.iter().map(|item| told(page, item)).collect();
    read.into_iter().collect()
}

fn told<'a>(page: &mut Page<'a>, value: &'a Value<'a>) -> Read<Told> {
    let table = page.table(value, "[[remind.run]]")?;
    let unknown = page.only(&table, &["command", "kinds"]);
    let command = page.required(&table, "command", COMMAND).and_then(|value| command(page, value));
    let kinds = optional(&table, "kinds").map(|value| kinds(page, value)).transpose();
    let told = Told { command: command?, kinds: kinds?.unwrap_or_default() };
    unknown.map_or(Ok(told), Err)
}

fn command<'a>(page: &mut Page<'a>, value: &'a Value<'a>) -> Read<Vec<String>> {
    let list = page.list(value, COMMAND)?;
    let words: Vec<Read<&str>> = list.iter().map(|word| page.string(word, COMMAND)).collect();
    let words: Vec<&str> = words.into_iter().collect::<Read<_>>()?;
    let whole = words.first().is_some_and(|program| !program.is_empty())
        && words.iter().all(|word| !word.contains('\0'));
    if !whole {
        return Err(page.fault(value.span(), "no program".to_owned(), COMMAND));
    }
    Ok(words.into_iter().map(str::to_owned).collect())
}

fn kinds<'a>(page: &mut Page<'a>, value: &'a Value<'a>) -> Read<Vec<String>> {
    let expected = format!("kinds of reminders: {}", KINDS.join(", "));
    let list = page.list(value, &expected)?;
    let mut kinds = Vec::new();
    let mut faulted = None;
    for item in list {
        match page.string(item, &expected) {
            Ok(kind) if KINDS.contains(&kind) => kinds.push(kind.to_owned()),
            Ok(kind) => {
                let found = format!("{}, which isn't a kind of reminder", quoted(kind));
                faulted = Some(page.fault(item.span(), found, expected.clone()));
            }
            Err(wrong) => faulted = Some(wrong),
        }
    }
    faulted.map_or(Ok(kinds), Err)
}
