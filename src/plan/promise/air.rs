//! How fast rests and cure go in each room, week by week, as its log spreads it.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use chrono::TimeDelta;

use super::draws::Draws;
use super::spread::{A_TENTH, Ground, Spreads};
use crate::craft::cure::{Clock, Course};
use crate::craft::scatter::Scatter;
use crate::plan::minutes::Origin;
use crate::shop::Shop;
use crate::shop::climate::RoomReading;
use crate::shop::name::LotName;
use crate::shop::plan::{ShopPlan, StayPlan};
use crate::shop::setup::{Heated, Recipe, Step};
use crate::time::Instant;

/// Weeks of a room's log from which its own spread counts (a choice).
const ENOUGH_WEEKS: usize = 3;
/// By how much the logarithm of one week's rate lies off its line (a choice).
const SCATTER: f64 = 0.15;
/// By how much that line may rise or fall in a week (a choice).
const DRIFT: f64 = 0.04;
/// The same beside a season that is known (a choice).
const DRIFT_BESIDE: f64 = 0.02;
/// Weeks for which it is taken to go on so (a choice).
const DRIFTS_FOR: f64 = 8.0;
/// By how much the logarithm of the rate lies off for as long as an order takes, in all rooms alike: a month is 1.5 °C warmer or
/// colder than its season (climate normals, from memory), at a Q10 of 2.
const WEATHER: f64 = 0.1;
/// Weeks to come in which the plan takes a room hour by hour to its slower side, before the season counts.
const UNSEASONED_WEEKS: i64 = 2;
/// How far back a room's log is looked at, weeks (a choice).
const WEEKS: i64 = 8;
/// The slowest a week may count, as a share of the pace expected now: no order waits for one that never ends (a choice).
const SLOWEST: f64 = 0.1;
/// The spread of a cure's own time that tests don't tell of yet: half the time a tenth or more (a choice, no source).
const UNTESTED: f64 = 0.15;
/// More weeks to come than these are no truer (a choice).
const MOST_WEEKS: usize = 20;

/// How fast rests and cure go, week by week: what is expected by the two weeks read last and the season, a line that the weeks of
/// the log have followed beside it, and how far each lies off both. A room that has become colder for weeks goes on doing so.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Weeks {
    /// Where the line stands now.
    level: f64,
    /// By how much it rises in a week.
    drift: f64,
    around: Vec<f64>,
    to_come: Vec<Week>,
    /// Whether a season counts in them.
    seasonal: bool,
}

/// What a week to come counts, hours of the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Week {
    /// By the plan, on its careful side.
    planned: f64,
    /// As expected, or in one run.
    truly: f64,
}

impl Weeks {
    /// From weeks, negative as they are past, and the logarithms of what they counted as a share of what would have been
    /// expected. The slope is the mean of the normal posterior of one that is none to begin with (Gelman and others, Bayesian
    /// Data Analysis, chapter 14).
    fn through(weeks: &[(f64, f64)], may_drift: f64, to_come: Vec<Week>, seasonal: bool) -> Self {
        let Scatter { mean: (middle, mean), xx, xy, .. } = Scatter::of(weeks);
        let drift = xy / (xx + (SCATTER / may_drift).powi(2));
        let level = mean - drift * middle;
        let around = weeks.iter().map(|(week, off)| off - level - drift * week).collect();
        Self { level, drift, around, to_come, seasonal }
    }

    /// The weeks to come in one run, in weather that is so much off.
    #[expect(clippy::cast_precision_loss, reason = "a few weeks")]
    fn drawn(&self, weather: f64, draws: &mut Draws) -> Vec<Week> {
        let week = |(ahead, week): (usize, &Week)| {
            let off = draws.one(&self.around).copied().unwrap_or(0.0);
            let line = self.level + self.drift * (ahead as f64 + 0.5).min(DRIFTS_FOR);
            Week { truly: week.truly * (line + off + weather).exp().max(SLOWEST), ..*week }
        };
        self.to_come.iter().enumerate().map(week).collect()
    }
}

/// What is known of a room whose log is too short.
#[derive(Debug, Clone, PartialEq, Default)]
struct Few {
    /// Weeks of its log.
    weeks: usize,
    /// What it is taken to be, followed by the season; nothing where nobody has read it.
    to_come: Vec<Week>,
}

/// What the logs tell of the rooms in which pieces stand.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Rooms(BTreeMap<String, Result<Weeks, Few>>);

impl Few {
    /// The weeks to come in one run, in weather that is so much off and so many times slower.
    fn drawn(&self, weather: f64, slower: f64) -> Vec<Week> {
        if self.to_come.is_empty() {
            return vec![Week { planned: slower, truly: 1.0 }];
        }
        let times = weather.exp() / slower;
        self.to_come.iter().map(|week| Week { truly: week.truly * times, ..*week }).collect()
    }
}

