//! The faults of a setup file as a person sees them: the file and line, what stands there, what to write instead.

use anstyle::Style;
use unicode_width::{UnicodeWidthChar as _, UnicodeWidthStr as _};

use crate::shop::Count;
use crate::shop::setup::Fault;

/// Narrower than this nothing can be shown.
const NARROWEST: usize = 30;
/// Nobody fixes more at one sitting.
pub(crate) const MOST: usize = 20;
const HEAD: Style = Style::new().bold();

/// Draws the first twenty faults, one below the other, and counts the rest; none is wider than `width` columns (nor than
/// 30, if that is more). Only the file's name is not cut, so that it can be copied.
pub fn render(file_name: &str, text: &str, faults: &[Fault], width: usize, colour: bool) -> String {
    let width = width.max(NARROWEST);
    let shown = faults.iter().take(MOST);
    let mut drawn: Vec<String> =
        shown.map(|fault| drawn(file_name, text, fault, width, colour)).collect();
    if let Some(more) = faults.len().checked_sub(MOST).filter(|more| *more > 0) {
        drawn.push(format!("And {}.", Count(more as u64, "more fault")));
    }
    drawn.join("\n\n")
}

fn drawn(file_name: &str, text: &str, fault: &Fault, width: usize, colour: bool) -> String {
    let about = fault.about.as_ref().map_or_else(String::new, |about| format!(": {about}"));
    let mut head = wrapped(&format!("{file_name}, line {}{about}", fault.line), width).join("\n");
    if colour {
        head = format!("{HEAD}{head}{HEAD:#}");
    }
    let mut lines = vec![head];
    let line = line_at(text, fault.span.start, width - 2);
    lines.extend(Some(line).filter(|line| !line.is_empty()).map(|line| format!("  {line}")));
    let advice = wrapped(&fault.advice(), width - 2);
    lines.extend(advice.iter().map(|part| format!("  {part}")));
    for choice in &fault.choices {
        let mut parts = wrapped(choice, width - 6).into_iter();
        lines.extend(parts.next().map(|first| format!("    {first}")));
        lines.extend(parts.map(|more| format!("      {more}")));
    }
    lines.join("\n")
}

/// The line at a place, without its comment, as far as it fits so many columns: the part that the place is in.
fn line_at(text: &str, at: usize, room: usize) -> String {
    let before = text.get(..at).unwrap_or_default();
    let start = before.rfind('\n').map_or(0, |end| end + 1);
    let line = text.get(start..).and_then(|rest| rest.lines().next()).unwrap_or_default();
    let line = &line[..comment_in(line).unwrap_or(line.len())];
    let shown: String = line.trim().chars().map(shown).collect();
    if shown.width() <= room {
        return shown;
    }
    // The fault may stand far along the line: a third of the room is left for what comes before it.
    let from = before.get(start..).unwrap_or_default().trim_start().chars().count();
    let from = from.saturating_sub(room / 3);
    let mut part = if from > 0 { "…".to_owned() } else { String::new() };
    for letter in shown.chars().skip(from) {
        if part.width() + letter.width().unwrap_or(1) >= room {
            part.push('…');
            break;
        }
        part.push(letter);
    }
    part
}

/// Where a comment begins: at a # outside quotes.
fn comment_in(line: &str) -> Option<usize> {
    let mut quote = None;
    for (at, letter) in line.char_indices() {
        match (quote, letter) {
            (None, '#') => return Some(at),
            (None, '"' | '\'') => quote = Some(letter),
            (Some(open), letter) if open == letter => quote = None,
            _ => {}
        }
    }
    None
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
        for letter in word.chars().map(shown) {
            if line.width() + letter.width().unwrap_or(1) > width {
                lines.push(std::mem::take(&mut line));
            }
            line.push(letter);
        }
    }
    lines.push(line);
    lines
}
