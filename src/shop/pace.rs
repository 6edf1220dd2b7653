//! Pace: the times of single pieces that the ledger holds, and what stands in for a recipe's own times once there are enough.

use std::collections::BTreeSet;
use std::fmt;

use serde::Serialize;

use crate::craft::pace::{ENOUGH_SAMPLES, pace};
use crate::shop::setup::Recipe;
use crate::shop::{EntryId, Lot, LotName, Shop};
use crate::time::{Instant, Span};

/// A step as its times are kept: by its name, and which of that name it is in the recipe. A revision that puts in a step
/// before it loses none of them. A split that isn't a step of the recipe goes by its own name.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct TimedStep {
    /// "sand P180".
    pub name: String,
    /// Which one of that name, from 1.
    pub nth: u32,
}

/// Whose pace the minutes of a step tell.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Timed {
    pub recipe: String,
    pub step: TimedStep,
    /// Pieces of the batch that had been through that step before.
    pub before: u32,
}

/// What a stopwatch took down of one step or split.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct TimedSplit {
    /// The step or split.
    pub step: TimedStep,
    /// Pieces of the batch that had been through it before.
    pub before: u32,
    /// Seconds of each piece, in order.
    pub seconds: Vec<u32>,
}

/// The time of one piece, or of each piece of a lot.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Sample {
    /// The entry that says so.
    pub(crate) entry: EntryId,
    /// When it was taken.
    pub(crate) at: Instant,
    pub(crate) lot: LotName,
    /// The step or split.
    pub(crate) step: TimedStep,
    /// The piece's number in its batch, from 1; of a lot the middle one.
    pub(crate) number: u32,
    /// How many pieces were timed together.
    pub(crate) pieces: u32,
    /// Seconds a piece.
    pub(crate) seconds: f64,
}

impl fmt::Display for TimedStep {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.nth {
            1 => f.write_str(&self.name),
            nth => write!(f, "{} ({nth})", self.name),
        }
    }
}

impl Recipe {
    /// The step of that number, as its times are kept.
    pub(crate) fn timed_step(&self, number: u32) -> Option<TimedStep> {
        let name = self.step(number)?.name();
        let same = |&(other, step): &(u32, &crate::shop::setup::Step)| {
            other <= number && step.name() == name
        };
        let nth = u32::try_from(self.numbered().filter(same).count()).unwrap_or(u32::MAX);
        Some(TimedStep { name, nth })
    }

    /// The number of the step whose times are kept so.
    pub(crate) fn step_timed(&self, step: &TimedStep) -> Option<u32> {
        let named = self.numbered().filter(|(_, other)| other.name() == step.name);
        let back = usize::try_from(step.nth.checked_sub(1)?).ok()?;
        named.map(|(number, _)| number).nth(back)
    }
}

impl Shop {
    pub(super) fn take_sample(&mut self, recipe: &str, sample: Sample) {
        let samples = self.samples.entry(recipe.to_owned()).or_default();
        samples.entry(sample.step.clone()).or_default().push(sample);
    }

    /// The times of a step, oldest first, of every batch by that recipe that was read.
    pub(crate) fn samples_of(&self, recipe: &str, step: &TimedStep) -> &[Sample] {
        let of_step = self.samples.get(recipe).and_then(|steps| steps.get(step));
        of_step.map(Vec::as_slice).unwrap_or_default()
    }

    /// Hands' time one piece takes in that step: from five samples on the middle of the last ten, else the recipe's own.
    pub(crate) fn each(&self, recipe: &Recipe, step: u32) -> Span {
        let own = recipe.step(step).map_or(Span::ZERO, crate::shop::setup::Step::each);
        self.sampled(recipe, step).unwrap_or(own)
    }

    /// What samples say one piece takes in that step, once there are enough. Of a coat only those of whole lots count: the
    /// stopwatch on single pieces leaves out the waiting between applying and wiping.
    pub(crate) fn sampled(&self, recipe: &Recipe, step: u32) -> Option<Span> {
        let key = recipe.timed_step(step)?;
        let samples = self.samples_of(&recipe.name, &key);
        // Asked for every lot in hand: the newest are enough.
        let coat = recipe.step(step).is_some_and(|step| step.coat().is_some());
        let newest = samples.iter().rev().filter(|sample| !coat || sample.pieces > 1).take(10);
        let seconds: Vec<f64> = newest.map(|sample| sample.seconds).collect();
        let pace = pace(&seconds).ok().filter(|pace| pace.samples >= ENOUGH_SAMPLES)?;
        #[expect(
            clippy::cast_possible_truncation,
            reason = "a cast saturates, and no step takes that long"
        )]
        let seconds = pace.last_ten.round().max(1.0) as i64;
        Some(Span::try_seconds(seconds).unwrap_or(Span::ZERO)).filter(|span| !span.is_zero())
    }

    /// Hands' minutes of that step for so many pieces, rounded up: by the samples once there are enough, else as the recipe
    /// has it, a coat in its groups.
    pub(crate) fn minutes(&self, recipe: &Recipe, step: u32, pieces: u32) -> u32 {
        let by_recipe = || recipe.step(step).map_or(0, |step| self.worked_minutes(step, pieces));
        self.sampled(recipe, step).map_or_else(by_recipe, |each| {
            u32::try_from(each.times(u64::from(pieces)).minutes_up()).unwrap_or(u32::MAX)
        })
    }

    /// Pieces of a batch that have been through a step, those thrown out since included.
    pub(crate) fn made(&self, batch: &str, step: &TimedStep) -> u32 {
        let lots = self.lots.values().filter(|lot| lot.name.batch == batch);
        // A split lot brings what was done before the split with it.
        let done: BTreeSet<(EntryId, u32)> = lots
            .flat_map(|lot| lot.done.iter().map(move |done| (lot, done)))
            .filter(|(lot, done)| lot.recipe.timed_step(done.step).as_ref() == Some(step))
            .map(|(_, done)| (done.entry, done.pieces))
            .collect();
        done.iter().fold(0, |all: u32, (_, pieces)| all.saturating_add(*pieces))
    }

    /// Pieces of a lot whose times in a step are taken already though that step is not done.
    fn timed_ahead(&self, lot: &Lot, step: &TimedStep) -> u32 {
        let ahead = lot.recipe.step_timed(step).is_none_or(|number| lot.next <= number);
        let samples = self.samples_of(&lot.recipe.name, step);
        let own = samples.iter().filter(|sample| ahead && sample.lot == lot.name);
        own.fold(0, |all: u32, sample| all.saturating_add(sample.pieces))
    }

    /// How many pieces of its batch had been through a step when this lot comes to it.
    pub(crate) fn before(&self, lot: &Lot, step: &TimedStep) -> u32 {
        self.made(&lot.name.batch, step).saturating_add(self.timed_ahead(lot, step))
    }

    /// What minutes for that step of that lot would tell the pace of.
    pub fn timed(&self, lot: &Lot, step: u32) -> Option<Timed> {
        let key = lot.recipe.timed_step(step)?;
        // The lot as a whole begins where the batch stood before it.
        let before = self.made(&lot.name.batch, &key);
        Some(Timed { recipe: lot.recipe.name.clone(), step: key, before })
    }
}
