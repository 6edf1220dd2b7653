//! What was not read: against a reference implementation of the rule, and what must hold of it whatever the room did.

use chrono::{DateTime, Datelike as _, TimeDelta, Utc};
use chrono_tz::Tz;
use proptest::prelude::*;
use tackfree::craft::cure::{Clock, Conditions, Course, Days, Extremes, Reading, Strange, Why};
use tackfree::time::OpenHours;
use tackfree::units::Celsius;

use super::cure::{conditions, course, hour, q10, reading, start};
use super::sheet::{assert_close, rows};

fn degrees(value: f64) -> Celsius {
    Celsius::new(value).unwrap()
}

/// Open from Monday to Friday, on UTC's wall.
fn weekdays(closed: &[&str]) -> Days {
    let whole = || vec!["00:00-24:00".parse().unwrap()];
    let week = std::array::from_fn(|day| if day < 5 { whole() } else { Vec::new() });
    let closed = closed.iter().map(|days| days.parse().unwrap()).collect();
    Days { zone: Tz::UTC, hours: OpenHours::new(week, closed).unwrap() }
}

fn sheet() -> Conditions {
    Conditions { dampest: None, ..conditions(q10(2.2), 20.0, 6.0) }
}

/// The logs of `04_unread.csv`.
fn log(name: &str) -> Vec<Reading> {
    let a = |h: i32| {
        let (second, open) = (h >= 168, h / 24 % 7 < 5);
        match (open, h % 24) {
            (false, _) => {
                if second {
                    7.0
                } else {
                    8.0
                }
            }
            (true, 8..=17) => 18.0,
            (true, _) => {
                if second {
                    9.0
                } else {
                    10.0
                }
            }
        }
    };
    let hours = |range: std::ops::RangeInclusive<i32>, temp: &dyn Fn(i32) -> f64| {
        range.map(|h| reading(f64::from(h), temp(h))).collect::<Vec<_>>()
    };
    match name {
        "A" => hours(0..=336, &a),
        "B" => hours(0..=273, &a),
        "C" => [hours(0..=273, &a), hours(298..=336, &a)].concat(),
        "D" => vec![reading(8.0, 12.0), reading(9.0, 18.0), reading(10.0, 18.0)],
        "E" => (0..5)
            .flat_map(|day| [(9, 15.0), (13, 18.0), (17, 18.0)].map(|(h, t)| (day * 24 + h, t)))
            .map(|(h, temp)| reading(f64::from(h), temp))
            .collect(),
        _ => hours(0..=336, &|h| if (10..=16).contains(&(h % 24)) { 24.0 } else { 19.0 }),
    }
}

/// Compares every value and says how many there were.
pub(super) fn compare() -> usize {
    let rows = rows("04_unread.csv");
    for row in &rows {
        let clock = if row.text("clock") == "no later" { Clock::NoLater } else { Clock::NoSooner };
        let strange =
            row.maybe("unread_temp").map_or(Strange::AsRead, |t| Strange::Taken(degrees(t)));
        let course = Course::new(clock, &sheet(), &log(row.text("log")), &weekdays(&[]), strange);
        let (from, to) = (row.number("from"), row.number("to"));
        let found = if row.text("asked") == "age" {
            course.age(hour(from), hour(to))
        } else {
            hours_of(course.reaches(hour(from), minutes(to)).unwrap())
        };
        // A moment is a whole second.
        row.close("value", found, if row.text("asked") == "age" { 6e-5 } else { 4e-4 });
    }
    rows.len()
}

fn minutes(hours: f64) -> TimeDelta {
    hour(hours) - start()
}

#[expect(clippy::cast_precision_loss, reason = "a few weeks of seconds")]
fn hours_of(at: DateTime<Utc>) -> f64 {
    (at - start()).num_seconds() as f64 / 3600.0
}

#[test]
fn the_values_of_the_reference_implementation_agree() {
    assert_eq!(compare(), 14);
}

#[test]
fn a_holiday_to_come_counts_as_the_closed_days_did() {
    let age = |closed: &[&str]| {
        let days = weekdays(closed);
        Course::new(Clock::NoSooner, &sheet(), &log("A"), &days, Strange::AsRead)
            .age(hour(336.0), hour(360.0))
    };
    // Closed days were at 7 °C in the second week: 2.2^-1.3 an hour.
    assert_close(age(&["2026-03-16"]), 24.0 * 2.2_f64.powf(-1.3));
    assert!(age(&["2026-03-16"]) < age(&[]));
}

