//! The faults of a setup file as a person sees them: where, the line, a caret, what was expected.

use std::ops::Range;

use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};
use unicode_width::UnicodeWidthChar as _;

use crate::shop::setup::Fault;

/// Narrower than this nothing can be shown.
const NARROWEST: usize = 30;

/// Draws every fault, one below the other, none wider than `width` columns (nor than 30, if that is more).
pub fn render(file_name: &str, text: &str, faults: &[Fault], width: usize, colour: bool) -> String {
    let width = width.max(NARROWEST);
    let renderer = if colour { Renderer::styled() } else { Renderer::plain() };
    let renderer = renderer.term_width(width);
    let drawn: Vec<String> =
        faults.iter().map(|fault| drawn(file_name, text, fault, width, &renderer)).collect();
    drawn.join("\n\n")
}

fn drawn(file_name: &str, text: &str, fault: &Fault, width: usize, renderer: &Renderer) -> String {
    // "12 | " before the line, "error: " and "   = " before the words.
    let gutter = fault.line.to_string().len() + 3;
    let (line, caret) = line_around(text, &fault.span, (width - gutter) / 2);
    let title = wrapped(&fault.found, width - "error: ".len());
    let notes = std::iter::once(format!("expected {}", fault.expected)).chain(fault.question());
    let notes = notes.map(|note| {
        Level::NOTE.no_name().message(wrapped(&note, width.saturating_sub(gutter + 2)))
    });
    let picture = Snippet::source(line)
        .path(file_name)
        .line_start(fault.line)
        .fold(false)
        .annotation(AnnotationKind::Primary.span(caret));
    let report = Level::ERROR.primary_title(title).element(picture).elements(notes);
    renderer.render(&[report])
}

/// The fault's first line, and the fault's bytes in it: no more of them than `room` columns hold.
fn line_around(text: &str, span: &Range<usize>, room: usize) -> (String, Range<usize>) {
    let before = text.get(..span.start).unwrap_or_default();
    let start = before.rfind('\n').map_or(0, |at| at + 1);
    let line = text.get(start..).and_then(|rest| rest.lines().next()).unwrap_or_default();
    let mut drawn = String::new();
    let (mut from, mut to, mut used) = (None, 0, 0);
    for (at, letter) in line.char_indices().map(|(at, letter)| (start + at, shown(letter))) {
        if at >= span.start {
            let _ = *from.get_or_insert(drawn.len());
            used += letter.width().unwrap_or(1);
        }
        drawn.push(letter);
        if at < span.end && used <= room {
            to = drawn.len();
        }
    }
    let from = from.unwrap_or(drawn.len());
    (drawn, from..to.max(from))
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
fn wrapped(text: &str, columns: usize) -> String {
    let mut lines = vec![String::new()];
    let mut used = 0;
    for word in text.split(' ') {
        let long: usize = word.chars().map(|letter| letter.width().unwrap_or(0)).sum();
        let fresh = used > 0 && used + 1 + long > columns;
        if fresh {
            lines.push(String::new());
            used = 0;
        }
        let Some(mut line) = lines.pop() else { continue };
        if used > 0 {
            line.push(' ');
            used += 1;
        }
        for letter in word.chars() {
            let wide = letter.width().unwrap_or(0);
            if used + wide > columns {
                lines.push(std::mem::take(&mut line));
                used = 0;
            }
            line.push(letter);
            used += wide;
        }
        lines.push(line);
    }
    lines.join("\n")
}
