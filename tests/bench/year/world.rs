//! The world that no policy sees: weather, rooms as they really are, orders, cracks, the speed of hands, lost days. Everything
//! is drawn from the seed and from what it is about, never from the order of asking, so two policies meet the same draws.

use std::collections::BTreeSet;

use chrono::{
    DateTime, Datelike as _, NaiveDate, NaiveTime, TimeDelta, TimeZone as _, Timelike as _, Utc,
};
use chrono_tz::Europe::Dublin;

pub(crate) type Moment = DateTime<Utc>;

/// Days of weather before the first day, for the log of the weeks before.
const LEAD: u32 = 30;
/// Days after the last order within which all has to be shipped.
const REST: u32 = 240;

/// A number in 0..1 from the seed and a name: the same question always gets the same answer.
pub(crate) fn draw(seed: u64, what: &str, number: u64) -> f64 {
    let mut state = seed ^ 0x9E37_79B9_7F4A_7C15;
    for byte in what.bytes().chain(number.to_le_bytes()) {
        state = (state ^ u64::from(byte)).wrapping_mul(0x0100_0000_01B3);
        state ^= state >> 29;
    }
    // Mixing of SplitMix64 (Steele, Lea, Flood 2014).
    state = (state ^ (state >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    state = (state ^ (state >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    state ^= state >> 31;
    (state >> 11) as f64 / (1_u64 << 53) as f64
}

/// A standard normal number (Box and Muller 1958).
pub(crate) fn normal(seed: u64, what: &str, number: u64) -> f64 {
    let (u, v) = (draw(seed, what, 2 * number), draw(seed, what, 2 * number + 1));
    (-2.0 * (1.0 - u).ln()).sqrt() * (std::f64::consts::TAU * v).cos()
}

/// A finish of the setup beside this file, and what it really does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Finish {
    pub(crate) name: &'static str,
    /// The name of the one large can of it.
    pub(crate) can: &'static str,
    pub(crate) recoat_hours: (f64, f64),
    pub(crate) cure_hours: f64,
    pub(crate) sheet_temp: f64,
    pub(crate) min_temp: f64,
    pub(crate) q10: f64,
    pub(crate) max_humidity: f64,
}

/// The finishes of `shop.toml`.
pub(crate) const FINISHES: [Finish; 2] = [
    Finish {
        name: "house oil",
        can: "K1",
        recoat_hours: (20.0, 120.0),
        cure_hours: 14.0 * 24.0,
        sheet_temp: 20.0,
        min_temp: 8.0,
        q10: 2.0,
        max_humidity: 85.0,
    },
    Finish {
        name: "shop wax",
        can: "K2",
        recoat_hours: (12.0, 96.0),
        cure_hours: 7.0 * 24.0,
        sheet_temp: 20.0,
        min_temp: 8.0,
        q10: 2.2,
        max_humidity: 85.0,
    },
];

/// A step that takes hands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Step {
    pub(crate) name: &'static str,
    /// Its number in the recipe, from 1.
    pub(crate) number: u32,
    pub(crate) seconds: f64,
    /// The share of pieces that fail at it.
    pub(crate) scrap: f64,
    pub(crate) coat: bool,
    /// A rest after it, hours.
    pub(crate) rest: f64,
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Recipe {
    pub(crate) name: &'static str,
    pub(crate) finish: Finish,
    pub(crate) steps: Vec<Step>,
}

/// The recipes of `shop.toml`, as hands meet them.
pub(crate) fn recipes() -> [Recipe; 3] {
    let [oil, wax] = FINISHES;
    let step = |name, number, seconds, scrap| Step {
        name,
        number,
        seconds,
        scrap,
        coat: false,
        rest: 0.0,
    };
    let coat =
        |number, seconds| Step { name: "coat", number, seconds, scrap: 0.0, coat: true, rest: 0.0 };
    let raise = |number| Step { rest: 4.0, ..step("raise", number, 8.0, 0.0) };
    [
        Recipe {
            name: "three coats",
            finish: oil,
            steps: vec![
                step("turn", 1, 370.0, 0.03),
                step("P180", 2, 40.0, 0.005),
                step("P240", 3, 30.0, 0.0),
                step("P320", 4, 25.0, 0.0),
                raise(5),
                coat(6, 40.0),
                step("rub", 7, 15.0, 0.0),
                coat(8, 38.0),
                coat(9, 38.0),
                step("inspect", 11, 20.0, 0.02),
                step("pack", 12, 45.0, 0.0),
            ],
        },
        Recipe {
            name: "two coats",
            finish: oil,
            steps: vec![
                step("turn", 1, 250.0, 0.02),
                step("P240", 2, 40.0, 0.0),
                coat(3, 36.0),
                coat(4, 34.0),
                step("inspect", 6, 20.0, 0.015),
                step("pack", 7, 40.0, 0.0),
            ],
        },
        Recipe {
            name: "one coat",
            finish: wax,
            steps: vec![
                step("turn", 1, 200.0, 0.02),
                step("P240", 2, 35.0, 0.0),
                coat(3, 40.0),
                step("inspect", 5, 15.0, 0.01),
                step("pack", 6, 40.0, 0.0),
            ],
        },
    ]
}

/// What a customer says after ordering.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum News {
    Pieces(u32),
    Cancelled,
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Order {
    pub(crate) name: String,
    /// When what is said of it later.
    pub(crate) news: Option<(Moment, News)>,
    pub(crate) recipe: usize,
    pub(crate) pieces: u32,
    pub(crate) asked: Moment,
    /// The day the customer would like it.
    pub(crate) wanted: NaiveDate,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Room {
    /// Heated in open hours; a logger, imported once a week.
    Oil,
    /// Under the roof, unheated; read by hand at opening.
    Loft,
}

impl Room {
    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::Oil => "oil room",
            Self::Loft => "loft",
        }
    }
}

#[derive(Debug, Clone)]
pub(crate) struct World {
    pub(crate) seed: u64,
    pub(crate) first: NaiveDate,
    pub(crate) days: u32,
    pub(crate) orders: Vec<Order>,
    /// Days on which nobody came.
    pub(crate) ill: BTreeSet<NaiveDate>,
    /// Each room's air by the hour, °C.
    air: [Vec<f64>; 2],
    /// How much slower or quicker than its sheet each finish really cures.
    hidden: [f64; 2],
}

impl World {
    pub(crate) fn new(seed: u64, first: NaiveDate, days: u32) -> Self {
        let mut world = Self {
            seed,
            first,
            days,
            orders: Vec::new(),
            ill: BTreeSet::new(),
            air: [Vec::new(), Vec::new()],
            hidden: [0.9 + 0.35 * draw(seed, "hidden", 0), 0.9 + 0.35 * draw(seed, "hidden", 1)],
        };
        let each = |number: u32| first + TimeDelta::days(i64::from(number));
        world.ill = (0..days + REST)
            .filter(|n| draw(seed, "ill", u64::from(*n)) < 0.02)
            .map(each)
            .collect();
        world.air = world.weather();
        world.orders = world.drawn_orders();
        world
    }

    /// Hourly air of both rooms: a yearly and a daily swing, weather with a memory of three days, heating in open hours that
    /// fades over a night.
    fn weather(&self) -> [Vec<f64>; 2] {
        let (mut oil, mut loft) = (Vec::new(), Vec::new());
        let (mut weather, mut warmth, mut roof) = (0.0, 8.0, 6.0);
        for hour in 0..u64::from(self.days + REST + 60 + LEAD) * 24 {
            let at = self.hour(hour);
            let season = (f64::from(at.ordinal()) - 205.0) / 365.0 * std::f64::consts::TAU;
            if hour % 24 == 0 {
                weather = 0.72 * weather + 2.4 * normal(self.seed, "weather", hour);
            }
            let clock = f64::from(at.with_timezone(&Dublin).hour());
            let daily = 3.0 * ((clock - 15.0) / 24.0 * std::f64::consts::TAU).cos();
            let outside = 9.5 + 7.5 * season.cos() + weather + daily;
            let heated = open_at(at) && !self.ill.contains(&day_of(at));
            let aim = if heated { f64::max(19.0, outside + 2.0) } else { outside + 4.0 };
            warmth += (aim - warmth) * if heated { 0.5 } else { 0.12 };
            roof += (outside + 3.0 - roof) * 0.2;
            oil.push(warmth);
            loft.push(roof);
        }
        [oil, loft]
    }

    /// 40 to 60 orders a year, 24 to 400 pieces, mostly small; wanted in five to twelve weeks.
    fn drawn_orders(&self) -> Vec<Order> {
        let year = 40.0 + 20.0 * draw(self.seed, "orders", 0);
        let mut orders = Vec::new();
        for number in 0..self.days {
            let (day, key) = (self.first + TimeDelta::days(i64::from(number)), u64::from(number));
            if draw(self.seed, "arrives", key) >= year / 253.0 || stretches(day).is_empty() {
                continue;
            }
            let pieces = (56.0 * (0.7 * normal(self.seed, "pieces", key)).exp()).clamp(24.0, 400.0);
            let recipe = (draw(self.seed, "recipe", key) * 3.0) as usize;
            let weeks = 5.0 + 7.0 * draw(self.seed, "slack", key);
            let noon = NaiveTime::from_hms_opt(11, 0, 0).expect("a time of day");
            let what = match draw(self.seed, "news", key) {
                n if n < 0.05 => Some(News::Cancelled),
                n if n < 0.15 => {
                    let times = 0.7 + 0.6 * draw(self.seed, "changed to", key);
                    Some(News::Pieces((pieces * times) as u32))
                }
                _ => None,
            };
            let then = day + TimeDelta::days(1 + (12.0 * draw(self.seed, "news on", key)) as i64);
            orders.push(Order {
                name: format!("o{}", orders.len() + 1),
                news: what.map(|what| (local(then, noon), what)),
                recipe: recipe.min(2),
                pieces: pieces as u32,
                asked: local(day, noon),
                wanted: day + TimeDelta::days((weeks * 7.0) as i64),
            });
        }
        orders
    }

    /// The day on which it ends, all shipped or not.
    pub(crate) fn last_day(&self) -> NaiveDate {
        self.first + TimeDelta::days(i64::from(self.days + REST))
    }

    fn hour(&self, number: u64) -> Moment {
        let first = self.first - TimeDelta::days(i64::from(LEAD));
        local(first, NaiveTime::MIN) + TimeDelta::hours(number as i64)
    }

    /// The air of a room at a moment, °C.
    pub(crate) fn temp(&self, room: Room, at: Moment) -> f64 {
        let hours = (at - self.hour(0)).num_seconds() as f64 / 3600.0;
        let air = &self.air[room as usize];
        let at = hours.clamp(0.0, air.len() as f64 - 2.0);
        let (low, part) = (at.floor() as usize, at.fract());
        air[low] * (1.0 - part) + air[low + 1] * part
    }

    /// True hours of the sheet that pass on those stays, at the true rate of the air, quarter of an hour by quarter.
    pub(crate) fn true_age(
        &self,
        finish: &Finish,
        stays: &[(Moment, Room)],
        from: Moment,
        until: Moment,
    ) -> f64 {
        let (mut age, mut at, step) = (0.0, from, TimeDelta::minutes(15));
        while at < until {
            let room = stays.iter().rev().find(|stay| stay.0 <= at).or(stays.first());
            let temp = room.map_or(finish.sheet_temp, |stay| self.temp(stay.1, at));
            let hours = (until - at).min(step).num_seconds() as f64 / 3600.0;
            if temp >= finish.min_temp {
                age += hours * finish.q10.powf((temp - finish.sheet_temp) / 10.0);
            }
            at += step;
        }
        age
    }

    /// The true hours of the sheet after which that finish is really cured: not what the sheet says.
    pub(crate) fn truly_needs(&self, finish: &Finish) -> f64 {
        let number = FINISHES.iter().position(|known| known == finish).unwrap_or(0);
        finish.cure_hours * self.hidden[number]
    }

    /// How many of the next `pieces` of that order fail at a step, `before` of them having gone through it already.
    pub(crate) fn cracked(&self, order: &str, step: &Step, before: u32, pieces: u32) -> u32 {
        let fails = |n: &u32| {
            draw(self.seed, &format!("crack/{order}/{}", step.number), u64::from(*n)) < step.scrap
        };
        (before..before + pieces).filter(fails).count() as u32
    }

    /// Minutes a step takes really: the pace of the order's hands, a day's form, and practice with every piece before.
    pub(crate) fn minutes(&self, order: &str, step: &Step, before: u32, pieces: u32) -> u32 {
        let form = (0.10
            * normal(self.seed, &format!("form/{order}/{}", step.number), u64::from(before)))
        .exp();
        let practice = (1.0 + f64::from(before) / 200.0).powf(-0.05);
        ((step.seconds * f64::from(pieces) * form * practice) / 60.0).ceil().max(1.0) as u32
    }
}

fn open_at(at: Moment) -> bool {
    stretches(day_of(at)).iter().any(|(from, until)| *from <= at && at < *until)
}

pub(crate) fn local(day: NaiveDate, time: NaiveTime) -> Moment {
    // The hours of the shop keep clear of the clock changes, and midnight in Dublin always comes once.
    Dublin.from_local_datetime(&day.and_time(time)).earliest().expect("a time that comes").to_utc()
}

pub(crate) fn day_of(at: Moment) -> NaiveDate {
    at.with_timezone(&Dublin).date_naive()
}

/// The open stretches of a day, those of `shop.toml`.
pub(crate) fn stretches(day: NaiveDate) -> Vec<(Moment, Moment)> {
    let time = |hour, minute| NaiveTime::from_hms_opt(hour, minute, 0).expect("a time of day");
    let hours = match day.weekday().number_from_monday() {
        1..=4 => vec![((8, 30), (12, 30)), ((13, 15), (17, 30))],
        5 => vec![((8, 30), (12, 30)), ((13, 15), (16, 0))],
        _ => vec![],
    };
    hours
        .into_iter()
        .map(|(a, b)| (local(day, time(a.0, a.1)), local(day, time(b.0, b.1))))
        .collect()
}

/// The open moment at or after `at`; within a fortnight, or `at` itself.
pub(crate) fn next_open(at: Moment) -> Moment {
    let days = (0..14).map(|n| day_of(at) + TimeDelta::days(n));
    let opens = days.flat_map(stretches).find(|(_, until)| at < *until);
    opens.map_or(at, |(from, _)| from.max(at))
}
