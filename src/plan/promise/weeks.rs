//! How fast rests and cure go in a room, week by week, as its log and the season tell.

use std::sync::Arc;

use chrono::TimeDelta;

use super::draws::Draws;
use super::spread::{A_TENTH, Ground};
use crate::craft::cure::{Clock, Course};
use crate::craft::scatter::Scatter;
use crate::shop::Shop;
use crate::shop::climate::RoomReading;
use crate::shop::setup::{Heated, Recipe};
use crate::time::Instant;

/// Degrees by which a month is warmer or colder than its season: the standard deviation (climate normals, from memory).
const WEATHER: f64 = 1.5;
/// The same of a week, of which several even out (from memory likewise).
const WEEK: f64 = 2.8;
/// Weeks of a room's log from which its own spread counts (a choice).
const ENOUGH_WEEKS: usize = 3;
/// By how much the logarithm of one week's rate lies off its line (a choice).
const SCATTER: f64 = 0.15;
/// By how much that line may rise or fall in a week (a choice).
const DRIFT: f64 = 0.04;
/// Weeks for which it is taken to go on so (a choice).
const DRIFTS_FOR: f64 = 8.0;
/// Whole degrees to either side for which a week is reckoned: more is as much.
const DEGREES: i32 = 8;
/// The same counted, none included.
const STEPS: usize = 2 * DEGREES.unsigned_abs() as usize + 1;
/// Weeks to come in which the plan takes a room hour by hour to its slower side, before the season counts.
const UNSEASONED_WEEKS: i64 = 2;
/// How far back a room's log is looked at, weeks (a choice).
const WEEKS: i64 = 8;
/// The slowest a week may count, as a share of the pace expected now: no order waits for one that never ends (a choice).
pub(super) const SLOWEST: f64 = 0.1;
/// More weeks to come than these are no truer (a choice).
pub(super) const MOST_WEEKS: usize = 20;

/// Degrees by which the weather is warmer than its season, everywhere alike.
#[derive(Debug, Clone, Copy)]
pub(super) struct Weather {
    /// For as long as an order takes.
    to_come: f64,
    /// In a week past.
    past: f64,
}

impl Weather {
    pub(super) fn drawn(draws: &mut Draws) -> Self {
        let [to_come, past] = [WEATHER, WEEK].map(|spread| spread * draws.ranked(Draws::normal));
        Self { to_come, past }
    }

    /// What is to come against what is expected by a log of so many weeks, which their own weather leads astray.
    #[expect(clippy::cast_precision_loss, reason = "a few weeks")]
    fn beside(self, weeks: usize) -> f64 {
        self.to_come - self.past / (weeks.max(1) as f64).sqrt()
    }
}

/// How fast rests and cure go in a room, week by week.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Weeks {
    /// What is expected; nothing where nobody has read the room.
    to_come: Vec<Week>,
    /// The share of the weather that reaches it.
    reach: f64,
    /// Whether a season counts in it.
    seasonal: bool,
    log: Log,
}

/// What a room's log tells of how far a week may lie off what is expected.
#[derive(Debug, Clone, PartialEq)]
enum Log {
    /// Too short: so many weeks.
    Few(usize),
    /// Where a season is known: by how many degrees each of its weeks lay off.
    Seasonal(Vec<f64>),
    /// Elsewhere the line that its weeks have followed. A room that has become colder for weeks goes on doing so.
    Line(Line),
}

impl Log {
    const fn weeks(&self) -> usize {
        match self {
            Self::Few(weeks) => *weeks,
            Self::Seasonal(off) => off.len(),
            Self::Line(line) => line.around.len(),
        }
    }
}

impl Default for Log {
    fn default() -> Self {
        Self::Few(0)
    }
}

/// The logarithms of what weeks counted as a share of what was expected.
#[derive(Debug, Clone, PartialEq)]
struct Line {
    /// Where it stands now.
    level: f64,
    /// By how much it rises in a week.
    drift: f64,
    /// How far each lies off it.
    around: Vec<f64>,
}

/// What a week to come counts, hours of the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Week {
    /// By the plan, on its careful side.
    planned: f64,
    /// As expected, by the whole degrees that the room is warmer than that, from the coldest on.
    truly: [f64; STEPS],
}

