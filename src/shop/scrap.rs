//! Scrap: what was thrown out at which step, in a batch and in the batches before it, and what that makes of the promise.

use std::collections::{BTreeMap, BTreeSet};

use crate::craft::spares::{Prior, Seen, SparesError, Stage, Start, blanks, chance, to_start};
use crate::shop::fold::voided;
use crate::shop::pace::TimedStep;
use crate::shop::setup::Recipe;
use crate::shop::{Batch, Entry, EntryId, Fact, Lot, Shop};
use crate::units::Sureness;

/// Once all that was started has a coat, no pieces are made up for those that failed while what is left is as likely to be
/// enough: they would take a soak, rags and a cure of their own (a choice).
pub(crate) const ENOUGH: f64 = 0.8;

/// One stage of the work.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct StageSeen {
    pub(crate) step: TimedStep,
    /// Its number in the recipe, from 1.
    pub(crate) number: u32,
    /// Scrap of those judged, in all batches read.
    pub(crate) seen: Seen,
    /// Pieces of this batch that have it before them and nothing earlier.
    pub(crate) waiting: u32,
}

/// How a batch stands towards what it promised.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Prospect {
    /// Good pieces still needed, those shipped or through every step taken off.
    pub(crate) need: u32,
    /// Pieces started that are still on their way.
    pub(crate) on_the_way: u32,
    pub(crate) stages: Vec<StageSeen>,
    /// The chance that what is started is enough.
    pub(crate) chance: f64,
    pub(crate) start: Start,
    /// Blanks that takes; none where the setup does not know the piece.
    pub(crate) blanks: Option<u32>,
    pub(crate) pieces_per_blank: Option<u32>,
    /// Whether rejects have made the promised count unlikely: some were thrown out, as many as promised were started, and
    /// the chance is under four in five.
    pub(crate) unlikely: bool,
}

impl Shop {
    /// How a batch stands towards its promised count; nothing where its recipe is not known any more. Where nobody says how
    /// `sure` to be, as many are started as make it usually sure, and what fails under its coats is made up once that is unlikely.
    pub(crate) fn prospect(
        &self,
        batch: &Batch,
        entries: &[Entry],
        sure: Option<Sureness>,
    ) -> Option<Result<Prospect, SparesError>> {
        let recipe = self.recipe_of(batch)?;
        Some(self.prospect_by(recipe, batch, entries, sure))
    }

    /// The recipe a batch goes by: as the setup has it, else as its last lot does.
    pub(crate) fn recipe_of(&self, batch: &Batch) -> Option<&Recipe> {
        let mut lots = self.lots.values().filter(|lot| lot.name.batch == batch.name);
        let of_setup = self.setup.as_ref().and_then(|setup| setup.recipe(&batch.recipe));
        of_setup.or_else(|| lots.next_back().map(|lot| &lot.recipe))
    }

    fn prospect_by(
        &self,
        recipe: &Recipe,
        batch: &Batch,
        entries: &[Entry],
        sure: Option<Sureness>,
    ) -> Result<Prospect, SparesError> {
        let mut stages = self.stages(recipe, entries)?;
        let mut good = batch.gone();
        for lot in self.open_lots().filter(|lot| lot.name.batch == batch.name) {
            match stage_of(&mut stages, lot) {
                Some(stage) => stage.waiting = stage.waiting.saturating_add(lot.pieces),
                None => good = good.saturating_add(lot.pieces),
            }
        }
        let need = batch.pieces.saturating_sub(good);
        let known: Vec<Stage> =
            stages.iter().map(|stage| Stage { seen: stage.seen, waiting: stage.waiting }).collect();
        let mut start = to_start(need, &known, Prior::USUAL, sure.unwrap_or(Sureness::USUAL))?;
        let chance = chance(need, 0, &known, Prior::USUAL);
        let enough = chance >= ENOUGH;
        let uncoated = |lot: &Lot| lot.name.batch == batch.name && lot.last_coat().is_none();
        let early = batch.started == 0 || self.open_lots().any(uncoated);
        if sure.is_none() && enough && !early {
            let spares = start.spares.saturating_sub(start.pieces);
            start = Start { pieces: 0, spares, chance, ..start };
        }
        let piece = self.setup.as_ref().and_then(|setup| setup.piece(&recipe.piece));
        let pieces_per_blank = piece.map(|piece| piece.pieces_per_blank);
        Ok(Prospect {
            need,
            on_the_way: stages.iter().fold(0, |all: u32, s| all.saturating_add(s.waiting)),
            stages,
            chance,
            start,
            blanks: pieces_per_blank.map(|each| blanks(start.pieces, each)).transpose()?,
            pieces_per_blank,
            unlikely: batch.rejected > 0 && batch.started >= batch.pieces && !enough,
        })
    }

