//! A page of plain text as wide as the terminal: headings, wrapped lines, tables.

use anstyle::{AnsiColor, Style};
use tabled::builder::Builder;
use tabled::settings::{Padding, Style as Frame};
use unicode_width::UnicodeWidthStr;

use crate::craft::grit::Grade;
use crate::report::lines::{broken, wrap};
use crate::shop::line::visible;
use crate::shop::{Count, LotName};
use crate::time::Stamp;

/// A row of a table that takes more lines than this is easier to read as lines of "heading: value".
const TALLEST_ROW: usize = 3;

/// The narrowest width anything is laid out for.
const NARROWEST: usize = 20;

/// Where a tone begins and where it ends, until the page is written: an escape that somebody typed is then never one of
/// the page's own. These code points are for such use and no character has them.
const MARKS: [(Tone, char); 2] = [(Tone::Strong, '\u{FDD0}'), (Tone::Late, '\u{FDD1}')];
const END: char = '\u{FDD2}';

/// Text being laid out. Colour is only ever an echo of what the words say already.
#[derive(Debug, Clone)]
pub struct Page {
    width: usize,
    colour: bool,
    text: String,
}

/// How loud a piece of text is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Tone {
    /// As it comes.
    Plain,
    Strong,
    /// Hands are late.
    Late,
}

impl Tone {
    fn style(self) -> Style {
        match self {
            Self::Plain => Style::new(),
            Self::Strong => Style::new().bold(),
            Self::Late => Style::new().bold().fg_color(Some(AnsiColor::Red.into())),
        }
    }
}

/// What can stand in a row; what is not there is an empty part.
pub(crate) trait Cell {
    fn said(&self) -> String;
}

macro_rules! said_as_it_is {
    ($($kind:ty),*) => {$(
        impl Cell for $kind {
            fn said(&self) -> String {
                self.to_string()
            }
        }
    )*};
}
said_as_it_is!(str, String, u32, i64, usize, Grade, LotName, Count<u32>);

impl Cell for Stamp {
    fn said(&self) -> String {
        self.moment()
    }
}

impl<T: Cell + ?Sized> Cell for &T {
    fn said(&self) -> String {
        T::said(self)
    }
}

impl<T: Cell> Cell for Option<T> {
    fn said(&self) -> String {
        self.as_ref().map_or_else(String::new, T::said)
    }
}

/// A row of parts as they are said.
macro_rules! row {
    ($($cell:expr),* $(,)?) => {
        [$($crate::report::page::Cell::said(&$cell)),*]
    };
}
pub(crate) use row;

/// How wide the parts of rows are that stand under each other.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Columns<const N: usize>([usize; N]);

impl<const N: usize> Columns<N> {
    fn with(self, row: &[String; N]) -> Self {
        let mut widths = self.0;
        for (width, cell) in widths.iter_mut().zip(row) {
            *width = cell.width().max(*width);
        }
        Self(widths)
    }

    /// Two blanks between the columns that there are.
    fn together(self) -> usize {
        self.0
            .iter()
            .filter(|width| **width > 0)
            .map(|width| width + 2)
            .sum::<usize>()
            .saturating_sub(2)
    }

    fn hold(self, row: &[String; N]) -> bool {
        row.iter().zip(self.0).all(|(cell, width)| cell.width() <= width)
    }

    /// Where the column after the first begins.
    pub(crate) fn second(self) -> usize {
        self.0.first().map_or(0, |width| width + 2)
    }
}

impl Page {
    pub fn new(width: usize, colour: bool) -> Self {
        Self { width: width.max(NARROWEST), colour, text: String::new() }
    }

    /// The columns there are.
    pub(crate) const fn width(&self) -> usize {
        self.width
    }

    /// What was laid out, with a sign for each character that can't be seen and the page's own marks as colours.
    pub fn into_text(self) -> String {
        let mut text = visible(&self.text).into_owned();
        for (tone, mark) in MARKS {
            let (style, mark) = (tone.style(), mark.to_string());
            text =
                text.replace(&mark, &if self.colour { style.to_string() } else { String::new() });
        }
        let end = if self.colour {
            Style::new().bold().render_reset().to_string()
        } else {
            String::new()
        };
        text.replace(END, &end)
    }

