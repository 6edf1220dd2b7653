//! Drift: what has moved since a plan was kept, whose date changed, and why.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use crate::shop::Shop;
use crate::shop::lot::Lot;
use crate::shop::name::LotName;
use crate::shop::plan::{BatchPlan, ShopPlan, StayPlan, StepPlan, WaitPlan};
use crate::time::{Span, Stamp, Viewpoint};

/// What differs between a kept plan and the shop as it is planned now.
#[derive(Debug, Clone, PartialEq, JsonSchema, Serialize)]
pub struct Drift {
    /// When the kept plan was made.
    pub(crate) kept_at: Stamp,
    /// Batches whose date moved by a minute or more.
    pub(crate) batches: Vec<Moved>,
    /// Steps that now start at another time, in the order of their new times.
    pub(crate) steps: Vec<Moved>,
    /// What happened in between; as JSON in words.
    #[schemars(with = "Vec<String>")]
    pub(crate) why: Vec<Why>,
}

/// Something that moved.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema, Serialize)]
pub(crate) struct Moved {
    /// The batch, or the lot.
    pub(crate) what: String,
    /// The step's name.
    pub(crate) name: Option<String>,
    #[serde(skip)]
    pub(crate) words: String,
    /// When it was to be.
    pub(crate) was: Stamp,
    /// When it will be.
    pub(crate) is: Stamp,
}

/// Why a plan drifted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Why {
    /// A step was to have been begun and is not.
    NotBegun {
        lot: String,
        /// The step's name.
        name: String,
        /// When it was to be begun.
        planned: Stamp,
    },
    /// A step was done later than planned.
    DoneLate {
        lot: String,
        /// The step's name.
        name: String,
        /// When it was to be done.
        planned: Stamp,
        done: Stamp,
    },
    /// There are fewer pieces in a lot than planned.
    Fewer {
        lot: String,
        /// Pieces planned.
        planned: u32,
        /// Pieces in hand.
        pieces: u32,
    },
    /// A batch has other pieces to start than planned.
    ToStart {
        batch: String,
        /// Pieces that were to be started.
        planned: u32,
        pieces: u32,
    },
    /// A room makes a finish dry at another pace than expected.
    Room {
        finish: String,
        /// The room; none where the kept plan is older than their telling apart.
        room: Option<String>,
        /// Minutes a coat was expected to rest at least.
        planned: i64,
        /// Minutes it is expected to now.
        minutes: i64,
        /// Minutes its cure was expected to take.
        planned_cure: i64,
        /// Minutes it is expected to now.
        cure: i64,
    },
    /// An order was taken on.
    NewBatch { batch: String },
    /// A lot waits for a decision.
    Held { lot: String },
    /// A lot's surface still grabbed.
    Grabbed {
        lot: String,
        /// When it was touched.
        touched: Stamp,
    },
}

/// What is not worth a word: a step begun or done within 5 minutes of its time (a choice).
const ON_TIME: Span = Span::seconds(300);

/// Holds the shop, and its plan as it is now, against a kept plan.
pub(crate) fn drift(shop: &Shop, kept: &ShopPlan, new: &ShopPlan) -> Drift {
    let view = shop.viewpoint(new.now);
    Drift {
        kept_at: view.stamp(kept.now),
        batches: moved_batches(kept, new, view),
        steps: moved_steps(shop, kept, new, view),
        why: reasons(shop, kept, new, view),
    }
}

fn moved_batches(kept: &ShopPlan, new: &ShopPlan, view: Viewpoint) -> Vec<Moved> {
    let moved = |batch: &BatchPlan| {
        let before = kept.batches.iter().find(|old| old.batch == batch.batch)?;
        let (was, is) = (before.ready_at?, batch.ready_at?);
        (was != is).then(|| Moved {
            what: batch.batch.clone(),
            name: None,
            words: String::new(),
            was: view.stamp(was),
            is: view.stamp(is),
        })
    };
    new.batches.iter().filter_map(moved).collect()
}

fn moved_steps(shop: &Shop, kept: &ShopPlan, new: &ShopPlan, view: Viewpoint) -> Vec<Moved> {
    let before: BTreeMap<(&str, u32), &StepPlan> =
        kept.steps.iter().map(|step| ((step.lot.as_str(), step.step), step)).collect();
    let moved = |step: &StepPlan| {
        let was = before.get(&(step.lot.as_str(), step.step))?.start;
        (!step.begun && was != step.start).then(|| Moved {
            what: step.lot.clone(),
            name: Some(step.name.clone()),
            words: shop.planned_words(step),
            was: view.stamp(was),
            is: view.stamp(step.start),
        })
    };
    new.steps.iter().filter_map(moved).collect()
}

fn reasons(shop: &Shop, kept: &ShopPlan, new: &ShopPlan, view: Viewpoint) -> Vec<Why> {
    let mut why: Vec<Why> = kept.steps.iter().filter_map(|step| late(shop, step, view)).collect();
    // For each lot, the last thing that was late says it all.
    why.reverse();
    let mut told = Vec::new();
    why.retain(|why| match why {
        Why::NotBegun { lot, .. } | Why::DoneLate { lot, .. } => {
            let first = !told.contains(lot);
            told.push(lot.clone());
            first
        }
        _ => true,
    });
    why.reverse();
    why.extend(pieces(shop, kept));
    why.extend(to_start(kept, new));
    why.extend(rooms(shop, kept, new));
    why.extend(grabbed(shop, kept, view));
    why.extend(
        new.held
            .iter()
            .filter(|lot| !kept.held.contains(lot))
            .map(|lot| Why::Held { lot: lot.clone() }),
    );
    why
}

