//! The file under the pen: its text, where its lines begin, and the faults marked so far.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::shop::nearest::nearest;
use crate::shop::setup::fault::{Fault, quoted};
use crate::shop::setup::finish::RENAMED;
use crate::shop::setup::read::place::{heading, note_headers, one_line};
use crate::units::System;

/// Says that what was asked for could not be had and that a fault says why. Only [`Page`] makes one, and only while it
/// has a fault to show for it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Faulted(());

/// Something read, or a fault marked.
pub(super) type Read<T> = Result<T, Faulted>;

/// A table of the file, with the words a fault has for it.
#[derive(Clone)]
pub(super) struct Table<'a> {
    /// Its keys and values.
    pub(super) entries: &'a DeTable<'a>,
    /// Its header, or its braces.
    pub(super) span: Range<usize>,
    /// `[[rack]]`, `sheet`.
    pub(super) what: &'static str,
}

/// The file's text and what is wrong with it.
pub(super) struct Page<'a> {
    text: &'a str,
    root: &'a DeTable<'a>,
    line_starts: Vec<usize>,
    faults: Vec<Fault>,
    /// Lines with a fault of syntax: what is read from them means nothing.
    broken_lines: BTreeSet<usize>,
    /// Keys that unknown ones were probably meant to be, with the start of their table.
    meant: BTreeSet<(usize, String)>,
    /// Where the tables with a header begin, in order.
    headers: Vec<usize>,
    /// Whether a list is never closed.
    runs_on: bool,
    /// The names of each kind of which every table shows one.
    pub(super) names: BTreeMap<&'a str, Vec<&'a str>>,
    /// The units of the shop, once they are read.
    pub(super) units: System,
}

