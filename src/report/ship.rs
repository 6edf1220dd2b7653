//! A shipment, as it is shown: the finish record of each lot, and what whoever receives it is to be told.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::Serialize;

use crate::reference;
use crate::report::batch::notes;
use crate::report::caution::short::ShortForm;
use crate::report::finish_record::{FinishRecord, care};
use crate::report::{Page, Report, Tone, row};
use crate::shop::{Count, EntryId, Sent, Shop, Subject, SubjectKind, one_of};
use crate::time::{Stamp, Viewpoint};

/// The topics whose short form stands at shipping, in the order in which they are shown.
pub(crate) const AT_SHIPPING: [&str; 4] = ["record", "allergens", "food", "toys"];

/// What is claimed about the pieces.
const CLAIMS: &str = "none, beyond papers enclosed";

/// `ship`: what its maker is told.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Shipped {
    #[serde(flatten)]
    pub(crate) slip: Shipment,
    /// Good pieces still to go, of each batch in it.
    pub(crate) to_go: Vec<ToGo>,
    /// The cautions at shipping.
    pub(crate) cautions: Vec<ShortForm>,
}

/// What is left of a batch's order.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct ToGo {
    pub(crate) batch: String,
    pub(crate) pieces: u32,
}

/// `ship show`: what goes in the box.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Shipment {
    pub(crate) shipment: i64,
    pub(crate) to: String,
    pub(crate) at: Stamp,
    /// The pieces of each lot, and their finish record.
    pub(crate) lots: Vec<FinishRecord>,
    /// Why it did not go, if it was cancelled.
    pub(crate) cancelled: Option<String>,
    pub(crate) returned: Vec<Returned>,
    pub(crate) notes: Vec<String>,
    /// How whoever receives them looks after them.
    pub(crate) care: &'static str,
    /// What is claimed about them: nothing.
    pub(crate) claims: &'static str,
    /// Who decides what they are fit for.
    pub(crate) who_decides: &'static [String],
}

/// Pieces of a lot that came back.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Returned {
    pub(crate) lot: String,
    pub(crate) pieces: u32,
}

/// `ship list`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct ShipmentList {
    /// Newest first.
    pub(crate) shipments: Vec<ShipmentLine>,
}

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct ShipmentLine {
    pub(crate) shipment: i64,
    pub(crate) at: Stamp,
    pub(crate) to: String,
    pub(crate) lots: Vec<String>,
    pub(crate) pieces: u32,
    /// Pieces of those that came back.
    pub(crate) returned: u32,
    pub(crate) cancelled: Option<String>,
}

impl Shipped {
    pub(crate) fn new(shop: &Shop, entry: EntryId, view: Viewpoint) -> Self {
        let sent = shop.shipments.get(&entry);
        let batches = sent.into_iter().flat_map(|sent| &sent.lots).map(|(lot, _)| &lot.batch);
        let batches: BTreeSet<&String> = batches.collect();
        let to_go = batches.into_iter().filter_map(|name| {
            let batch = shop.batches.get(name)?;
            Some(ToGo { batch: name.clone(), pieces: batch.pieces.saturating_sub(batch.gone()) })
        });
        Self {
            slip: Shipment::new(shop, entry, view),
            to_go: to_go.collect(),
            cautions: AT_SHIPPING.into_iter().map(ShortForm::of).collect(),
        }
    }
}

impl Shipment {
    pub(crate) fn new(shop: &Shop, entry: EntryId, view: Viewpoint) -> Self {
        let sent = shop.shipments.get(&entry);
        let (to, lots) =
            sent.map_or((String::new(), &[][..]), |sent| (sent.to.clone(), &sent.lots));
        let records = lots.iter().filter_map(|(name, pieces)| {
            Some(FinishRecord::new(shop, shop.lots.get(name)?, *pieces, view))
        });
        let returned = sent.into_iter().flat_map(|sent| &sent.returned);
        Self {
            shipment: entry,
            to,
            at: view.stamp(sent.map_or(view.now, |sent| sent.at)),
            lots: records.collect(),
            cancelled: sent.and_then(|sent| sent.cancelled.clone()),
            returned: returned
                .map(|(lot, pieces)| Returned { lot: lot.to_string(), pieces: *pieces })
                .collect(),
            notes: notes(shop, &Subject::new(SubjectKind::Shipment, entry)),
            care: care(),
            claims: CLAIMS,
            who_decides: reference::topic("record").map_or(&[], |topic| &topic.who_decides),
        }
    }

    pub(crate) fn pieces(&self) -> u32 {
        self.lots.iter().map(|lot| lot.pieces).sum()
    }
}

