//! The next thing in letters that are read from the lathe.

use crate::report::watch::{Stage, View};
use crate::time::Span;

/// What stands there: what to do, on which lot, and how long it has.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Large {
    texts: Vec<String>,
    /// Whether it is to be done this very minute.
    pub(crate) loud: bool,
}

/// A letter's rows and columns.
const SIDE: usize = 5;

impl Large {
    /// The soak that is to be wiped first, else the first thing that needs hands.
    pub(crate) fn new(view: &View) -> Self {
        let (texts, loud) = if let Some(soak) = view.soaks.first() {
            let (what, left) = match soak.stage {
                Stage::Soaks(left) => ("wipe in", clock(left)),
                Stage::Now(left) => ("wipe now", clock(left)),
                Stage::Wiping(left) => ("wiping", clock(left)),
                Stage::Over(past) => ("wipe!", format!("+{}", clock(past))),
            };
            (vec![what.to_owned(), soak.lot.to_string(), left], soak.due())
        } else if let Some(first) = &view.first {
            let what = first.words.split(',').next().unwrap_or_default();
            (vec![what.to_owned(), first.lot.to_string(), first.when.clone()], false)
        } else {
            (vec!["nothing to do".to_owned()], false)
        };
        Self { texts: texts.iter().map(|text| text.to_uppercase()).collect(), loud }
    }

    /// As large as it fits; as plain text where letters don't.
    pub(crate) fn drawn(&self, width: usize, height: usize) -> Vec<String> {
        let mut sizes = (1..=width / SIDE).rev();
        let drawn = sizes.find_map(|columns| self.in_size(columns, width, height));
        drawn.unwrap_or_else(|| self.texts.clone())
    }

    /// In letters whose dots are so many columns wide; nothing where they don't fit. A column is about half as wide as a row
    /// is high.
    fn in_size(&self, columns: usize, width: usize, height: usize) -> Option<Vec<String>> {
        let rows = columns.div_ceil(2);
        let letters = width / (columns * (SIDE + 1));
        let mut lines = Vec::new();
        for text in self.texts.iter().map(|text| wrapped(text, letters)) {
            for line in text? {
                for row in 0..SIDE {
                    let dots: Vec<String> = line
                        .chars()
                        .map(|sign| letter(sign).get(row).copied().unwrap_or_default())
                        .map(|dots| dots.chars().map(|dot| block(dot).repeat(columns)).collect())
                        .collect();
                    let dots = dots.join(&" ".repeat(columns));
                    lines.extend(std::iter::repeat_n(dots.trim_end().to_owned(), rows));
                }
                lines.push(String::new());
            }
        }
        lines.pop();
        (lines.len() <= height).then_some(lines)
    }
}

const fn block(dot: char) -> &'static str {
    if dot == '#' { "█" } else { " " }
}

/// The text in lines of so many letters, parted between words; nothing where a word is longer.
fn wrapped(text: &str, letters: usize) -> Option<Vec<String>> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let long = word.chars().count();
        if long > letters {
            return None;
        }
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + long <= letters => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    Some(lines)
}

/// "4:32"; from an hour on in words.
fn clock(span: Span) -> String {
    let seconds = span.as_seconds().max(0);
    if seconds >= 3600 {
        return span.to_string();
    }
    format!("{}:{:02}", seconds / 60, seconds % 60)
}

