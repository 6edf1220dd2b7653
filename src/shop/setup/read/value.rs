//! Single values: text, numbers, quantities, times, dates, lists.

use std::fmt::Display;
use std::str::FromStr;

use toml::Spanned;
use toml::de::{DeArray, DeValue};

use super::page::{Faulted, Page, Read, Table};
use crate::shop::setup::fault::quoted;
use crate::units::{Measured, Typed, TypedError};

/// A value of the file and where it stands.
pub(super) type Value<'a> = Spanned<DeValue<'a>>;

/// The longest name, in characters: a table of 80 columns has room for it and one number.
pub(super) const LONGEST_NAME: usize = 60;
/// The longest other text.
const LONGEST_TEXT: usize = 200;

impl<'a> Page<'a> {
    /// Text that is not empty, prints on one line and has no blanks around it.
    fn words(&mut self, value: &'a Value<'a>, what: &str, longest: usize) -> Read<&'a str> {
        let span = value.span();
        let DeValue::String(text) = value.get_ref() else {
            return Err(self.fault(span, shown(value), format!("{what} in quotes")));
        };
        let text: &str = text;
        let wrong = if text.trim().is_empty() {
            Some("empty text".to_owned())
        } else if text.chars().any(does_not_print) {
            Some(format!("{} with a character that does not print", quoted(text)))
        } else if text.trim() != text {
            Some(format!("{} with blanks around it", quoted(text)))
        } else {
            let length = text.chars().count();
            (length > longest).then(|| format!("a text of {length} characters"))
        };
        match wrong {
            None => Ok(text),
            Some(found) => {
                let expected =
                    format!("{what}: 1 to {longest} printing characters, no blanks around them");
                Err(self.fault(span, found, expected))
            }
        }
    }

    pub(super) fn name(&mut self, value: &'a Value<'a>) -> Read<&'a str> {
        self.words(value, "a name", LONGEST_NAME)
    }

    /// A name that refers to one of a kind; where those could not all be read, any name will do.
    pub(super) fn named(&mut self, value: &'a Value<'a>, kind: &str) -> Read<&'a str> {
        let name = self.name(value)?;
        let names = self.names.get(kind).filter(|names| !names.contains(&name)).cloned();
        let Some(names) = names else { return Ok(name) };
        let found = format!("the {kind} {}, which no [[{kind}]] has as its name", quoted(name));
        let expected = match *names {
            [] => format!("the name of a [[{kind}]]; the file has none"),
            _ => format!("the name of a [[{kind}]] of this file"),
        };
        Err(self.unknown_name(value.span(), found, expected, name, names))
    }

    /// Other text.
    pub(super) fn text(&mut self, value: &'a Value<'a>, what: &str) -> Read<&'a str> {
        self.words(value, what, LONGEST_TEXT)
    }

    /// Text in quotes, whatever it says.
    pub(super) fn string(&mut self, value: &'a Value<'a>, expected: &str) -> Read<&'a str> {
        match value.get_ref() {
            DeValue::String(text) => Ok(text),
            _ => Err(self.fault(value.span(), shown(value), expected)),
        }
    }

    /// What a text in quotes says in its type's own writing.
    pub(super) fn parsed<T>(&mut self, value: &'a Value<'a>, expected: &str) -> Read<T>
    where
        T: FromStr,
        T::Err: Display,
    {
        let text = self.string(value, expected)?;
        text.parse().map_err(|reason: T::Err| self.unreadable(value, &reason, expected))
    }

    /// Marks a text that its type's own reading refused, with the reason that gives.
    pub(super) fn unreadable(
        &mut self,
        value: &'a Value<'a>,
        reason: &dyn Display,
        expected: &str,
    ) -> Faulted {
        let reason = reason.to_string();
        let (found, better) = reason.split_once(": expected ").unwrap_or((&reason, expected));
        // Which two times are wanted only the key knows.
        let better = if found.ends_with("is a single time") { expected } else { better };
        self.fault(value.span(), found, better)
    }

    /// A whole number from 1 to a highest.
    pub(super) fn count(&mut self, value: &'a Value<'a>, what: &str, highest: u32) -> Read<u32> {
        let number = match value.get_ref() {
            DeValue::Integer(digits) => u32::from_str_radix(digits.as_str(), digits.radix()).ok(),
            _ => None,
        };
        match number {
            Some(number) if (1..=highest).contains(&number) => Ok(number),
            _ => {
                let expected = format!("{what}: a whole number from 1 to {highest}");
                Err(self.fault(value.span(), shown(value), expected))
            }
        }
    }

    /// A quantity: text with its unit, or a number, which is in the quantity's own unit. In a shop of other units a number
    /// could be taken for either, and is asked for its unit.
    pub(super) fn quantity<Q: Measured>(&mut self, value: &'a Value<'a>, what: &str) -> Read<Q> {
        let typed = match value.get_ref() {
            // Every whole number a quantity can have is far below 2^53, and exact.
            DeValue::Integer(digits) => i32::from_str_radix(digits.as_str(), digits.radix())
                .map(|number| Typed::bare(f64::from(number)))
                .ok(),
            DeValue::Float(digits) => {
                let number = digits.as_str().parse().ok().filter(|x: &f64| x.is_finite());
                number.map(Typed::bare)
            }
            DeValue::String(text) => match text.parse() {
                Ok(typed) => Some(typed),
                Err(reason @ TypedError::Number { .. }) => {
                    let found = reason.to_string();
                    let found = found.split_once(':').map_or(&*found, |(found, _)| found);
                    return Err(self.fault(value.span(), found, what));
                }
                Err(reason) => return Err(self.unreadable(value, &reason, what)),
            },
            _ => None,
        };
        let typed: Typed<Q> = typed.ok_or_else(|| self.fault(value.span(), shown(value), what))?;
        typed.unmistakable(self.units).map_err(|reason| match reason {
            TypedError::OutOfRange { what: quantity, found, expected } => {
                let found = format!("{quantity} of {found}");
                self.fault(value.span(), found, format!("{what}, {expected}"))
            }
            reason => self.unreadable(value, &reason, what),
        })
    }

    /// `true` or `false`.
    pub(super) fn flag(&mut self, value: &'a Value<'a>) -> Read<bool> {
        match value.get_ref() {
            DeValue::Boolean(flag) => Ok(*flag),
            _ => Err(self.fault(value.span(), shown(value), "true or false, without quotes")),
        }
    }

    pub(super) fn list(&mut self, value: &'a Value<'a>, expected: &str) -> Read<&'a DeArray<'a>> {
        match value.get_ref() {
            DeValue::Array(list) => Ok(list),
            _ => Err(self.fault(value.span(), shown(value), expected)),
        }
    }

    /// A list, each item of it read.
    pub(super) fn items<T>(
        &mut self,
        value: &'a Value<'a>,
        expected: &str,
        mut read: impl FnMut(&mut Self, &'a Value<'a>) -> Read<T>,
    ) -> Read<Vec<T>> {
        let list = self.list(value, expected)?;
        // Collected twice, because collecting into a result would stop at the first fault.
        let read: Vec<Read<T>> = list.iter().map(|item| read(self, item)).collect();
        read.into_iter().collect()
    }

    /// One of some words.
    pub(super) fn one_of<T: Copy>(
        &mut self,
        value: &'a Value<'a>,
        words: &[(&'static str, T)],
    ) -> Read<T> {
        let names: Vec<String> = words.iter().map(|(word, _)| quoted(word)).collect();
        let expected = format!("one of {}", names.join(", "));
        let text = self.string(value, &expected)?;
        let known = words.iter().find(|(word, _)| *word == text);
        known.map(|(_, meant)| *meant).ok_or_else(|| {
            let names = words.iter().map(|(word, _)| *word);
            self.unknown_name(value.span(), shown(value), expected, text, names)
        })
    }

    /// A table, by header or in braces.
    pub(super) fn table(&mut self, value: &'a Value<'a>, what: &'static str) -> Read<Table<'a>> {
        match value.get_ref() {
            DeValue::Table(entries) => Ok(Table { entries, span: value.span(), what }),
            _ => Err(self.fault(
                value.span(),
                shown(value),
                format!("{what}: keys and values, not one value"),
            )),
        }
    }
}

/// A value as a fault names it.
pub(super) fn shown(value: &Value<'_>) -> String {
    match value.get_ref() {
        DeValue::String(text) => format!("the text {}", quoted(text)),
        DeValue::Integer(digits) => format!("the number {}", short(&digits.to_string())),
        DeValue::Float(digits) => format!("the number {}", short(digits.as_str())),
        DeValue::Boolean(flag) => flag.to_string(),
        DeValue::Datetime(when) => format!("{when} without quotes"),
        DeValue::Array(list) if list.is_empty() => "an empty list".to_owned(),
        DeValue::Array(_) => "a list".to_owned(),
        DeValue::Table(_) => "a table".to_owned(),
    }
}

/// Digits that fit a line.
fn short(digits: &str) -> String {
    const LONGEST: usize = 24;
    match digits.char_indices().nth(LONGEST) {
        Some((at, _)) => format!("{}…", &digits[..at]),
        None => digits.to_owned(),
    }
}

/// Control characters, and the marks that break a line or turn the direction of writing unseen.
fn does_not_print(letter: char) -> bool {
    letter.is_control()
        || matches!(letter, '\u{2028}' | '\u{2029}' | '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' | '\u{FEFF}')
}
