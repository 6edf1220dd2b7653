//! Cure as equivalent age, against integrals computed elsewhere, and the rules of the two clocks by hand.

use chrono::{DateTime, TimeDelta, Utc};
use chrono_tz::Tz;
use tackfree::craft::cure::{Clock, Conditions, Course, Days, Reading, Strange, Why};
use tackfree::units::{Celsius, Humidity, Q10};

use super::sheet::{assert_close, rows};
use crate::harness::always_open;

/// The midnight from which hours are counted.
pub(super) fn start() -> DateTime<Utc> {
    "2026-03-02T00:00:00Z".parse().unwrap()
}

/// So many hours after [`start`], to the second.
pub(super) fn hour(hours: f64) -> DateTime<Utc> {
    #[expect(clippy::cast_possible_truncation, reason = "small hours")]
    let seconds = (hours * 3600.0).round() as i64;
    start() + TimeDelta::seconds(seconds)
}

pub(super) fn reading(hours: f64, temp: f64) -> Reading {
    let temp = Some(Celsius::new(temp).unwrap());
    Reading { at: hour(hours), temp, humidity: None, extremes: None }
}

/// Open day and night, on UTC's wall.
pub(super) fn always() -> Days {
    Days { zone: Tz::UTC, hours: always_open() }
}

/// The course in a shop that is always open, of a room that is heated always or never.
pub(super) fn course(clock: Clock, conditions: &Conditions, readings: &[Reading]) -> Course {
    Course::new(clock, conditions, readings, &always(), Strange::AsRead)
}

fn damp(hours: f64, temp: f64, humidity: f64) -> Reading {
    Reading { humidity: Some(Humidity::new(humidity).unwrap()), ..reading(hours, temp) }
}

pub(super) fn q10(value: f64) -> Q10 {
    Q10::new(value).unwrap()
}

pub(super) fn conditions(q10: Q10, at: f64, lowest: f64) -> Conditions {
    Conditions {
        at: Celsius::new(at).unwrap(),
        lowest: Some(Celsius::new(lowest).unwrap()),
        dampest: Some(Humidity::new(80.0).unwrap()),
        q10: Some(q10),
    }
}

/// A straight line drawn through so many points that no two are more than an hour apart.
fn dense(points: &[[f64; 2]]) -> Vec<Reading> {
    let mut readings = Vec::new();
    for pair in points.windows(2) {
        let ([h1, t1], [h2, t2]) = (pair[0], pair[1]);
        for step in 0..24 {
            let share = f64::from(step) / 24.0;
            readings.push(reading(h1 + (h2 - h1) * share, t1 + (t2 - t1) * share));
        }
    }
    let [h, t] = *points.last().unwrap();
    readings.push(reading(h, t));
    readings
}

/// Compares every value from outside and says how many there were.
pub(super) fn compare() -> usize {
    constant() + worked_day() + piecewise() + gaps() + mean_rate() + super::cure_unread::compare()
}

fn constant() -> usize {
    let rows = rows("04_constant.csv");
    for row in &rows {
        let (temp, at, hours) = (row.number("t_c"), row.number("tref_c"), row.number("hours"));
        row.close("age_q10_2", q10(2.0).ratio(temp, at) * hours, 1e-6);
        row.close("age_q10_3", q10(3.0).ratio(temp, at) * hours, 1e-6);
    }
    rows.len() * 2
}

fn worked_day() -> usize {
    let rows = rows("04_worked_day.csv");
    for row in &rows {
        let (temp, hours) = (row.number("t_c"), row.number("dt_h"));
        row.close("q10_2_h", q10(2.0).mean_on_line(temp, temp, 20.0) * hours, 1e-6);
    }
    rows.len()
}

fn piecewise() -> usize {
    let mut rows = rows("04_piecewise.csv");
    rows.retain(|row| row.text("law") == "q10");
    for row in &rows {
        let points: Vec<[f64; 2]> = row.json("points");
        let (q10, at) = (q10(row.number("param")), row.number("tref_c"));
        let end = hour(points.last().unwrap()[0]);
        let age = if row.text("cap") == "1" {
            let conditions = conditions(q10, at, row.number("lowest_c"));
            course(Clock::NoSooner, &conditions, &dense(&points)).age(start(), end)
        } else {
            points
                .windows(2)
                .map(|p| q10.mean_on_line(p[0][1], p[1][1], at) * (p[1][0] - p[0][0]))
                .sum()
        };
        row.close("age_h", age, 1e-6);
    }
    rows.len()
}