    /// One heading, on a line of its own where it fits.
    pub(crate) fn heading(&mut self, tone: Tone, text: &str) {
        if text.width() > self.width {
            self.toned(tone, 0, 2, text);
        } else {
            self.finish_line(tone, text);
        }
    }

    /// A heading, apart from what stands before it.
    pub(crate) fn section(&mut self, tone: Tone, text: &str) {
        self.gap();
        self.heading(tone, text);
    }

    pub(crate) fn gap(&mut self) {
        if !self.text.is_empty() {
            self.text.push('\n');
        }
    }

    /// A line at the margin, wrapped at blanks where it is too long.
    pub(crate) fn say(&mut self, text: impl AsRef<str>) {
        self.hanging(0, 0, text);
    }

    /// A line at the margin; what does not fit it goes on indented.
    pub(crate) fn hang(&mut self, text: impl AsRef<str>) {
        self.hanging(0, 2, text);
    }

    /// An indented line.
    pub(crate) fn under(&mut self, text: impl AsRef<str>) {
        self.hanging(2, 2, text);
    }

    /// One of several indented lines; what does not fit it goes on further in.
    pub(crate) fn item(&mut self, text: impl AsRef<str>) {
        self.hanging(2, 4, text);
    }

    pub(crate) fn line(&mut self, indent: usize, text: impl AsRef<str>) {
        self.hanging(indent, indent, text);
    }

    /// A line that begins at `first` and goes on at `rest`.
    pub(crate) fn hanging(&mut self, first: usize, rest: usize, text: impl AsRef<str>) {
        self.toned(Tone::Plain, first, rest, text.as_ref());
    }

    /// The same in a tone: wrapped first, so that a narrow terminal breaks loud words where it breaks quiet ones.
    pub(crate) fn toned(&mut self, tone: Tone, first: usize, rest: usize, text: &str) {
        let mut indent = first;
        for line in broken(text, self.width.saturating_sub(first), self.width.saturating_sub(rest))
        {
            self.finish_line(tone, &format!("{}{line}", " ".repeat(indent)));
            indent = rest;
        }
    }

    fn finish_line(&mut self, tone: Tone, line: &str) {
        let styled = self.styled(tone, line.trim_end());
        self.text.push_str(&styled);
        self.text.push('\n');
    }

    /// Lines as they are, unwrapped.
    pub(crate) fn verbatim(&mut self, text: &str) {
        self.text.push_str(text);
        if !text.ends_with('\n') {
            self.text.push('\n');
        }
    }

    /// Left text and right text on one line if both fit, else the right one below, indented.
    pub(crate) fn pair(&mut self, indent: usize, left: &str, right: &str) {
        let used = indent + left.width() + 2 + right.width();
        if used <= self.width {
            let gap =
                self.width.min(76).saturating_sub(indent + left.width() + right.width()).max(2);
            self.verbatim(&format!("{}{left}{}{right}", " ".repeat(indent), " ".repeat(gap)));
        } else {
            self.hanging(indent, indent + 2, left);
            self.hanging(indent + 2, indent + 2, right);
        }
    }

    /// Columns for rows at that indent: where they are too wide together, for as many of the short ones as fit.
    pub(crate) fn columns<const N: usize>(
        &self,
        indent: usize,
        rows: &[[String; N]],
    ) -> Columns<N> {
        let none = Columns([0; N]);
        let mut rows: Vec<&[String; N]> = rows.iter().collect();
        rows.sort_by_key(|row| none.with(row).together());
        rows.into_iter().fold(none, |columns, row| {
            let wider = columns.with(row);
            if indent + wider.together() <= self.width { wider } else { columns }
        })
    }

