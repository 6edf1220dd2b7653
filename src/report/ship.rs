//! A shipment, as it is shown: the finish record of each lot, and what whoever receives it is to be told.

use serde::Serialize;

use crate::reference;
use crate::report::caution::short::ShortForm;
use crate::report::finish_record::{FinishRecord, care};
use crate::report::page::Tone;
use crate::report::{Page, Report};
use crate::shop::count::{Count, one_of};
use crate::shop::entry::{EntryId, Fact};
use crate::shop::journal::Journal;
use crate::time::{Stamp, Viewpoint};

/// The topics whose short form stands at shipping, in the order in which they are shown.
const AT_SHIPPING: [&str; 4] = ["record", "allergens", "food", "toys"];

/// What is claimed about the pieces.
const CLAIMS: &str = "none, beyond papers enclosed";

/// `ship`.
#[derive(Debug, Clone, Serialize)]
pub struct Shipment {
    pub shipment: i64,
    pub to: String,
    pub at: Stamp,
    /// The pieces of each lot, and their finish record.
    pub lots: Vec<FinishRecord>,
    /// How whoever receives them looks after them.
    pub care: &'static str,
    /// What is claimed about them: nothing.
    pub claims: &'static str,
    /// Who decides what they are fit for.
    pub who_decides: &'static [String],
    /// The cautions at shipping.
    pub cautions: Vec<ShortForm>,
}

impl Shipment {
    /// The shipment an entry of that journal records.
    pub fn new(journal: &Journal, entry: EntryId, view: Viewpoint) -> Self {
        let recorded = journal.added().iter().find(|added| added.id == entry);
        let (to, lots) = match recorded.map(|entry| &entry.fact) {
            Some(Fact::Shipped(shipped)) => (shipped.to.clone(), shipped.lots.as_slice()),
            _ => (String::new(), &[][..]),
        };
        let shop = &journal.shop;
        let records = lots.iter().filter_map(|(name, pieces)| {
            Some(FinishRecord::new(shop, shop.lots.get(name)?, *pieces, view))
        });
        let at = recorded.map_or(view.now, |entry| entry.at);
        Self {
            shipment: entry,
            to,
            at: view.stamp(at),
            lots: records.collect(),
            care: care(),
            claims: CLAIMS,
            who_decides: reference::topic("record").map_or(&[], |topic| &topic.who_decides),
            cautions: AT_SHIPPING.into_iter().map(ShortForm::of).collect(),
        }
    }
}

impl Report for Shipment {
    fn text(&self, page: &mut Page) {
        let pieces: u32 = self.lots.iter().map(|lot| lot.pieces).sum();
        page.toned(
            Tone::Strong,
            0,
            2,
            &format!(
                "Shipment {} to {}: {}, {}",
                self.shipment,
                self.to,
                Count(pieces, "piece"),
                self.at.moment()
            ),
        );
        for lot in &self.lots {
            page.gap();
            lot.text(page);
        }
        page.gap();
        page.hanging(0, 2, &format!("Care: {}", self.care));
        page.hanging(0, 2, &format!("Claims made: {}.", self.claims));
        page.hanging(0, 2, &format!("Who decides: {}.", self.who_decides.join("; ")));
        for caution in &self.cautions {
            caution.lines_text(page);
        }
        page.gap();
        let [first, others @ ..] = AT_SHIPPING;
        page.hanging(0, 2, &format!("More: tackfree caution {first} (or {})", one_of(&others)));
    }
}
