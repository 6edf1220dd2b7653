//! What is wrong with a setup file, as data: where, what was found, what was expected.

use std::fmt;
use std::ops::Range;

use serde::Serialize;

/// One fault of a setup file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Fault {
    /// The bytes of the file that are wrong, on character boundaries; empty where something is missing at a point.
    pub span: Range<usize>,
    /// Line of the span's start, counted from 1.
    pub line: usize,
    /// Column of the span's start, counted from 1 in characters.
    pub column: usize,
    /// What stands there: `unknown key "slotts" in [[rack]]`.
    pub found: String,
    /// What could stand there: `one of name, room, slots, use`.
    pub expected: String,
    /// The name that was probably meant: `slots`.
    pub suggestion: Option<String>,
}

impl Fault {
    /// The question that goes with a suggestion: `did you mean "slots"?`
    pub fn question(&self) -> Option<String> {
        self.suggestion.as_ref().map(|name| format!("did you mean {}?", quoted(name)))
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { line, column, found, expected, .. } = self;
        write!(f, "line {line}, column {column}: {found}; expected {expected}")?;
        match self.question() {
            Some(question) => write!(f, "; {question}"),
            None => Ok(()),
        }
    }
}

/// Text of a file as a message shows it: in quotes, on one line, not longer than 40 characters.
pub(crate) fn quoted(text: &str) -> String {
    const LONGEST: usize = 40;
    let shown: String = text.chars().take(LONGEST).collect();
    let more = if shown.len() < text.len() { "…" } else { "" };
    format!(
        "\"{}{more}\"",
        shown.escape_debug().to_string().replace("\\'", "'").replace("\\\"", "\"")
    )
}