/// The same in one run.
#[derive(Debug, Clone, Copy)]
pub(super) struct Drawn {
    pub(super) planned: f64,
    pub(super) truly: f64,
}

impl Line {
    /// Through weeks, negative as they are past. The slope is the mean of the normal posterior of one that is none to begin with
    /// (Gelman and others, Bayesian Data Analysis, chapter 14).
    fn through(weeks: &[(f64, f64)]) -> Self {
        let Scatter { mean: (middle, mean), xx, xy, .. } = Scatter::of(weeks);
        let drift = xy / (xx + (SCATTER / DRIFT).powi(2));
        let level = mean - drift * middle;
        let around = weeks.iter().map(|(week, off)| off - level - drift * week).collect();
        Self { level, drift, around }
    }

    /// By how many times a week so far ahead goes faster than expected.
    #[expect(clippy::cast_precision_loss, reason = "a few weeks")]
    fn drawn(&self, ahead: usize, draws: &mut Draws) -> f64 {
        let off = draws.one(&self.around).copied().unwrap_or(0.0);
        let line = self.level + self.drift * (ahead as f64 + 0.5).min(DRIFTS_FOR);
        (line + off).exp().max(SLOWEST)
    }
}

impl Week {
    /// In a room so many degrees warmer than expected: in a straight line between whole degrees.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "within the degrees of the table"
    )]
    fn warmer_by(&self, degrees: f64) -> Drawn {
        let most = f64::from(DEGREES);
        let place = degrees.clamp(-most, most) + most;
        let at = |place: f64| self.truly.get(place as usize).copied().unwrap_or_default();
        let (low, high) = (at(place.floor()), at(place.ceil()));
        Drawn { planned: self.planned, truly: low + (high - low) * place.fract() }
    }
}

impl Weeks {
    /// How the first coat's finish is expected to dry in the weeks to come. Where a log's weeks are too few it is as planned, but for
    /// the season once it counts.
    pub(super) fn of(shop: &Shop, recipe: &Recipe, room: &str, now: Instant) -> Self {
        let Some(expected) = Expected::of(shop, recipe, room) else { return Self::default() };
        let log = expected.log(now);
        let to_come = (0..).map(|ahead| {
            let [from, until] = [ahead, ahead + 1].map(|week| now + TimeDelta::days(7 * week));
            let planned = expected.course.age(from, until);
            let as_planned = matches!(log, Log::Few(_)) && ahead < UNSEASONED_WEEKS;
            let mut warmer = -DEGREES..=DEGREES;
            let truly = [(); STEPS].map(|()| {
                let warmer = warmer.next().unwrap_or(DEGREES);
                if as_planned { planned } else { expected.age(from, until, warmer) }
            });
            Week { planned, truly }
        });
        let to_come = to_come.take(MOST_WEEKS).collect();
        let by_day = expected.by_day.as_ref().is_some_and(Course::follows);
        let seasonal = by_day || expected.course.follows();
        Self { to_come, reach: expected.reach, seasonal, log }
    }

    /// Whether a season counts beside its log.
    pub(super) fn follow_a_season(&self) -> bool {
        self.seasonal && !matches!(self.log, Log::Few(_))
    }

    pub(super) const fn ground(&self) -> Ground {
        match self.log {
            Log::Few(weeks) => Ground::Prior(weeks),
            Log::Seasonal(_) | Log::Line(_) => Ground::Records(self.log.weeks()),
        }
    }

    /// The weeks to come in one run. Of a log that is too short: but for the weather never quicker than planned, and where there is
    /// none never quicker.
    pub(super) fn drawn(&self, weather: Weather, draws: &mut Draws) -> Vec<Drawn> {
        let weather = match &self.log {
            // It runs through the log's own weather.
            Log::Line(_) => weather.to_come,
            log => weather.beside(log.weeks()),
        };
        let weather = self.reach * weather;
        let weeks = self.to_come.iter();
        match &self.log {
            Log::Few(_) => {
                let slower = slower(A_TENTH, draws);
                if self.to_come.is_empty() {
                    return vec![Drawn { planned: slower, truly: 1.0 }];
                }
                weeks.map(|week| week.warmer_by(weather).times(1.0 / slower)).collect()
            }
            Log::Seasonal(off) => {
                let mut off = || draws.one(off).copied().unwrap_or(0.0);
                weeks.map(|week| week.warmer_by(weather + off())).collect()
            }
            Log::Line(line) => weeks
                .enumerate()
                .map(|(ahead, week)| week.warmer_by(weather).times(line.drawn(ahead, draws)))
                .collect(),
        }
    }
}

