//! The odds of a promise against a simulation of its own: other sampler, other calendar, the schedule worked out by hand. An
//! order of ten spoon rests with one coat is one lot: sand, coat, cure for the sheet's 14 days, inspect, each as soon as hands
//! and hours allow; what is spoiled is made again.

use chrono::{
    DateTime, Datelike as _, Duration, NaiveDate, NaiveTime, TimeZone as _, Utc, Weekday,
};
use chrono_tz::Europe::Dublin;

use crate::harness::{SORREL_LANE, TestShop};
use crate::plan::kept::at;
use crate::plan::scenarios::does;

/// A generator of its own: xorshift64* (Vigna 2016).
struct Chance(u64);

impl Chance {
    #[expect(clippy::cast_precision_loss, reason = "53 bits")]
    fn uniform(&mut self) -> f64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        ((self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }

    /// Twelve uniform numbers less six: near enough to the normal distribution, and not the program's way.
    fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.uniform()).sum::<f64>() - 6.0
    }

    /// Jöhnk 1964.
    fn beta(&mut self, a: f64, b: f64) -> f64 {
        loop {
            let (x, y) = (self.uniform().powf(1.0 / a), self.uniform().powf(1.0 / b));
            if x + y <= 1.0 && x + y > 0.0 {
                return x / (x + y);
            }
        }
    }
}

/// What the shop's records say: Beta of lost days, and of the scrap at sanding, coating, inspecting.
struct Known {
    lost: (f64, f64),
    scrap: [(f64, f64); 3],
}

/// The open stretches of 400 days, those of lost days left out; the first day is never lost.
fn hours(
    now: DateTime<Utc>,
    mut lost: impl FnMut() -> bool,
) -> Vec<(DateTime<Utc>, DateTime<Utc>)> {
    let date = |month, day| NaiveDate::from_ymd_opt(2026, month, day).unwrap();
    let today = now.with_timezone(&Dublin).date_naive();
    let mut open = Vec::new();
    for day in today.iter_days().take(400) {
        let closing = match day.weekday() {
            Weekday::Sat | Weekday::Sun => continue,
            Weekday::Fri => (16, 0),
            _ => (17, 30),
        };
        let closed = day == date(3, 17) || (date(4, 3)..=date(4, 6)).contains(&day);
        if closed || (day != today && lost()) {
            continue;
        }
        for (from, to) in [((8, 30), (12, 30)), ((13, 15), closing)] {
            let wall = |(hour, minute)| NaiveTime::from_hms_opt(hour, minute, 0).unwrap();
            let on = |time| Dublin.from_local_datetime(&day.and_time(wall(time))).unwrap().to_utc();
            open.push((on(from), on(to)));
        }
    }
    open
}

/// The end of so many open minutes from `from` on: in one stretch if `unbroken`, else over closing times.
fn worked(
    open: &[(DateTime<Utc>, DateTime<Utc>)],
    from: DateTime<Utc>,
    minutes: f64,
    unbroken: bool,
) -> DateTime<Utc> {
    #[expect(clippy::cast_possible_truncation, reason = "a few minutes")]
    let mut left = Duration::minutes((minutes.ceil() as i64).max(1));
    for &(opens, closes) in open {
        let start = from.max(opens);
        let here = closes - start;
        if here <= Duration::zero() || (unbroken && here < left) {
            continue;
        }
        if here >= left {
            return start + left;
        }
        left -= here;
    }
    panic!("open for no more than 400 days");
}

/// One lot from `from` on: when it is sanded, coated, inspected.
fn lot(
    open: &[(DateTime<Utc>, DateTime<Utc>)],
    from: DateTime<Utc>,
    pieces: f64,
    (pace, rest): (f64, f64),
) -> [DateTime<Utc>; 3] {
    let sanded = worked(open, from, (pieces * 0.5).ceil() * pace, false);
    // 20 s to apply, 20 s to wipe, the last piece of one group no sooner than 10 min after it was applied.
    let coat = (pieces * 40.0 + (600.0 - (pieces - 1.0) * 20.0).max(0.0)) / 60.0;
    let coated = worked(open, sanded, coat.ceil() * pace, true);
    #[expect(clippy::cast_possible_truncation, reason = "weeks")]
    let cured = coated + Duration::minutes((20_160.0 * rest).ceil() as i64);
    [sanded, coated, worked(open, cured, (pieces / 3.0).ceil() * pace, false)]
}

