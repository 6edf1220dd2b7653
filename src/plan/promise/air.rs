//! How fast rests and cure go in each room, week by week, as its log spreads it.

use std::collections::{BTreeMap, BTreeSet};

use chrono::TimeDelta;

use super::draws::Draws;
use super::spread::{A_TENTH, Ground, Spreads};
use crate::craft::cure::{Clock, Season};
use crate::craft::scatter::Scatter;
use crate::plan::minutes::Origin;
use crate::shop::Shop;
use crate::shop::name::LotName;
use crate::shop::plan::{ShopPlan, StayPlan};
use crate::shop::setup::{Heated, Recipe, Step};
use crate::time::{Instant, Zone};
use crate::units::Q10;

/// Weeks of a room's log from which its own spread counts (a choice).
const ENOUGH_WEEKS: usize = 3;
/// By how much the logarithm of one week's rate lies off its line (a choice).
const SCATTER: f64 = 0.15;
/// By how much that line may rise or fall in a week beside the season (a choice).
const DRIFT: f64 = 0.04;
/// Weeks for which it is taken to go on so (a choice).
const DRIFTS_FOR: f64 = 8.0;
/// How far back a room's log is looked at, weeks (a choice).
const WEEKS: i64 = 8;
/// The slowest a week may count, as a share of the pace expected now: no order waits for one that never ends (a choice).
const SLOWEST: f64 = 0.1;
/// The spread of a cure's own time that tests don't tell of yet: half the time a tenth or more (a choice, no source).
const UNTESTED: f64 = 0.15;
/// More weeks to come than these are no truer (a choice).
const MOST_WEEKS: usize = 20;

/// What a season does to the rate at which a finish dries.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Rate {
    season: Season,
    q10: Q10,
    /// Whether it is to count only where it slows.
    slows: bool,
}

impl Rate {
    /// Of a room of which nobody said when it is heated, the slower holds.
    fn of(zone: Zone, heated: Option<Heated>, q10: Q10, now: Instant) -> Self {
        let reach = heated.unwrap_or(Heated::ByDay).lets_in();
        Self { season: Season::of(zone, reach, now), q10, slows: heated.is_none() }
    }

    /// The logarithm of the rate so many weeks from now, but for a constant.
    fn at(self, week: f64) -> f64 {
        let then = |week: f64| self.season.at(7.0 * week) * self.q10.get().ln() / 10.0;
        if !self.slows {
            then(week)
        } else if week < 0.0 {
            then(week).max(then(0.0))
        } else {
            then(week).min(then(0.0))
        }
    }
}

/// How fast rests and cure go, week by week, as a share of what is expected now: the season, a line that the weeks of the log
/// have followed beside it, and how far each lies off both. A room that has become colder for weeks goes on doing so.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Weeks {
    season: Rate,
    /// Where the line stands now.
    level: f64,
    /// By how much it rises in a week.
    drift: f64,
    around: Vec<f64>,
    /// What is expected of each week to come, as a share of the next.
    expected: Vec<f64>,
}

impl Weeks {
    /// From weeks, negative as they are past, and the logarithms of their shares. The slope is the mean of the normal posterior
    /// of one that is none to begin with (Gelman and others, Bayesian Data Analysis, chapter 14).
    fn through(weeks: &[(f64, f64)], season: Rate, expected: Vec<f64>) -> Self {
        let points: Vec<_> =
            weeks.iter().map(|(week, share)| (*week, share - season.at(*week))).collect();
        let Scatter { mean: (middle, mean), xx, xy, .. } = Scatter::of(&points);
        let drift = xy / (xx + (SCATTER / DRIFT).powi(2));
        let level = mean - drift * middle;
        let around = points.iter().map(|(week, off)| off - level - drift * week).collect();
        Self { season, level, drift, around, expected }
    }

    /// The share in a week to come, 0 the next.
    #[expect(clippy::cast_precision_loss, reason = "a few weeks")]
    fn drawn(&self, ahead: usize, draws: &mut Draws) -> f64 {
        let off = draws.one(&self.around).copied().unwrap_or(0.0);
        let week = ahead as f64 + 0.5;
        let line = self.level + self.drift * week.min(DRIFTS_FOR);
        let share = line + self.season.at(week) + off;
        share.exp().max(SLOWEST) / self.expected.get(ahead).copied().unwrap_or(1.0)
    }
}

