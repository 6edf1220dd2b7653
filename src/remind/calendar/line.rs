//! Content lines of RFC 5545: `NAME:VALUE`, folded at 75 octets, ended with CR LF.

use crate::shop::line::visible;

/// The most octets of a line, its end not counted (RFC 5545 section 3.1).
const LONGEST: usize = 75;

/// Lines, as they are written.
#[derive(Debug, Default)]
pub(super) struct Lines(String);

impl Lines {
    /// A line whose value is of a type that needs no escaping.
    pub(super) fn raw(&mut self, name: &str, value: &str) {
        self.push(&format!("{name}:{value}"));
    }

    /// A line whose value is text: anything a person typed.
    pub(super) fn text(&mut self, name: &str, value: &str) {
        self.push(&format!("{name}:{}", escaped(&visible(value))));
    }

    /// One logical line, folded: what follows the first line begins with a blank, which counts. Never within a
    /// character, though RFC 5545 would let one be split between its octets: not every reader joins them again.
    fn push(&mut self, line: &str) {
        let mut used = 0;
        for character in line.chars() {
            if used + character.len_utf8() > LONGEST {
                self.0.push_str("\r\n ");
                used = 1;
            }
            self.0.push(character);
            used += character.len_utf8();
        }
        self.0.push_str("\r\n");
    }

    pub(super) fn into_text(self) -> String {
        self.0
    }
}

/// A TEXT value (RFC 5545 section 3.3.11): backslash, semicolon, comma and line end escaped, the colon as it is. It can't
/// hold a control character other than the tab.
fn escaped(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    let mut characters = text.chars().peekable();
    while let Some(character) = characters.next() {
        match character {
            '\\' | ';' | ',' => escaped.extend(['\\', character]),
            '\r' if characters.peek() == Some(&'\n') => {}
            '\n' | '\r' => escaped.push_str("\\n"),
            '\t' => escaped.push('\t'),
            _ if character.is_control() => {}
            _ => escaped.push(character),
        }
    }
    escaped
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The rows of a file of values computed outside the project; its first line says with what.
    fn rows(file: &str) -> Vec<csv::StringRecord> {
        let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(file.as_bytes());
        reader.records().collect::<Result<_, _>>().unwrap()
    }

    fn json(cell: &str) -> String {
        serde_json::from_str(cell).unwrap()
    }

    #[test]
    fn text_is_escaped_as_a_library_escapes_it() {
        let rows = rows(include_str!("../../../tests/data/checks/12_text.csv"));
        assert_eq!(rows.len(), 9);
        for row in rows {
            assert_eq!(escaped(&json(&row[0])), json(&row[1]));
        }
    }

    #[test]
    fn lines_fold_into_as_few_as_can_be_and_come_whole_again() {
        let rows = rows(include_str!("../../../tests/data/checks/12_fold.csv"));
        assert_eq!(rows.len(), 9);
        for row in rows {
            let (logical, least): (_, usize) = (json(&row[0]), row[2].parse().unwrap());
            assert_eq!(logical.len().to_string(), row[1]);
            let mut lines = Lines::default();
            lines.push(&logical);
            let physical: Vec<_> = lines.0.strip_suffix("\r\n").unwrap().split("\r\n").collect();
            assert_eq!(physical.len(), least, "{logical}");
            assert!(physical.iter().all(|line| line.len() <= LONGEST));
            assert_eq!(physical.join("\r\n").replace("\r\n ", ""), logical);
        }
    }

    #[test]
    fn what_can_t_be_seen_is_a_sign() {
        let mut lines = Lines::default();
        lines.text("SUMMARY", "\u{1b}[2J\u{9b}31m\u{202e}paid");
        assert_eq!(lines.into_text(), "SUMMARY:\u{241b}[2J<U+009B>31m<U+202E>paid\r\n");
    }

    #[test]
    fn line_ends_of_every_kind_are_one_and_control_characters_are_left_out() {
        assert_eq!(escaped("a\r\nb\rc\nd\te\u{0}\u{7f}f"), "a\\nb\\nc\\nd\tef");
    }
}
