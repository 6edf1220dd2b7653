//! Which sizes the lots still to start get: each way of parting a batch's pieces is planned with a little effort, and the best
//! is kept.

use crate::plan::draft::{Draft, ToStart};
use crate::plan::engine::{Answer, Minute, Plan, Values};
use crate::plan::lots::ways;
use crate::plan::shop_plan::{Asked, NoPlan, Watch, ask, both_uses};
use crate::shop::plan::ShopPlan;
use crate::shop::{Batch, Shop};

/// The least effort for one way, in plans looked at.
const LEAST_EFFORT: u64 = 50;

/// Sizes, and the plan found with them.
#[derive(Debug, Clone)]
pub struct Sized {
    /// The lots still to start.
    pub to_start: Vec<ToStart>,
    /// The best plan so far.
    pub plan: Plan,
}

/// A batch with pieces still to start, and the ways to part them.
struct Choice {
    batch: String,
    ways: Vec<Vec<u32>>,
}

/// Pieces still to start so that the number promised comes out as sure as asked, by the scrap seen stage by stage; where that
/// was too high to promise anything, what is missing now.
pub fn pieces_to_start(shop: &Shop, asked: &Asked<'_>, batch: &Batch) -> u32 {
    let need = batch.pieces.saturating_sub(batch.shipped);
    let prospect = shop.prospect(batch, asked.entries, asked.sure).and_then(Result::ok);
    prospect.map_or_else(
        || need.saturating_sub(shop.in_hand(&batch.name)),
        |prospect| prospect.start.pieces,
    )
}

/// The sizes with the best plan: all batches along the same way first, then each batch by itself, as far as half the effort
/// goes.
pub fn best_sizes(
    shop: &Shop,
    asked: &Asked<'_>,
    horizon: Minute,
    watch: Watch<'_>,
) -> Result<Sized, NoPlan> {
    let choices = if asked.with_new_lots { choices(shop, asked) } else { Vec::new() };
    let most = choices.iter().map(|choice| choice.ways.len()).max().unwrap_or(0);
    let alone: usize =
        if choices.len() > 1 { choices.iter().map(|choice| choice.ways.len()).sum() } else { 0 };
    let wanted = u64::try_from(2 * (most + alone).max(1)).unwrap_or(u64::MAX);
    let left = wanted.min(asked.effort / 2 / LEAST_EFFORT).max(1);
    let effort = (asked.effort / 2 / left).max(LEAST_EFFORT);
    let mut search = Search { shop, asked, horizon, choices: &choices, effort, left, best: None };
    let mut failure = NoPlan::NotFound;
    for way in 0..most.max(1) {
        let these = choices.iter().map(|choice| way.min(choice.ways.len().saturating_sub(1)));
        if let Err(none) = search.weigh(&these.collect::<Vec<_>>(), watch) {
            failure = none;
        }
    }
    if choices.len() > 1 {
        search.each_alone(watch);
    }
    let best = search.best.ok_or(failure)?;
    Ok(Sized { to_start: sized(&choices, &best.chosen), plan: best.plan })
}

/// The best ways so far.
struct Best {
    worth: Worth,
    chosen: Vec<usize>,
    plan: Plan,
}

/// What a plan is worth, the weightiest first.
type Worth = (i64, i64, i64, i64, i64);

const fn worth(values: &Values) -> Worth {
    (values.misses, values.overrun, values.lateness, values.makespan, values.idle)
}

struct Search<'a> {
    shop: &'a Shop,
    asked: &'a Asked<'a>,
    horizon: Minute,
    choices: &'a [Choice],
    /// The effort for one trial.
    effort: u64,
    /// Trials left.
    left: u64,
    best: Option<Best>,
}