impl<'a> Page<'a> {
    /// Takes the text and what TOML itself found wrong with it.
    pub(super) fn new(text: &'a str, root: &'a DeTable<'a>, errors: &[toml::de::Error]) -> Self {
        let line_starts =
            std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1)).collect();
        let mut headers = Vec::new();
        note_headers(root, &mut headers);
        headers.retain(|&at| text.as_bytes().get(at) == Some(&b'['));
        headers.sort_unstable();
        let mut page = Self {
            text,
            root,
            line_starts,
            faults: Vec::new(),
            broken_lines: BTreeSet::new(),
            meant: BTreeSet::new(),
            headers,
            runs_on: false,
            names: BTreeMap::new(),
            units: System::Metric,
        };
        let runs_on = page.where_a_list_runs_on(errors);
        for error in errors {
            page.mark_syntax(error, runs_on);
        }
        if let Some(line) = runs_on {
            let (start, length) = (page.line_start(line), page.line(line).len());
            let found = "a line inside a list that is not closed";
            let fault = page.made(start..start + length, found, "] before this line", None);
            page.faults.push(fault);
            page.runs_on = true;
        }
        page
    }

    /// The first line that cannot be meant to be in a list, where a list is never closed. What TOML finds wrong from
    /// there to the end is one slip.
    fn where_a_list_runs_on(&self, errors: &[toml::de::Error]) -> Option<usize> {
        let never_closed = errors.iter().any(|error| error.message().starts_with("unclosed array"));
        let mut lines = errors
            .iter()
            .filter(|error| never_closed && error.message().starts_with("unexpected `=` in array"))
            .filter_map(|error| Some(self.position(self.on_boundary(error.span()?.start)).0));
        let mut first = lines.next()?;
        // The header above it is not meant to be in the list either.
        for line in (1..first).rev() {
            let text = self.line(line).trim();
            let name = text.trim_start_matches('[');
            if name.len() < text.len() && name.starts_with(|letter: char| letter.is_alphabetic()) {
                first = line;
            } else if !(text.is_empty() || text.starts_with('#')) {
                break;
            }
        }
        Some(first)
    }

    /// A line of the text, counted from 1.
    fn line(&self, line: usize) -> &'a str {
        let start = self.line_start(line);
        self.text.get(start..).and_then(|rest| rest.lines().next()).unwrap_or_default()
    }

    fn line_start(&self, line: usize) -> usize {
        self.line_starts.get(line.saturating_sub(1)).copied().unwrap_or_default()
    }

    fn mark_syntax(&mut self, error: &toml::de::Error, runs_on: Option<usize>) {
        let span = error.span().unwrap_or(0..0);
        let message = error.message();
        let there = self.text.get(span.clone()).unwrap_or_default();
        let bare = ["string values must be quoted", "invalid boolean"];
        let (found, expected) = if message == "duplicate key" {
            (format!("{} a second time", quoted(there)), "each key once in a table")
        } else if bare.iter().any(|start| message.starts_with(start)) {
            let found = if there.is_empty() {
                "nothing where a value should stand".to_owned()
            } else {
                format!("{there} without quotes")
            };
            (found, "text in quotes, a number, true or false")
        } else {
            let (found, expected) = message
                .split_once(", expected ")
                .unwrap_or((message, "TOML: a key, an equals sign and a value in one line"));
            (found.to_owned(), expected)
        };
        let fault = self.made(span, &found, expected, None);
        // A key given twice leaves the first one readable.
        if message != "duplicate key" {
            self.broken_lines.insert(fault.line);
        }
        if runs_on.is_none_or(|from| fault.line < from) {
            self.faults.push(fault);
        }
    }

    /// Whether a list runs on to the end of the file, so that no one can say what else is there.
    pub(super) const fn runs_on(&self) -> bool {
        self.runs_on
    }

    /// Marks a fault.
    pub(super) fn fault(
        &mut self,
        span: Range<usize>,
        found: impl Into<String>,
        expected: impl Into<String>,
    ) -> Faulted {
        self.fault_near(span, found, expected, None)
    }

    /// Marks a fault with the name that was probably meant.
    pub(super) fn fault_near(
        &mut self,
        span: Range<usize>,
        found: impl Into<String>,
        expected: impl Into<String>,
        suggestion: Option<&str>,
    ) -> Faulted {
        self.fault_with(span, found, expected, suggestion, Vec::new())
    }

    /// Marks a fault with the name that was probably meant and all that could stand there.
    pub(super) fn fault_with(
        &mut self,
        span: Range<usize>,
        found: impl Into<String>,
        expected: impl Into<String>,
        suggestion: Option<&str>,
        choices: Vec<String>,
    ) -> Faulted {
        let fault = self.made(span, &found.into(), &expected.into(), suggestion.map(str::to_owned));
        // Where the syntax is broken, its own fault says all there is to say.
        if !self.broken_lines.contains(&fault.line) {
            self.faults.push(Fault { choices, ..fault });
        }
        Faulted(())
    }

    /// Marks a name that nothing has.
    pub(super) fn unknown_name<'n>(
        &mut self,
        span: Range<usize>,
        found: impl Into<String>,
        expected: impl Into<String>,
        name: &str,
        names: impl IntoIterator<Item = &'n str>,
    ) -> Faulted {
        self.fault_near(span, found, expected, nearest(name, names))
    }

    fn made(
        &self,
        span: Range<usize>,
        found: &str,
        expected: &str,
        suggestion: Option<String>,
    ) -> Fault {
        let start = self.on_boundary(span.start);
        let end = self.on_boundary(span.end).max(start);
        let (line, column) = self.position(start);
        let (found, expected) = (one_line(found), one_line(expected));
        let about = heading(self.root, start);
        Fault {
            span: start..end,
            line,
            column,
            about,
            found,
            expected,
            suggestion,
            choices: Vec::new(),
        }
    }

    fn on_boundary(&self, at: usize) -> usize {
        let mut at = at.min(self.text.len());
        while !self.text.is_char_boundary(at) {
            at -= 1;
        }
        at
    }

    /// Line and column of a place, both from 1, the column in characters.
    fn position(&self, at: usize) -> (usize, usize) {
        let line = self.line_starts.partition_point(|&start| start <= at);
        let start = self.line_start(line);
        let before = self.text.get(start..at).unwrap_or_default();
        (line.max(1), before.chars().count() + 1)
    }

    /// The value of a key that must be there.
    pub(super) fn required(
        &mut self,
        table: &Table<'a>,
        key: &str,
        expected: &str,
    ) -> Read<&'a Spanned<DeValue<'a>>> {
        match table.entries.get(key) {
            Some(value) if value.span().is_empty() => Err(Faulted(())),
            Some(value) => Ok(value),
            None => Err(self.missing(table, key, expected)),
        }
    }

    /// Whether an unknown key of the table was probably meant to be this one, so that the one fault says it all.
    pub(super) fn misspelt(&self, table: &Table<'a>, key: &str) -> bool {
        self.meant.contains(&(table.span.start, key.to_owned()))
    }

    /// The fault there is already if one of these keys is misspelt.
    pub(super) fn misspelt_one(&self, table: &Table<'a>, keys: &[&str]) -> Option<Faulted> {
        keys.iter().any(|key| self.misspelt(table, key)).then_some(Faulted(()))
    }

    /// Marks a key that should be there.
    fn missing(&mut self, table: &Table<'a>, key: &str, expected: &str) -> Faulted {
        if self.misspelt(table, key) {
            return Faulted(());
        }
        self.lacking(table, &format!("no {} in {}", quoted(key), table.what), expected)
    }

    /// Marks what the table lacks, unless a broken line of it may have been that.
    pub(super) fn lacking(&mut self, table: &Table<'a>, found: &str, expected: &str) -> Faulted {
        if self.may_hide_a_key(table) {
            return Faulted(());
        }
        self.fault(table.span.clone(), found, expected)
    }

    /// Whether a broken line stands between the table's header and the next one, or in its braces.
    fn may_hide_a_key(&self, table: &Table<'a>) -> bool {
        if table.span.is_empty() {
            return !self.broken_lines.is_empty();
        }
        let end = if self.text.as_bytes().get(table.span.start) == Some(&b'[') {
            let next = self.headers.partition_point(|&header| header <= table.span.start);
            self.headers.get(next).copied().unwrap_or(self.text.len())
        } else {
            table.span.end
        };
        let (first, _) = self.position(table.span.start);
        let (last, _) = self.position(self.on_boundary(end));
        self.broken_lines.range(first..=last.max(first)).next().is_some()
    }

    /// Marks every key of the table that is not known.
    pub(super) fn only(&mut self, table: &Table<'a>, known: &[&str]) -> Option<Faulted> {
        let mut faulted = None;
        for key in table.entries.keys() {
            let name = key.get_ref().as_ref();
            if known.contains(&name) {
                continue;
            }
            if let Some((_, new)) =
                RENAMED.iter().find(|(old, new)| *old == name && known.contains(new))
            {
                let _ = self.meant.insert((table.span.start, (*new).to_owned()));
                let found = format!("the old name {}", quoted(name));
                faulted = Some(self.fault(key.span(), found, format!("{new} = …")));
                continue;
            }
            let found = format!("unknown key {} in {}", quoted(name), table.what);
            let expected = match known {
                [] => "no key here".to_owned(),
                [one] => format!("only {one}"),
                _ => format!("one of {}", known.join(", ")),
            };
            let meant = nearest(name, known.iter().copied());
            if let Some(key) = meant {
                let _ = self.meant.insert((table.span.start, key.to_owned()));
            }
            faulted = Some(self.fault_near(key.span(), found, expected, meant));
        }
        faulted
    }

    /// The faults in the order of the file.
    pub(super) fn into_faults(mut self) -> Vec<Fault> {
        self.faults.sort_by_key(|fault| (fault.span.start, fault.span.end));
        self.faults.dedup();
        self.faults
    }
}

/// The value of a key that may be left out; a value that TOML could not read counts as left out, since a fault of
/// syntax is there for it.
pub(super) fn optional<'a>(table: &Table<'a>, key: &str) -> Option<&'a Spanned<DeValue<'a>>> {
    table.entries.get(key).filter(|value| !value.span().is_empty())
}