#[test]
fn a_thermometers_extremes_speak_for_the_time_since_the_reading_before() {
    let morning = |temp: Option<f64>| Reading {
        temp: temp.map(degrees),
        extremes: Some(Extremes { lowest: degrees(10.0), highest: degrees(30.0) }),
        ..reading(33.0, 0.0)
    };
    let sheet = Conditions { dampest: None, ..conditions(q10(2.0), 20.0, 6.0) };
    for last in [morning(None), morning(Some(20.0))] {
        let readings = [reading(17.0, 20.0), last, reading(34.0, 20.0)];
        let soon = course(Clock::NoSooner, &sheet, &readings);
        assert_close(soon.age(hour(17.0), hour(33.0)), 16.0 / 2.0);
        let late = course(Clock::NoLater, &sheet, &readings);
        assert_close(late.age(hour(17.0), hour(33.0)), 16.0 * 2.0);
        assert!(soon.assumed(hour(17.0), hour(33.0)).is_empty(), "it was read");
        let after = soon.age(hour(33.0), hour(34.0));
        if last.temp.is_some() {
            assert_close(after, 1.0);
        } else {
            assert!(after < 0.8, "{after}: no warmer than the lowest, as far as anyone knows");
        }
    }
}

#[test]
fn nights_that_nobody_reads_are_colder_than_anything_read_where_a_room_is_heated_by_day() {
    let sheet = Conditions { lowest: None, ..sheet() };
    let made = |strange| Course::new(Clock::NoSooner, &sheet, &log("E"), &weekdays(&[]), strange);
    let (from, until) = (hour(17.0), hour(33.0));
    assert_close(made(Strange::ColderThanRead).age(from, until), 16.0 * 2.2_f64.powf(-1.3));
    assert_close(made(Strange::AsRead).age(from, until), 16.0 * 2.2_f64.powf(-0.5));
    let assumed = made(Strange::ColderThanRead).assumed(from, until);
    assert_eq!(
        assumed.iter().map(|a| (a.why, a.temp)).collect::<Vec<_>>(),
        [(Why::Unread, Some(7.0))]
    );
    assert_eq!(made(Strange::AsRead).assumed(from, until)[0].temp, None);
}

#[test]
fn an_hour_of_the_wall_is_the_same_hour_after_a_clock_change() {
    // Warm from 8 to 18 by the wall of Dublin, a week that ends two days before the clocks go forward.
    let zone: Tz = "Europe/Dublin".parse().unwrap();
    let days = Days { zone, hours: crate::harness::always_open() };
    let at = |text: &str| text.parse::<DateTime<Utc>>().unwrap();
    let readings: Vec<Reading> = (0..=168)
        .map(|h| Reading {
            at: at("2026-03-20T00:00:00Z") + TimeDelta::hours(h),
            ..reading(0.0, if (8..18).contains(&(h % 24)) { 20.0 } else { 10.0 })
        })
        .collect();
    let sheet = Conditions { dampest: None, ..conditions(q10(2.0), 20.0, 6.0) };
    let course = Course::new(Clock::NoSooner, &sheet, &readings, &days, Strange::AsRead);
    // From 8 to 17 by the wall of summer time, and the hour in which it warms up before.
    assert_close(course.age(at("2026-03-30T07:00:00Z"), at("2026-03-30T16:00:00Z")), 9.0);
    assert!(course.age(at("2026-03-30T06:00:00Z"), at("2026-03-30T07:00:00Z")) < 0.9);
}

#[test]
fn years_of_readings_are_counted_once_and_asked_quickly() {
    let readings: Vec<Reading> = (0..52_560 * 2)
        .map(|i| reading(f64::from(i) / 6.0, 15.0 + f64::from(i % 144) / 30.0))
        .collect();
    let course = Course::new(Clock::NoSooner, &sheet(), &readings, &weekdays(&[]), Strange::AsRead);
    // Ten thousand questions: seconds if each read the log anew.
    for asked in 0..10_000 {
        let from = hour(f64::from(asked));
        assert!(course.reaches(from, TimeDelta::hours(24)).is_some());
    }
}

/// A log: readings some minutes or many hours apart, over some weeks.
fn room() -> impl Strategy<Value = Vec<Reading>> {
    let apart = prop_oneof![4 => 1..400_u32, 1 => 400..3000_u32];
    let one = (apart, -5.0..35.0_f64, proptest::option::weighted(0.2, 0.0..12.0_f64));
    proptest::collection::vec(one, 1..60).prop_map(|list| {
        let mut at = -24.0;
        list.into_iter()
            .map(|(minutes, temp, spread)| {
                at += f64::from(minutes) / 60.0;
                let extremes = spread
                    .map(|by| Extremes { lowest: degrees(temp - by), highest: degrees(temp + by) });
                Reading { extremes, ..reading(at, temp) }
            })
            .collect()
    })
}

