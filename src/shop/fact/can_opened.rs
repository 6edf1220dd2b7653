//! A container was opened, or mixed.

use super::{Entry, EntryId, Happened, Objections, Refusal, Shop, Subject, SubjectKind, When};
use crate::shop::Can;
use crate::shop::name::alike;
use crate::units::Litres;

#[derive(Debug, Clone, PartialEq)]
pub struct CanOpened {
    pub can: String,
    pub finish: String,
    /// How much, if said.
    pub litres: Option<Litres>,
    /// The maker's lot number, if said.
    pub maker_lot: Option<String>,
}

impl Happened for CanOpened {
    const WORD: &'static str = "can open";

    fn subjects(&self, _: EntryId) -> Vec<Subject> {
        vec![Subject::new(SubjectKind::Can, &self.can)]
    }

    fn objections(&self, shop: &Shop, _: When) -> Objections {
        shop.known_finish(&self.finish)?;
        if let Some(name) = shop.cans.keys().find(|name| alike(name, &self.can)) {
            return Err(Refusal::NameTaken { what: SubjectKind::Can, name: name.clone() });
        }
        Ok(Vec::new())
    }

    fn apply(&self, shop: &mut Shop, entry: &Entry) {
        let can = Can {
            name: self.can.clone(),
            finish: self.finish.clone(),
            opened: entry.at,
            litres: self.litres,
            maker_lot: self.maker_lot.clone(),
            emptied: None,
            coats: 0,
            drawn: Litres::ZERO,
            not_reckoned: 0,
        };
        shop.cans.insert(self.can.clone(), can);
    }

    fn said(&self, _: &Shop) -> String {
        let lot = self.maker_lot.as_ref();
        let lot = lot.map_or_else(String::new, |lot| format!(", maker's lot {lot}"));
        format!("{} of {}{lot}", self.can, self.finish)
    }
}
