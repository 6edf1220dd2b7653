//! How the shop's own records spread: pace, rooms, lost days, scrap; and what stands in while they are few.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use crate::craft::cure::Clock;
use crate::plan::shop_plan::Asked;
use crate::shop::scrap::StageSeen;
use crate::shop::setup::Recipe;
use crate::shop::{Batch, Shop};
use crate::time::{Instant, Span, local_date};

/// Samples of pace from which their own spread counts (a choice).
const ENOUGH_TIMES: usize = 5;
/// Days of a room's log from which its own spread counts (a choice).
const ENOUGH_DAYS: usize = 7;
/// How far back a room's log is looked at, days (a choice).
const LOOK_BACK: i64 = 28;
/// The spread taken while records are few: a tenth (a choice, no source).
const A_TENTH: f64 = 0.1;
/// Beta(1, 19) for lost days: one open day in twenty (a choice, no source).
const LOST: (f64, f64) = (1.0, 19.0);
/// A stage's share of a prior worth 20 pieces with one scrap in all, as `spares` takes it.
const SCRAP_WEIGHT: f64 = 20.0;

/// What a spread rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Ground {
    /// The shop's own records, so many.
    Records(usize),
    /// A prior, as there are so few.
    Prior(usize),
}

/// All spreads of one promise.
#[derive(Debug, Clone, PartialEq)]
pub struct Spreads {
    /// Spread of the logarithm of hands' time.
    pub pace: f64,
    /// What it rests on.
    pub pace_ground: Ground,
    /// How much longer rests and cure took on days of the log than is expected now; empty takes the prior.
    pub rooms: Vec<f64>,
    /// What it rests on.
    pub rooms_ground: Ground,
    /// Beta parameters of the share of open days that are lost.
    pub lost: (f64, f64),
    /// What it rests on.
    pub lost_ground: Ground,
    /// Stages of the batch with the Beta parameters of their scrap.
    pub stages: Vec<(StageSeen, f64, f64)>,
    /// Good pieces still needed.
    pub need: u32,
    /// What the scrap rests on.
    pub scrap_ground: Ground,
}

impl Spreads {
    /// The spreads for a batch.
    pub fn of(shop: &Shop, asked: &Asked<'_>, batch: &Batch) -> Self {
        let recipe = shop.recipe_of(batch);
        let (pace, pace_ground) = recipe.map_or((A_TENTH, Ground::Prior(0)), |r| pace(shop, r));
        let (rooms, rooms_ground) =
            recipe.map_or((Vec::new(), Ground::Prior(0)), |r| rooms(shop, r, asked.now));
        let (lost, lost_ground) = lost(shop, asked);
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

/// Standard deviation of ln(time / the step's own mean), over all steps timed.
#[expect(clippy::cast_precision_loss, reason = "counts of samples")]
fn pace(shop: &Shop, recipe: &Recipe) -> (f64, Ground) {
    let mut logs = Vec::new();
    let mut steps = 0;
    for (number, _) in recipe.numbered() {
        let Some(step) = recipe.timed_step(number) else { continue };
        let seconds: Vec<f64> =
            shop.samples_of(&recipe.name, &step).iter().map(|sample| sample.seconds).collect();
        let own: Vec<f64> = seconds.iter().filter(|s| **s > 0.0).map(|s| s.ln()).collect();
        if own.len() > 1 {
            let mean = own.iter().sum::<f64>() / own.len() as f64;
            logs.extend(own.iter().map(|log| log - mean));
            steps += 1;
        }
    }
    let free = logs.len().saturating_sub(steps);
    if free < ENOUGH_TIMES {
        return (A_TENTH, Ground::Prior(logs.len()));
    }
    let spread = (logs.iter().map(|log| log * log).sum::<f64>() / free as f64).sqrt();
    (spread.min(1.0), Ground::Records(logs.len()))
}

/// How long the first coat's shortest rest would have been expected to take on each day of the log, over what is now.
fn rooms(shop: &Shop, recipe: &Recipe, now: Instant) -> (Vec<f64>, Ground) {
    let none = |days| (Vec::new(), Ground::Prior(days));
    let Some(setup) = &shop.setup else { return none(0) };
    let coat = recipe.steps.iter().find_map(|step| step.coat());
    let Some(finish) = coat.and_then(|coat| setup.finish(coat)) else { return none(0) };
    let Some(room) = setup.racks.iter().find(|rack| rack.purpose.dries()).map(|rack| &rack.room)
    else {
        return none(0);
    };
    let Some(log) = shop.climate.get(room) else { return none(0) };
    let ahead = |at| shop.ahead(Clock::NoSooner, finish.recoat.min, finish, room, at);
    let Some(expected) = ahead(now).map(Span::as_hours).filter(|hours| *hours > 0.0) else {
        return none(0);
    };
    let read = |at: Instant| {
        let day = Span::days(1).before(at);
        log.iter().any(|reading| day < reading.at && reading.at <= at)
    };
    let days = (0..LOOK_BACK).map(|back| Span::days(back).before(now)).filter(|at| read(*at));
    let factors: Vec<f64> = days.filter_map(ahead).map(|span| span.as_hours() / expected).collect();
    if factors.len() < ENOUGH_DAYS {
        return none(factors.len());
    }
    let count = factors.len();
    (factors, Ground::Records(count))
}

/// Open days behind us on which nothing was recorded, of all since the first entry.
#[expect(clippy::cast_precision_loss, reason = "counts of days")]
fn lost(shop: &Shop, asked: &Asked<'_>) -> ((f64, f64), Ground) {
    let Some(setup) = &shop.setup else { return (LOST, Ground::Prior(0)) };
    let day = |at| local_date(at, setup.shop.zone);
    let used: BTreeSet<_> = asked.entries.iter().map(|entry| day(entry.at)).collect();
    let today = day(asked.now);
    let Some(first) = used.first() else { return (LOST, Ground::Prior(0)) };
    let open = first.iter_days().take_while(|date| *date < today).take(366);
    let open: Vec<_> = open.filter(|date| !setup.shop.hours.is_closed_day(*date)).collect();
    let empty = open.iter().filter(|date| !used.contains(date)).count();
    let (lost, worked) = (empty as f64, (open.len() - empty) as f64);
    let ground =
        if open.len() >= 20 { Ground::Records(open.len()) } else { Ground::Prior(open.len()) };
    ((LOST.0 + lost, LOST.1 + worked), ground)
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
