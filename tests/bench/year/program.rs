//! The real binary on a database of its own, by a clock that the year moves; its answers; and what must never happen.

use std::collections::BTreeMap;
use std::process::Command;

use chrono::{DateTime, SecondsFormat};
use serde_json::Value;
use tempfile::TempDir;

use super::world::Moment;

/// How one command line ended.
pub(crate) struct Answer {
    pub(crate) code: i32,
    pub(crate) seconds: f64,
    pub(crate) out: String,
    pub(crate) err: String,
}

/// What must never happen, counted, with the first few of each.
#[derive(Debug, Clone, Default)]
pub(crate) struct Faults {
    pub(crate) counts: BTreeMap<&'static str, u32>,
    pub(crate) seen: Vec<String>,
    /// How often each command ran, and the seconds it took in all.
    pub(crate) spent: BTreeMap<String, (u32, f64)>,
}

impl Faults {
    pub(crate) fn note(&mut self, kind: &'static str, at: Moment, what: &str) {
        let count = self.counts.entry(kind).or_default();
        *count += 1;
        if *count <= 5 {
            self.seen.push(format!("{} {kind}: {what}", at.format("%a %d %b %H:%M")));
        }
    }
}

pub(crate) struct Program {
    pub(crate) folder: TempDir,
}

impl Program {
    /// Runs the program at that moment.
    pub(crate) fn run(&self, at: Moment, words: &[&str]) -> Answer {
        #[expect(clippy::disallowed_methods, reason = "a bench times what it runs")]
        let began = std::time::Instant::now();
        let run = Command::new(env!("CARGO_BIN_EXE_tackfree"))
            .args(words)
            .env_clear()
            .env("TACKFREE_DB", self.folder.path().join("shop.tackfree"))
            .env("TACKFREE_NOW", at.to_rfc3339_opts(SecondsFormat::Secs, true))
            .env("COLUMNS", "100")
            .output()
            .expect("the program runs");
        let text = |bytes| String::from_utf8(bytes).unwrap_or_default();
        Answer {
            code: run.status.code().unwrap_or(-1),
            seconds: began.elapsed().as_secs_f64(),
            out: text(run.stdout),
            err: text(run.stderr),
        }
    }

    /// Writes a file that a command is to read, and gives its path.
    pub(crate) fn file(&self, name: &str, text: &str) -> String {
        let path = self.folder.path().join(name);
        std::fs::write(&path, text).expect("a folder of its own can be written to");
        path.to_string_lossy().into_owned()
    }
}

pub(crate) fn list<'v>(value: &'v Value, name: &str) -> &'v [Value] {
    value[name].as_array().map_or(&[], Vec::as_slice)
}

pub(crate) fn text(value: &Value, name: &str) -> String {
    value[name].as_str().unwrap_or_default().to_owned()
}

pub(crate) fn moment(value: &Value) -> Option<DateTime<chrono::FixedOffset>> {
    DateTime::parse_from_rfc3339(value.as_str()?).ok()
}

pub(crate) fn first_line(text: &str) -> &str {
    text.lines().find(|line| !line.is_empty()).unwrap_or_default()
}
