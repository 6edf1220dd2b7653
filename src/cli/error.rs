//! Everything that can end a command early; its kind alone decides the exit code.

use std::io::{self, Write};
use std::path::PathBuf;

use schemars::JsonSchema;
use serde::Serialize;

use crate::cli::environment::Environment;
use crate::plan::shop_plan::NoPlan;
use crate::report::plan::no_plan;
use crate::report::refusal::{Sentence, say, sentence};
use crate::report::{Page, Tone};
use crate::shop::line::escaped_json;
use crate::shop::{Count, EntryId, Refusal};
use crate::store;
use crate::time::Viewpoint;

/// An error in JSON.
#[derive(JsonSchema, Serialize)]
pub(crate) struct Failed<'a> {
    error: Failure<'a>,
}

#[derive(JsonSchema, Serialize)]
struct Failure<'a> {
    /// The exit code: 1 refused by a rule of the shop, 2 wrong usage, 3 wrong input file, 4 trouble with the database.
    code: u8,
    /// What happened, and where.
    message: String,
    /// What to do next.
    next: String,
    /// The rule that refused, by its short name.
    #[serde(skip_serializing_if = "Option::is_none")]
    rule: Option<&'a str>,
    /// Each fault of an input file.
    #[serde(skip_serializing_if = "Option::is_none")]
    faults: Option<&'a [serde_json::Value]>,
}

/// Why a command ended early.
#[derive(Debug)]
pub(crate) enum Error {
    /// A rule of the shop refused.
    Refused(Box<Refusal>),
    NoPlan(NoPlan),
    /// What was typed is wrong: what, and what to do next.
    Usage(String, String),
    /// An input file is wrong: each fault in one line, the picture for a person, and what to do next.
    Input(Box<InputFaults>),
    /// The database.
    Store(store::Error),
    /// The history in this file has so many faults.
    NotWhole(PathBuf, usize),
    /// Standard output.
    Output(io::Error),
    /// Standard output, after these entries were recorded.
    Unsaid(io::Error, Vec<EntryId>),
    /// The operating system: what it would not do, and what to do next.
    System(String, String),
}

/// The faults of an input file.
#[derive(Debug, Default)]
pub(crate) struct InputFaults {
    /// One line for all.
    pub(crate) message: String,
    /// Each fault, as data.
    pub(crate) faults: Vec<serde_json::Value>,
    /// The faults shown in their lines.
    pub(crate) picture: String,
    /// What to do next.
    pub(crate) next: String,
}

macro_rules! errors {
    ($($from:ty => |$error:ident| $into:expr;)+) => {
        $(impl From<$from> for Error {
            fn from($error: $from) -> Self {
                $into
            }
        })+
    };
}

errors! {
    store::Error => |error| Self::Store(error);
    Refusal => |refusal| Self::Refused(Box::new(refusal));
    NoPlan => |none| Self::NoPlan(none);
    io::Error => |error| Self::Output(error);
}

impl Error {
    pub(crate) fn usage(wrong: impl Into<String>, next: impl Into<String>) -> Self {
        Self::Usage(wrong.into(), next.into())
    }

    /// An input file can't be read at all: why, and what to do next.
    pub(crate) fn input(wrong: impl Into<String>, next: impl Into<String>) -> Self {
        let (message, next) = (wrong.into(), next.into());
        Self::Input(Box::new(InputFaults { message, next, ..InputFaults::default() }))
    }

    /// What the operating system would not do, and what to do next.
    pub(crate) fn system(wrong: impl Into<String>, next: impl Into<String>) -> Self {
        Self::System(wrong.into(), next.into())
    }

    /// The exit code of the design: 1 refused, 2 usage, 3 input file, 4 database.
    pub(crate) fn exit_code(&self) -> u8 {
        match self {
            // A name that nothing has was mistyped; no rule of the shop stands against it.
            Self::Refused(refusal) => match **refusal {
                Refusal::Unknown { .. } | Refusal::NoEntry { .. } => 2,
                _ => 1,
            },
            Self::NoPlan(_) => 1,
            Self::Usage(..) => 2,
            Self::Input(_) => 3,
            Self::Store(_)
            | Self::NotWhole(..)
            | Self::Output(_)
            | Self::Unsaid(..)
            | Self::System(..) => 4,
        }
    }

