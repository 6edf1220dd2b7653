//! Pieces that move through the recipe together were started.

use serde::{Deserialize, Serialize};

use super::{
    CoatLaid, Entry, EntryId, Happened, LotName, Objections, Refusal, Shop, Subject, SubjectKind,
    When, on,
};
use crate::shop::count::Count;
use crate::shop::lot::{DoneStep, Lot};
use crate::shop::rule::rack::Use;
use crate::shop::setup::{Recipe, Step};

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LotStarted {
    pub lot: LotName,
    /// The recipe as it stood: the lot keeps it whatever the setup says later.
    pub recipe: Recipe,
    pub revision: u32,
    pub pieces: u32,
    /// Where they stand, if anywhere yet.
    pub rack: Option<String>,
    /// The first step still to do, from 1; the steps before it are taken as done, the last of them at this moment.
    pub from_step: u32,
}

impl Happened for LotStarted {
    const WORD: &'static str = "lot start";

    fn subjects(&self, _: EntryId) -> Vec<Subject> {
        Subject::of_lot(&self.lot, self.rack.as_ref())
    }

    fn objections(&self, shop: &Shop, When { at, .. }: When) -> Objections {
        let Self { lot, recipe, pieces, .. } = self;
        shop.open_batch(&lot.batch, at)?;
        if *pieces == 0 {
            return Err(Refusal::NoPieces);
        }
        if shop.lots.contains_key(lot) {
            return Err(Refusal::NameTaken { what: SubjectKind::Lot, name: lot.to_string() });
        }
        let after_coats = recipe.last_coat().is_some_and(|last| last < self.from_step);
        let begun_coats = recipe.first_coat().is_some_and(|first| first < self.from_step);
        let Some(rack) = &self.rack else {
            if begun_coats && !after_coats {
                let step = recipe.step(self.from_step).map_or_else(String::new, Step::name);
                return Err(shop.no_rack(lot, &step, *pieces, Use::Dry, at));
            }
            return Ok(Vec::new());
        };
        shop.has_room(rack, *pieces, at, None)?;
        if after_coats {
            return Ok(Vec::new());
        }
        Ok(shop.wrong_rack(lot, *pieces, rack, Use::Dry, at).into_iter().collect())
    }

    fn apply(&self, shop: &mut Shop, entry: &Entry) {
        let behind = self.recipe.numbered();
        let behind = behind.filter(|(number, step)| *number < self.from_step && !step.is_cure());
        let done = behind.map(|(step, what)| DoneStep {
            entry: entry.id,
            step,
            begun: None,
            ended: entry.at,
            pieces: self.pieces,
            coat: what.coat().map(|finish| CoatLaid {
                finish: finish.to_owned(),
                can: None,
                drawn: None,
            }),
            minutes: None,
        });
        let mut lot = Lot {
            name: self.lot.clone(),
            recipe: self.recipe.clone(),
            revision: self.revision,
            pieces: self.pieces,
            next: self.from_step,
            begun: None,
            done: done.collect(),
            standing: Vec::new(),
            held: None,
            touches: Vec::new(),
            flags: Vec::new(),
            last_at: entry.at,
            split_from: None,
        };
        lot.flag(entry, self.from_step);
        lot.stands(entry.at, self.rack.clone());
        if let Some(batch) = shop.batches.get_mut(&self.lot.batch) {
            batch.started += self.pieces;
            batch.lots = batch.lots.max(self.lot.number);
        }
        shop.lots.insert(self.lot.clone(), lot);
    }

    fn said(&self, _: &Shop) -> String {
        format!("{}: {}{}", self.lot, Count(self.pieces, "piece"), on(self.rack.as_ref()))
    }
}
