//! Reminders as they were sent, put off, installed.

use schemars::JsonSchema;
use serde::Serialize;

use crate::remind::desktop::Outcome;
use crate::remind::notice::{Kind, Notice};
use crate::remind::send::{self, Run, Told};
use crate::remind::timer::{Change, File};
use crate::report::{Page, Report, Tone};
use crate::shop::Count;
use crate::time::{Stamp, Viewpoint};

/// `remind send`, `remind test`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Sent {
    /// The moment of it.
    pub(crate) now: Stamp,
    pub(crate) notices: Vec<SentNotice>,
    /// Things that wait for the shop to open.
    pub(crate) quiet: usize,
    /// When it opens, where something waits for it.
    pub(crate) opens: Option<Stamp>,
}

/// A notice and what became of it.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct SentNotice {
    #[serde(flatten)]
    pub(crate) notice: Notice,
    /// The command it was handed to; null is the desktop.
    pub(crate) by: Option<String>,
    /// sent, failed, no answer, not tried; all but the first stay pending.
    pub(crate) outcome: &'static str,
    pub(crate) why: Option<String>,
}

impl Sent {
    pub(crate) fn new(run: Run, view: Viewpoint) -> Self {
        Self {
            now: view.stamp(view.now),
            notices: run.notices.into_iter().map(SentNotice::new).collect(),
            quiet: run.quiet,
            opens: run.opens.map(|opens| view.stamp(opens)),
        }
    }

    /// The line for standard error, where something stays pending.
    pub(crate) fn pending(&self) -> Option<String> {
        let pending: Vec<_> =
            self.notices.iter().filter(|notice| notice.outcome != "sent").collect();
        let first = pending.first()?;
        let why = match (&first.by, &first.why) {
            (None, Some(why)) => format!("the desktop can't be reached: {why}"),
            (Some(_), Some(why)) => why.clone(),
            (None, None) => {
                "the desktop gave no answer; it may still show what it was sent".to_owned()
            }
            (Some(by), None) => format!("{by}: no time was left for it"),
        };
        let reminders = Count(pending.len() as u64, "reminder");
        let stay = if pending.len() == 1 { "stays" } else { "stay" };
        Some(format!("{reminders} {stay} pending: {why}"))
    }
}

impl SentNotice {
    fn new(told: Told) -> Self {
        let (outcome, why) = match told.outcome {
            Outcome::Sent(_) | Outcome::Done => ("sent", None),
            // Some services answer with pages.
            Outcome::Failed(why) => {
                ("failed", why.lines().next().map(|line| line.trim_end().to_owned()))
            }
            Outcome::NoAnswer => ("no answer", None),
            Outcome::NotTried => ("not tried", None),
        };
        Self { notice: told.notice, by: told.by, outcome, why }
    }

    fn text(&self, page: &mut Page) {
        let stays = if self.outcome == "sent" { "sent" } else { "pending" };
        let by = self.by.as_ref().map_or_else(String::new, |by| format!(" by {by}"));
        page.say(format!("{} ({stays}{by})", self.notice.summary));
        for line in self.notice.body.lines() {
            page.item(line);
        }
    }
}

impl Report for Sent {
    fn text(&self, page: &mut Page) {
        for notice in &self.notices {
            notice.text(page);
        }
        if self.notices.is_empty() {
            page.say("Nothing to tell that was not told.");
        }
        if let Some(opens) = &self.opens {
            let things = Count(self.quiet as u64, "thing");
            page.say(format!("{things} more, told from {} when the shop opens.", opens.moment()));
        }
    }
}

/// `remind later`, `remind clear`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct PutOff {
    pub(crate) lot: String,
    /// Until when; nothing is for good.
    pub(crate) until: Option<Stamp>,
    /// What was put off: "coat house oil".
    pub(crate) things: Vec<String>,
    /// Whether rags of the lot are still reminded of.
    pub(crate) rags_go_on: bool,
    /// Whether its wipe is told all the same.
    pub(crate) wipe_goes_on: bool,
}

impl PutOff {
    pub(crate) fn new(lot: String, put_off: &send::PutOff, view: Viewpoint) -> Self {
        let goes_on = |kind| put_off.kept.iter().any(|thing| thing.kind == kind);
        Self {
            lot,
            until: put_off.until.map(|until| view.stamp(until)),
            things: put_off.things.iter().map(|thing| thing.what.clone()).collect(),
            rags_go_on: goes_on(Kind::Rags),
            wipe_goes_on: goes_on(Kind::Wipe),
        }
    }
}

impl Report for PutOff {
    fn text(&self, page: &mut Page) {
        let what = self.things.join(", ");
        match &self.until {
            _ if self.things.is_empty() && (self.wipe_goes_on || self.rags_go_on) => {}
            _ if self.things.is_empty() => {
                page.say(format!("{}: nothing of it is due, so nothing is put off.", self.lot));
            }
            Some(until) => {
                page.say(format!("{}: {what}: told again {}.", self.lot, until.both()));
            }
            None => {
                page.say(format!("{}: {what}: not told again until something changes.", self.lot));
            }
        }
        if self.wipe_goes_on {
            let told = format!("Its wipe is told until it is done: tackfree done {}", self.lot);
            page.say(&told);
        }
        if self.rags_go_on {
            page.say("Its rags are reminded of until it is recorded how they were dealt with: tackfree rags done --how \"…\"");
        }
    }
}

/// `remind install`, `remind remove`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Installed {
    /// Files written, or taken away.
    pub(crate) changed: Vec<String>,
    /// Files that were right already, or not there.
    pub(crate) unchanged: Vec<String>,
    #[serde(skip)]
    there: bool,
}

impl Installed {
    /// What an install (or else a removal) did.
    pub(crate) fn new(change: &Change, installed: bool) -> Self {
        let shown = |paths: &[std::path::PathBuf]| {
            paths.iter().map(|path| path.display().to_string()).collect()
        };
        Self {
            changed: shown(&change.changed),
            unchanged: shown(&change.unchanged),
            there: installed,
        }
    }
}

impl Report for Installed {
    fn text(&self, page: &mut Page) {
        let (did, was) =
            if self.there { ("wrote", "as it was") } else { ("took away", "not there") };
        for path in &self.changed {
            page.say(format!("{did} {path}"));
        }
        for path in &self.unchanged {
            page.say(format!("{was}: {path}"));
        }
        if self.changed.is_empty() {
            page.say("Nothing changed.");
        } else if self.there {
            page.say("Each minute tackfree now tells what is due. Undo it: tackfree remind remove");
            page.say("Try it: tackfree remind test");
        } else {
            page.say("The operating system no longer runs it.");
        }
    }
}

/// `remind install --print`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Plan {
    pub(crate) files: Vec<FileText>,
    /// The commands that would switch it on.
    pub(crate) commands: Vec<String>,
}

/// A file that would be written.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct FileText {
    pub(crate) path: String,
    pub(crate) text: String,
}

impl Plan {
    pub(crate) fn new(files: &[File], commands: &[Vec<String>]) -> Self {
        let text = |file: &File| FileText {
            path: file.path.display().to_string(),
            text: file.text.clone(),
        };
        Self {
            files: files.iter().map(text).collect(),
            commands: commands.iter().map(|words| words.join(" ")).collect(),
        }
    }
}

impl Report for Plan {
    fn text(&self, page: &mut Page) {
        for file in &self.files {
            page.heading(Tone::Strong, &format!("# {}", file.path));
            page.verbatim(&file.text);
            page.gap();
        }
        for command in &self.commands {
            page.verbatim(&format!("$ {command}"));
        }
    }
}