fn gaps() -> usize {
    let rows = rows("04_gaps.csv");
    for row in &rows {
        let points: Vec<[f64; 2]> = row.json("readings");
        let readings: Vec<Reading> = points.iter().map(|p| reading(p[0], p[1])).collect();
        let conditions =
            conditions(q10(row.number("q10")), row.number("tref_c"), row.number("lowest_c"));
        let end = readings.last().unwrap().at;
        let age = course(Clock::NoSooner, &conditions, &readings).age(start(), end);
        row.close("age_h", age, 1e-6);
    }
    rows.len()
}

fn mean_rate() -> usize {
    let rows = rows("04_forecast.csv");
    for row in &rows {
        let (mean, amplitude) = (row.number("mean_c"), row.number("amp_c"));
        let readings: Vec<Reading> = (0..=7 * 24 * 12)
            .map(|step| {
                let hours = f64::from(step) / 12.0;
                let turn = std::f64::consts::TAU * hours / 24.0;
                reading(hours, mean + amplitude * turn.sin())
            })
            .collect();
        let conditions = conditions(q10(2.0), 23.0, 10.0);
        let age = course(Clock::NoSooner, &conditions, &readings).age(start(), hour(168.0));
        row.close("mean_rate", age / 168.0, 3e-5);
        row.close("rate_at_mean", q10(2.0).ratio(mean, 23.0).min(1.0), 1e-5);
    }
    rows.len() * 2
}

#[test]
fn values_from_outside_agree() {
    assert!(compare() >= 60);
}

#[test]
fn the_default_rate_is_that_of_66_kj_around_23_degrees() {
    let table = rows("04_ea_q10.csv");
    let row = table.iter().find(|row| row.text("ea_j_mol") == "66000" && row.text("t_c") == "23");
    let (above, below) = row.map(|row| (row.number("q10"), row.number("q10_below"))).unwrap();
    let default = Q10::COMMON_PRACTICE.ratio(33.0, 23.0);
    assert!(above < default && default < below, "{above} {default} {below}");
}

#[test]
fn the_warm_half_of_the_window_clock_is_uncapped() {
    let conditions = conditions(q10(2.0), 23.0, 10.0);
    let last = |temp: f64| {
        let steady = [reading(0.0, temp), reading(3.0, temp)];
        course(Clock::NoLater, &conditions, &steady).reaches(start(), TimeDelta::hours(2))
    };
    assert_eq!(last(33.0), Some(hour(1.0)), "twice as fast");
    assert_eq!(last(23.0), Some(hour(2.0)));
    assert_eq!(last(5.0), Some(hour(2.0)), "never later than the sheet");
}

#[test]
fn no_readings_means_the_sheets_own_interval_and_says_so() {
    let conditions = conditions(q10(2.0), 23.0, 10.0);
    for clock in [Clock::NoSooner, Clock::NoLater] {
        let unread = course(clock, &conditions, &[]);
        assert_eq!(unread.reaches(start(), TimeDelta::hours(24)), Some(hour(24.0)));
        assert_close(unread.age(start(), hour(30.0)), 30.0);
        let assumed = unread.assumed(start(), hour(24.0));
        assert_eq!(assumed.iter().map(|a| a.why).collect::<Vec<_>>(), [Why::NoReadings]);
        assert!((assumed[0].hours - 24.0).abs() < 1e-9);
    }
}

#[test]
fn a_cold_room_is_not_ready_at_the_sheets_hours_but_when_its_age_is_there() {
    let conditions = conditions(q10(2.0), 23.0, 10.0);
    let readings: Vec<Reading> = (0..100).map(|h| reading(f64::from(h), 14.0)).collect();
    let course = course(Clock::NoSooner, &conditions, &readings);
    assert_close(course.age(start(), hour(24.0)), 24.0 * 2f64.powf(-0.9));
    let due = course.reaches(start(), TimeDelta::hours(24)).unwrap();
    let exact = 24.0 * 2f64.powf(0.9) * 3600.0;
    #[expect(clippy::cast_precision_loss, reason = "a few days of seconds")]
    let seconds = (due - start()).num_seconds() as f64;
    assert!(seconds >= exact && seconds < exact + 1.0, "{seconds} s for {exact} s");
}

