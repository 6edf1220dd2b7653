//! `[remind]`: commands of the shop's own.

use toml::de::DeValue;

use super::held::Held;
use super::key::{Key, Section, key};
use super::page::{Page, Read, optional};
use super::value::Value;
use crate::shop::setup::change::Kind;
use crate::shop::setup::fault::quoted;
use crate::shop::setup::remind::{KINDS, Remind, Told};
use crate::shop::setup::write;
use crate::units::System;

const COMMAND: &str = "a program and its arguments, as [\"mail-me\", \"--now\"]";

impl Section for Remind {
    const HEADER: &'static str = "[remind]";
    const KIND: Kind = Kind::Shop;
    const NAME: fn(&Self) -> &str = |_| "";
    const KEYS: &'static [Key<Self>] = &[
        key!(run),
        Key::<Self>::new(
            "sound",
            |remind, page, value, _| {
                remind.sound = command(page, value)?;
                Ok(())
            },
            |remind, _| (!remind.sound.is_empty()).then(|| write::words(&remind.sound)),
        ),
    ];
}

/// One command, or several, each with the kinds it is told of.
impl Held for Vec<Told> {
    fn read<'a>(page: &mut Page<'a>, value: &'a Value<'a>, _: &str) -> Read<Self> {
        const EXPECTED: &str =
            "a program and its arguments, or several of { command = [\"…\"], kinds = [\"wipe\"] }";
        let list = page.list(value, EXPECTED)?;
        let several = list.iter().any(|item| matches!(item.get_ref(), DeValue::Table(_)));
        if !several {
            return Ok(vec![Told { command: command(page, value)?, kinds: Vec::new() }]);
        }
        page.items(value, EXPECTED, told)
    }

    fn toml(&self, _: System) -> Option<String> {
        let told = |told: &Told| {
            let kinds = (!told.kinds.is_empty()).then(|| write::words(&told.kinds));
            let kinds = kinds.map_or_else(String::new, |kinds| format!(", kinds = {kinds}"));
            format!("{{ command = {}{kinds} }}", write::words(&told.command))
        };
        match &self[..] {
            [] => None,
            [only] if only.kinds.is_empty() => Some(write::words(&only.command)),
            several => Some(write::list(several.iter().map(told))),
        }
    }
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
    let words = page.items(value, COMMAND, |page, word| page.string(word, COMMAND))?;
    let whole = words.first().is_some_and(|program| !program.is_empty())
        && words.iter().all(|word| !word.contains('\0'));
    if !whole {
        return Err(page.fault(value.span(), "no program".to_owned(), COMMAND));
    }
    Ok(words.into_iter().map(str::to_owned).collect())
}

fn kinds<'a>(page: &mut Page<'a>, value: &'a Value<'a>) -> Read<Vec<String>> {
    let expected = format!("kinds of reminders: {}", KINDS.join(", "));
    page.items(value, &expected, |page, item| {
        let kind = page.string(item, &expected)?;
        if KINDS.contains(&kind) {
            return Ok(kind.to_owned());
        }
        let found = format!("{}, which isn't a kind of reminder", quoted(kind));
        Err(page.fault(item.span(), found, expected.clone()))
    })
}
