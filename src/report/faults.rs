//! The faults of a setup file as a person sees them: where, the line, a caret, what was expected.

use std::ops::Range;

use anstyle::{AnsiColor, Style};
use unicode_width::{UnicodeWidthChar as _, UnicodeWidthStr as _};

use crate::shop::setup::Fault;

/// Narrower than this nothing can be shown.
const NARROWEST: usize = 30;
const ERROR: Style = AnsiColor::BrightRed.on_default().bold();
const FRAME: Style = AnsiColor::BrightBlue.on_default().bold();

/// Draws every fault, one below the other, none wider than `width` columns (nor than 30, if that is more). Only the
/// file's name is not cut, so that it can be copied.
pub fn render(file_name: &str, text: &str, faults: &[Fault], width: usize, colour: bool) -> String {
    let width = width.max(NARROWEST);
    let drawn: Vec<String> =
        faults.iter().map(|fault| drawn(file_name, text, fault, width, colour)).collect();
    drawn.join("\n\n")
}

fn drawn(file_name: &str, text: &str, fault: &Fault, width: usize, colour: bool) -> String {
    let painted = |style: Style, text: &str| {
        if colour { format!("{style}{text}{style:#}") } else { text.to_owned() }
    };
    let number = fault.line.to_string();
    let margin = " ".repeat(number.len());
    let bar = painted(FRAME, "|");
    // "12 | " before the line and the caret, "error: " and "   = " before the words.
    let (line, marked) = line_around(text, &fault.span, width.saturating_sub(number.len() + 3));
    let mut lines = Vec::new();
    for (at, part) in wrapped(&fault.found, width - "error: ".len()).iter().enumerate() {
        let before = if at == 0 { painted(ERROR, "error:") } else { "      ".to_owned() };
        lines.push(format!("{before} {part}"));
    }
    let Fault { line: row, column, .. } = fault;
    lines.push(format!("{margin}{} {file_name}:{row}:{column}", painted(FRAME, "-->")));
    lines.push(format!("{margin} {bar}"));
    lines.push(format!("{} {bar} {line}", painted(FRAME, &number)).trim_end().to_owned());
    let carets = painted(ERROR, &"^".repeat(marked.len()));
    lines.push(format!("{margin} {bar} {}{carets}", " ".repeat(marked.start)));
    let notes = std::iter::once(format!("expected {}", fault.expected)).chain(fault.question());
    for note in notes {
        let parts = wrapped(&note, width.saturating_sub(number.len() + 3));
        for (at, part) in parts.iter().enumerate() {
            let sign = if at == 0 { painted(FRAME, "=") } else { " ".to_owned() };
            lines.push(format!("{margin} {sign} {part}"));
        }
    }
    lines.join("\n")
}

/// The part of the fault's first line that fits so many columns, and the columns in it that the fault takes: at least one.
fn line_around(text: &str, span: &Range<usize>, room: usize) -> (String, Range<usize>) {
    let before = text.get(..span.start).unwrap_or_default();
    let start = before.rfind('\n').map_or(0, |at| at + 1);
    let line = text.get(start..).and_then(|rest| rest.lines().next()).unwrap_or_default();
    let letters: Vec<(usize, char)> =
        line.char_indices().map(|(at, letter)| (start + at, shown(letter))).collect();
    let first = letters.partition_point(|&(at, _)| at < span.start);
    let window = window(&letters, first, room);
    let mut drawn = String::new();
    let (mut from, mut to, mut column) = (None, 0, 0);
    if window.start > 0 {
        drawn.push('…');
        column += 1;
    }
    for &(at, letter) in letters.get(window.clone()).unwrap_or_default() {
        if at >= span.start && from.is_none() {
            from = Some(column);
        }
        drawn.push(letter);
        column += columns(letter);
        if at < span.end {
            to = column;
        }
    }
    if window.end < letters.len() {
        drawn.push('…');
    }
    let from = from.unwrap_or(column).min(room.saturating_sub(1));
    (drawn, from..to.max(from + 1))
}

/// Which letters of a line are shown in so many columns: all, or those around the one at `first`.
fn window(letters: &[(usize, char)], first: usize, room: usize) -> Range<usize> {
    let width =
        |letters: &[(usize, char)]| letters.iter().map(|&(_, letter)| columns(letter)).sum();
    // One column is left for a caret behind the last letter.
    let whole: usize = width(letters);
    if whole < room {
        return 0..letters.len();
    }
    // Two columns are for the marks where the line goes on.
    let room = room.saturating_sub(2);
    let (mut start, mut used) = (first.min(letters.len()), 0);
    while let Some(&(_, letter)) = start.checked_sub(1).and_then(|before| letters.get(before)) {
        used += columns(letter);
        if used > room / 3 {
            break;
        }
        start -= 1;
    }
    let (mut end, mut used) = (start, 0);
    while let Some(&(_, letter)) = letters.get(end) {
        used += columns(letter);
        if used > room {
            break;
        }
        end += 1;
    }
    start..end
}

fn columns(letter: char) -> usize {
    letter.width().unwrap_or(1)
}

/// A letter in one column or two: tabs as a blank, what does not print as a mark.
fn shown(letter: char) -> char {
    match letter {
        '\t' => ' ',
        letter if letter.is_control() || letter.width().unwrap_or(0) == 0 => '\u{FFFD}',
        letter => letter,
    }
}

/// Words on lines of so many columns; a word longer than a line is cut.
fn wrapped(text: &str, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split(' ') {
        if !line.is_empty() && line.width() + 1 + word.width() > width {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        for letter in word.chars() {
            if line.width() + columns(letter) > width {
                lines.push(std::mem::take(&mut line));
            }
            line.push(letter);
        }
    }
    lines.push(line);
    lines
}
