//! The ledger, as it is shown.

use schemars::JsonSchema;
use serde::Serialize;

use crate::report::{Page, Report, row};
use crate::shop::fold::voided;
use crate::shop::{Count, Entry, EntryId, Fact, Shop};
use crate::store::stored;
use crate::time::{Stamp, Viewpoint};

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct EntryLine {
    pub(crate) entry: EntryId,
    pub(crate) at: Stamp,
    /// When it was written down.
    pub(crate) recorded: Stamp,
    /// What kind of thing it is.
    pub(crate) what: &'static str,
    /// In words.
    pub(crate) about: String,
    /// Why it was recorded against the rules.
    pub(crate) anyway: Option<String>,
    /// Whether it was taken back.
    pub(crate) voided: bool,
    /// The fact as the ledger holds it.
    pub(crate) fact: serde_json::Value,
}

/// `ledger list`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct EntryList {
    /// Oldest first.
    pub(crate) entries: Vec<EntryLine>,
}

/// `ledger check`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct CheckReport {
    pub(crate) database: String,
    /// Entries read.
    pub(crate) entries: usize,
    /// Whether nothing is wrong.
    pub(crate) whole: bool,
    /// The last entry's hash.
    pub(crate) last_hash: String,
    pub(crate) faults: Vec<String>,
}

/// `ledger backup`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct BackupReport {
    pub(crate) backup: String,
    pub(crate) entries: usize,
    pub(crate) last_hash: String,
    /// Older backups that were dropped.
    pub(crate) dropped: Vec<String>,
}

/// `ledger export`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Exported {
    pub(crate) file: String,
    /// Entries, or rows of the table.
    pub(crate) lines: usize,
}

/// `ledger restore`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct RestoreReport {
    pub(crate) restored: String,
    pub(crate) entries: usize,
    pub(crate) last_hash: String,
    /// Whether it stands where the shop's database belongs.
    pub(crate) in_place: bool,
    /// What the shop's own file has that the backup lacks.
    pub(crate) left: Option<LeftBehind>,
}

/// A file that was left as it is.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct LeftBehind {
    pub(crate) database: String,
    /// How many of its entries the backup lacks.
    pub(crate) newer: usize,
    /// The last of those.
    pub(crate) listed: Vec<EntryLine>,
    /// Why it can't be read.
    pub(crate) unreadable: Option<String>,
}

/// How the history is kept.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Kept {
    /// When it was last checked.
    pub(crate) checked: Option<Stamp>,
    /// What was found then.
    pub(crate) faults: u64,
    /// When it was last backed up.
    pub(crate) backup: Option<Stamp>,
    pub(crate) days_since_backup: Option<i64>,
    /// Why the timer made no backup when it should have.
    pub(crate) no_backup: Option<String>,
    /// Whether the setup asks for backups.
    pub(crate) wanted: bool,
}

impl Kept {
    /// One line on what is kept, and one where something is wrong with it.
    pub(crate) fn text(&self, page: &mut Page) {
        if self.faults > 0 {
            page.hang(format!(
                "! The history isn't whole: {} found. See: tackfree ledger check",
                Count(self.faults, "fault")
            ));
        }
        if let Some(why) = &self.no_backup {
            page.hang(format!("! No backup was made: {why}"));
        }
        let checked = self.checked.as_ref().filter(|_| self.faults == 0);
        let checked = checked.map(|at| format!("history checked {}, whole", at.moment()));
        let backup = match self.days_since_backup {
            Some(0) => Some("last backup today".to_owned()),
            Some(days) => Some(format!("last backup {} ago", Count(days.unsigned_abs(), "day"))),
            None if self.wanted => Some("no backup yet: tackfree ledger backup".to_owned()),
            None => None,
        };
        let said: Vec<String> = checked.into_iter().chain(backup).collect();
        if !said.is_empty() {
            page.hang(format!("Kept: {}", said.join("; ")));
        }
    }
}

