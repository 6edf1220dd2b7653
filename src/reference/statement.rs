//! A statement of the reference with all that says whether to believe it, and claims often heard that are wrong.

use std::fmt;

use serde::Serialize;

use super::blocks::{Block, phrases};
use super::fault::{Fault, FaultKind};
use super::place::Place;

/// One fact, rule or figure, with its source and how it was checked.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Statement {
    /// Its id in the reference ("R14"), shown on the screen so that it can be traced.
    pub id: String,
    /// The file it stands in.
    pub file: String,
    /// The line of that file where it begins.
    pub line: usize,
    /// What it says. Where a number in it is from memory this says to look it up.
    pub says: String,
    pub places: Vec<Place>,
    /// Who says so: the law, standard, paper, notice or page.
    pub source: String,
    /// The clause, where the source has one.
    pub clause: Option<String>,
    /// The edition or year, or `undated`.
    pub year: String,
    /// How it was checked.
    pub check: Check,
    /// What a second public source says; `None` where none was looked for.
    pub second: Option<SecondSource>,
    /// Words that lead to it; not printed.
    #[serde(skip)]
    pub(super) words: String,
}

/// How a statement was checked.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case", tag = "how")]
pub enum Check {
    /// All of it was read.
    Read { in_what: String },
    /// Part of it was read, the rest is memory.
    PartRead {
        in_what: String,
        /// Which part nobody looked up.
        from_memory: String,
    },
    /// Nobody looked it up.
    FromMemory,
    /// Computed for this reference.
    WorkedOut { from: String },
}

/// The ways of checking, for counting.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum CheckKind {
    Read,
    /// Part read, part from memory.
    PartRead,
    FromMemory,
    /// Worked out here.
    WorkedOut,
}

/// What a second public source says.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SecondSource {
    /// In one word.
    pub agreement: Agreement,
    /// In the file's own words, which begin with that word.
    pub says: String,
}

/// Whether a second public source says the same.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Agreement {
    /// It does.
    Agrees,
    /// It does not, or not in all.
    Differs,
    /// Some do and some do not.
    Both,
    NoneFound,
}

/// A claim often heard that is wrong, and what is right.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Heard {
    pub claim: String,
    pub right: String,
    /// Whether it was met in a page or is only expected.
    pub met: Met,
    /// The statements behind what is right.
    pub see: Vec<String>,
    /// The line of the file where it begins.
    pub line: usize,
}

/// How a wrong claim came into the reference.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Met {
    /// Met in a public page.
    Seen,
    /// Expected from those who ask.
    Expected,
}

impl Check {
    /// Which of the four ways.
    pub const fn kind(&self) -> CheckKind {
        match self {
            Self::Read { .. } => CheckKind::Read,
            Self::PartRead { .. } => CheckKind::PartRead,
            Self::FromMemory => CheckKind::FromMemory,
            Self::WorkedOut { .. } => CheckKind::WorkedOut,
        }
    }

    fn read(text: &str) -> Option<Self> {
        if let Some(rest) = text.strip_prefix("part read in ") {
            let (in_what, from_memory) = rest.split_once("; from memory: ")?;
            return Some(Self::PartRead {
                in_what: in_what.to_owned(),
                from_memory: from_memory.to_owned(),
            });
        }
        if let Some(in_what) = text.strip_prefix("read in ") {
            return Some(Self::Read { in_what: in_what.to_owned() });
        }
        if let Some(from) = text.strip_prefix("worked out here from ") {
            return Some(Self::WorkedOut { from: from.to_owned() });
        }
        (text == "from memory").then_some(Self::FromMemory)
    }
}

impl fmt::Display for Check {
    /// As the file has it: "read in …", "part read in …; from memory: …", "from memory".
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Read { in_what } => write!(f, "read in {in_what}"),
            Self::PartRead { in_what, from_memory } => {
                write!(f, "part read in {in_what}; from memory: {from_memory}")
            }
            Self::FromMemory => f.write_str("from memory"),
            Self::WorkedOut { from } => write!(f, "worked out here from {from}"),
        }
    }
}