    /// Shows the error, its times as seen from `view`, and gives the exit code; a closed pipe ends quietly with 0. As JSON it stands where the answer would
    /// have stood, unless an answer stands there already, or none can.
    pub(crate) fn show(
        &self,
        view: Viewpoint,
        json: bool,
        environment: &Environment,
        out: &mut dyn Write,
        err: &mut dyn Write,
    ) -> u8 {
        if matches!(self, Self::Output(error) if error.kind() == io::ErrorKind::BrokenPipe) {
            return 0;
        }
        let text = if json { self.json(view) } else { self.text(view, environment) };
        let taken = matches!(self, Self::NotWhole(..) | Self::Output(_) | Self::Unsaid(..));
        let to: &mut dyn Write = if json && !taken { out } else { err };
        // Nobody is left to tell where that fails too; the exit code still speaks.
        to.write_all(text.as_bytes()).ok();
        self.exit_code()
    }

    fn text(&self, view: Viewpoint, environment: &Environment) -> String {
        let mut page = Page::new(environment.width, environment.colour_on_stderr);
        let Sentence { message, next } = self.sentence(view);
        let heading = page.styled(Tone::Late, "error:");
        if let Self::Input(input) = self
            && !input.picture.is_empty()
        {
            page.verbatim(&input.picture);
        }
        if environment.colour_on_stderr {
            page.verbatim(&format!("{heading} {message}"));
        } else {
            page.hang(format!("error: {message}"));
        }
        page.hang(format!("next: {next}"));
        page.into_text()
    }

    fn json(&self, view: Viewpoint) -> String {
        let Sentence { message, next } = self.sentence(view);
        let (rule, faults) = match self {
            Self::Refused(refusal) => (Some(refusal.rule()), None),
            Self::NoPlan(none) => (Some(no_plan::rule(none)), None),
            Self::Input(input) => (None, Some(input.faults.as_slice())),
            _ => (None, None),
        };
        let code = self.exit_code();
        let failed = Failed { error: Failure { code, message, next, rule, faults } };
        let text = serde_json::to_string(&failed).unwrap_or_default();
        format!("{}\n", escaped_json(&text))
    }

    /// What happened, in one line.
    pub(crate) fn message(&self, view: Viewpoint) -> String {
        self.sentence(view).message
    }

    fn sentence(&self, view: Viewpoint) -> Sentence {
        match self {
            Self::Refused(refusal) => sentence(refusal, view),
            Self::NoPlan(none) => no_plan::sentence(none),
            Self::Usage(message, next) | Self::System(message, next) => say(message, next),
            Self::Input(input) => say(&input.message, &input.next),
            Self::Store(error) => say(error.to_string(), next_for(error)),
            Self::NotWhole(path, faults) => say(
                format!(
                    "the history in {} is not whole: {}",
                    path.display(),
                    Count(*faults as u64, "fault")
                ),
                "keep this file as it is and go on from the last backup: tackfree ledger restore BACKUP",
            ),
            Self::Unsaid(error, recorded) => {
                let numbers: Vec<String> = recorded.iter().map(ToString::to_string).collect();
                let entries = if recorded.len() == 1 { "entry" } else { "entries" };
                say(
                    format!(
                        "it was recorded ({entries} {}), but the answer can't be written: {error}",
                        numbers.join(", ")
                    ),
                    format!(
                        "don't record it again; see it with: tackfree ledger list --last {}",
                        recorded.len()
                    ),
                )
            }
            Self::Output(error) => say(
                format!("the answer can't be written: {error}"),
                "look at where the output goes",
            ),
        }
    }
}

const fn next_for(error: &store::Error) -> &'static str {
    match error {
        store::Error::Busy { .. } => "nothing was recorded: try again",
        store::Error::Newer { .. } => "install the newer tackfree, or name another file with --db",
        store::Error::NotOurs { .. } | store::Error::NoDatabase { .. } => {
            "name tackfree's own file with --db"
        }
        store::Error::Missing { .. } => {
            "look at the path and whether its drive is there; a new shop begins with: tackfree setup load shop.toml"
        }
        store::Error::Empty { .. } => {
            "name the shop's file with --db, or move this one away and go on from the last backup: tackfree ledger restore BACKUP"
        }
        store::Error::Unreadable { .. } | store::Error::Damaged { .. } => {
            "see how far the history is whole: tackfree ledger check; keep this file as it is and go on from the last backup: tackfree ledger restore BACKUP"
        }
        store::Error::Folder { .. } => "make the folder, or name another file with --db",
        store::Error::Unopened { .. } => {
            "name tackfree's own file with --db, one that you may read"
        }
        store::Error::ReadOnly { .. } => {
            "nothing was recorded: make the file and its folder writable, or name another with --db"
        }
        store::Error::Full { .. } => "nothing was recorded: make room and run it again",
        store::Error::Sqlite { .. } => {
            "look whether its disk works, and what was recorded: tackfree ledger list --last 1"
        }
    }
}