/// The dots of a sign, row by row; a sign that isn't here is a full block.
fn letter(sign: char) -> [&'static str; SIDE] {
    match sign {
        'A' => [" ### ", "#   #", "#####", "#   #", "#   #"],
        'B' => ["#### ", "#   #", "#### ", "#   #", "#### "],
        'C' => [" ####", "#    ", "#    ", "#    ", " ####"],
        'D' => ["#### ", "#   #", "#   #", "#   #", "#### "],
        'E' => ["#####", "#    ", "#### ", "#    ", "#####"],
        'F' => ["#####", "#    ", "#### ", "#    ", "#    "],
        'G' => [" ####", "#    ", "#  ##", "#   #", " ####"],
        'H' => ["#   #", "#   #", "#####", "#   #", "#   #"],
        'I' => ["#####", "  #  ", "  #  ", "  #  ", "#####"],
        'J' => ["#####", "   # ", "   # ", "#  # ", " ##  "],
        'K' => ["#   #", "#  # ", "###  ", "#  # ", "#   #"],
        'L' => ["#    ", "#    ", "#    ", "#    ", "#####"],
        'M' => ["#   #", "## ##", "# # #", "#   #", "#   #"],
        'N' => ["#   #", "##  #", "# # #", "#  ##", "#   #"],
        'O' => [" ### ", "#   #", "#   #", "#   #", " ### "],
        'P' => ["#### ", "#   #", "#### ", "#    ", "#    "],
        'Q' => [" ### ", "#   #", "#   #", "#  # ", " ## #"],
        'R' => ["#### ", "#   #", "#### ", "#  # ", "#   #"],
        'S' => [" ####", "#    ", " ### ", "    #", "#### "],
        'T' => ["#####", "  #  ", "  #  ", "  #  ", "  #  "],
        'U' => ["#   #", "#   #", "#   #", "#   #", " ### "],
        'V' => ["#   #", "#   #", "#   #", " # # ", "  #  "],
        'W' => ["#   #", "#   #", "# # #", "## ##", "#   #"],
        'X' => ["#   #", " # # ", "  #  ", " # # ", "#   #"],
        'Y' => ["#   #", " # # ", "  #  ", "  #  ", "  #  "],
        'Z' => ["#####", "   # ", "  #  ", " #   ", "#####"],
        '0' => [" ### ", "#  ##", "# # #", "##  #", " ### "],
        '1' => ["  #  ", " ##  ", "  #  ", "  #  ", " ### "],
        '2' => ["#### ", "    #", " ### ", "#    ", "#####"],
        '3' => ["#### ", "    #", " ### ", "    #", "#### "],
        '4' => ["#   #", "#   #", "#####", "    #", "    #"],
        '5' => ["#####", "#    ", "#### ", "    #", "#### "],
        '6' => [" ### ", "#    ", "#### ", "#   #", " ### "],
        '7' => ["#####", "   # ", "  #  ", " #   ", "#    "],
        '8' => [" ### ", "#   #", " ### ", "#   #", " ### "],
        '9' => [" ### ", "#   #", " ####", "    #", " ### "],
        '-' => ["     ", "     ", " ### ", "     ", "     "],
        '_' => ["     ", "     ", "     ", "     ", "#####"],
        '+' => ["     ", "  #  ", " ### ", "  #  ", "     "],
        ':' => ["     ", "  #  ", "     ", "  #  ", "     "],
        '.' => ["     ", "     ", "     ", "     ", "  #  "],
        '!' => ["  #  ", "  #  ", "  #  ", "     ", "  #  "],
        ' ' => ["     "; SIDE],
        _ => ["#####"; SIDE],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn large(texts: &[&str]) -> Large {
        Large { texts: texts.iter().map(|&text| text.to_owned()).collect(), loud: true }
    }

    #[test]
    fn letters_are_as_large_as_they_fit() {
        assert_eq!(
            large(&["SALT-1"]).drawn(36, 5),
            [
                " ████  ███  █     █████         █  ",
                "█     █   █ █       █          ██  ",
                " ███  █████ █       █    ███    █  ",
                "    █ █   █ █       █           █  ",
                "████  █   █ █████   █          ███ ",
            ]
            .map(str::trim_end)
        );
        let wipe = large(&["WIPE NOW", "SALT-1", "4:32"]);
        for (width, height) in [(60, 20), (80, 22), (100, 30), (140, 40), (250, 70)] {
            let lines = wipe.drawn(width, height);
            assert!(lines.iter().any(|line| line.contains('█')), "{width} by {height}");
            assert!(lines.len() <= height && lines.iter().all(|l| l.chars().count() <= width));
        }
        assert_eq!(wipe.drawn(30, 24), ["WIPE NOW", "SALT-1", "4:32"], "too narrow");
        assert_eq!(wipe.drawn(80, 8), ["WIPE NOW", "SALT-1", "4:32"], "too low");
    }

    #[test]
    fn what_is_due_in_an_hour_or_more_is_said_in_words() {
        assert_eq!(clock(Span::seconds(272)), "4:32");
        assert_eq!(clock(Span::seconds(9)), "0:09");
        assert_eq!(clock(Span::minutes(75)), "1 h 15 m");
    }
}