impl Report for BackupReport {
    fn text(&self, page: &mut Page) {
        let entries = Count(self.entries as u64, "entry");
        page.say(format!("Backed up: {entries}, whole, in {}", self.backup));
        page.say(format!("Last hash: {}", self.last_hash));
        if !self.dropped.is_empty() {
            let dropped = Count(self.dropped.len() as u64, "older backup");
            page.say(format!("Dropped: {dropped}"));
        }
    }
}

impl Report for Exported {
    fn text(&self, page: &mut Page) {
        let lines = Count(self.lines as u64, "line");
        page.say(format!("Wrote {lines} to {}.", self.file));
    }
}

impl Report for RestoreReport {
    fn text(&self, page: &mut Page) {
        let entries = Count(self.entries as u64, "entry");
        page.say(format!("Restored: {entries}, whole, in {}", self.restored));
        page.say(format!("Last hash: {}", self.last_hash));
        let Some(left) = &self.left else { return };
        page.gap();
        if let Some(why) = &left.unreadable {
            page.hang(format!("{} is left as it is: {why}", left.database));
        } else if left.newer == 0 {
            let same = format!("{} is left as it is; it has nothing newer.", left.database);
            page.hang(&same);
        } else {
            let newer = Count(left.newer as u64, "entry");
            page.hang(format!(
                "{} is left as it is; it has {newer} that the backup lacks:",
                left.database
            ));
            EntryLine::table(&left.listed, page);
        }
        page.say(format!("Look at it: tackfree --db '{}' due", self.restored));
        page.hang(format!(
            "To go on with it, move {} away and this one in its place.",
            left.database
        ));
    }
}

impl EntryLine {
    /// Lines for the entries chosen; `all` is where their taking back is looked for, `shop` knows what steps are called.
    pub(crate) fn all<'a>(
        chosen: impl IntoIterator<Item = &'a Entry>,
        all: &[Entry],
        shop: &Shop,
        view: Viewpoint,
    ) -> Vec<Self> {
        let gone = voided(all);
        let line = |entry: &Entry| {
            let about = match &entry.fact {
                Fact::Voided(voided) => {
                    let of = all.iter().find(|of| of.id == voided.entry);
                    let of = of.map(|of| format!("{} {}, ", of.fact.word(), of.fact.said(shop)));
                    of.unwrap_or_default() + &entry.fact.said(shop)
                }
                _ => entry.fact.said(shop),
            };
            Self::new(entry, about, gone.contains(&entry.id), view)
        };
        chosen.into_iter().map(line).collect()
    }

    fn new(entry: &Entry, about: String, voided: bool, view: Viewpoint) -> Self {
        let stored = stored::write(&entry.fact).ok();
        let fact = stored.and_then(|stored| serde_json::from_str(&stored.fact).ok());
        Self {
            entry: entry.id,
            at: view.stamp(entry.at),
            recorded: view.stamp(entry.recorded),
            what: entry.fact.word(),
            about,
            anyway: entry.anyway.as_ref().map(|anyway| anyway.reason.clone()),
            voided,
            fact: fact.unwrap_or(serde_json::Value::Null),
        }
    }

    pub(crate) fn table(lines: &[Self], page: &mut Page) {
        let row = |line: &Self| {
            let mut about = line.about.clone();
            if let Some(reason) = &line.anyway {
                about = format!("{about}; anyway: {reason}");
            }
            if line.voided {
                about = format!("{about} (taken back)");
            }
            row![line.entry, line.at, line.what, about]
        };
        page.table(["entry", "when", "what", "about"], lines.iter().map(row));
    }
}

impl Report for EntryList {
    fn text(&self, page: &mut Page) {
        if self.entries.is_empty() {
            page.say("The ledger is empty.");
            return;
        }
        EntryLine::table(&self.entries, page);
    }
}

impl Report for CheckReport {
    fn text(&self, page: &mut Page) {
        for fault in &self.faults {
            page.hang(fault);
        }
        if self.whole {
            page.say(format!(
                "The history is whole: {} in {}.",
                Count(self.entries as u64, "entry"),
                self.database
            ));
            page.say(format!("Last hash: {}", self.last_hash));
        }
    }
}
