//! How the shop's own records spread: pace, rooms, lost days, scrap; and what stands in while they are few.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use super::air::Rooms;
use crate::plan::shop_plan::Asked;
use crate::shop::due::{Action, Item, Urgency};
use crate::shop::entry::Entry;
use crate::shop::fold::voided;
use crate::shop::name::LotName;
use crate::shop::plan::ShopPlan;
use crate::shop::scrap::StageSeen;
use crate::shop::setup::Recipe;
use crate::shop::{Batch, Shop};
use crate::time::{Instant, Span, first_instant_of, local_date};

/// Lots timed beyond the first of each step from which their own scatter counts (a choice).
const ENOUGH_LOTS: usize = 4;
/// How far back days are looked at for lost ones (a choice).
pub(crate) const LOST_DAYS: Span = Span::days(182);
/// Touch tests passed at or past the time reckoned from which on that time is taken as known (a choice).
const ENOUGH_TESTS: usize = 3;
/// The spread taken while records are few: a tenth (a choice, no source).
pub(super) const A_TENTH: f64 = 0.1;
/// Beta(1, 19) for lost days: one open day in twenty (a choice, no source).
const LOST: (f64, f64) = (1.0, 19.0);
/// A stage's share of a prior worth 20 pieces with one scrap in all, as `spares` takes it.
const SCRAP_WEIGHT: f64 = 20.0;

/// What a spread rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Ground {
    /// The shop's own records, so many.
    Records(usize),
    /// A prior, as there are so few.
    Prior(usize),
}

/// All spreads of one promise.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Spreads {
    pub(crate) pace: Pace,
    /// What it rests on.
    pub(crate) pace_ground: Ground,
    /// How fast rests and cure go.
    pub(crate) rooms: Rooms,
    /// What it rests on.
    pub(crate) rooms_ground: Ground,
    /// The finishes whose cure may take longer than reckoned, since too few touch tests tell.
    pub(crate) untested: BTreeSet<String>,
    /// What the cure of the batch's own finish rests on.
    pub(crate) cure_ground: Ground,
    /// Beta parameters of the share of open days that are lost.
    pub(crate) lost: (f64, f64),
    /// What it rests on.
    pub(crate) lost_ground: Ground,
    /// Stages of the batch with the Beta parameters of their scrap.
    pub(crate) stages: Vec<(StageSeen, f64, f64)>,
    /// Good pieces still needed.
    pub(crate) need: u32,
    /// What the scrap rests on.
    pub(crate) scrap_ground: Ground,
}

/// How the logarithm of hands' time spreads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Pace {
    /// From lot to lot.
    pub(crate) lots: f64,
    /// Of all lots together: how far what was timed leaves open what they take.
    pub(crate) all: f64,
}

impl Spreads {
    /// The spreads for a batch as that plan has it.
    pub(crate) fn of(
        shop: &Shop,
        asked: &Asked<'_>,
        (batch, plan): (&Batch, &ShopPlan),
        days: &[Entry],
    ) -> Self {
        let recipe = shop.recipe_of(batch);
        let (pace, pace_ground) =
            recipe.map_or((Pace::UNKNOWN, Ground::Prior(0)), |r| pace(shop, r));
        let rooms = recipe.map_or_else(Rooms::default, |r| Rooms::of(shop, r, asked.now));
        let (lost, lost_ground) = lost(shop, asked.now, days);
        let (stages, need) = scrap(shop, asked, batch);
        let judged = stages.iter().map(|(stage, ..)| stage.seen.of() as usize).max().unwrap_or(0);
        let scrap_ground =
            if judged >= 20 { Ground::Records(judged) } else { Ground::Prior(judged) };
        Self {
            pace,
            pace_ground,
            cure_ground: recipe.map_or(Ground::Prior(0), |recipe| cure_ground(shop, recipe)),
            untested: untested(shop),
            rooms_ground: rooms.ground(shop, plan, &batch.name),
            rooms,
            lost,
            lost_ground,
            stages,
            need,
            scrap_ground,
        }
    }
}

impl Pace {
    const UNKNOWN: Self = Self { lots: 0.0, all: A_TENTH };
}

/// The scatter of ln(a lot's mean time a piece / the step's), over all steps timed: that of single pieces evens out over a
/// lot. What k lots leave open of the mean is a √k-th of it.
#[expect(clippy::cast_precision_loss, reason = "counts of lots")]
fn pace(shop: &Shop, recipe: &Recipe) -> (Pace, Ground) {
    let (mut around, mut steps, mut most) = (Vec::new(), 0, 0);
    for (number, _) in recipe.numbered() {
        let Some(step) = recipe.timed_step(number) else { continue };
        let mut timed: BTreeMap<&LotName, (f64, f64)> = BTreeMap::new();
        for sample in shop.samples_of(&recipe.name, &step).iter().filter(|s| s.seconds > 0.0) {
            let (seconds, pieces) = timed.entry(&sample.lot).or_default();
            *seconds += sample.seconds * f64::from(sample.pieces);
            *pieces += f64::from(sample.pieces);
        }
        let own: Vec<f64> =
            timed.values().map(|(seconds, pieces)| (seconds / pieces).ln()).collect();
        most = most.max(own.len());
        if own.len() > 1 {
            let mean = own.iter().sum::<f64>() / own.len() as f64;
            around.extend(own.iter().map(|own| own - mean));
            steps += 1;
        }
    }
    let free = around.len().saturating_sub(steps);
    if free < ENOUGH_LOTS {
        return (Pace::UNKNOWN, Ground::Prior(most));
    }
    let spread = (around.iter().map(|off| off * off).sum::<f64>() / free as f64).sqrt().min(1.0);
    (Pace { lots: spread, all: spread / (most.max(1) as f64).sqrt() }, Ground::Records(most))
}