impl Search<'_> {
    /// Whether no more is to be tried; while there is no plan at all, more is.
    const fn over(&self) -> bool {
        self.left == 0 && self.best.is_some()
    }

    /// Plans these ways; keeps them where they are better.
    fn weigh(&mut self, chosen: &[usize], watch: Watch<'_>) -> Result<(), NoPlan> {
        if self.over() {
            return Ok(());
        }
        let sizes = sized(self.choices, chosen);
        let draft = Draft::new(self.shop, &sizes, self.asked.now, self.horizon)?;
        let start = self.asked.kept.map(|kept| draft.adopted(kept));
        let narrow = draft.drying_kept_free(&both_uses(self.shop));
        let (mut found, mut failure) = (false, NoPlan::NotFound);
        for draft in narrow.iter().chain(Some(&draft)) {
            if self.over() {
                break;
            }
            self.left = self.left.saturating_sub(1);
            match ask(draft, start.as_ref(), self.effort, self.asked.seed, watch) {
                Ok(answer) => {
                    found = true;
                    self.keep_if_better(&answer, chosen);
                }
                Err(none) => failure = none,
            }
        }
        if found { Ok(()) } else { Err(failure) }
    }

    fn keep_if_better(&mut self, answer: &Answer, chosen: &[usize]) {
        let worth = worth(&answer.values);
        if self.best.as_ref().is_none_or(|best| worth < best.worth) {
            let (chosen, plan) = (chosen.to_vec(), answer.plan.clone());
            self.best = Some(Best { worth, chosen, plan });
        }
    }

    /// Tries every other way of one batch while the others keep theirs.
    fn each_alone(&mut self, watch: Watch<'_>) {
        for (place, choice) in self.choices.iter().enumerate() {
            for way in 0..choice.ways.len() {
                let Some(best) = &self.best else { return };
                let mut these = best.chosen.clone();
                if let Some(taken) = these.get_mut(place).filter(|taken| **taken != way) {
                    *taken = way;
                    // A way without a plan is just not taken.
                    self.weigh(&these, watch).ok();
                }
            }
        }
    }
}

fn choices(shop: &Shop, asked: &Asked<'_>) -> Vec<Choice> {
    let Some(setup) = &shop.setup else { return Vec::new() };
    let choice = |batch: &Batch| {
        let recipe = setup.recipe(&batch.recipe)?;
        let pieces = pieces_to_start(shop, asked, batch);
        let mut ways = ways(setup, recipe, pieces);
        let kept = asked.kept.map(|kept| kept_sizes(kept, batch, pieces));
        if let Some(kept) = kept.filter(|kept| !kept.is_empty()) {
            ways.retain(|way| *way != kept && !asked.mend);
            ways.insert(0, kept);
        }
        (pieces > 0).then(|| Choice { batch: batch.name.clone(), ways })
    };
    shop.batches.values().filter(|batch| batch.closed.is_none()).filter_map(choice).collect()
}

/// The sizes of the lots a kept plan has still to start, for as many pieces as there are to start now: the last lots give
/// or take the difference. Empty where that is not possible.
fn kept_sizes(kept: &ShopPlan, batch: &Batch, pieces: u32) -> Vec<u32> {
    let number = |lot: &str| lot.rsplit_once('-')?.1.parse::<u32>().ok();
    let mut lots: Vec<(u32, u32)> = kept
        .steps
        .iter()
        .filter(|step| step.batch == batch.name)
        .filter_map(|step| Some((number(&step.lot)?, step.pieces)))
        .filter(|(number, _)| *number > batch.lots)
        .collect();
    lots.sort_unstable();
    lots.dedup();
    let mut sizes: Vec<u32> = lots.into_iter().map(|(_, pieces)| pieces).collect();
    let most = sizes.iter().copied().max().unwrap_or(0);
    let mut sum: u32 = sizes.iter().sum();
    while sum > pieces {
        let Some(last) = sizes.pop() else { return Vec::new() };
        sum -= last;
        let rest = last.saturating_sub(sum + last - pieces);
        if sum < pieces && rest > 0 {
            sizes.push(rest);
            sum += rest;
        }
    }
    for size in sizes.iter_mut().rev() {
        let more = (most - *size).min(pieces - sum);
        *size += more;
        sum += more;
    }
    if sum < pieces && most > 0 {
        sizes.extend(std::iter::repeat_n(most, ((pieces - sum) / most) as usize));
        sizes.extend(Some((pieces - sum) % most).filter(|rest| *rest > 0));
    }
    sizes
}

fn sized(choices: &[Choice], chosen: &[usize]) -> Vec<ToStart> {
    let size = |(choice, way): (&Choice, &usize)| ToStart {
        batch: choice.batch.clone(),
        sizes: choice.ways.get(*way).cloned().unwrap_or_default(),
    };
    choices.iter().zip(chosen).map(size).collect()
}