    /// The steps hands do, with what was seen at each in every batch of that recipe that was read. A piece is judged at a
    /// step by being done there or thrown out there.
    fn stages(&self, recipe: &Recipe, entries: &[Entry]) -> Result<Vec<StageSeen>, SparesError> {
        let gone = voided(entries);
        let mut seen: BTreeMap<TimedStep, (u32, u32)> = BTreeMap::new();
        for entry in entries.iter().filter(|entry| !gone.contains(&entry.id)) {
            let (lot, step, scrap, pieces) = match &entry.fact {
                Fact::StepDone(done) => (&done.lot, done.step, 0, done.pieces),
                Fact::PiecesRejected(gone) => (&gone.lot, gone.step, gone.pieces, gone.pieces),
                _ => continue,
            };
            let lot = self.lots.get(lot).filter(|lot| lot.recipe.name == recipe.name);
            if let Some(key) = lot.and_then(|lot| lot.recipe.timed_step(step)) {
                let (thrown, judged) = seen.entry(key).or_default();
                *thrown = thrown.saturating_add(scrap);
                *judged = judged.saturating_add(pieces);
            }
        }
        // Where some were thrown out of a lot that still waits at that step, those left of it were looked at as well.
        for lot in self.open_lots().filter(|lot| lot.recipe.name == recipe.name) {
            let key = lot.next_step().and_then(|(number, _)| lot.recipe.timed_step(number));
            if let Some((_, judged)) =
                key.filter(|_| thrown_from(lot, entries, &gone)).and_then(|key| seen.get_mut(&key))
            {
                *judged = judged.saturating_add(lot.pieces);
            }
        }
        let by_hand = recipe.numbered().filter(|(_, step)| !step.is_cure());
        let stage = |(number, _)| {
            let step = recipe.timed_step(number)?;
            let (scrap, of) = seen.get(&step).copied().unwrap_or_default();
            Some(Seen::new(scrap, of).map(|seen| StageSeen { step, number, seen, waiting: 0 }))
        };
        by_hand.filter_map(stage).collect()
    }

    /// The batches of that recipe that were read.
    pub(crate) fn batches_by(&self, recipe: &str) -> BTreeSet<&str> {
        let by = self.batches.values().filter(|batch| batch.recipe == recipe);
        by.map(|batch| batch.name.as_str()).collect()
    }
}

/// Whether pieces of that lot were thrown out at the step it waits at.
fn thrown_from(lot: &Lot, entries: &[Entry], gone: &BTreeSet<EntryId>) -> bool {
    let next = lot.next_step().map(|(number, _)| number);
    entries.iter().any(|entry| match &entry.fact {
        Fact::PiecesRejected(thrown) => {
            thrown.lot == lot.name && Some(thrown.step) == next && !gone.contains(&entry.id)
        }
        _ => false,
    })
}

/// The stage a lot waits at, in the recipe as it is now; none where every step is done. A lot whose next step is gone from
/// the recipe waits at the first stage that is no earlier.
fn stage_of<'s>(stages: &'s mut [StageSeen], lot: &Lot) -> Option<&'s mut StageSeen> {
    let (number, _) = lot.next_step()?;
    let key = lot.recipe.timed_step(number)?;
    let place = stages.iter().position(|stage| stage.step == key);
    let place = place.or_else(|| stages.iter().position(|stage| stage.number >= number));
    stages.get_mut(place.unwrap_or(stages.len().saturating_sub(1)))
}