    /// The parts of a row, each in its column; where they don't fit one after the other, the last on a line of its own.
    pub(crate) fn row<const N: usize>(
        &mut self,
        tone: Tone,
        indent: usize,
        columns: Columns<N>,
        row: &[String; N],
    ) {
        if columns.hold(row) {
            let cell = |(cell, width): (&String, usize)| match width {
                0 => String::new(),
                _ => format!("{cell}{}", " ".repeat((width + 2).saturating_sub(cell.width()))),
            };
            let line: String = row.iter().zip(columns.0).map(cell).collect();
            self.finish_line(tone, &format!("{}{line}", " ".repeat(indent)));
            return;
        }
        let filled: Vec<&str> =
            row.iter().map(String::as_str).filter(|part| !part.is_empty()).collect();
        let all = filled.join("  ");
        let lead = all.width() - all.trim_start().width();
        match filled.split_last() {
            Some((last, parts)) if indent + all.width() > self.width => {
                self.toned(tone, indent + lead, indent + lead + 2, &parts.join("  "));
                self.toned(tone, indent + lead + 2, indent + lead + 4, last);
            }
            _ => self.finish_line(tone, &format!("{}{all}", " ".repeat(indent))),
        }
    }

    /// Rows at that indent, their parts under each other.
    pub(crate) fn rows<const N: usize>(&mut self, indent: usize, rows: &[[String; N]]) {
        let columns = self.columns(indent, rows);
        for row in rows {
            self.row(Tone::Plain, indent, columns, row);
        }
    }

    /// A table with headings; where its words would be torn or its lines be many, each row as lines of "heading: value".
    pub(crate) fn table<const N: usize>(
        &mut self,
        headings: [&str; N],
        rows: impl IntoIterator<Item = [String; N]>,
    ) {
        let rows: Vec<[String; N]> = rows.into_iter().collect();
        let columns = || headings.iter().enumerate();
        let cells = |column: usize| {
            let values = rows.iter().filter_map(move |row| row.get(column)).map(String::as_str);
            values.chain(headings.get(column).copied())
        };
        let longest_word =
            |cell: &str| cell.split_whitespace().map(UnicodeWidthStr::width).max().unwrap_or(0);
        let least: Vec<usize> =
            columns().map(|(c, _)| cells(c).map(longest_word).max().unwrap_or(0)).collect();
        let mut widths: Vec<usize> = columns()
            .map(|(c, _)| cells(c).map(UnicodeWidthStr::width).max().unwrap_or(0))
            .collect();
        let room = self.width.saturating_sub(2 * headings.len().saturating_sub(1));
        while widths.iter().sum::<usize>() > room {
            let wide = widths.iter_mut().zip(&least).filter(|(width, least)| **width > **least);
            match wide.max_by_key(|(width, _)| **width) {
                Some((width, _)) => *width -= 1,
                None => return self.records(headings, &rows),
            }
        }
        let wrapped: Vec<Vec<String>> = rows
            .iter()
            .map(|row| row.iter().zip(&widths).map(|(cell, width)| wrap(cell, *width)).collect())
            .collect();
        let tall = |cell: &String| cell.lines().count() > TALLEST_ROW;
        if wrapped.iter().flatten().any(tall) {
            return self.records(headings, &rows);
        }
        let mut builder = Builder::default();
        builder.push_record(headings.iter().zip(&widths).map(|(head, width)| wrap(head, *width)));
        for row in wrapped {
            builder.push_record(row);
        }
        let mut table = builder.build();
        table.with(Frame::empty()).with(Padding::new(0, 2, 0, 0));
        let heading_lines =
            headings.iter().zip(&widths).map(|(head, width)| wrap(head, *width).lines().count());
        let heading_lines = heading_lines.max().unwrap_or(1);
        for (number, line) in table.to_string().lines().enumerate() {
            let tone = if number < heading_lines { Tone::Strong } else { Tone::Plain };
            self.finish_line(tone, line);
        }
    }

    fn records<const N: usize>(&mut self, headings: [&str; N], rows: &[[String; N]]) {
        for row in rows {
            for (number, (heading, value)) in headings.iter().zip(row).enumerate() {
                if !value.is_empty() {
                    let indent = if number == 0 { 0 } else { 2 };
                    self.hanging(indent, 4, format!("{heading}: {value}"));
                }
            }
        }
    }

    /// The text in that tone, if there is colour.
    pub(crate) fn styled(&self, tone: Tone, text: &str) -> String {
        let mark = MARKS.iter().find(|(marked, _)| *marked == tone).filter(|_| self.colour);
        mark.map_or_else(|| text.to_owned(), |(_, mark)| format!("{mark}{text}{END}"))
    }
}