/// A room that stood at one temperature, read by the hour in the two weeks up to a date.
fn steady(temp: f64, until: &str) -> Vec<Reading> {
    let end: DateTime<Utc> = format!("{until}T00:00:00Z").parse().unwrap();
    let at = |h| end - TimeDelta::hours(h);
    (0..=336).rev().map(|h| Reading { at: at(h), ..reading(0.0, temp) }).collect()
}

/// A room in which it was that warm on a date, and in the eight weeks up to it so much colder or warmer as the season was: 7 °C times
/// cos(2π (d - 205) / 365.25) about the year's mean, d the day of the year. Read as each hour begins and ends.
fn seasoned(temp: f64, until: &str, swing: f64, zone: Tz) -> Vec<Reading> {
    let end: DateTime<Utc> = format!("{until}T00:00:00Z").parse().unwrap();
    let above = |at: DateTime<Utc>| {
        let day = f64::from(at.with_timezone(&zone).ordinal());
        swing * ((day - 205.0) / 365.25 * std::f64::consts::TAU).cos()
    };
    let read = |h| {
        let begins = end - TimeDelta::hours(h);
        let temp = temp + above(begins) - above(end);
        let at = |at| Reading { at, ..reading(0.0, temp) };
        [at(begins), at(begins + TimeDelta::seconds(3599))]
    };
    (1..=56 * 24)
        .rev()
        .flat_map(read)
        .chain(Some(Reading { at: end, ..reading(0.0, temp) }))
        .collect()
}

#[test]
fn from_the_eleventh_day_on_an_hour_follows_the_season_where_the_zone_and_the_room_tell_of_one() {
    let sheet = Conditions { dampest: None, ..conditions(q10(2.0), 20.0, 6.0) };
    let day = |zone: &str, clock, readings: &[Reading], reach, date: &str| {
        let days = Days { zone: zone.parse().unwrap(), hours: crate::harness::always_open() };
        let course = Course::new(clock, &sheet, readings, &days, Strange::AsRead).following(reach);
        let from = format!("{date}T00:00:00Z").parse().unwrap();
        course.age(from, from + TimeDelta::days(1))
    };
    let (sooner, later) = (Clock::NoSooner, Clock::NoLater);
    let counts = |temp: f64| 24.0 * 2.0_f64.powf((temp - 20.0) / 10.0);
    let dublin = "Europe/Dublin";
    // Ten days in which the slowest hour of two weeks counts.
    let near = day(dublin, sooner, &steady(10.0, "2026-04-01"), 1.0, "2026-04-09");
    assert!((near - counts(10.0)).abs() < 1e-6, "{near}");
    // By hand: 7 cos(2π (d - 205) / 365.25) is -2.7 °C on 1 April (day 91), 0.8 on 30 April (120), 4.2 on 31 May (151), 2.6 on
    // 1 October (274) and -4.2 on 30 November (334): 3.4 and 6.9 warmer by the one, 6.8 colder by the other.
    for (zone, clock, temp, read, reach, date, expected) in [
        // Then all that it gets colder, and of what it gets warmer half or all but 2 °C, in whole degrees.
        (dublin, sooner, 10.0, "2026-04-01", 1.0, "2026-04-30", counts(11.0)),
        (dublin, sooner, 10.0, "2026-04-01", 1.0, "2026-05-31", counts(14.0)),
        (dublin, sooner, 16.0, "2026-10-01", 1.0, "2026-11-30", counts(9.0)),
        // Colder than the sheet's lowest.
        (dublin, sooner, 12.0, "2026-10-01", 1.0, "2026-11-30", 0.0),
        // A window shuts sooner by all of it.
        (dublin, later, 20.0, "2026-04-01", 1.0, "2026-05-31", counts(27.0)),
        (dublin, later, 30.0, "2026-10-01", 1.0, "2026-11-30", counts(26.0)),
        // Heat keeps half of the season out.
        (dublin, sooner, 16.0, "2026-10-01", 0.5, "2026-11-30", counts(12.0)),
        // The south has it the other way about: 6.8 warmer.
        ("Australia/Hobart", sooner, 10.0, "2026-10-01", -1.0, "2026-11-30", counts(14.0)),
    ] {
        let readings = seasoned(temp, read, 7.0 * reach, zone.parse().unwrap());
        let found = day(zone, clock, &readings, reach.abs(), date);
        assert!((found - expected).abs() < 1e-5, "{zone} {read} {date}: {found}, not {expected}");
    }
    // Heat keeps all of it out; where clocks stay the same nobody knows.
    for (zone, reach) in [(dublin, 0.0), ("Asia/Tokyo", 1.0)] {
        let found = day(zone, sooner, &steady(16.0, "2026-10-01"), reach, "2026-11-30");
        assert!((found - counts(16.0)).abs() < 1e-6, "{zone}: {found}");
    }
}