impl fmt::Display for CheckKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Read => "read",
            Self::PartRead => "part read",
            Self::FromMemory => "from memory",
            Self::WorkedOut => "worked out here",
        })
    }
}

impl SecondSource {
    fn read(text: &str) -> Option<Self> {
        let agreement = if text.starts_with("agrees") {
            if text.contains("Differs:") { Agreement::Both } else { Agreement::Agrees }
        } else if text.starts_with("differs") {
            Agreement::Differs
        } else if text.starts_with("none found") {
            Agreement::NoneFound
        } else {
            return None;
        };
        Some(Self { agreement, says: text.to_owned() })
    }
}

const STATEMENT_FIELDS: &[&str] =
    &["id", "says", "where", "source", "clause", "year", "checked", "second", "words"];

/// Reads one statement and holds it to the schema.
pub(super) fn read(file: &str, block: &Block) -> Result<Statement, Fault> {
    block.only(file, STATEMENT_FIELDS)?;
    let id = block.need(file, "a statement", "id")?.value.clone();
    let what = format!("statement {id}");
    let need = |key| block.need(file, &what, key);
    let places = need("where")?;
    let fault = |line, kind| Fault::at(file, line, kind);
    let checked = need("checked")?;
    let clause = need("clause")?.value.clone();
    let statement = Statement {
        file: file.to_owned(),
        line: block.line,
        says: need("says")?.value.clone(),
        places: phrases(&places.value)
            .iter()
            .map(|place| place.parse())
            .collect::<Result<_, _>>()
            .map_err(|_| fault(places.line, FaultKind::Place(places.value.clone())))?,
        source: need("source")?.value.clone(),
        clause: (clause != "none").then_some(clause),
        year: need("year")?.value.clone(),
        check: Check::read(&checked.value)
            .ok_or_else(|| fault(checked.line, FaultKind::Check(checked.value.clone())))?,
        second: match block.get("second") {
            None => None,
            Some(field) => Some(
                SecondSource::read(&field.value)
                    .ok_or_else(|| fault(field.line, FaultKind::Second(field.value.clone())))?,
            ),
        },
        words: block.get("words").map(|field| field.value.clone()).unwrap_or_default(),
        id,
    };
    if statement.number_from_memory() && !statement.says_to_look_up() {
        return Err(fault(block.line, FaultKind::NoLookUp(statement.id)));
    }
    Ok(statement)
}

impl Statement {
    /// Whether a figure or clause number in it was not looked up.
    pub fn number_from_memory(&self) -> bool {
        let digit = |text: &str| text.chars().any(|c| c.is_ascii_digit());
        match &self.check {
            Check::FromMemory => {
                digit(&self.says)
                    || digit(&self.source)
                    || self.clause.as_deref().is_some_and(digit)
            }
            Check::PartRead { from_memory, .. } => digit(from_memory),
            Check::Read { .. } | Check::WorkedOut { .. } => false,
        }
    }

    /// Whether what is shown tells the reader to look it up, the name of the rule ("look it up before …") included.
    pub fn says_to_look_up(&self) -> bool {
        self.says.to_lowercase().contains("look it up")
    }

    /// Where it stands in the reference: "reference/rags.txt:46".
    pub fn traced_to(&self) -> String {
        format!("reference/{}:{}", self.file, self.line)
    }
}

/// Reads one claim often heard.
pub(super) fn read_heard(file: &str, block: &Block) -> Result<Heard, Fault> {
    block.only(file, &["claim", "right", "met", "see"])?;
    let need = |key| block.need(file, "a claim often heard", key);
    let met = need("met")?;
    Ok(Heard {
        claim: need("claim")?.value.clone(),
        right: need("right")?.value.clone(),
        met: match met.value.as_str() {
            "seen" => Met::Seen,
            "expected" => Met::Expected,
            other => return Err(Fault::at(file, met.line, FaultKind::Met(other.to_owned()))),
        },
        see: phrases(&need("see")?.value),
        line: block.line,
    })
}
