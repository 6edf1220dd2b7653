//! Which sizes the lots still to start get: each way of parting a batch's pieces is planned with a little effort, and the best
//! is taken, fewest pieces without a place before the plan's own aims. A batch stays parted as in the kept plan unless a promise
//! is late by that, or pieces stay out.

use crate::plan::draft::{Draft, ToStart};
use crate::plan::headway::{Headway, side_by_side};
use crate::plan::lots::{largest, ways};
use crate::plan::shop_plan::{Asked, NoPlan, Solved, ask};
use crate::shop::join::HANDFUL;
use crate::shop::plan::ShopPlan;
use crate::shop::{Batch, Shop};

/// The least effort for one way, in plans looked at, where there is as much.
pub(super) const LEAST_EFFORT: u64 = 50;

/// A batch with pieces still to start, and the ways to part them.
pub(super) struct Choice {
    batch: String,
    ways: Vec<Vec<u32>>,
    /// Whether it stays parted as in the kept plan, which is its first way.
    kept: bool,
}

/// Pieces still to start so that the number promised comes out as sure as asked, by the scrap seen stage by stage; where that
/// was too high to promise anything, what is missing now.
pub(crate) fn pieces_to_start(shop: &Shop, asked: &Asked<'_>, batch: &Batch) -> u32 {
    let need = batch.pieces.saturating_sub(batch.gone());
    let prospect = shop.prospect(batch, asked.entries, asked.sure).and_then(Result::ok);
    prospect.map_or_else(
        || need.saturating_sub(shop.in_hand(&batch.name)),
        |prospect| prospect.start.pieces,
    )
}

/// The sizes with the best plan: all batches along the same way first, then each batch by itself, as far as half the effort
/// goes. Those that the kept plan has parted are parted anew where the best is late without. Beside it stands the effort with
/// which it was found; none where there is nothing to choose from.
pub(super) fn best_sizes(
    shop: &Shop,
    asked: &Asked<'_>,
    in_hand: &Draft,
    (choices, whole): (&[Choice], u64),
    headway: &Headway<'_>,
) -> Result<Option<(Solved, u64)>, NoPlan> {
    if choices.iter().all(|choice| choice.ways.len() == 1) {
        return Ok(None);
    }
    let most = choices.iter().map(|choice| choice.ways.len()).max().unwrap_or(0).max(1);
    let alone: usize =
        if choices.len() > 1 { choices.iter().map(|choice| choice.ways.len()).sum() } else { 0 };
    let wanted = u64::try_from(most + alone).unwrap_or(u64::MAX);
    let left = wanted.min(whole / (2 * LEAST_EFFORT)).max(1);
    let least = LEAST_EFFORT.min(whole);
    let even = (whole / (2 * left)).max(least);
    // Where all stay parted as they are, it is only to be seen whether one is late by that.
    let effort = if choices.iter().all(|choice| choice.kept) { least } else { even };
    let failure = NoPlan::NotFound;
    let mut search =
        Search { shop, asked, in_hand, headway, choices, effort, left, best: None, failure };
    search.look(|choice| !choice.kept);
    let short = search.best.as_ref().is_none_or(Tried::falls_short);
    if short && choices.iter().any(|choice| choice.kept) {
        search.effort = even;
        search.look(|_| true);
    }
    let best = search.best.ok_or(search.failure)?;
    Ok(Some((best.solved, search.effort)))
}

/// A plan with the ways it goes by.
struct Tried {
    /// Pieces still to start that have no place in it.
    left_out: u32,
    late: bool,
    /// As [`Draft::worth`] says.
    worth: Vec<i64>,
    chosen: Vec<usize>,
    solved: Solved,
}

impl Tried {
    /// Whether other sizes may bring more: a batch is late by these, or has pieces without a place.
    const fn falls_short(&self) -> bool {
        self.left_out > 0 || self.late
    }
}

struct Search<'a> {
    shop: &'a Shop,
    asked: &'a Asked<'a>,
    in_hand: &'a Draft,
    headway: &'a Headway<'a>,
    choices: &'a [Choice],
    /// The effort for one plan.
    effort: u64,
    /// How many more ways may be tried.
    left: u64,
    best: Option<Tried>,
    /// Why the last way without a plan has none.
    failure: NoPlan,
}