/// When the order is ready in one run.
fn ready(chance: &mut Chance, known: &Known, now: DateTime<Utc>, start: u32) -> DateTime<Utc> {
    let pace = (chance.normal() * 0.1).exp();
    // The room that nobody reads, and the cure that no touch test tells of.
    let mut slower = |spread: f64| 1.0 + (chance.normal() * spread).abs();
    let rest = slower(0.1) * slower(0.15);
    let share = chance.beta(known.lost.0, known.lost.1);
    let open = hours(now, || chance.uniform() < share);
    let first = lot(&open, now, f64::from(start), (pace, rest));
    let as_planned = lot(&hours(now, || false), now, f64::from(start), (1.0, 1.0));
    let (mut left, mut good, mut again) = (start, 1.0, None);
    for (stage, (a, b)) in known.scrap.iter().enumerate() {
        let rate = chance.beta(*a, *b);
        left -= u32::try_from((0..left).filter(|_| chance.uniform() < rate).count()).unwrap();
        good *= 1.0 - rate;
        if left < 10 && again.is_none() {
            again = Some(as_planned[stage]);
        }
    }
    again.map_or(first[2], |known| {
        let more = (f64::from(10 - left.min(10)) / good).ceil();
        first[2].max(lot(&open, known.max(first[0]), more, (pace, rest))[2])
    })
}

/// Half, four in five and nineteen in twenty of the simulation's runs are ready by the program's dates, within five points.
#[track_caller]
fn agrees(shop: &TestShop, known: &Known) {
    let said = shop.json("promise --recipe 'one coat' --pieces 10 --runs 600 --sure 80");
    let now = at(&said["now"]);
    let start = u32::try_from(said["pieces_to_start"].as_u64().unwrap()).unwrap();
    let mut chance = Chance(0x9E37_79B9_7F4A_7C15);
    let runs: Vec<_> = (0..4000).map(|_| ready(&mut chance, known, now, start)).collect();
    #[expect(clippy::cast_precision_loss, reason = "4,000 runs")]
    let share = |by: &dyn Fn(&DateTime<Utc>) -> bool| {
        runs.iter().filter(|ready| by(ready)).count() as f64 / runs.len() as f64
    };
    for (odds, level) in [("p50", 0.5), ("p80", 0.8), ("p95", 0.95)] {
        let date = at(&said["ready_at"][odds]);
        // Many runs end at the same minute: the level lies between those before it and those up to it.
        let (before, by) = (share(&|ready| *ready < date), share(&|ready| *ready <= date));
        assert!(before <= level + 0.05 && by >= level - 0.05, "{odds} {date}: {before} to {by}");
    }
}

#[test]
fn the_odds_without_records_are_those_of_a_simulation() {
    let shop = TestShop::open();
    let third = 1.0 / 3.0;
    agrees(&shop, &Known { lost: (1.0, 19.0), scrap: [(third, 20.0 - third); 3] });
}

#[test]
fn the_odds_with_records_are_those_of_a_simulation() {
    let mut shop = TestShop::open();
    shop.run("can open 'hard wax' --name W1 --litres 1").ok();
    shop.run("batch open old --recipe 'one coat' --pieces 20").ok();
    for (at, command) in [
        ("2026-03-02 09:00", "lot start old --pieces 24"),
        ("2026-03-02 09:30", "done old-1"),
        ("2026-03-02 10:30", "done old-1 --rack drip-2"),
        ("2026-03-18 09:00", "lot reject old-1 --pieces 4 --why streaks"),
        ("2026-03-18 09:10", "done old-1"),
        ("2026-03-18 09:20", "ship old-1 --to 'a shop in town'"),
        ("2026-03-18 09:20", "batch close old"),
    ] {
        does(&mut shop, at, command);
    }
    shop.at("2026-03-19 08:30");
    let third = 1.0 / 3.0;
    let clean = (third, 20.0 - third + 24.0);
    let spoiled = (third + 4.0, 20.0 - third + 20.0);
    // There was work on the two days on which it was recorded, and on 16 March, when the cure was over and nobody came.
    agrees(&shop, &Known { lost: (2.0, 21.0), scrap: [clean, clean, spoiled] });
}

/// One narrow rack for all: the plan ends in the last weeks of the time it is looked for in, and whatever goes slower after it.
#[test]
fn a_plan_that_takes_half_a_year_has_a_date_at_all_odds() {
    let (before, racks) = SORREL_LANE.split_once("[[rack]]").unwrap();
    let (_, finishes) = racks.split_once("[[finish]]").unwrap();
    let rack =
        "[[rack]]\nname = \"shelf\"\nroom = \"oil room\"\nslots = 12\nuse = [\"dry\", \"cure\"]";
    let shop = TestShop::with_setup(&format!("{before}{rack}\n\n[[finish]]{finishes}"));
    let said = shop.json("promise --recipe 'three coats' --pieces 64 --runs 10");
    assert_eq!(said["without"], 0, "{said}");
    assert!(at(&said["ready_at"]["p95"]) > at(&said["planned"]) + Duration::days(30), "{said}");
}