#[test]
fn a_gap_of_30_hours_is_taken_on_each_clocks_careful_side_and_named() {
    let conditions = Conditions { dampest: None, ..conditions(q10(2.0), 23.0, 10.0) };
    let whole: Vec<Reading> =
        (0..=48).map(|h| reading(f64::from(h), 15.0 + f64::from(h) / 4.0)).collect();
    let mut holed = whole.clone();
    holed.drain(8..37);
    let now = hour(48.0);
    for clock in [Clock::NoSooner, Clock::NoLater] {
        let (full, gap) = (course(clock, &conditions, &whole), course(clock, &conditions, &holed));
        let (read, guessed) = (full.age(start(), now), gap.age(start(), now));
        match clock {
            Clock::NoSooner => assert!(guessed < read - 1.0, "{guessed} after {read}"),
            Clock::NoLater => assert!(guessed > read + 1.0, "{guessed} after {read}"),
        }
        let assumed = gap.assumed(start(), now);
        assert_eq!(
            assumed.iter().map(|a| (a.why, a.from, a.until, a.since)).collect::<Vec<_>>(),
            [(Why::Unread, hour(7.0), hour(37.0), Some(start()))]
        );
        assert!((assumed[0].hours - 30.0).abs() < 1e-9);
        assert!(full.assumed(start(), now).is_empty());
    }
}

#[test]
fn the_ends_of_the_log_are_named_and_a_stretch_is_cut_to_what_was_asked() {
    let conditions = Conditions { q10: None, ..conditions(q10(2.0), 23.0, 10.0) };
    let readings = [reading(5.0, 13.0), reading(6.0, 13.0)];
    let course = course(Clock::NoSooner, &conditions, &readings);
    let found: Vec<(Why, f64)> =
        course.assumed(start(), hour(10.0)).iter().map(|a| (a.why, a.hours)).collect();
    assert_eq!(found, [(Why::BeforeFirst, 5.0), (Why::HumidityNotRead, 1.0), (Why::Unread, 4.0)]);
    assert_close(course.age(start(), hour(10.0)), 10.0 / 2.5);
    assert_close(course.assumed(hour(3.0), hour(5.5))[0].hours, 2.0);
    assert_eq!(course.assumed(hour(6.0), hour(9.0)), [], "no longer than a straight line bridges");
}

#[test]
fn damp_air_stops_the_early_clock_alone_and_is_cut_where_the_line_crosses() {
    let conditions = conditions(q10(2.0), 23.0, 10.0);
    let readings = [damp(0.0, 23.0, 70.0), damp(2.0, 23.0, 90.0)];
    let now = hour(2.0);
    let early = course(Clock::NoSooner, &conditions, &readings);
    assert!((early.age(start(), now) - 1.0).abs() < 1e-9, "80 % is passed half way");
    let late = course(Clock::NoLater, &conditions, &readings);
    assert!((late.age(start(), now) - 2.0).abs() < 1e-9);
    let gap = [damp(0.0, 23.0, 70.0), damp(20.0, 23.0, 90.0)];
    let course = course(Clock::NoSooner, &conditions, &gap);
    assert!(
        course.age(start(), hour(20.0)).abs() < 1e-12,
        "the damper end holds all through a gap"
    );
}

#[test]
fn the_dampest_itself_counts_and_a_humidity_read_at_one_end_holds_for_both() {
    let conditions = conditions(q10(2.0), 23.0, 10.0);
    let age =
        |a: Reading, b: Reading| course(Clock::NoSooner, &conditions, &[a, b]).age(a.at, b.at);
    assert_close(age(damp(0.0, 23.0, 80.0), damp(2.0, 23.0, 80.0)), 2.0);
    for hours in [2.0, 20.0] {
        assert_close(age(damp(0.0, 23.0, 90.0), reading(hours, 23.0)), 0.0);
        assert_close(age(reading(0.0, 23.0), damp(hours, 23.0, 90.0)), 0.0);
    }
}

#[test]
fn many_small_steps_add_up_to_the_sheets_own_second() {
    let conditions = conditions(q10(2.0), 23.0, 10.0);
    let readings: Vec<Reading> =
        (0..3000).map(|i| reading(f64::from(i) * 7.0 / 60.0, 23.0)).collect();
    for clock in [Clock::NoSooner, Clock::NoLater] {
        let course = course(clock, &conditions, &readings);
        for hours in 1..348 {
            let due = start() + TimeDelta::hours(hours);
            assert_eq!(course.reaches(start(), TimeDelta::hours(hours)), Some(due), "{clock:?}");
        }
    }
}

#[test]
fn a_window_is_open_to_its_last_second() {
    let conditions = conditions(q10(2.0), 23.0, 10.0);
    let readings = [reading(0.0, 23.0), reading(3.0, 23.0)];
    let course = course(Clock::NoLater, &conditions, &readings);
    assert_eq!(course.reaches(start(), TimeDelta::hours(2)), Some(hour(2.0)));
}