/// The weeks of each room in one run.
struct Air(BTreeMap<String, Vec<Week>>);

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
        self.0.values().flatten().any(|weeks| weeks.seasonal)
    }

    /// What the rooms are told by in which that batch stands by the plan: the shortest of their logs.
    pub(super) fn ground(&self, shop: &Shop, plan: &ShopPlan, batch: &str) -> Ground {
        let of_batch = |lot: &str| lot.parse::<LotName>().is_ok_and(|lot| lot.batch == batch);
        let stays = plan.stays.iter().filter(|stay| of_batch(&stay.lot));
        let rooms = stays.filter_map(|stay| shop.setup.as_ref()?.rack(&stay.rack));
        let told = rooms.filter_map(|rack| self.0.get(&rack.room));
        let ground = |weeks: &Result<Weeks, Few>| match weeks {
            Ok(weeks) => Ground::Records(weeks.around.len()),
            Err(few) => Ground::Prior(few.weeks),
        };
        let fewest = |ground: &Ground| match ground {
            Ground::Records(count) => (1, *count),
            Ground::Prior(count) => (0, *count),
        };
        told.map(ground).min_by_key(fewest).unwrap_or(Ground::Prior(0))
    }

    /// The rooms' weeks to come, each off what is expected by as much as one of its log's, drawn by chance, and all by the weather.
    /// Of a log that is too short: but for that never quicker than planned, and where there is none never quicker.
    fn drawn(&self, draws: &mut Draws) -> Air {
        let weather = draws.normal() * WEATHER;
        let of_room = |(room, weeks): (&String, &Result<Weeks, Few>)| {
            let weeks = match weeks {
                Ok(weeks) => weeks.drawn(weather, draws),
                Err(few) => few.drawn(weather, slower(A_TENTH, draws)),
            };
            (room.clone(), weeks)
        };
        Air(self.0.iter().map(of_room).collect())
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
    /// How many times longer than planned a rest or cure takes there: where the plan counts on nothing, as long.
    fn times(&self, stay: &Stay) -> f64 {
        let Some(weeks) = self.0.get(&stay.room) else { return 1.0 };
        let there = weeks.get(stay.first..=stay.last).unwrap_or(weeks);
        let planned: f64 = there.iter().map(|week| week.planned).sum();
        let truly: f64 = there.iter().map(|week| week.truly).sum();
        if planned > 0.0 { planned / truly.max(SLOWEST * planned) } else { 1.0 }
    }
}

/// A room's log, and what the two weeks read last and the season lead to expect.
struct Expected<'a> {
    log: &'a [RoomReading],
    course: Arc<Course>,
    /// In one season or the other, where nobody said when the room is heated.
    by: Vec<Course>,
}

impl<'a> Expected<'a> {
    fn of(shop: &'a Shop, recipe: &Recipe, room: &str) -> Option<Self> {
        let coat = recipe.steps.iter().find_map(|step| step.coat())?;
        let finish = shop.setup.as_ref()?.finish(coat)?;
        let log = shop.climate.get(room)?;
        let course = shop.course_in(Clock::NoSooner, finish, room)?;
        let reaches = match shop.heated(room) {
            Some(heated) => vec![heated.lets_in()],
            None => vec![Heated::ByDay.lets_in(), Heated::Always.lets_in()],
        };
        let by = reaches.into_iter().map(|reach| Course::clone(&course).following(reach));
        Some(Self { log, by: by.collect(), course })
    }

    /// How much would dry between two moments, past or to come.
    fn age(&self, from: Instant, until: Instant, either: fn(f64, f64) -> f64) -> f64 {
        self.by.iter().map(|by| by.expected(from, until)).reduce(either).unwrap_or(0.0)
    }

    fn is_read(&self, from: Instant, until: Instant) -> bool {
        self.log.iter().any(|reading| from < reading.at && reading.at <= until)
    }

    /// What a week that ended so many weeks ago counted, as a share of what is expected of its days that were read: whole
    /// days, so that neither nights nor heated hours weigh more. A week of which most were not read tells of those few alone.
    fn share(&self, back: i64, now: Instant) -> Option<f64> {
        let (mut read, mut counted, mut expected) = (0, 0.0, 0.0);
        for day in back * 7 + 1..=back * 7 + 7 {
            let [from, until] = [day, day - 1].map(|back| now - TimeDelta::days(back));
            if self.is_read(from, until) {
                read += 1;
                counted += self.course.age(from, until);
                expected += self.age(from, until, f64::max);
            }
        }
        let share = counted / expected;
        (read > 3 && share.is_finite()).then_some(share.max(SLOWEST))
    }
}

/// How the first coat's finish dried in the weeks of a room's log and is expected to dry in those to come. Where they are too
/// few it is as planned, but for the season once it counts.
#[expect(clippy::cast_precision_loss, reason = "counts of weeks")]
fn weeks(shop: &Shop, recipe: &Recipe, room: &str, now: Instant) -> Result<Weeks, Few> {
    let expected = Expected::of(shop, recipe, room).ok_or_else(Few::default)?;
    let week = |back: i64| Some((-0.5 - back as f64, expected.share(back, now)?.ln()));
    let past: Vec<(f64, f64)> = (0..WEEKS).filter_map(week).collect();
    let few = past.len() < ENOUGH_WEEKS;
    let to_come = (0..).map(|ahead| {
        let [from, until] = [ahead, ahead + 1].map(|week| now + TimeDelta::days(7 * week));
        let planned = expected.course.age(from, until);
        let as_planned = few && ahead < UNSEASONED_WEEKS;
        let truly = if as_planned { planned } else { expected.age(from, until, f64::min) };
        Week { planned, truly }
    });
    let to_come = to_come.take(MOST_WEEKS).collect();
    if few {
        return Err(Few { weeks: past.len(), to_come });
    }
    let may_drift = match expected.by.as_slice() {
        [by] if by.follows() => DRIFT_BESIDE,
        _ => DRIFT,
    };
    let seasonal = expected.by.iter().any(Course::follows);
    Ok(Weeks::through(&past, may_drift, to_come, seasonal))
}
