//! What can be wrong with a file of the reference, as data.

/// A fault in a file of `reference/`: where, and what.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{file}:{line}: {kind}")]
pub struct Fault {
    /// The file's name.
    pub file: String,
    /// Its line, counted from 1.
    pub line: usize,
    pub kind: FaultKind,
}

/// What is wrong in a file of the reference.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum FaultKind {
    /// A field that every such block has is not there, or empty.
    #[error("{what} has no `{field}`")]
    Missing {
        /// What lacks it ("the topic", "statement R1").
        what: String,
        field: &'static str,
    },
    /// A field or section that no such block has.
    #[error("`{0}` is not known here")]
    Unknown(String),
    /// A field, an id or a word given twice.
    #[error("`{0}` is given twice")]
    Twice(String),
    /// A line that is neither a field nor the continuation of one.
    #[error("expected `key: value`, or two spaces before a line that goes on: found `{0}`")]
    Stray(String),
    /// A short form that does not fit.
    #[error(
        "the short form is 1 to 3 lines of at most 76 columns: this is {lines} lines, the longest {columns} columns"
    )]
    Short {
        /// How many lines it has.
        lines: usize,
        /// Columns of the longest.
        columns: usize,
    },
    /// A number nobody looked up that does not say so on the screen.
    #[error("statement {0} holds a number from memory and does not say to look it up")]
    NoLookUp(String),
    /// How it was checked is none of the known ways.
    #[error(
        "`checked: {0}`: expected `read in …`, `part read in …; from memory: …`, `from memory` or `worked out here from …`"
    )]
    Check(String),
    /// What a second source says is none of the known answers.
    #[error("`second: {0}`: expected it to begin with `agrees`, `differs` or `none found`")]
    Second(String),
    /// A claim often heard that was neither seen nor expected.
    #[error("`met: {0}`: expected `seen` or `expected`")]
    Met(String),
    /// A jurisdiction that is not known.
    #[error("`where: {0}`: no such jurisdiction")]
    Place(String),
    /// A reference to a statement that does not exist.
    #[error("`see: {0}`: no such statement")]
    See(String),
    /// Words that are never printed about a piece.
    #[error("`{0}` is never printed")]
    NeverPrinted(&'static str),
    /// A value of a finish class that cannot be read.
    #[error("`{field}: {value}`: expected {expected}")]
    Value {
        field: String,
        value: String,
        /// What would be right.
        expected: String,
    },
}

impl Fault {
    pub(super) fn at(file: &str, line: usize, kind: FaultKind) -> Self {
        Self { file: file.to_owned(), line, kind }
    }
}
