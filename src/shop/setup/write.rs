//! A setup as the text of a setup file, which reads back as the same setup.
//!
//! What a finish's class supplied is written as a comment: it was not in the file, and a class that learns better
//! supplies better.

use std::fmt::Write as _;

use super::read::Section;
use super::recipe::{Rest, Step, StepWork};
use super::{Setup, Workshop};
use crate::time::Span;
use crate::time::hours::DAYS;
use crate::time::typed::day_of_week;
use crate::units::{Measured, System, Typed};

/// A key with its value as TOML.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Line {
    pub(super) key: &'static str,
    /// The value, in TOML.
    pub(super) value: String,
    /// How the value is marked, if it is not from the file but from the finish's class.
    pub(super) mark: Option<String>,
}

/// The setup as a file.
pub fn to_toml(setup: &Setup) -> String {
    let mut text = String::new();
    let Setup { shop, rooms, racks, finishes, pieces, recipes, remind } = setup;
    let units = shop.units;
    tables(&mut text, std::slice::from_ref(shop), units);
    table(&mut text, "[shop.hours]", &hours_lines(shop));
    tables(&mut text, rooms, units);
    tables(&mut text, racks, units);
    tables(&mut text, finishes, units);
    tables(&mut text, pieces, units);
    tables(&mut text, recipes, units);
    if !remind.is_empty() {
        tables(&mut text, std::slice::from_ref(remind), units);
    }
    text
}

fn tables<T: Section>(text: &mut String, things: &[T], units: System) {
    for thing in things {
        table(text, T::HEADER, &thing.lines(units));
    }
}

fn table(text: &mut String, header: &str, lines: &[Line]) {
    if !text.is_empty() {
        text.push('\n');
    }
    text.push_str(header);
    text.push('\n');
    for Line { key, value, mark } in lines {
        // Writing to a string cannot fail.
        let _ = match mark {
            None => writeln!(text, "{key} = {value}"),
            Some(mark) => writeln!(text, "# {key} = {value}  # from the kind: {}", plain(mark)),
        };
    }
}

/// The word for one of what has words, in quotes.
pub(super) fn word_of<T: PartialEq>(words: &[(&'static str, T)], meant: &T) -> String {
    quoted(words.iter().find(|(_, other)| other == meant).map_or("", |(word, _)| word))
}

/// The lines of `[shop.hours]`.
pub(super) fn hours_lines(shop: &Workshop) -> Vec<Line> {
    let line = |name: &'static str| {
        let stretches = shop.hours.on_weekday(day_of_week(name)?);
        let value = list(stretches.iter().map(|stretch| quoted(&stretch.to_string())));
        (!stretches.is_empty()).then_some(Line { key: name, value, mark: None })
    };
    DAYS.into_iter().filter_map(line).collect()
}

/// A step in braces.
pub(super) fn step_text(step: &Step) -> String {
    let (subject, each, strip, wipe) = match &step.work {
        StepWork::Work { name: subject, each } | StepWork::Raise { with: subject, each } => {
            (subject, Some(*each), None, None)
        }
        StepWork::Sand { grit: subject, each, strip }
        | StepWork::Rub { grit: subject, each, strip } => (subject, Some(*each), *strip, None),
        StepWork::Coat { finish, each, wipe } => {
            (finish, Some(*each), None, Some(*wipe).filter(|wipe| !wipe.is_zero()))
        }
        StepWork::Cure { finish } => (finish, None, None, None),
    };
    let rest = step.rest.map(|rest| match rest {
        Rest::AtLeast(span) => span.typed(),
        Rest::Between(range) => range.typed(),
    });
    let text = |key: &'static str| move |value: String| format!("{key} = {}", quoted(&value));
    let parts = [
        Some(text(step.kind())(subject.clone())),
        each.map(Span::typed).map(text("each")),
        strip.map(|pieces| format!("strip = {pieces}")),
        wipe.map(Span::typed).map(text("wipe")),
        rest.map(text("rest")),
    ];
    format!("{{ {} }}", parts.into_iter().flatten().collect::<Vec<_>>().join(", "))
}

/// A list of texts.
pub(super) fn words(words: &[impl AsRef<str>]) -> String {
    list(words.iter().map(|word| quoted(word.as_ref())))
}

pub(super) fn list(items: impl Iterator<Item = String>) -> String {
    format!("[{}]", items.collect::<Vec<_>>().join(", "))
}

/// A quantity; in a shop of other units with its unit, the shop's if it reads back as exactly the same.
pub(super) fn quantity<Q: Measured>(quantity: Q, units: System) -> String {
    let (own, shops) = (&Q::UNITS[0], Q::unit(units));
    let metric: f64 = quantity.into();
    if shops == own {
        return number(metric);
    }
    let rounded = (quantity.number_in(shops) * 1e4).round() / 1e4;
    let text = format!("{} {}", number(rounded), shops.symbol);
    let read = text.parse::<Typed<Q>>().and_then(|typed| typed.in_shop(units));
    let same = read.is_ok_and(|read| read.into().to_bits() == metric.to_bits());
    quoted(&if same { text } else { format!("{} {}", number(metric), own.symbol) })
}

/// A number that reads back as exactly the same: the shortest that does, with an exponent where it is very large or small.
pub(super) fn number(value: f64) -> String {
    let text = format!("{value:?}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

/// Text as a TOML basic string.
pub(crate) fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for letter in text.chars() {
        match letter {
            '"' => quoted.push_str("\\\""),
            '\\' => quoted.push_str("\\\\"),
            letter if letter.is_control() => {
                let _ = write!(quoted, "\\u{:04X}", u32::from(letter));
            }
            letter => quoted.push(letter),
        }
    }
    quoted.push('"');
    quoted
}

/// A mark on one line of a comment.
fn plain(mark: &str) -> String {
    mark.chars().map(|letter| if letter.is_control() { ' ' } else { letter }).collect()
}