#[test]
fn where_a_season_is_known_eight_weeks_tell_of_the_days_to_come_each_brought_to_their_season() {
    let sheet = Conditions { dampest: None, ..conditions(q10(2.0), 20.0, 6.0) };
    let days = Days { zone: Tz::Europe__Dublin, hours: crate::harness::always_open() };
    // Two warm weeks after six.
    let spell: DateTime<Utc> = "2026-03-18T00:00:00Z".parse().unwrap();
    let mut readings = seasoned(10.0, "2026-04-01", 7.0, Tz::Europe__Dublin);
    for reading in readings.iter_mut().filter(|reading| reading.at >= spell) {
        reading.temp = reading.temp.map(|temp| degrees(temp.get() + 4.0));
    }
    let course =
        Course::new(Clock::NoSooner, &sheet, &readings, &days, Strange::AsRead).following(1.0);
    // By hand: 12 April (day 102) is expected 1.3 °C warmer, of which half counts, in whole degrees none.
    let from: DateTime<Utc> = "2026-04-12T00:00:00Z".parse().unwrap();
    let counts = |temp: f64| 24.0 * 2.0_f64.powf((temp - 20.0) / 10.0);
    let expected = (6.0 * counts(10.0) + 2.0 * counts(14.0)) / 8.0;
    let found = course.age(from, from + TimeDelta::days(1));
    assert!((found - expected).abs() < 1e-3, "{found}, not {expected}");
}

#[test]
fn from_the_eleventh_day_on_a_room_read_by_hand_counts_as_its_unread_hours_did() {
    // Every morning and evening, so that no hour is read: each counts as the colder of the two readings around it, 12 °C, but for
    // a night and a day about one morning of 4 °C, colder than the sheet's lowest: by hand, 24 of the 336 hours.
    let morning =
        |day: u32| reading(f64::from(day) * 24.0 + 8.5, if day == 7 { 4.0 } else { 12.0 });
    let evening = |day: u32| reading(f64::from(day) * 24.0 + 16.5, 15.0);
    let log: Vec<Reading> = (0..=14).flat_map(|day| [morning(day), evening(day)]).collect();
    let day = |strange, from: f64| {
        let course = Course::new(Clock::NoSooner, &sheet(), &log, &weekdays(&[]), strange);
        course.age(hour(from), hour(from + 24.0))
    };
    let (near, far) = (14.0 * 24.0 + 17.0, 25.0 * 24.0);
    assert_close(day(Strange::AsRead, near), 0.0);
    assert_close(day(Strange::AsRead, far), 24.0 * 2.2_f64.powf(-0.8) * 312.0 / 336.0);
    // What the room says of hours that nobody reads holds for all time to come.
    assert_close(day(Strange::ColderThanRead, far), 0.0);
    assert_close(
        day(Strange::Taken(degrees(10.0)), far),
        24.0 * 2.2_f64.powf(-1.0) * 312.0 / 336.0,
    );
}

#[test]
fn what_is_expected_of_a_week_is_what_weeks_like_it_counted_but_for_the_season() {
    // Warm by day but at weekends, week after week.
    let by_day = |h: i32| if h / 24 % 7 < 5 && (8..18).contains(&(h % 24)) { 18.0 } else { 7.0 };
    let log: Vec<Reading> = (0..=672).map(|h| reading(f64::from(h), by_day(h))).collect();
    let course = Course::new(Clock::NoSooner, &sheet(), &log, &weekdays(&[]), Strange::AsRead);
    for from in [168.0, 350.0, 504.0] {
        let [from, until] = [hour(from), hour(from + 168.0)];
        assert_close(course.expected(from, until, 0), course.age(from, until));
    }
    // By all that it gets warmer (6.9 °C, see above) or colder (6.8), to come and past (25 July, day 206: 4.4 warmer); in a room that
    // is so much warmer than expected besides.
    let sheet = Conditions { dampest: None, ..conditions(q10(2.0), 20.0, 6.0) };
    let days = Days { zone: Tz::Europe__Dublin, hours: crate::harness::always_open() };
    for (temp, read, date, warmer, expected) in [
        (10.0, "2026-04-01", "2026-05-31", 0, 17.0),
        (14.0, "2026-10-01", "2026-11-30", 0, 7.0),
        (10.0, "2026-10-01", "2026-07-25", 0, 14.0),
        (14.0, "2026-10-01", "2026-11-30", 3, 10.0),
    ] {
        let readings = seasoned(temp, read, 7.0, Tz::Europe__Dublin);
        let course =
            Course::new(Clock::NoSooner, &sheet, &readings, &days, Strange::AsRead).following(1.0);
        let from = format!("{date}T00:00:00Z").parse().unwrap();
        let counted = 24.0 * 2.0_f64.powf((expected - 20.0) / 10.0);
        let found = course.expected(from, from + TimeDelta::days(1), warmer);
        assert!((found - counted).abs() < 1e-5, "{read} {date}: {found}, not {counted}");
    }
}

