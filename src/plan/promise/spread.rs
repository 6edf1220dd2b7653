//! How the shop's own records spread: pace, rooms, lost days, scrap; and what stands in while they are few.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use crate::craft::cure::Clock;
use crate::craft::scatter::Scatter;
use crate::plan::promise::draws::Draws;
use crate::plan::shop_plan::Asked;
use crate::shop::due::{Action, Item, Urgency};
use crate::shop::entry::Entry;
use crate::shop::fold::voided;
use crate::shop::name::LotName;
use crate::shop::scrap::StageSeen;
use crate::shop::setup::Recipe;
use crate::shop::{Batch, Shop};
use crate::time::{Instant, Span, first_instant_of, local_date};

/// Lots timed beyond the first of each step from which their own scatter counts (a choice).
const ENOUGH_LOTS: usize = 4;
/// Weeks of a room's log from which its own spread counts (a choice).
const ENOUGH_WEEKS: usize = 3;
/// Weeks of a room's log from which it tells of the season (a choice).
const WEEKS_OF_A_SEASON: usize = 6;
/// The most by which a season slows or quickens a cure in a week: about a degree (a choice).
const MOST_DRIFT: f64 = 0.1;
/// How far back a room's log is looked at, weeks (a choice).
const WEEKS: i64 = 8;
/// How far back days are looked at for lost ones (a choice).
pub(crate) const LOST_DAYS: Span = Span::days(182);
/// The slowest a week may count, as a share of the pace expected now: no order waits for one that never ends (a choice).
const SLOWEST: f64 = 0.1;
/// The spread taken while records are few: a tenth (a choice, no source).
const A_TENTH: f64 = 0.1;
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
    pub(crate) rooms: Weeks,
    /// What it rests on.
    pub(crate) rooms_ground: Ground,
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

/// How fast rests and cure go, week by week, as a share of what is expected now: the line of least squares through the logarithms
/// of the log's weeks, and how far each lies off it. A room that has become colder for weeks goes on doing so.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Weeks {
    /// Where the line stands now.
    level: f64,
    /// By how much it rises in a week.
    drift: f64,
    /// Empty while there are too few.
    around: Vec<f64>,
}

impl Weeks {
    /// From weeks, negative as they are past, and the logarithms of their shares.
    fn through(weeks: &[(f64, f64)]) -> Self {
        let Scatter { mean: (middle, level), xx, xy, .. } = Scatter::of(weeks);
        let drift = if weeks.len() < WEEKS_OF_A_SEASON { 0.0 } else { xy / xx };
        let drift = drift.clamp(-MOST_DRIFT, MOST_DRIFT);
        let line = |week: f64| level + drift * (week - middle);
        let around = weeks.iter().map(|(week, share)| share - line(*week)).collect();
        Self { level: line(0.0), drift, around }
    }

    /// The share in a week to come, 0 the next; none while there are too few weeks to tell.
    pub(super) fn drawn(&self, ahead: u32, draws: &mut Draws) -> Option<f64> {
        let off = draws.one(&self.around)?;
        let share = self.level + self.drift * (f64::from(ahead) + 0.5) + off;
        Some(share.exp().max(SLOWEST))
    }

    pub(super) const fn is_empty(&self) -> bool {
        self.around.is_empty()
    }
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
    /// The spreads for a batch.
    pub(crate) fn of(shop: &Shop, asked: &Asked<'_>, batch: &Batch, days: &[Entry]) -> Self {
        let recipe = shop.recipe_of(batch);
        let (pace, pace_ground) =
            recipe.map_or((Pace::UNKNOWN, Ground::Prior(0)), |r| pace(shop, r));
        let (rooms, rooms_ground) =
            recipe.map_or((Weeks::default(), Ground::Prior(0)), |r| rooms(shop, r, asked.now));
        let (lost, lost_ground) = lost(shop, asked.now, days);
        let (stages, need) = scrap(shop, asked, batch);
        let judged = stages.iter().map(|(stage, ..)| stage.seen.of() as usize).max().unwrap_or(0);
        let scrap_ground =
            if judged >= 20 { Ground::Records(judged) } else { Ground::Prior(judged) };
        Self {
            pace,
            pace_ground,
            rooms,
            rooms_ground,
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

/// How fast the first coat's shortest rest went in each week of the log, as a share of what is expected now: the mean over
/// the week's days, a day on which it never ended counting nothing.
#[expect(clippy::cast_precision_loss, reason = "counts of days")]
fn rooms(shop: &Shop, recipe: &Recipe, now: Instant) -> (Weeks, Ground) {
    let none = |weeks| (Weeks::default(), Ground::Prior(weeks));
    let Some(setup) = &shop.setup else { return none(0) };
    let coat = recipe.steps.iter().find_map(|step| step.coat());
    let Some(finish) = coat.and_then(|coat| setup.finish(coat)) else { return none(0) };
    let Some(room) = setup.racks.iter().find(|rack| rack.purpose.dries()).map(|rack| &rack.room)
    else {
        return none(0);
    };
    let Some(log) = shop.climate.get(room) else { return none(0) };
    let hours = |at| {
        let span = shop.ahead(Clock::NoSooner, finish.recoat.min, finish, room, at)?;
        Some(span.as_hours()).filter(|hours| *hours > 0.0)
    };
    let Some(expected) = hours(now) else { return none(0) };
    let read = |at: &Instant| {
        let day = Span::days(1).before(*at);
        log.iter().any(|reading| day < reading.at && reading.at <= *at)
    };
    let week = |back: i64| {
        let days = (1..=7).map(|day| Span::days(back * 7 + day).before(now)).filter(read);
        let rates: Vec<f64> =
            days.map(|at| hours(at).map_or(0.0, |hours| expected / hours)).collect();
        let mean = rates.iter().sum::<f64>() / rates.len().max(1) as f64;
        // A week of which most days were not read tells of those few alone.
        (rates.len() > 3).then_some((-0.5 - back as f64, mean.max(SLOWEST).ln()))
    };
    let weeks: Vec<(f64, f64)> = (0..WEEKS).filter_map(week).collect();
    let count = weeks.len();
    if count < ENOUGH_WEEKS {
        none(count)
    } else {
        (Weeks::through(&weeks), Ground::Records(count))
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