/// Whether a step of the kept plan was late.
fn late(shop: &Shop, step: &StepPlan, view: Viewpoint) -> Option<Why> {
    let (lot, name) = (step.lot.clone(), shop.planned_words(step));
    let known = step.lot.parse::<LotName>().ok().and_then(|lot| shop.lots.get(&lot));
    let done = known.and_then(|known| known.done.iter().find(|done| done.step == step.step));
    if let Some(done) = done.map(|done| done.ended) {
        let planned = step.end;
        let late = done > ON_TIME.after(planned);
        let (planned, done) = (view.stamp(planned), view.stamp(done));
        return late.then_some(Why::DoneLate { lot, name, planned, done });
    }
    let begun = known.is_some_and(|known| {
        known.begun.is_some() && known.next_step().is_some_and(|(next, _)| next == step.step)
    });
    let late = !begun && ON_TIME.after(step.start) < view.now;
    late.then_some(Why::NotBegun { lot, name, planned: view.stamp(step.start) })
}

fn pieces(shop: &Shop, kept: &ShopPlan) -> Vec<Why> {
    let planned: BTreeMap<&str, u32> =
        kept.steps.iter().map(|step| (step.lot.as_str(), step.pieces)).collect();
    let fewer = |(lot, planned): (&str, u32)| {
        let pieces = shop.lots.get(&lot.parse::<LotName>().ok()?)?.pieces;
        (pieces > 0 && pieces < planned).then(|| Why::Fewer {
            lot: lot.to_owned(),
            planned,
            pieces,
        })
    };
    planned.into_iter().filter_map(fewer).collect()
}

fn grabbed(shop: &Shop, kept: &ShopPlan, view: Viewpoint) -> Vec<Why> {
    let since = |lot: &Lot| {
        let test = lot.still_grabs().or_else(|| lot.barred_from_shipping())?;
        let touched = Some(test.at).filter(|at| *at > kept.now)?;
        Some(Why::Grabbed { lot: lot.name.to_string(), touched: view.stamp(touched) })
    };
    shop.open_lots().filter_map(since).collect()
}

fn to_start(kept: &ShopPlan, new: &ShopPlan) -> Vec<Why> {
    let all = |plan: &ShopPlan, batch: &str| -> u32 {
        let of_batch = plan.batches.iter().find(|other| other.batch == batch);
        let in_lots: BTreeMap<&str, u32> = plan
            .steps
            .iter()
            .filter(|step| step.batch == batch)
            .map(|step| (step.lot.as_str(), step.pieces))
            .collect();
        let to_start = of_batch.map_or(0, |batch| batch.to_start);
        // Pieces on their way, those to start included.
        in_lots.values().sum::<u32>().max(to_start)
    };
    let mut why = Vec::new();
    for batch in &new.batches {
        let name = batch.batch.as_str();
        if !kept.batches.iter().any(|old| old.batch == name) {
            why.push(Why::NewBatch { batch: name.to_owned() });
            continue;
        }
        let (planned, pieces) = (all(kept, name), all(new, name));
        if pieces > planned {
            why.push(Why::ToStart { batch: name.to_owned(), planned, pieces });
        }
    }
    why
}

/// The finishes that dry or cure otherwise by now in a room where lots of theirs are planned, as far as a date moved that way.
fn rooms(shop: &Shop, kept: &ShopPlan, new: &ShopPlan) -> Vec<Why> {
    let moved = |batch: &BatchPlan| {
        let before = kept.batches.iter().find(|old| old.batch == batch.batch)?;
        Some(batch.ready_at?.cmp(&before.ready_at?))
    };
    let moved: Vec<Ordering> = new.batches.iter().filter_map(moved).collect();
    let stays = || kept.stays.iter().chain(&new.stays);
    let lays = |stay: &StayPlan, finish: &str| {
        let lot = stay.lot.parse::<LotName>().ok();
        let batch = lot.and_then(|lot| shop.batches.get(&lot.batch));
        let recipe = batch.and_then(|batch| shop.recipe_of(batch));
        recipe.is_some_and(|recipe| recipe.steps.iter().any(|step| step.coat() == Some(finish)))
    };
    let used = |wait: &&WaitPlan| {
        let here = |stay: &&StayPlan| {
            let room = shop.room_of(&stay.rack);
            wait.room.is_none() || room == wait.room.as_deref()
        };
        stays().filter(here).any(|stay| lays(stay, &wait.finish))
    };
    let changed = |wait: &WaitPlan| {
        let before =
            kept.waits.iter().find(|old| old.finish == wait.finish && old.room == wait.room)?;
        // A fiftieth: below that nobody would plan otherwise (a choice).
        let differs = |was: i64, is: i64| (was - is).abs().saturating_mul(50) > was;
        let otherwise = [(before.shortest, wait.shortest), (before.cure, wait.cure)];
        let mut otherwise = otherwise.into_iter().filter(|(was, is)| differs(*was, *is));
        otherwise.any(|(was, is)| moved.contains(&is.cmp(&was))).then(|| Why::Room {
            finish: wait.finish.clone(),
            room: wait.room.clone(),
            planned: before.shortest,
            minutes: wait.shortest,
            planned_cure: before.cure,
            cure: wait.cure,
        })
    };
    new.waits.iter().filter(used).filter_map(changed).collect()
}
