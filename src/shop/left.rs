//! What the times of a batch or a lot say: where they are lost, how they fall, what is left to do.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Serialize, Serializer};

use crate::craft::pace::{ENOUGH_SAMPLES, Loss, PaceError, fit, losses, pace, saved};
use crate::shop::pace::{Sample, TimedStep};
use crate::shop::setup::Recipe;
use crate::shop::{Batch, LotName, Shop};
use crate::time::{Instant, Span, local_date};

#[derive(Debug, Clone, Copy)]
pub(crate) struct Whose<'a> {
    pub(crate) batch: &'a Batch,
    pub(crate) lot: Option<&'a LotName>,
}

/// The times of a batch or a lot.
#[derive(Debug, Clone)]
pub(crate) struct Times {
    /// Whether they are those of earlier batches by the same recipe, where it has none of its own.
    pub(crate) of_earlier: bool,
    /// The recipe's steps by hand, in order, then splits that are no step.
    pub(crate) steps: Vec<StepTimes>,
    /// Steps that lose against their best, most first.
    pub(crate) losses: Vec<Loss>,
}

/// One step or split. Times in seconds a piece.
#[derive(Debug, Clone, JsonSchema, Serialize)]
#[schemars(rename = "StepLine")]
pub(crate) struct StepTimes {
    /// What a person calls it.
    pub(crate) name: String,
    /// Its number in the recipe, from 1.
    pub(crate) step: Option<u32>,
    /// How many times were taken.
    pub(crate) samples: usize,
    pub(crate) median: Option<f64>,
    pub(crate) best: Option<f64>,
    /// The middle one of the last ten.
    pub(crate) last_ten: Option<f64>,
    /// What due and the plan reckon with.
    pub(crate) each: f64,
    /// samples or recipe.
    pub(crate) each_from: &'static str,
    /// The learning curve, from five times on.
    pub(crate) curve: Option<Practice>,
    /// Pieces still to do.
    pub(crate) todo: u32,
    /// Hands' hours that takes.
    #[serde(rename = "left_hours", serialize_with = "in_hours")]
    pub(crate) left: f64,
}

/// Seconds as hours.
#[expect(clippy::trivially_copy_pass_by_ref, reason = "as serde calls it")]
fn in_hours<S: Serializer>(seconds: &f64, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_f64(seconds / 3600.0)
}

#[derive(Debug, Clone, JsonSchema, Serialize)]
#[schemars(rename = "CurveLine")]
pub(crate) struct Practice {
    /// The first piece's time, s.
    pub(crate) first: f64,
    /// What a doubling of the pieces leaves of the time, %.
    pub(crate) slope_percent: f64,
    /// r² of the logarithms; null where all times are the same.
    pub(crate) fit: Option<f64>,
}

/// What a target would save.
#[derive(Debug, Clone, JsonSchema, Serialize)]
#[schemars(rename = "TargetLine")]
pub(crate) struct Saving {
    /// The step; null for all that was timed.
    pub(crate) name: Option<String>,
    /// The target, s a piece.
    pub(crate) target: f64,
    /// The middle time now, s a piece.
    pub(crate) now: f64,
    /// For so many pieces.
    pub(crate) pieces: u32,
    pub(crate) saved_hours: f64,
}

/// When so much work is over, if hands did nothing else.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct OpenTime {
    /// Days the shop is open for it, today included if work is done today.
    pub(crate) days: u32,
    pub(crate) ends: Instant,
}

impl Shop {
    /// The times of a batch or a lot, step by step, and what is left to do of it.
    pub(crate) fn times(&self, whose: Whose<'_>, recipe: &Recipe) -> Result<Times, PaceError> {
        let all: Vec<&Sample> = self
            .samples
            .get(&recipe.name)
            .iter()
            .flat_map(|steps| steps.values().flatten())
            .collect();
        let of_batch = |sample: &&Sample| {
            sample.lot.batch == whose.batch.name && whose.lot.is_none_or(|lot| sample.lot == *lot)
        };
        let own: Vec<&Sample> = all.iter().copied().filter(of_batch).collect();
        let of_earlier = own.is_empty() && !all.is_empty();
        let chosen = if of_earlier { all } else { own };
        let mut by_step: BTreeMap<&TimedStep, Vec<&Sample>> = BTreeMap::new();
        for sample in chosen {
            by_step.entry(&sample.step).or_default().push(sample);
        }
        let by_hand = recipe.numbered().filter(|(_, step)| !step.is_cure());
        let mut keys: Vec<TimedStep> =
            by_hand.filter_map(|(number, _)| recipe.timed_step(number)).collect();
        let others = by_step.keys().filter(|step| recipe.step_timed(step).is_none());
        keys.extend(others.map(|step| (*step).clone()));
        let mut steps = Vec::new();
        for key in &keys {
            let samples = by_step.get(key).map(Vec::as_slice).unwrap_or_default();
            let learns = if of_earlier { &[] } else { samples };
            steps.push(self.step_times(whose, recipe, key, samples, learns)?);
        }
        let seconds: Vec<(String, Vec<f64>)> = by_step
            .iter()
            .map(|(step, samples)| (step.to_string(), samples.iter().map(|s| s.seconds).collect()))
            .collect();
        let losses = losses(seconds.iter().map(|(step, times)| (step.as_str(), times.as_slice())))?;
        Ok(Times { of_earlier, steps, losses })
    }

