//! Shops whose rooms dry and cure at rates of their own, against the best plan there is.
//!
//! The values come from a model in OR-Tools CP-SAT 9.15, all but that of `twodry` proved; it agreed with brute force on
//! 343 tiny shops. `tests/data/plan/README.md` says more.

use std::fmt::Write as _;

use chrono::{DateTime, TimeDelta};
use serde_json::{Value, json};

use super::kept::at;
use super::scenarios::checked_in;
use crate::harness::TestShop;

/// A shop, its rooms with the hours of the sheet an hour counts for, and the best (piece-days late, minute ready).
struct Scenario {
    setup: &'static str,
    commands: &'static str,
    rooms: &'static [(&'static str, f64)],
    best: (i64, i64),
    /// Minutes by which what is reached is later than the best.
    off: i64,
}

macro_rules! scenario {
    ($name:literal, $rooms:expr, $best:expr) => {
        scenario!($name, $rooms, $best, 0)
    };
    ($name:literal, $rooms:expr, $best:expr, $off:literal) => {
        Scenario {
            setup: include_str!(concat!("../data/plan/rooms/", $name, ".toml")),
            commands: include_str!(concat!("../data/plan/rooms/", $name, ".txt")),
            rooms: $rooms,
            best: $best,
            off: $off,
        }
    };
}

/// Minute 0 of the values.
const MIDNIGHT: &str = "2026-03-02T00:00:00+00:00";

impl Scenario {
    fn play(&self) -> TestShop {
        let mut shop = TestShop::with_setup(self.setup);
        shop.at("2026-03-02T08:30:00+00:00");
        for (room, rate) in self.rooms {
            shop.write("log.csv", &log(*rate));
            shop.run(&format!("climate import '{room}' log.csv")).ok();
        }
        for line in self.commands.lines() {
            let (at, command) = line.split_once(' ').unwrap();
            shop.at(at);
            shop.run(command).ok();
        }
        shop
    }

    fn reached(&self) {
        let shop = self.play();
        let plan = checked_in(&shop, self.setup, "plan --started --effort 800", self.rooms);
        assert_eq!(plan["windows_missed"], json!(0));
        let worth = (plan["lateness"].as_i64().unwrap(), minute(&plan["ready_at"]));
        assert_eq!(worth, (self.best.0, self.best.1 + self.off));
        assert!(minute(&plan["bound"]["ready_at"]) <= self.best.1, "{}", plan["bound"]);
    }
}

/// Three weeks of readings every three hours that make an hour count for `rate`, with the setup's Q10 of 4 at 20 °C.
fn log(rate: f64) -> String {
    let temp = 20.0 + 10.0 * rate.ln() / 4_f64.ln();
    let last = DateTime::parse_from_rfc3339("2026-03-02T08:30:00Z").unwrap();
    let mut log = "time,temperature,humidity\n".to_owned();
    for hours in (0..=21 * 8).rev().map(|step| 3 * step) {
        let at = (last - TimeDelta::hours(hours)).format("%Y-%m-%dT%H:%M:%SZ");
        writeln!(log, "{at},{temp:.12},50").unwrap();
    }
    log
}

fn minute(at: &Value) -> i64 {
    let at = DateTime::parse_from_rfc3339(at.as_str().unwrap()).unwrap();
    (at - DateTime::parse_from_rfc3339(MIDNIGHT).unwrap()).num_minutes()
}

#[test]
fn who_waits_where_with_a_cold_drying_room() {
    let rooms = &[("oil room", 0.5), ("loft", 1.0)];
    scenario!("coldcure", rooms, (0, 32_208)).reached();
}

#[test]
fn a_slow_room_and_a_quick_one_to_dry_in() {
    let rooms = &[("shed", 0.5), ("oil room", 1.6), ("loft", 1.0)];
    scenario!("twodry", rooms, (0, 25_021)).reached();
}

#[test]
fn a_cold_shed_that_nobody_needs_changes_nothing() {
    let rooms = &[("oil room", 1.0), ("loft", 0.9), ("shed", 0.2)];
    scenario!("emptyshed", rooms, (0, 25_278)).reached();
}

#[test]
fn age_gathered_in_the_cold_counts_on_the_next_rack() {
    let rooms = &[("oil room", 0.4), ("loft", 1.0)];
    scenario!("halfcured", rooms, (0, 36_528)).reached();
}

#[test]
fn spare_pieces_hold_no_date() {
    let rooms = &[("oil room", 0.8), ("loft", 1.0)];
    scenario!("spares", rooms, (0, 25_013)).reached();
}

#[test]
fn two_dates_and_few_warm_slots() {
    let rooms = &[("oil room", 0.7), ("loft", 1.0), ("attic", 0.5)];
    scenario!("dates", rooms, (48, 22_578), 17).reached();
}

/// A shop whose oil room was read each hour of the eight weeks before, by that temperature of the day.
fn read_for_weeks(temp: impl Fn(f64) -> f64) -> TestShop {
    let shop = TestShop::open();
    let first = chrono::NaiveDate::from_ymd_opt(2026, 1, 5).unwrap().and_hms_opt(0, 0, 0).unwrap();
    let mut log = String::from("time,temperature,humidity\n");
    for hour in 0..56 * 24 {
        let at = first + TimeDelta::hours(i64::from(hour));
        let line =
            format!("{},{:.2},60\n", at.format("%Y-%m-%d %H:%M"), temp(f64::from(hour) / 24.0));
        log.push_str(&line);
    }
    shop.write("log.csv", &log);
    shop.run("climate import 'oil room' log.csv").ok();
    shop
}

#[test]
fn a_room_that_has_grown_colder_for_weeks_is_promised_to_go_on_so() {
    let dates = |shop: &TestShop| {
        let said = shop.json("promise --recipe 'three coats' --pieces 24 --runs 60");
        ["p50", "p95"].map(|odds| at(&said["ready_at"][odds]))
    };
    let steady = dates(&read_for_weeks(|_| 16.0));
    let colder = dates(&read_for_weeks(|day| 16.0 + (56.0 - day) / 7.0));
    let warmer = dates(&read_for_weeks(|day| 16.0 - (56.0 - day) / 14.0));
    for odds in 0..2 {
        assert!(colder[odds] > steady[odds], "{colder:?} {steady:?}");
        assert!(warmer[odds] < colder[odds], "{warmer:?} {colder:?}");
    }
}
