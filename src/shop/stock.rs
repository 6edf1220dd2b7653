//! What is on hand: blanks by piece, strips by grit, cloths and pairs of gloves, from the last count on.

use std::collections::BTreeMap;

use crate::craft::cover::kit;
use crate::craft::grit::Grade;
use crate::craft::spares::blanks;
use crate::shop::fact::StockChange;
use crate::shop::fold::voided;
use crate::shop::rule::unknown;
use crate::shop::setup::{Piece, Recipe};
use crate::shop::{Entry, Fact, Refusal, Shop};
use crate::time::Instant;

/// Cloths and gloves by the names they are counted under.
pub(crate) const CLOTHS: &str = "cloths";
pub(crate) const GLOVES: &str = "gloves";

/// What of each item some work takes.
pub(crate) type Taken = Vec<(String, u32)>;

/// What is known of an item on hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct OnHand {
    /// Counted last, or added since ever.
    pub(crate) had: u32,
    /// What was done since then took.
    pub(crate) used: u32,
    /// From when on what is done counts.
    pub(crate) since: Instant,
}

impl OnHand {
    /// What is left; none where more was used than there can have been.
    pub(crate) const fn left(self) -> Option<u32> {
        self.had.checked_sub(self.used)
    }
}

impl Shop {
    /// The piece of that name in the setup.
    pub(crate) fn known_piece(&self, name: &str) -> Result<&Piece, Refusal> {
        let setup = self.needs_setup()?;
        let names = setup.pieces.iter().map(|piece| piece.name.as_str());
        setup.piece(name).ok_or_else(|| unknown("piece", name, names))
    }

    /// An item as stock is kept of it: a piece, a grit, cloths or gloves.
    pub(crate) fn stock_item(&self, name: &str) -> Result<String, Refusal> {
        let setup = self.needs_setup()?;
        if [CLOTHS, GLOVES].contains(&name) || setup.piece(name).is_some() {
            return Ok(name.to_owned());
        }
        name.parse::<Grade>().map(|grade| grade.to_string()).map_err(|_| {
            let pieces = setup.pieces.iter().map(|piece| piece.name.as_str());
            unknown("piece or grit, cloths or gloves", name, pieces.chain([CLOTHS, GLOVES]))
        })
    }

    /// From when on what is done has to be read, to say what is on hand of everything.
    pub(crate) fn stock_since(&self) -> Option<Instant> {
        self.stock.values().filter_map(|changes| Some(last_count(changes)?.1)).min()
    }

    /// What is on hand of each item ever counted or added, by the entries since.
    pub(crate) fn on_hand(&self, entries: &[Entry]) -> BTreeMap<String, OnHand> {
        let known = self.stock.iter().filter_map(|(item, changes)| {
            let (had, since) = last_count(changes)?;
            Some((item.clone(), OnHand { had, used: 0, since }))
        });
        let mut known: BTreeMap<String, OnHand> = known.collect();
        let gone = voided(entries);
        for entry in entries.iter().filter(|entry| !gone.contains(&entry.id)) {
            for (item, count) in self.took(&entry.fact) {
                if let Some(item) = known.get_mut(&item).filter(|item| item.since < entry.at) {
                    item.used = item.used.saturating_add(count);
                }
            }
        }
        known
    }

    fn took(&self, fact: &Fact) -> Taken {
        match fact {
            Fact::LotStarted(lot) if lot.from_step == 1 => {
                self.blanks_for(&lot.recipe, lot.pieces).into_iter().collect()
            }
            Fact::StepDone(done) => self
                .lots
                .get(&done.lot)
                .map_or_else(Vec::new, |lot| self.takes(&lot.recipe, done.step, done.pieces)),
            _ => Vec::new(),
        }
    }

    /// What a step takes: the strips of its grit, a coat's cloths and gloves as a kit has them.
    pub(crate) fn takes(&self, recipe: &Recipe, step: u32, pieces: u32) -> Taken {
        let (coat, abrading) = (self.coating(recipe, step, pieces), recipe.abrading(step, pieces));
        let Ok(kit) = kit(coat.as_slice(), abrading.as_slice()) else { return Vec::new() };
        let strips = kit.strips.into_iter().map(|(grade, count)| (grade.to_string(), count));
        let others = [(CLOTHS.to_owned(), kit.cloths), (GLOVES.to_owned(), kit.gloves)];
        strips.chain(others).filter(|(_, count)| *count > 0).collect()
    }

    /// The blanks of so many pieces that are still to be turned.
    pub(crate) fn blanks_for(&self, recipe: &Recipe, pieces: u32) -> Option<(String, u32)> {
        let piece = self.setup.as_ref()?.piece(&recipe.piece)?;
        Some((piece.name.clone(), blanks(pieces, piece.pieces_per_blank).ok()?))
    }
}

/// What was counted last with all that was added since, and when that was; without a count, from the first that came.
fn last_count(changes: &[(Instant, StockChange)]) -> Option<(u32, Instant)> {
    let mut changes: Vec<_> = changes.iter().collect();
    changes.sort_by_key(|(at, _)| *at);
    changes.into_iter().fold(None, |so_far, (at, change)| match (change, so_far) {
        (StockChange::Counted(count), _) => Some((*count, *at)),
        (StockChange::Added(more), Some((had, since))) => Some((had.saturating_add(*more), since)),
        (StockChange::Added(more), None) => Some((*more, *at)),
        (StockChange::Moisture { .. }, so_far) => so_far,
    })
}
