//! Pieces that move through the recipe together were started.

use super::{
    CoatLaid, Entry, EntryId, Happened, LotName, Objections, Refusal, Shop, Subject, SubjectKind,
    When, on,
};
use crate::shop::count::Count;
use crate::shop::lot::{DoneStep, Lot};
use crate::shop::rule::in_order;
use crate::shop::rule::rack::Use;
use crate::shop::setup::Recipe;
use crate::time::Instant;

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LotStarted {
    pub lot: LotName,
    /// The recipe as it stood: the lot keeps it whatever the setup says later.
    pub recipe: Recipe,
    pub revision: u32,
    pub pieces: u32,
    /// Where they stand, if anywhere yet.
    pub rack: Option<String>,
    /// The first step still to do, from 1; the steps before it are taken as done.
    pub from_step: u32,
    /// What is known of those; of the others nothing is.
    pub did: Vec<Did>,
}

/// A step done before its lot was recorded.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Did {
    /// From 1.
    pub step: u32,
    pub at: Instant,
    /// For a coat, the can it came from.
    pub can: Option<String>,
}

impl Happened for LotStarted {
    const WORD: &'static str = "lot start";

    fn subjects(&self, _: EntryId) -> Vec<Subject> {
        let cans = self.did.iter().filter_map(|did| did.can.as_ref());
        let cans = cans.map(|can| Subject::new(SubjectKind::Can, can));
        Subject::of_lot(&self.lot, self.rack.as_ref()).into_iter().chain(cans).collect()
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
        self.did_objections(shop, at)?;
        let after_coats = recipe.last_coat().is_some_and(|last| last < self.from_step);
        let begun_coats = recipe.first_coat().is_some_and(|first| first < self.from_step);
        let Some(rack) = &self.rack else {
            if begun_coats && !after_coats {
                let step = recipe.words(self.from_step);
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
        let done = behind.map(|(step, what)| {
            let did = self.did.iter().find(|did| did.step == step);
            DoneStep {
                entry: entry.id,
                step,
                recorded: did.is_some(),
                begun: None,
                ended: did.map_or(entry.at, |did| did.at),
                pieces: self.pieces,
                coat: what.coat().map(|finish| CoatLaid {
                    finish: finish.to_owned(),
                    can: did.and_then(|did| did.can.clone()),
                    drawn: None,
                }),
                minutes: None,
            }
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
            reworked: 0,
            joined: Vec::new(),
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

impl LotStarted {
    /// What is said to have been done lies before the step to begin with, in order, and not after the lot was taken in.
    fn did_objections(&self, shop: &Shop, at: Instant) -> Result<(), Refusal> {
        let mut last: Option<&Did> = None;
        for did in &self.did {
            let step = self.recipe.step(did.step).filter(|step| !step.is_cure());
            let Some(step) = step.filter(|_| did.step < self.from_step) else {
                return Err(Refusal::NotBefore { step: did.step, from: self.from_step });
            };
            in_order(&format!("step {}", did.step), did.at, last.map_or(did.at, |last| last.at))?;
            in_order(&self.lot.to_string(), at, did.at)?;
            if let Some(can) = &did.can {
                let known = shop.known_can(can)?;
                if step.coat() != Some(known.finish.as_str()) {
                    let (can, holds) = (can.clone(), known.finish.clone());
                    return Err(Refusal::CanOfOther { can, holds, wanted: step.name() });
                }
            }
            last = Some(did);
        }
        Ok(())
    }
}