    fn step_times(
        &self,
        whose: Whose<'_>,
        recipe: &Recipe,
        key: &TimedStep,
        samples: &[&Sample],
        learns: &[&Sample],
    ) -> Result<StepTimes, PaceError> {
        let number = recipe.step_timed(key);
        let seconds: Vec<f64> = samples.iter().map(|sample| sample.seconds).collect();
        let pace = if seconds.is_empty() { None } else { Some(pace(&seconds)?) };
        let points: Vec<(u32, f64)> =
            learns.iter().map(|sample| (sample.number.max(1), sample.seconds)).collect();
        // Times of one and the same piece show no learning; that isn't a fault.
        let curve = fit(&points).ok().filter(|curve| curve.samples >= ENOUGH_SAMPLES);
        let each = number.map_or(Span::ZERO, |number| self.each(recipe, number));
        let each = f64::from(u32::try_from(each.as_seconds()).unwrap_or(u32::MAX));
        let todo = number.map_or(0, |number| self.todo(whose, number));
        let by_curve = curve
            .filter(|_| number.is_none_or(|number| !is_coat(recipe, number)))
            .zip(pace)
            .map(|(curve, pace)| curve.left(self.made(&whose.batch.name, key), todo, pace.best));
        let left = by_curve.filter(|left| left.is_finite());
        let left = left.unwrap_or_else(|| match number.filter(|n| is_coat(recipe, *n)) {
            // A coat takes the waiting between applying and wiping as well.
            Some(number) => f64::from(self.minutes(recipe, number, todo)) * 60.0,
            None => each * f64::from(todo),
        });
        let taken = number.is_some_and(|number| self.sampled(recipe, number).is_some());
        Ok(StepTimes {
            name: key.to_string(),
            step: number,
            samples: pace.map_or(0, |pace| pace.samples),
            median: pace.map(|pace| pace.median),
            best: pace.map(|pace| pace.best),
            last_ten: pace.map(|pace| pace.last_ten),
            each,
            each_from: if taken { "samples" } else { "recipe" },
            curve: curve.map(|curve| Practice {
                first: curve.first,
                slope_percent: curve.slope_percent(),
                fit: curve.fit,
            }),
            todo,
            left,
        })
    }

    /// Pieces that have that step before them: those in hand, and of a batch those to be started yet if none fails.
    fn todo(&self, whose: Whose<'_>, step: u32) -> u32 {
        let batch = whose.batch;
        let lots = self.open_lots().filter(|lot| match whose.lot {
            Some(name) => lot.name == *name,
            None => lot.name.batch == batch.name,
        });
        let before = lots.filter(|lot| lot.next <= step).map(|lot| lot.pieces);
        let in_hand = before.fold(0, u32::saturating_add);
        if whose.lot.is_some() || batch.closed.is_some() {
            return in_hand;
        }
        let accounted = self.in_hand(&batch.name).saturating_add(batch.gone());
        in_hand.saturating_add(batch.pieces.saturating_sub(accounted))
    }

    /// When the shop has been open long enough for so many seconds of hands' time; none where that is not within two years.
    pub(crate) fn open_time(&self, from: Instant, seconds: f64) -> Option<OpenTime> {
        const TWO_YEARS: Span = Span::days(731);
        let shop = &self.setup.as_ref()?.shop;
        let mut left = seconds / f64::from(shop.hands.max(1));
        let mut days: BTreeSet<NaiveDate> = BTreeSet::new();
        for (opens, closes) in shop.hours.stretches(shop.zone, from, TWO_YEARS.after(from)) {
            days.insert(local_date(opens, shop.zone));
            let open = Span::between(opens, closes);
            let open_seconds = f64::from(u32::try_from(open.as_seconds()).unwrap_or(u32::MAX));
            if open_seconds >= left {
                #[expect(clippy::cast_possible_truncation, reason = "no more than the stretch")]
                let last = Span::seconds(left.max(0.0).ceil() as i64);
                let days = u32::try_from(days.len()).unwrap_or(u32::MAX);
                return Some(OpenTime { days, ends: last.after(opens) });
            }
            left -= open_seconds;
        }
        None
    }
}

fn is_coat(recipe: &Recipe, step: u32) -> bool {
    recipe.step(step).is_some_and(|step| step.coat().is_some())
}

impl Times {
    /// All that is left to do, s of hands' time.
    pub(crate) fn left(&self) -> f64 {
        self.steps.iter().map(|step| step.left).sum()
    }

    /// What a target a piece would save: over all that was timed, or in one step. Nothing where that was not timed.
    pub(crate) fn saving(&self, target: Span, of: Option<&str>) -> Option<Saving> {
        let wanted = |step: &&StepTimes| match of {
            Some(name) => step.name.eq_ignore_ascii_case(name),
            None => true,
        };
        let timed: Vec<&StepTimes> =
            self.steps.iter().filter(wanted).filter(|step| step.median.is_some()).collect();
        let first = timed.first()?;
        let now = timed.iter().filter_map(|step| step.median).sum();
        let target = f64::from(u32::try_from(target.as_seconds()).unwrap_or(u32::MAX));
        // A split that isn't a step of the recipe is done on every piece that is still to be begun.
        let pieces = first
            .step
            .map_or_else(|| self.steps.first().map_or(0, |step| step.todo), |_| first.todo);
        let name = of.map(|_| first.name.clone());
        let saved_hours = saved(now, target, pieces) / 3600.0;
        Some(Saving { name, target, now, pieces, saved_hours })
    }
}
