//! How reminders reach a person besides the desktop: commands of the shop's own (`[remind]`).

use schemars::JsonSchema;
use serde::Serialize;

/// The kinds of reminders, as the file names them.
pub const KINDS: [&str; 9] =
    ["wipe", "rags", "closing", "ready", "cured", "move", "slipping", "room", "opening"];

/// `[remind]`.
#[derive(Debug, Clone, PartialEq, Eq, Default, JsonSchema, Serialize)]
pub struct Remind {
    /// Commands that each get what is told, as JSON on standard input.
    pub run: Vec<Told>,
    /// The command that makes a sound where the desktop makes none: a program and its arguments.
    pub sound: Vec<String>,
}

/// Who is told by a command.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema, Serialize)]
pub struct Told {
    /// A program and its arguments.
    pub command: Vec<String>,
    /// What it is told of; all kinds where that is left out.
    pub kinds: Vec<String>,
}

impl Remind {
    pub(crate) const fn is_empty(&self) -> bool {
        self.run.is_empty() && self.sound.is_empty()
    }
}

impl Told {
    pub(crate) fn takes(&self, kind: &str) -> bool {
        self.kinds.is_empty() || self.kinds.iter().any(|taken| taken == kind)
    }
}
