//! A page of plain text as wide as the terminal: headings, wrapped lines, tables.

use anstyle::{AnsiColor, Style};
use tabled::builder::Builder;
use tabled::settings::peaker::Priority;
use tabled::settings::{Padding, Style as Frame, Width};
use unicode_width::UnicodeWidthStr as _;

use crate::shop::line::visible;

/// Below this a table's words would be torn, and each row is written as lines of "heading: value".
const NARROWEST_TABLE: usize = 60;

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

    pub(crate) fn gap(&mut self) {
        if !self.text.is_empty() {
            self.text.push('\n');
        }
    }

    /// A line, wrapped at blanks where it is too long; what follows the first line is indented by `indent`.
    pub(crate) fn line(&mut self, indent: usize, text: &str) {
        self.hanging(indent, indent, text);
    }

    /// A line that begins at `first` and goes on at `rest`.
    pub(crate) fn hanging(&mut self, first: usize, rest: usize, text: &str) {
        self.toned(Tone::Plain, first, rest, text);
    }

    /// The same in a tone: wrapped first, so that a narrow terminal breaks loud words where it breaks quiet ones.
    pub(crate) fn toned(&mut self, tone: Tone, first: usize, rest: usize, text: &str) {
        let (mut line, mut used) = (" ".repeat(first), first);
        let mut empty = true;
        for word in text.split_whitespace() {
            let width = word.width();
            if !empty && used + 1 + width > self.width {
                self.finish_line(tone, &line);
                (line, used, empty) = (" ".repeat(rest), rest, true);
            }
            if !empty {
                line.push(' ');
                used += 1;
            }
            line.push_str(word);
            used += width;
            empty = false;
        }
        self.finish_line(tone, &line);
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

    /// A table with headings; on a narrow terminal each row as lines of "heading: value".
    pub(crate) fn table(&mut self, headings: &[&str], rows: &[Vec<String>]) {
        if self.width < NARROWEST_TABLE {
            self.records(headings, rows);
            return;
        }
        let mut builder = Builder::default();
        builder.push_record(headings.iter().copied());
        for row in rows {
            builder.push_record(row);
        }
        let mut table = builder.build();
        table.with(Frame::empty()).with(Padding::new(0, 2, 0, 0));
        table.with(Width::wrap(self.width).priority(Priority::max(true)).keep_words(true));
        for (number, line) in table.to_string().lines().enumerate() {
            let tone = if number == 0 { Tone::Strong } else { Tone::Plain };
            let styled = self.styled(tone, line.trim_end());
            self.text.push_str(&styled);
            self.text.push('\n');
        }
    }

    fn records(&mut self, headings: &[&str], rows: &[Vec<String>]) {
        for row in rows {
            for (number, (heading, value)) in headings.iter().zip(row).enumerate() {
                if !value.is_empty() {
                    let indent = if number == 0 { 0 } else { 2 };
                    self.hanging(indent, 4, &format!("{heading}: {value}"));
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
