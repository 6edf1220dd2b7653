//! Lots of a handful that have come to where another lot of their batch stands.

use schemars::JsonSchema;
use serde::Serialize;

use crate::shop::due::{Action, Item};
use crate::shop::fact::LotJoined;
use crate::shop::{Fact, LotName, Shop};
use crate::time::Instant;

/// From more pieces on a lot is worth a soak and a cure of its own (a choice).
pub(crate) const HANDFUL: u32 = 5;

/// A lot that may go on in another one.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct ToJoin {
    /// The lot of a few pieces.
    pub(crate) lot: LotName,
    pub(crate) pieces: u32,
    /// The lot at the same step whose name they go on under.
    pub(crate) into: LotName,
}

impl Shop {
    /// Lots of a handful of pieces at the same step as another of their batch, with a coat before both. Each may do it now, so
    /// joining them costs no date; it saves a soak, rags and a cure, and needs no larger rack.
    pub(crate) fn to_join(&self, now: Instant) -> Vec<ToJoin> {
        let items: Vec<Item> =
            self.due(now).into_iter().filter(|item| self.coat_ahead(item)).collect();
        let few = items.iter().filter(|item| item.pieces <= HANDFUL);
        few.filter_map(|item| {
            let order = |item: &Item| (item.pieces, std::cmp::Reverse(item.lot.number));
            let larger = items.iter().filter(|other| order(other) > order(item));
            let into = larger
                .filter(|other| self.may_take(other, item, now))
                .max_by_key(|other| order(other))?;
            Some(ToJoin { lot: item.lot.clone(), pieces: item.pieces, into: into.lot.clone() })
        })
        .collect()
    }

    fn coat_ahead(&self, item: &Item) -> bool {
        let Some(lot) = self.lots.get(&item.lot) else { return false };
        let mut ahead = lot.recipe.numbered().filter(|(number, _)| *number >= item.step);
        item.open && item.action == Action::Do && ahead.any(|(_, step)| step.coat().is_some())
    }

    fn may_take(&self, item: &Item, other: &Item, now: Instant) -> bool {
        let racks = |pieces: u32| {
            let racks = self.setup.iter().flat_map(|setup| &setup.racks);
            racks.filter(|rack| rack.slots >= pieces).count()
        };
        let joined = LotJoined { lot: item.lot.clone(), from: other.lot.clone() };
        racks(item.pieces.saturating_add(other.pieces)) == racks(item.pieces)
            && self.objections(&Fact::LotJoined(joined), now, now).is_ok_and(|all| all.is_empty())
    }
}