/// Touch tests of a finish that passed at or past the time its cure is reckoned to take.
fn passed_tests(shop: &Shop, finish: &str) -> usize {
    let needed = shop.factor(finish).times;
    let tests = shop.tests.get(finish).into_iter().flatten();
    tests.filter(|test| test.passed && test.share >= needed).count()
}

fn untested(shop: &Shop) -> BTreeSet<String> {
    let finishes = shop.setup.iter().flat_map(|setup| &setup.finishes);
    let known = |name: &&String| passed_tests(shop, name) >= ENOUGH_TESTS;
    finishes.map(|finish| &finish.name).filter(|name| !known(name)).cloned().collect()
}

fn cure_ground(shop: &Shop, recipe: &Recipe) -> Ground {
    let finish = recipe.steps.iter().find_map(|step| step.cures());
    match finish.map_or(0, |finish| passed_tests(shop, finish)) {
        passed @ ENOUGH_TESTS.. => Ground::Records(passed),
        passed => Ground::Prior(passed),
    }
}

/// Open days on which there was work and nothing at all was recorded, of all on which there was work.
#[expect(clippy::cast_precision_loss, reason = "counts of days")]
fn lost(shop: &Shop, now: Instant, days: &[Entry]) -> ((f64, f64), Ground) {
    let Some(setup) = &shop.setup else { return (LOST, Ground::Prior(0)) };
    let (zone, hours) = (setup.shop.zone, &setup.shop.hours);
    let day = |at| local_date(at, zone);
    let gone = voided(days);
    let mut entries: Vec<&Entry> = days.iter().filter(|entry| !gone.contains(&entry.id)).collect();
    entries.sort_by_key(|entry| entry.at);
    let used: BTreeSet<_> = entries.iter().map(|entry| day(entry.at)).collect();
    let (today, Some(first)) = (day(now), used.first().copied()) else {
        return (LOST, Ground::Prior(0));
    };
    let since = first.max(day(LOST_DAYS.before(now)));
    let (mut empty, mut worked, mut next) = (0_usize, 0_usize, 0);
    let mut then = Shop { climate: shop.climate.clone(), ..Shop::default() };
    for date in since.iter_days().take_while(|date| *date < today) {
        if hours.is_closed_day(date) {
            continue;
        }
        if used.contains(&date) {
            worked += 1;
            continue;
        }
        let from = first_instant_of(date, zone);
        while let Some(entry) = entries.get(next).filter(|entry| entry.at < from) {
            then.apply(entry);
            next += 1;
        }
        let until = date.succ_opt().map_or(from, |next| first_instant_of(next, zone));
        let closes = hours.stretches(zone, from, until).last().map(|(_, closes)| *closes);
        empty += usize::from(closes.is_some_and(|closes| had_work(&then, closes)));
    }
    let ground = match worked + empty {
        days @ 20.. => Ground::Records(days),
        days => Ground::Prior(days),
    };
    ((LOST.0 + empty as f64, LOST.1 + worked as f64), ground)
}

/// Whether there was something for hands by the end of that day: a step that was ready, or pieces still to start.
fn had_work(shop: &Shop, closes: Instant) -> bool {
    let for_hands = |item: &Item| item.action != Action::Ship && item.urgency != Urgency::Next;
    let to_start = |batch: &Batch| {
        batch.closed.is_none() && batch.started.saturating_sub(batch.rejected) < batch.pieces
    };
    shop.batches.values().any(to_start) || shop.due(closes).iter().any(for_hands)
}

#[expect(clippy::cast_precision_loss, reason = "counts of stages")]
fn scrap(shop: &Shop, asked: &Asked<'_>, batch: &Batch) -> (Vec<(StageSeen, f64, f64)>, u32) {
    let prospect = shop.prospect(batch, asked.entries, asked.sure).and_then(Result::ok);
    let Some(prospect) = prospect else { return (Vec::new(), 0) };
    let a = 1.0 / prospect.stages.len().max(1) as f64;
    let believed = |stage: StageSeen| {
        let (scrap, of) = (f64::from(stage.seen.scrap()), f64::from(stage.seen.of()));
        (stage, a + scrap, SCRAP_WEIGHT - a + of - scrap)
    };
    (prospect.stages.into_iter().map(believed).collect(), prospect.need)
}