#[test]
fn a_gap_that_is_over_follows_no_season() {
    let sheet = Conditions { dampest: None, ..conditions(q10(2.0), 20.0, 6.0) };
    let days = Days { zone: Tz::Europe__Dublin, hours: crate::harness::always_open() };
    let mut readings = steady(10.0, "2026-04-01");
    readings.extend(steady(10.0, "2026-07-01"));
    let course =
        Course::new(Clock::NoSooner, &sheet, &readings, &days, Strange::AsRead).following(1.0);
    let from = "2026-05-31T00:00:00Z".parse().unwrap();
    assert_close(course.age(from, from + TimeDelta::days(1)), 12.0);
}

fn strange() -> impl Strategy<Value = Strange> {
    prop_oneof![
        Just(Strange::AsRead),
        Just(Strange::ColderThanRead),
        (-5.0..25.0_f64).prop_map(|temp| Strange::Taken(degrees(temp))),
    ]
}

/// The share of the season that reaches a room.
fn reach() -> impl Strategy<Value = f64> {
    prop_oneof![Just(0.0), Just(0.5), Just(1.0)]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn what_is_advised_for_a_minute_is_accepted_at_that_minute(
        room in room(), strange in strange(), from in -30.0..300.0_f64, needs in 1..9000_i64, reach in reach(),
    ) {
        let days = Days { zone: Tz::Europe__Dublin, ..weekdays(&[]) };
        let needed = TimeDelta::minutes(needs);
        let made = |clock| Course::new(clock, &sheet(), &room, &days, strange).following(reach);
        let sooner = made(Clock::NoSooner);
        if let Some(at) = sooner.reaches(hour(from), needed) {
            prop_assert!(sooner.age(hour(from), at) >= minutes_as_hours(needs) - 1e-6);
            prop_assert!(sooner.age(hour(from), at - TimeDelta::seconds(1)) < minutes_as_hours(needs));
        }
        let later = made(Clock::NoLater);
        let at = later.reaches(hour(from), needed).unwrap();
        prop_assert!(later.age(hour(from), at) <= minutes_as_hours(needs) + 1e-6);
    }

    #[test]
    fn the_age_of_a_gap_does_not_change_once_there_are_readings_behind_it(
        room in room(), strange in strange(), cut in 1..100_usize,
    ) {
        // What was counted up to the last reading stays, whatever is read later on.
        let known = &room[..cut.min(room.len())];
        let end = known.last().unwrap().at;
        for clock in [Clock::NoSooner, Clock::NoLater] {
            let then = Course::new(clock, &sheet(), known, &weekdays(&[]), strange);
            let now = Course::new(clock, &sheet(), &room, &weekdays(&[]), strange);
            for back in [1, 30, 300] {
                let from = end - TimeDelta::hours(back);
                prop_assert!((then.age(from, end) - now.age(from, end)).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn adding_up_an_age_by_parts_gives_the_whole(
        room in room(), strange in strange(), a in -30.0..900.0_f64, b in 0.0..400.0_f64, c in 0.0..400.0_f64, reach in reach(),
    ) {
        let days = Days { zone: Tz::Europe__Dublin, ..weekdays(&[]) };
        for clock in [Clock::NoSooner, Clock::NoLater] {
            let course = Course::new(clock, &sheet(), &room, &days, strange).following(reach);
            let (from, middle, until) = (hour(a), hour(a + b), hour(a + b + c));
            let apart = course.age(from, middle) + course.age(middle, until);
            prop_assert!((apart - course.age(from, until)).abs() < 1e-6);
        }
    }
}

#[expect(clippy::cast_precision_loss, reason = "a day or so of minutes")]
fn minutes_as_hours(minutes: i64) -> f64 {
    minutes as f64 / 60.0
}
