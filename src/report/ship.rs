//! A shipment, as it is shown.

use serde::Serialize;

use crate::report::count::{Count, all_of};
use crate::report::page::Tone;
use crate::report::stamp::{Reader, Stamp};
use crate::report::{Page, Report};
use crate::shop::Shop;
use crate::shop::cure::Ground;
use crate::shop::entry::{EntryId, Fact};
use crate::shop::journal::Journal;
use crate::shop::lot::Lot;

/// `ship`.
#[derive(Debug, Clone, Serialize)]
pub struct Shipment {
    /// Its number.
    pub shipment: i64,
    /// To whom.
    pub to: String,
    /// When.
    pub at: Stamp,
    /// The pieces of each lot, and their finish record.
    pub lots: Vec<ShippedLot>,
}

/// The finish record of one lot in a shipment.
#[derive(Debug, Clone, Serialize)]
pub struct ShippedLot {
    /// The lot.
    pub lot: String,
    /// Pieces shipped.
    pub pieces: u32,
    /// The wood, if the setup says.
    pub wood: Option<String>,
    /// The coats.
    pub coats: Vec<CoatLine>,
    /// When the sheet's cure time was reached.
    pub cure_reached: Option<Stamp>,
    /// The sheet's cure time and the sheet.
    pub cure_by: Option<String>,
    /// Whether that rests on the sheet's own interval for want of readings.
    pub cure_assumed: bool,
    /// Allergens by the setup; none listed is `[]`, unknown is null.
    pub contains: Option<Vec<String>>,
    /// What was recorded against the rules.
    pub flags: Vec<String>,
    /// Pieces left of the lot.
    pub left: u32,
}

/// One coat of a finish record.
#[derive(Debug, Clone, Serialize)]
pub struct CoatLine {
    /// The finish.
    pub finish: String,
    /// The can.
    pub can: Option<String>,
    /// The maker's lot number.
    pub maker_lot: Option<String>,
    /// When it was done.
    pub at: Stamp,
}

impl Shipment {
    /// The shipment an entry of that journal records.
    pub fn new(journal: &Journal, entry: EntryId, reader: Reader) -> Self {
        let recorded = journal.added().iter().find(|added| added.id == entry);
        let (to, lots) = match recorded.map(|entry| &entry.fact) {
            Some(Fact::Shipped { to, lots }) => (to.clone(), lots.as_slice()),
            _ => (String::new(), &[][..]),
        };
        let shop = &journal.shop;
        let records = lots.iter().filter_map(|(name, pieces)| {
            Some(ShippedLot::new(shop, shop.lots.get(name)?, *pieces, reader))
        });
        let at = recorded.map_or(reader.now, |entry| entry.at);
        Self { shipment: entry, to, at: reader.stamp(at), lots: records.collect() }
    }
}

impl ShippedLot {
    fn new(shop: &Shop, lot: &Lot, pieces: u32, reader: Reader) -> Self {
        let setup = shop.setup.as_ref();
        let laid = lot.done.iter().filter_map(|done| Some((done, done.coat.as_ref()?)));
        let coats: Vec<CoatLine> = laid
            .map(|(done, coat)| CoatLine {
                finish: coat.finish.clone(),
                can: coat.can.clone(),
                maker_lot: coat.can.as_ref().and_then(|can| shop.cans.get(can)?.maker_lot.clone()),
                at: reader.stamp(done.ended),
            })
            .collect();
        let finish = coats.last().and_then(|coat| setup?.finish(&coat.finish));
        let cure = shop.cure(lot, reader.now);
        Self {
            lot: lot.name.to_string(),
            pieces,
            wood: setup.and_then(|setup| setup.piece(&lot.recipe.piece)?.wood.clone()),
            cure_reached: cure.as_ref().and_then(|cure| cure.at).map(|at| reader.stamp(at)),
            cure_by: finish.map(|finish| {
                let sheet = finish.sheet.as_ref().map_or("no sheet named", |sheet| &sheet.title);
                format!("{} after the last coat, {sheet}", finish.cure)
            }),
            cure_assumed: cure.is_some_and(|cure| cure.ground() != Ground::Readings),
            contains: contains(shop, &coats),
            flags: lot
                .flags
                .iter()
                .map(|flag| {
                    format!("step {}: {}: {}", flag.step, flag.overruled.join(", "), flag.reason)
                })
                .collect(),
            coats,
            left: lot.pieces,
        }
    }
}

/// The allergens of every finish laid; unknown as soon as one finish's are.
fn contains(shop: &Shop, coats: &[CoatLine]) -> Option<Vec<String>> {
    let setup = shop.setup.as_ref()?;
    let mut all = Vec::new();
    for coat in coats {
        all.extend(setup.finish(&coat.finish)?.contains.clone()?);
    }
    all.sort();
    all.dedup();
    Some(all)
}

impl Report for Shipment {
    fn text(&self, page: &mut Page) {
        let pieces: u32 = self.lots.iter().map(|lot| lot.pieces).sum();
        page.heading(
            Tone::Strong,
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
            let wood = lot.wood.as_ref().map_or_else(String::new, |wood| format!(" of {wood}"));
            let left = if lot.left > 0 { format!(", {} left", lot.left) } else { String::new() };
            page.line(0, &format!("{}: {}{wood}{left}", lot.lot, Count(lot.pieces, "piece")));
            for coat in &lot.coats {
                let can = match (&coat.can, &coat.maker_lot) {
                    (Some(can), Some(maker)) => format!("can {can}, maker's lot {maker}"),
                    (Some(can), None) => format!("can {can}, maker's lot unknown"),
                    (None, _) => "can unknown".to_owned(),
                };
                page.hanging(
                    2,
                    4,
                    &format!("coat of {}, {can}, {}", coat.finish, coat.at.moment()),
                );
            }
            if let (Some(reached), Some(by)) = (&lot.cure_reached, &lot.cure_by) {
                let assumed = if lot.cure_assumed {
                    "; in part or whole assumed for want of readings"
                } else {
                    ""
                };
                page.hanging(
                    2,
                    4,
                    &format!(
                        "the sheet's cure time is reached: {} ({by}{assumed})",
                        reached.moment()
                    ),
                );
            }
            page.hanging(
                2,
                4,
                &match &lot.contains {
                    None => "allergens: unknown, the setup says nothing".to_owned(),
                    Some(list) if list.is_empty() => "allergens: the sheet names none".to_owned(),
                    Some(list) => format!("contains: {}", all_of(list)),
                },
            );
            for flag in &lot.flags {
                page.hanging(2, 4, &format!("! {flag}"));
            }
        }
    }
}