/// What the logs tell of the rooms in which pieces stand; a room with too short a log has only its number of weeks.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Rooms(BTreeMap<String, Result<Weeks, usize>>);

/// The shares of one run: of each room, week by week.
struct Air(BTreeMap<String, Vec<f64>>);

impl Rooms {
    /// Of every room with a rack.
    pub(super) fn of(shop: &Shop, recipe: &Recipe, now: Instant) -> Self {
        let racks = shop.setup.iter().flat_map(|setup| &setup.racks);
        let rooms: BTreeSet<&String> = racks.map(|rack| &rack.room).collect();
        let weeks = |room: &String| (room.clone(), weeks(shop, recipe, room, now));
        Self(rooms.into_iter().map(weeks).collect())
    }

    /// Whether a season counts beside their logs.
    pub(crate) fn follow_a_season(&self) -> bool {
        self.0.values().flatten().any(|weeks| weeks.season.season != Season::None)
    }

    /// What the rooms are told by in which that batch stands by the plan: the shortest of their logs.
    pub(super) fn ground(&self, shop: &Shop, plan: &ShopPlan, batch: &str) -> Ground {
        let of_batch = |lot: &str| lot.parse::<LotName>().is_ok_and(|lot| lot.batch == batch);
        let stays = plan.stays.iter().filter(|stay| of_batch(&stay.lot));
        let rooms = stays.filter_map(|stay| shop.setup.as_ref()?.rack(&stay.rack));
        let told = rooms.filter_map(|rack| self.0.get(&rack.room));
        let ground = |weeks: &Result<Weeks, usize>| match weeks {
            Ok(weeks) => Ground::Records(weeks.around.len()),
            Err(count) => Ground::Prior(*count),
        };
        let fewest = |ground: &Ground| match ground {
            Ground::Records(count) => (1, *count),
            Ground::Prior(count) => (0, *count),
        };
        told.map(ground).min_by_key(fewest).unwrap_or(Ground::Prior(0))
    }

    /// The rooms' weeks to come, each off its season's line by as much as one of its log's, drawn by chance. Of a log that is too
    /// short: never quicker than the sheet.
    fn drawn(&self, draws: &mut Draws) -> Air {
        let shares = |(room, weeks): (&String, &Result<Weeks, usize>)| {
            let shares = match weeks {
                Ok(weeks) => (0..MOST_WEEKS).map(|ahead| weeks.drawn(ahead, draws)).collect(),
                Err(_) => vec![1.0 / slower(A_TENTH, draws)],
            };
            (room.clone(), shares)
        };
        Air(self.0.iter().map(shares).collect())
    }
}

/// A room and the weeks from now in which a lot stands there.
#[derive(Debug, Clone)]
pub(super) struct Stay {
    room: String,
    first: usize,
    last: usize,
}

/// Where each lot stands by the plan while it dries, and while it cures.
#[derive(Default)]
pub(super) struct Stays {
    drying: BTreeMap<LotName, Stay>,
    curing: BTreeMap<LotName, Stay>,
}

impl Stays {
    pub(super) fn of(shop: &Shop, plan: &ShopPlan, origin: Origin) -> Self {
        let week = |at| {
            let week = origin.no_sooner(at) / (7 * 24 * 60);
            usize::try_from(week).unwrap_or(0).min(MOST_WEEKS - 1)
        };
        let there = |stay: &StayPlan| {
            let room = shop.setup.as_ref()?.rack(&stay.rack)?.room.clone();
            let there = Stay { room, first: week(stay.from), last: week(stay.until) };
            Some((stay.lot.parse().ok()?, there))
        };
        let mut stays = Self::default();
        for stay in &plan.stays {
            let of_kind = if stay.cures { &mut stays.curing } else { &mut stays.drying };
            of_kind.extend(there(stay));
        }
        stays
    }

    pub(super) fn drying(&self, lot: &LotName) -> Option<&Stay> {
        self.drying.get(lot).or_else(|| self.curing.get(lot)).or_else(|| last(&self.drying))
    }

    pub(super) fn curing(&self, lot: &LotName) -> Option<&Stay> {
        self.curing.get(lot).or_else(|| self.drying.get(lot)).or_else(|| last(&self.curing))
    }
}