impl Drawn {
    fn times(self, times: f64) -> Self {
        Self { truly: self.truly * times, ..self }
    }
}

/// By how many times something takes longer that is never quicker than expected, and of which no more is known: the half-normal
/// distribution of that spread.
pub(super) fn slower(spread: f64, draws: &mut Draws) -> f64 {
    1.0 + spread * draws.ranked(|draws| draws.normal().abs())
}

/// A room's log, and what it and the season lead to expect.
struct Expected<'a> {
    log: &'a [RoomReading],
    course: Arc<Course>,
    reach: f64,
    /// The same heated by day, where nobody said when it is: the course follows no season then.
    by_day: Option<Course>,
}

impl<'a> Expected<'a> {
    fn of(shop: &'a Shop, recipe: &Recipe, room: &str) -> Option<Self> {
        let coat = recipe.steps.iter().find_map(|step| step.coat())?;
        let finish = shop.setup.as_ref()?.finish(coat)?;
        let log = shop.climate.get(room)?;
        let course = shop.course_in(Clock::NoSooner, finish, room)?;
        let heated = shop.heated(room);
        let reach = heated.unwrap_or(Heated::ByDay).lets_in();
        let by_day = heated.is_none().then(|| Course::clone(&course).following(reach));
        Some(Self { log, course, reach, by_day })
    }

    /// How much would dry between two moments to come in a room so many degrees warmer: in the season in which it's less.
    fn age(&self, from: Instant, until: Instant, warmer: i32) -> f64 {
        let age = self.course.expected(from, until, warmer);
        let by_day = self.by_day.as_ref().map(|by_day| by_day.expected(from, until, warmer));
        by_day.map_or(age, |by_day| by_day.min(age))
    }

    fn is_read(&self, from: Instant, until: Instant) -> bool {
        self.log.iter().any(|reading| from < reading.at && reading.at <= until)
    }

    /// The days of a week that ended so many weeks ago which were read, where most were: whole days, so that neither nights nor
    /// heated hours weigh more. A week of which most were not read tells of those few alone.
    fn days_read(&self, back: i64, now: Instant) -> Option<Vec<[Instant; 2]>> {
        let day = |day| [day, day - 1].map(|back| now - TimeDelta::days(back));
        let days = (back * 7 + 1..=back * 7 + 7).map(day);
        let read: Vec<_> = days.filter(|[from, until]| self.is_read(*from, *until)).collect();
        (read.len() > 3).then_some(read)
    }

    /// What such a week counted, as a share of what its days would have if all had been as of late.
    fn share(&self, days: &[[Instant; 2]]) -> Option<f64> {
        let counted: f64 = days.iter().map(|[from, until]| self.course.age(*from, *until)).sum();
        let expected = days.iter().map(|[from, until]| self.course.expected(*from, *until, 0));
        let expected: f64 = expected.sum();
        let share = counted / expected;
        share.is_finite().then_some(share.max(SLOWEST))
    }

    #[expect(clippy::cast_precision_loss, reason = "counts of weeks")]
    fn log(&self, now: Instant) -> Log {
        let past = (0..WEEKS).filter_map(|back| Some((back, self.days_read(back, now)?)));
        if self.course.follows() {
            let off = |days: Vec<[Instant; 2]>| self.course.off(days.last()?[0], days.first()?[1]);
            let off = past.filter_map(|(_, days)| off(days));
            let off: Vec<f64> = off.collect();
            return if off.len() < ENOUGH_WEEKS { Log::Few(off.len()) } else { Log::Seasonal(off) };
        }
        let week =
            |(back, days): (i64, Vec<_>)| Some((-0.5 - back as f64, self.share(&days)?.ln()));
        let past: Vec<(f64, f64)> = past.filter_map(week).collect();
        if past.len() < ENOUGH_WEEKS {
            Log::Few(past.len())
        } else {
            Log::Line(Line::through(&past))
        }
    }
}
