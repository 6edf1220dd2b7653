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
    /// What it is the fault of: `slots of "drip-1"`; nothing where the file can't be read as TOML.
    pub(crate) about: Option<String>,
    /// What stands there: `unknown key "slotts" in [[rack]]`.
    pub found: String,
    /// What could stand there: `one of name, room, slots, use`.
    pub expected: String,
    /// The name that was probably meant: `slots`.
    pub suggestion: Option<String>,
    /// All that could stand there, where that is a list worth reading.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub choices: Vec<String>,
}

impl Fault {
    /// What is wrong and what to write, in sentences. A value alone isn't said: it stands in the line above.
    pub(crate) fn advice(&self) -> String {
        let Self { found, expected, .. } = self;
        let seen = ["the text ", "the number ", "a list", "a table", "true", "false"];
        let found = if seen.iter().any(|start| found.starts_with(start)) {
            String::new()
        } else {
            format!("{}. ", capital(found))
        };
        let question = self.question().map(|question| format!(" {}", capital(&question)));
        format!("{found}Write {expected}.{}", question.unwrap_or_default())
    }

    /// The question that goes with a suggestion: `did you mean "slots"?`
    pub(crate) fn question(&self) -> Option<String> {
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

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
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