/// A lot that the plan doesn't have stands where its last one does.
fn last(stays: &BTreeMap<LotName, Stay>) -> Option<&Stay> {
    stays.values().max_by_key(|stay| stay.last)
}

/// By how many times something takes longer that is never quicker than expected, and of which no more is known: the half-normal
/// distribution of that spread.
fn slower(spread: f64, draws: &mut Draws) -> f64 {
    1.0 + (draws.normal() * spread).abs()
}

/// By how many times rests and cures of one run take longer than reckoned.
pub(super) struct Slower {
    air: Air,
    /// Cures, by their finish.
    cures: BTreeMap<String, f64>,
}

impl Slower {
    /// What touch tests don't tell of a cure yet: never quicker than the sheet.
    pub(super) fn drawn(spreads: &Spreads, draws: &mut Draws) -> Self {
        let air = spreads.rooms.drawn(draws);
        let longer = |finish: &String| (finish.clone(), slower(UNTESTED, draws));
        Self { air, cures: spreads.untested.iter().map(longer).collect() }
    }

    pub(super) fn rest(&self, stay: Option<&Stay>) -> f64 {
        stay.map_or(1.0, |stay| self.air.times(stay))
    }

    /// Of the cure's own time, whatever the room.
    pub(super) fn cure(&self, recipe: &Recipe) -> f64 {
        let finish = recipe.steps.iter().find_map(Step::cures);
        finish.and_then(|finish| self.cures.get(finish)).copied().unwrap_or(1.0)
    }
}

impl Air {
    /// How many times longer than expected a rest or cure takes there.
    #[expect(clippy::cast_precision_loss, reason = "a few weeks")]
    fn times(&self, stay: &Stay) -> f64 {
        let Some(shares) = self.0.get(&stay.room) else { return 1.0 };
        let there = shares.get(stay.first..=stay.last).unwrap_or(shares);
        there.len() as f64 / there.iter().sum::<f64>()
    }
}

/// How fast the first coat's finish dried in each week of a room's log, as a share of what is expected of the next one: the mean
/// over the week's days that were read, a day on which it was too cold counting nothing. Too few: how many there are.
#[expect(clippy::cast_precision_loss, reason = "counts of days")]
fn weeks(shop: &Shop, recipe: &Recipe, room: &str, now: Instant) -> Result<Weeks, usize> {
    let Some(setup) = &shop.setup else { return Err(0) };
    let coat = recipe.steps.iter().find_map(|step| step.coat());
    let Some(finish) = coat.and_then(|coat| setup.finish(coat)) else { return Err(0) };
    let Some(log) = shop.climate.get(room) else { return Err(0) };
    let course = shop.course_in(Clock::NoSooner, finish, room);
    // Whole days, so that neither nights nor heated hours weigh more.
    let dried = |first: i64, days: i64| {
        let [from, until] = [first, first + days].map(|day| now + TimeDelta::days(day));
        course.as_ref().map_or(1.0, |course| course.age(from, until) / (24.0 * days as f64))
    };
    let expected: Vec<f64> = (0..).map(|ahead| dried(7 * ahead, 7)).take(MOST_WEEKS).collect();
    let Some(next) = expected.first().copied().filter(|next| *next > 0.0) else { return Err(0) };
    let read = |back: &i64| {
        let [from, until] = [*back, *back - 1].map(|back| now - TimeDelta::days(back));
        log.iter().any(|reading| from < reading.at && reading.at <= until)
    };
    let week = |back: i64| {
        let days = (back * 7 + 1..=back * 7 + 7).filter(read);
        let rates: Vec<f64> = days.map(|back| dried(-back, 1) / next).collect();
        let mean = rates.iter().sum::<f64>() / rates.len().max(1) as f64;
        // A week of which most days were not read tells of those few alone.
        (rates.len() > 3).then_some((-0.5 - back as f64, mean.max(SLOWEST).ln()))
    };
    let weeks: Vec<(f64, f64)> = (0..WEEKS).filter_map(week).collect();
    if weeks.len() < ENOUGH_WEEKS {
        return Err(weeks.len());
    }
    let expected = expected.iter().map(|rate| (rate / next).max(SLOWEST)).collect();
    let q10 = finish.q10.unwrap_or(Q10::COMMON_PRACTICE);
    let season = Rate::of(shop.zone(), shop.heated(room), q10, now);
    Ok(Weeks::through(&weeks, season, expected))
}
