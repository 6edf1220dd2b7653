//! Rags not yet dealt with.

use serde::Serialize;

use crate::report::page::Tone;
use crate::report::stamp::{Reader, Stamp};
use crate::report::{Page, Report};
use crate::shop::Shop;
use crate::shop::entry::EntryId;

/// The rags of one coat.
#[derive(Debug, Clone, Serialize)]
pub struct OpenRags {
    /// The coat's entry.
    pub entry: EntryId,
    /// The lot coated.
    pub lot: String,
    /// The finish on them.
    pub finish: String,
    /// Whether they can set themselves on fire, as far as the setup says.
    pub self_heating: Option<bool>,
    /// Since when.
    pub since: Stamp,
    /// For how many hours.
    pub hours: f64,
}

/// `rags`.
#[derive(Debug, Clone, Serialize)]
pub struct RagsList {
    /// The moment it speaks of.
    pub now: Stamp,
    /// Open ones, oldest first.
    pub open: Vec<OpenRags>,
}

impl OpenRags {
    /// All open ones, oldest first.
    pub fn all(shop: &Shop, reader: Reader) -> Vec<Self> {
        let mut open: Vec<Self> = shop
            .rags
            .iter()
            .filter(|(_, rags)| rags.since <= reader.now)
            .map(|(entry, rags)| Self {
                entry: *entry,
                lot: rags.lot.to_string(),
                finish: rags.finish.clone(),
                self_heating: shop
                    .setup
                    .as_ref()
                    .and_then(|setup| setup.finish(&rags.finish)?.self_heating),
                since: reader.stamp(rags.since),
                hours: (crate::time::Span::between(rags.since, reader.now).as_hours() * 10.0)
                    .round()
                    / 10.0,
            })
            .collect();
        open.sort_by_key(|rags| (rags.since.at(), rags.entry));
        open
    }
}

/// The reminder that stands under every screen while rags are open.
pub fn remind(open: &[OpenRags], page: &mut Page) {
    let Some(oldest) = open.first() else { return };
    page.gap();
    page.heading(Tone::Late, "RAGS");
    let coats =
        if open.len() == 1 { "one coat".to_owned() } else { format!("{} coats", open.len()) };
    page.line(
        2,
        &format!(
            "Rags of {coats} not yet dealt with, the oldest from {} ({}).",
            oldest.since.moment(),
            oldest.since.relative()
        ),
    );
    page.line(2, "Once they are: tackfree rags done --how \"…\"");
}

impl Report for RagsList {
    fn text(&self, page: &mut Page) {
        if self.open.is_empty() {
            page.line(0, "No rags are open: every coat's rags are recorded as dealt with.");
            return;
        }
        let rows: Vec<Vec<String>> = self
            .open
            .iter()
            .map(|rags| {
                let heats = match rags.self_heating {
                    Some(true) => "can self-heat",
                    Some(false) => "the sheet says no",
                    None => "unknown: treat as can self-heat",
                };
                vec![
                    rags.entry.to_string(),
                    rags.lot.clone(),
                    rags.finish.clone(),
                    format!("{} ({} h)", rags.since.moment(), rags.hours),
                    heats.to_owned(),
                ]
            })
            .collect();
        page.table(&["entry", "lot", "finish", "since", "self-heating"], &rows);
        page.gap();
        page.line(0, "Once they are dealt with: tackfree rags done --how \"…\"");
    }
}
