//! The ledger, as it is shown.

use serde::Serialize;

use crate::report::{Page, Report};
use crate::shop::Shop;
use crate::shop::count::Count;
use crate::shop::entry::{Entry, EntryId, Fact};
use crate::shop::fold::voided;
use crate::store::stored;
use crate::time::{Stamp, Viewpoint};

#[derive(Debug, Clone, Serialize)]
pub struct EntryLine {
    pub entry: EntryId,
    pub at: Stamp,
    /// When it was written down.
    pub recorded: Stamp,
    /// What kind of thing it is.
    pub what: &'static str,
    /// In words.
    pub about: String,
    /// Why it was recorded against the rules.
    pub anyway: Option<String>,
    /// Whether it was taken back.
    pub voided: bool,
    /// The fact as the ledger holds it.
    pub fact: serde_json::Value,
}

/// `ledger list`.
#[derive(Debug, Clone, Serialize)]
pub struct EntryList {
    /// Oldest first.
    pub entries: Vec<EntryLine>,
}

/// `ledger check`.
#[derive(Debug, Clone, Serialize)]
pub struct CheckReport {
    pub database: String,
    /// Entries read.
    pub entries: usize,
    /// Whether nothing is wrong.
    pub whole: bool,
    /// The last entry's hash.
    pub last_hash: String,
    pub faults: Vec<String>,
}

impl EntryLine {
    /// Lines for the entries chosen; `all` is where their taking back is looked for, `shop` knows what steps are called.
    pub fn all<'a>(
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

    /// The lines as a table.
    pub fn table(lines: &[Self], page: &mut Page) {
        let rows: Vec<Vec<String>> = lines
            .iter()
            .map(|line| {
                let mut about = line.about.clone();
                if let Some(reason) = &line.anyway {
                    about = format!("{about}; anyway: {reason}");
                }
                if line.voided {
                    about = format!("{about} (taken back)");
                }
                vec![line.entry.to_string(), line.at.moment(), line.what.to_owned(), about]
            })
            .collect();
        page.table(&["entry", "when", "what", "about"], &rows);
    }
}

impl Report for EntryList {
    fn text(&self, page: &mut Page) {
        if self.entries.is_empty() {
            page.line(0, "The ledger is empty.");
            return;
        }
        EntryLine::table(&self.entries, page);
    }
}

impl Report for CheckReport {
    fn text(&self, page: &mut Page) {
        for fault in &self.faults {
            page.hanging(0, 2, fault);
        }
        if self.whole {
            page.line(
                0,
                &format!(
                    "The history is whole: {} in {}.",
                    Count(self.entries as u64, "entry"),
                    self.database
                ),
            );
            page.line(0, &format!("Last hash: {}", self.last_hash));
        }
    }
}
