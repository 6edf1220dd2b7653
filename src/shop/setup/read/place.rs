//! Where a fault lies, in words: the table and the key a place of the file is about.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::shop::setup::fault::quoted;

/// What a place of the file is about: `slots of "drip-1"`, `step 4 of "three coats"`, `mon of [shop.hours]`.
pub(super) fn heading(root: &DeTable<'_>, at: usize) -> Option<String> {
    for (kind, value) in root {
        let kind = kind.get_ref().as_ref();
        let items = match value.get_ref() {
            DeValue::Array(items) => items.iter().collect(),
            _ => vec![value],
        };
        for item in items {
            let DeValue::Table(table) = item.get_ref() else { continue };
            let name = table.get("name").filter(|_| kind != "shop");
            let name = name.and_then(|name| name.get_ref().as_str()).map(quoted);
            let Some((key, value)) = entry_at(table, at) else {
                if item.span().contains(&at) && kind != "shop" {
                    return name.map(|name| format!("{kind} {name}"));
                }
                continue;
            };
            let within = match value.get_ref() {
                DeValue::Table(hours) if kind == "shop" => entry_at(hours, at),
                _ => None,
            };
            return Some(match (within, value.get_ref(), name) {
                (Some((day, _)), ..) => format!("{day} of [shop.{key}]"),
                (None, DeValue::Array(steps), Some(name)) if key == "steps" => {
                    let step = steps.iter().position(|step| step.span().contains(&at));
                    step.map_or_else(
                        || format!("steps of {name}"),
                        |step| format!("step {} of {name}", step + 1),
                    )
                }
                (None, _, Some(name)) => format!("{key} of {name}"),
                (None, _, None) if kind == "shop" => format!("{key} of [shop]"),
                (None, _, None) => format!("{key} of a [[{kind}]] without a name"),
            });
        }
    }
    None
}

/// The key that a place is in, or whose value it is in.
fn entry_at<'t>(table: &'t DeTable<'_>, at: usize) -> Option<(&'t str, &'t Spanned<DeValue<'t>>)> {
    let within = |value: &Spanned<DeValue<'_>>| match value.get_ref() {
        DeValue::Table(inner) => entry_at(inner, at).is_some(),
        _ => false,
    };
    let mut entries = table.iter();
    let (key, value) = entries.find(|(key, value)| {
        key.span().contains(&at) || value.span().contains(&at) || within(value)
    })?;
    Some((key.get_ref().as_ref(), value))
}

/// Notes where tables begin, those in braces and dotted keys too.
pub(super) fn note_headers(table: &DeTable<'_>, headers: &mut Vec<usize>) {
    for value in table.values() {
        match value.get_ref() {
            DeValue::Table(inner) => {
                headers.push(value.span().start);
                note_headers(inner, headers);
            }
            DeValue::Array(list) => {
                for item in list {
                    if let DeValue::Table(inner) = item.get_ref() {
                        headers.push(item.span().start);
                        note_headers(inner, headers);
                    }
                }
            }
            _ => {}
        }
    }
}

/// A message on one line and of a length that can be read, whatever the file has in it.
pub(super) fn one_line(message: &str) -> String {
    const LONGEST: usize = 240;
    let mut line = String::new();
    for letter in message.chars().take(LONGEST) {
        if letter.is_control() {
            line.extend(letter.escape_default());
        } else {
            line.push(letter);
        }
    }
    if message.chars().nth(LONGEST).is_some() {
        line.push('…');
    }
    line
}