impl ShipmentList {
    pub(crate) fn new(shop: &Shop, view: Viewpoint) -> Self {
        let line = |(number, sent): (&EntryId, &Sent)| ShipmentLine {
            shipment: *number,
            at: view.stamp(sent.at),
            to: sent.to.clone(),
            lots: sent.lots.iter().map(|(lot, _)| lot.to_string()).collect(),
            pieces: sent.lots.iter().map(|(_, pieces)| pieces).sum(),
            returned: sent.came_back(),
            cancelled: sent.cancelled.clone(),
        };
        Self { shipments: shop.shipments.iter().rev().map(line).collect() }
    }
}

impl Report for ShipmentList {
    fn text(&self, page: &mut Page) {
        if self.shipments.is_empty() {
            page.say("Nothing was shipped yet. Ship: tackfree ship LOT --to \"…\"");
            return;
        }
        let row = |line: &ShipmentLine| {
            let what = match (&line.cancelled, line.returned) {
                (Some(_), _) => "cancelled".to_owned(),
                (None, 0) => String::new(),
                (None, back) => format!("{back} came back"),
            };
            row![line.shipment, line.at, line.to, line.lots.join(", "), line.pieces, what]
        };
        let rows = self.shipments.iter().map(row);
        page.table(["number", "shipped", "to", "lots", "pieces", ""], rows);
    }
}

impl Report for Shipped {
    fn text(&self, page: &mut Page) {
        let slip = &self.slip;
        let pieces = Count(slip.pieces(), "piece");
        let left = slip.lots.iter().filter(|lot| lot.left > 0);
        let left = left.map(|lot| format!(" {} of {} left.", lot.left, lot.lot));
        let to_go = self.to_go.iter().filter(|batch| batch.pieces > 0);
        let to_go = to_go.map(|batch| format!(" {} of {} to go.", batch.pieces, batch.batch));
        let rest: String = left.chain(to_go).collect();
        page.toned(Tone::Strong, 0, 2, &format!("Shipped {pieces} to {}.{rest}", slip.to));
        page.hang(format!("Slip for the box: tackfree ship show {}", slip.shipment));
        for lot in &slip.lots {
            if let Some(line) = lot.cure_line(|at| at.moment()) {
                page.hang(format!("{}: {line}", lot.lot));
            }
            if let Some(unread) = &lot.cure_unread {
                page.hang(format!("You: {unread}"));
            }
            for flag in &lot.flags {
                page.hang(format!("! {}: {flag}", lot.lot));
            }
        }
        for line in unknown(&slip.lots) {
            page.hang(format!("You: {line}"));
        }
        for caution in &self.cautions {
            caution.lines_text(page);
        }
        page.gap();
        let [first, others @ ..] = AT_SHIPPING;
        page.hang(format!("More: tackfree caution {first} (or {})", one_of(others)));
    }
}

/// What the slip can't say because nobody recorded it, each with how to.
fn unknown(lots: &[FinishRecord]) -> Vec<String> {
    let mut lines = BTreeSet::new();
    for lot in lots {
        for used in lot.finishes.iter().filter(|_| lot.contains.is_none()) {
            let finish = &used.finish;
            lines.insert(format!("say what {finish} contains that people are allergic to: not in the setup (contains)"));
        }
        for coat in &lot.coats {
            match (&coat.can, &coat.maker_lot) {
                (Some(can), None) => lines.insert(format!(
                    "can {can} has no maker's lot on record: tackfree note {can} \"maker's lot …\""
                )),
                (None, _) => lines.insert(format!("{}: the can of a coat isn't recorded", lot.lot)),
                (Some(_), Some(_)) => false,
            };
        }
    }
    lines.into_iter().collect()
}

impl Report for Shipment {
    fn text(&self, page: &mut Page) {
        let pieces = Count(self.pieces(), "piece");
        let head =
            format!("Shipment {} to {}: {pieces}, {}", self.shipment, self.to, self.at.moment());
        page.toned(Tone::Strong, 0, 2, &head);
        if let Some(why) = &self.cancelled {
            page.hang(format!("CANCELLED, it did not go: {why}"));
        }
        for back in &self.returned {
            page.hang(format!("{} of {} came back", Count(back.pieces, "piece"), back.lot));
        }
        for note in &self.notes {
            page.hang(format!("note: {note}"));
        }
        for lot in &self.lots {
            page.gap();
            lot.text(page);
        }
        page.gap();
        page.hang(format!("Care: {}", self.care));
        page.hang(format!("Claims made: {}.", self.claims));
        page.hang(format!("Who decides: {}.", self.who_decides.join("; ")));
    }
}
