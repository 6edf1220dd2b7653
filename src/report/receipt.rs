//! What a recording command answers: what was written down, and what comes next.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::Serialize;

use crate::report::caution::short::ShortForm;
use crate::report::coating::Coating;
use crate::report::due::DueItem;
use crate::report::ledger::EntryLine;
use crate::report::{Page, Report, closed_window};
use crate::shop::due::Action;
use crate::shop::{Count, Entry, Fact, Journal, Lot, LotName, SubjectKind};
use crate::time::Viewpoint;

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Receipt {
    /// The entries, in order.
    pub(crate) recorded: Vec<EntryLine>,
    /// What comes next for the lots touched.
    pub(crate) next: Vec<DueItem>,
    /// The coats begun: their groups, and the room's air.
    pub(crate) coats: Vec<Coating>,
    /// Lots and batches that this made.
    pub(crate) made: Vec<String>,
    /// Plain words the person should see besides.
    pub(crate) notes: Vec<String>,
    /// The short cautions that go with it: air before a coat, dust before sanding, rags after a coat.
    pub(crate) cautions: Vec<ShortForm>,
}

impl Receipt {
    pub(crate) fn new(journal: &Journal, view: Viewpoint) -> Self {
        let added = journal.added();
        let lots: Vec<&Lot> =
            lots_of(added).iter().filter_map(|name| journal.shop.lots.get(name)).collect();
        let next = lots.iter().filter(|lot| lot.pieces > 0 && lot.held.is_none());
        let made = added.iter().filter_map(|entry| match &entry.fact {
            Fact::LotStarted(started) => Some(started.lot.to_string()),
            Fact::LotSplit(split) => Some(split.into.to_string()),
            Fact::LotReworked(back) if back.into != back.lot => Some(back.into.to_string()),
            Fact::LotGiven(given) => Some(given.into.to_string()),
            Fact::PiecesReturned(back) => Some(back.into.to_string()),
            Fact::BatchOpened(opened) => Some(opened.batch.clone()),
            Fact::CanOpened(opened) => Some(opened.can.clone()),
            _ => None,
        });
        Self {
            recorded: EntryLine::all(added, &journal.entries, &journal.shop, view),
            next: next
                .map(|lot| DueItem::new(&journal.shop.next_item(lot, view.now), view))
                .collect(),
            coats: Coating::all(added, &journal.shop, view),
            made: made.collect(),
            notes: closed_window::warnings(added, &journal.shop, view),
            cautions: ShortForm::all(added, &journal.shop),
        }
    }

    /// Adds a line the person should see.
    #[must_use]
    pub(crate) fn with_note(mut self, note: Option<String>) -> Self {
        self.notes.extend(note);
        self
    }
}

fn lots_of(entries: &[Entry]) -> BTreeSet<LotName> {
    let subjects = entries.iter().flat_map(Entry::subjects);
    let names = subjects.filter(|subject| subject.kind == SubjectKind::Lot);
    names.filter_map(|subject| subject.name.parse().ok()).collect()
}

impl Report for Receipt {
    fn text(&self, page: &mut Page) {
        for line in &self.recorded {
            page.hang(format!("{}: {}, {}", line.what, line.about, line.at.moment()));
            if let Some(reason) = &line.anyway {
                page.item(format!("! recorded against the rules, flagged for good: {reason}"));
            }
        }
        for item in &self.next {
            let action = match item.action {
                Action::Finish => {
                    format!("{} is begun: {}", item.words, Count(item.pieces, "piece"))
                }
                _ => item.words.clone(),
            };
            page.hang(format!("next: {} {action}, {}", item.lot, item.when()));
        }
        for coat in &self.coats {
            coat.text(page);
        }
        for note in &self.notes {
            page.hang(note);
        }
        for caution in &self.cautions {
            caution.text(page);
        }
    }
}