impl Search<'_> {
    /// Plans these ways, as many as may still be tried, and more while there is no plan of all pieces; keeps the best.
    fn weigh(&mut self, mut ways: Vec<Vec<usize>>) {
        let leaves_out = |best: &Option<Tried>| best.as_ref().is_none_or(|best| best.left_out > 0);
        while !ways.is_empty() && (self.left > 0 || leaves_out(&self.best)) {
            let now = usize::try_from(self.left).unwrap_or(usize::MAX).clamp(1, ways.len());
            let later = ways.split_off(now);
            self.left = self.left.saturating_sub(u64::try_from(now).unwrap_or(u64::MAX));
            for tried in side_by_side(now, |way| self.planned(ways.get(way)?)) {
                match tried {
                    Some(Ok(tried)) => self.keep_if_better(tried),
                    Some(Err(failure)) => self.failure = failure,
                    None => {}
                }
            }
            ways = later;
        }
    }

    /// The best plan of one choice of ways; none where what was tried before has to be enough.
    fn planned(&self, chosen: &[usize]) -> Option<Result<Tried, NoPlan>> {
        if self.headway.stopped() && self.best.is_some() {
            return None;
        }
        Some(self.plan(chosen))
    }

    fn plan(&self, chosen: &[usize]) -> Result<Tried, NoPlan> {
        let to_start = sized(self.choices, chosen);
        let draft = self.in_hand.starting(self.shop, &to_start);
        let start = self.asked.kept.map(|kept| draft.adopted(kept));
        let watch = &mut self.headway.of_search();
        let found = ask(&draft, start.as_ref(), self.effort, self.asked.seed, watch)?;
        let left_out = draft.left_out() - self.in_hand.left_out();
        let late = found.values().tardiness > 0;
        let solved = Solved { draft, found, to_start };
        let worth = solved.worth();
        Ok(Tried { left_out, late, worth, chosen: chosen.to_vec(), solved })
    }

    fn keep_if_better(&mut self, tried: Tried) {
        if self.best.as_ref().is_none_or(|best| tried.worth < best.worth) {
            self.best = Some(tried);
        }
    }

    /// Tries the ways of the batches that are free to be parted: all along the same way, then each by itself.
    fn look(&mut self, free: impl Fn(&Choice) -> bool) {
        let last =
            |choice: &Choice| if free(choice) { choice.ways.len().saturating_sub(1) } else { 0 };
        let most = self.choices.iter().map(last).max().unwrap_or(0);
        let along = |way: usize| self.choices.iter().map(|choice| way.min(last(choice))).collect();
        self.weigh((0..=most).map(along).collect());
        if self.choices.len() > 1 {
            self.each_alone(free);
        }
    }

    /// Tries every other way of one batch while the others keep theirs.
    fn each_alone(&mut self, free: impl Fn(&Choice) -> bool) {
        let choices = self.choices.iter().enumerate();
        for (place, choice) in choices.filter(|(_, choice)| free(choice)) {
            let Some(best) = &self.best else { return };
            let other = |way: usize| {
                let mut these = best.chosen.clone();
                let taken = these.get_mut(place).filter(|taken| **taken != way)?;
                *taken = way;
                Some(these)
            };
            let others = (0..choice.ways.len()).filter_map(other).collect();
            self.weigh(others);
        }
    }
}

/// What lots still to start may come in; nothing where they stay out.
pub(super) fn choices(shop: &Shop, asked: &Asked<'_>) -> Vec<Choice> {
    let Some(setup) = shop.setup.as_ref().filter(|_| asked.with_new_lots) else {
        return Vec::new();
    };
    let choice = |batch: &Batch| {
        let recipe = setup.recipe(&batch.recipe)?;
        let pieces = pieces_to_start(shop, asked, batch);
        let mut ways = ways(setup, recipe, pieces);
        let most = largest(setup, recipe);
        let sizes = asked.kept.map(|kept| kept_sizes(kept, batch, pieces)).unwrap_or_default();
        let has_racks = sizes.iter().max().is_some_and(|size| *size <= most);
        let kept = has_racks && stays(&sizes, &ways);
        if has_racks {
            ways.retain(|way| *way != sizes);
            ways.insert(0, sizes);
        }
        (pieces > 0).then(|| Choice { batch: batch.name.clone(), ways, kept })
    };
    shop.batches.values().filter(|batch| batch.closed.is_none()).filter_map(choice).collect()
}

/// Whether a batch stays parted so: in lots of a handful only where there is no way without.
fn stays(kept: &[u32], ways: &[Vec<u32>]) -> bool {
    let handful = |way: &[u32]| way.iter().any(|lot| *lot <= HANDFUL);
    !handful(kept) || ways.iter().any(|way| handful(way))
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

/// Each batch along its first way.
pub(super) fn first(choices: &[Choice]) -> Vec<ToStart> {
    sized(choices, &vec![0; choices.len()])
}

fn sized(choices: &[Choice], chosen: &[usize]) -> Vec<ToStart> {
    let size = |(choice, way): (&Choice, &usize)| ToStart {
        batch: choice.batch.clone(),
        sizes: choice.ways.get(*way).cloned().unwrap_or_default(),
    };
    choices.iter().zip(chosen).map(size).collect()
}
