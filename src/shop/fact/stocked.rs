//! What is on hand of something was counted, more of it came, or the moisture of blanks was measured.

use super::{Entry, EntryId, Happened, Objections, Shop, Subject, SubjectKind, When};
use crate::units::{Shown, WoodMoisture};

#[derive(Debug, Clone, PartialEq)]
pub struct Stocked {
    /// A piece, whose blanks are meant; a grit, whose strips are; cloths, gloves.
    pub item: String,
    pub change: StockChange,
}

#[derive(Debug, Clone, PartialEq)]
pub enum StockChange {
    /// So many more.
    Added(u32),
    /// So many in all.
    Counted(u32),
    /// How damp blanks were that lie in that room.
    Moisture { percent: WoodMoisture, room: String },
}

impl Happened for Stocked {
    const WORD: &'static str = "stock";

    fn subjects(&self, _: EntryId) -> Vec<Subject> {
        vec![Subject::new(SubjectKind::Stock, &self.item)]
    }

    fn objections(&self, shop: &Shop, _: When) -> Objections {
        match &self.change {
            StockChange::Moisture { room, .. } => {
                shop.known_piece(&self.item)?;
                shop.known_room(room)?;
            }
            _ => drop(shop.stock_item(&self.item)?),
        }
        Ok(Vec::new())
    }

    fn apply(&self, shop: &mut Shop, entry: &Entry) {
        shop.stock.entry(self.item.clone()).or_default().push((entry.at, self.change.clone()));
    }

    fn said(&self, shop: &Shop) -> String {
        match &self.change {
            StockChange::Added(count) => format!("{}: {count} more", self.item),
            StockChange::Counted(count) => format!("{}: {count} counted", self.item),
            StockChange::Moisture { percent, room } => {
                let percent = Shown::new(*percent, shop.units());
                format!("{}: blanks at {percent} moisture in {room}", self.item)
            }
        }
    }
}
