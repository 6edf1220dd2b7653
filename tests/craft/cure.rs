//! Cure as equivalent age, against integrals computed elsewhere, and the rules of the two clocks by hand.

use chrono::{DateTime, TimeDelta, Utc};
use tackfree::craft::cure::{self, Basis, Clock, Conditions, Course, Factor, Law, Reading, Why};
use tackfree::units::{Celsius, Humidity, KilojoulesPerMole, Q10};

use super::sheet::{assert_close, rows};

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
    Reading { at: hour(hours), temp: Celsius::new(temp).unwrap(), humidity: None }
}

fn damp(hours: f64, temp: f64, humidity: f64) -> Reading {
    Reading { humidity: Some(Humidity::new(humidity).unwrap()), ..reading(hours, temp) }
}

pub(super) fn q10(value: f64) -> Law {
    Law::Q10(Q10::new(value).unwrap())
}

pub(super) fn conditions(law: Law, at: f64, lowest: f64) -> Conditions {
    Conditions {
        at: Celsius::new(at).unwrap(),
        lowest: Some(Celsius::new(lowest).unwrap()),
        dampest: Some(Humidity::new(80.0).unwrap()),
        law: Some(law),
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

fn law_of(row: &super::sheet::Row) -> Law {
    match row.text("law") {
        "q10" => q10(row.number("param")),
        _ => Law::Arrhenius(KilojoulesPerMole::new(row.number("param") / 1000.0).unwrap()),
    }
}

/// Compares every value from outside and says how many there were.
pub(super) fn compare() -> usize {
    constant() + activation() + worked_day() + piecewise() + gaps() + mean_rate()
}

fn constant() -> usize {
    let rows = rows("04_constant.csv");
    let suggested = Law::Arrhenius(KilojoulesPerMole::new(41.572_313_09).unwrap());
    for row in &rows {
        let (temp, at, hours) = (row.number("t_c"), row.number("tref_c"), row.number("hours"));
        row.close("age_q10_2", q10(2.0).ratio(temp, at) * hours, 1e-6);
        row.close("age_q10_3", q10(3.0).ratio(temp, at) * hours, 1e-6);
        row.close("age_arrhenius_5000k", suggested.ratio(temp, at) * hours, 1e-6);
    }
    rows.len() * 3
}

fn activation() -> usize {
    let energies = rows("04_q10_ea.csv");
    for row in &energies {
        let q10 = Q10::new(row.number("q10")).unwrap();
        let from = Celsius::new(row.number("t_c")).unwrap();
        row.close("ea_j_mol_T_to_T10", Law::energy_of(q10, from), 0.06);
    }
    let rates = rows("04_ea_q10.csv");
    for row in &rates {
        let law = Law::Arrhenius(KilojoulesPerMole::new(row.number("ea_j_mol") / 1e3).unwrap());
        let temp = row.number("t_c");
        row.close("q10", law.ratio(temp + 10.0, temp), 6e-5);
        row.close("q10_below", law.ratio(temp, temp - 10.0), 6e-5);
    }
    energies.len() + 2 * rates.len()
}

fn worked_day() -> usize {
    let rows = rows("04_worked_day.csv");
    let suggested = Law::Arrhenius(KilojoulesPerMole::new(41.572_313_09).unwrap());
    for row in &rows {
        let (temp, hours) = (row.number("t_c"), row.number("dt_h"));
        row.close("arrhenius_h", suggested.mean_on_line(temp, temp, 20.0) * hours, 1e-6);
        row.close("q10_2_h", q10(2.0).mean_on_line(temp, temp, 20.0) * hours, 1e-6);
    }
    rows.len() * 2
}

fn piecewise() -> usize {
    let rows = rows("04_piecewise.csv");
    for row in &rows {
        let points: Vec<[f64; 2]> = row.json("points");
        let (law, at) = (law_of(row), row.number("tref_c"));
        let end = hour(points.last().unwrap()[0]);
        let age = if row.text("cap") == "1" {
            let conditions = conditions(law, at, row.number("lowest_c"));
            Course::new(Clock::NoSooner, &conditions, &dense(&points), end).age(start(), end)
        } else {
            points
                .windows(2)
                .map(|p| law.mean_on_line(p[0][1], p[1][1], at) * (p[1][0] - p[0][0]))
                .sum()
        };
        row.close("age_h", age, if row.text("law") == "q10" { 1e-6 } else { 1e-4 });
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
        let course = Course::new(Clock::NoSooner, &conditions, &readings, end);
        row.close("age_h", course.age(start(), end), 1e-6);
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
        let forecast = cure::no_sooner(
            TimeDelta::hours(500),
            Factor::SHEET,
            &conditions,
            start(),
            &readings,
            hour(168.0),
        );
        row.close("mean_rate", forecast.future_rate, 3e-5);
        row.close("rate_at_mean", q10(2.0).ratio(mean, 23.0).min(1.0), 1e-5);
        assert!(
            matches!(forecast.basis, Basis::LastDays { hours_read } if (hours_read - 168.0).abs() < 1e-9)
        );
    }
    rows.len() * 2
}

#[test]
fn values_from_outside_agree() {
    assert!(compare() >= 150);
}

#[test]
fn the_default_rate_is_that_of_66_kj_around_23_degrees() {
    let table = rows("04_ea_q10.csv");
    let row = table.iter().find(|row| row.text("ea_j_mol") == "66000" && row.text("t_c") == "23");
    let (above, below) = row.map(|row| (row.number("q10"), row.number("q10_below"))).unwrap();
    let default = Law::COMMON_PRACTICE.ratio(33.0, 23.0);
    assert!(above < default && default < below, "{above} {default} {below}");
}

#[test]
fn the_warm_half_of_the_window_clock_is_uncapped() {
    let conditions = conditions(q10(2.0), 23.0, 10.0);
    let steady = |temp: f64| [reading(0.0, temp), reading(3.0, temp)];
    let last = |temp: f64| {
        cure::no_later(TimeDelta::hours(2), &conditions, start(), &steady(temp), hour(3.0)).at
    };
    assert_eq!(last(33.0), Some(hour(1.0)), "twice as fast");
    assert_eq!(last(23.0), Some(hour(2.0)));
    assert_eq!(last(5.0), Some(hour(2.0)), "never later than the sheet");
}

#[test]
fn no_readings_means_the_sheets_own_interval_and_says_so() {
    let conditions = conditions(q10(2.0), 23.0, 10.0);
    for now in [0.0, 10.0, 30.0] {
        let day = TimeDelta::hours(24);
        let soon = cure::no_sooner(day, Factor::SHEET, &conditions, start(), &[], hour(now));
        assert_eq!(soon.at, Some(hour(24.0)));
        assert_eq!(soon.reached, now >= 24.0);
        assert_eq!(soon.basis, Basis::SheetsOwn);
        assert_eq!(soon.assumed.iter().map(|a| a.why).collect::<Vec<_>>(), [Why::NoReadings]);
        assert!((soon.assumed[0].hours - 24.0).abs() < 1e-9);
        assert_eq!(cure::no_later(day, &conditions, start(), &[], hour(now)).at, Some(hour(24.0)));
    }
}

#[test]
fn a_cold_room_is_refused_at_the_sheets_hours_and_accepted_when_its_age_is_there() {
    let conditions = conditions(q10(2.0), 23.0, 10.0);
    let readings: Vec<Reading> = (0..100).map(|h| reading(f64::from(h), 14.0)).collect();
    let day = TimeDelta::hours(24);
    let at_24 = cure::no_sooner(day, Factor::SHEET, &conditions, start(), &readings, hour(24.0));
    assert!(!at_24.reached);
    assert!((at_24.age_hours - 24.0 * 2f64.powf(-0.9)).abs() < 1e-9);
    let due = at_24.at.unwrap();
    let exact = 24.0 * 2f64.powf(0.9) * 3600.0;
    #[expect(clippy::cast_precision_loss, reason = "a few days of seconds")]
    let seconds = (due - start()).num_seconds() as f64;
    assert!(seconds >= exact && seconds < exact + 1.0, "{seconds} s for {exact} s");
    let then = cure::no_sooner(day, Factor::SHEET, &conditions, start(), &readings, due);
    assert!(then.reached && then.at == Some(due));
    let before = due - TimeDelta::seconds(1);
    assert!(!cure::no_sooner(day, Factor::SHEET, &conditions, start(), &readings, before).reached);
}

#[test]
fn a_gap_of_30_hours_is_taken_at_its_careful_end_for_each_clock_and_named() {
    let conditions = Conditions { dampest: None, ..conditions(q10(2.0), 23.0, 10.0) };
    let whole: Vec<Reading> =
        (0..=48).map(|h| reading(f64::from(h), 15.0 + f64::from(h) / 4.0)).collect();
    let mut holed = whole.clone();
    holed.drain(8..37);
    let now = hour(48.0);
    for clock in [Clock::NoSooner, Clock::NoLater] {
        let full = Course::new(clock, &conditions, &whole, now);
        let gap = Course::new(clock, &conditions, &holed, now);
        let (read, guessed) = (full.age(start(), now), gap.age(start(), now));
        match clock {
            Clock::NoSooner => assert!(guessed < read - 1.0, "{guessed} after {read}"),
            Clock::NoLater => assert!(guessed > read + 1.0, "{guessed} after {read}"),
        }
        let assumed = gap.assumed(start(), now);
        assert_eq!(assumed.len(), 1);
        assert_eq!(
            (assumed[0].why, assumed[0].from, assumed[0].until),
            (Why::Gap, hour(7.0), hour(37.0))
        );
        assert!((assumed[0].hours - 30.0).abs() < 1e-9);
        let careful = if clock == Clock::NoSooner { 16.75 } else { 24.25 };
        assert_eq!(assumed[0].temp, Some(careful));
        assert!(full.assumed(start(), now).is_empty());
    }
}

#[test]
fn the_ends_of_the_log_are_named_and_a_stretch_is_cut_to_what_was_asked() {
    let conditions = Conditions { law: None, ..conditions(q10(2.0), 23.0, 10.0) };
    let readings = [reading(5.0, 13.0), reading(6.0, 13.0)];
    let now = hour(10.0);
    let forecast =
        cure::no_sooner(TimeDelta::hours(99), Factor::SHEET, &conditions, start(), &readings, now);
    let found: Vec<(Why, f64)> = forecast.assumed.iter().map(|a| (a.why, a.hours)).collect();
    assert_eq!(
        found,
        [
            (Why::BeforeFirst, 5.0),
            (Why::HumidityNotRead, 1.0),
            (Why::AfterLast, 4.0),
            (Why::DefaultRate, 10.0)
        ]
    );
    assert!((forecast.age_hours - 10.0 / 2.5).abs() < 1e-9, "Q10 2.5, marked");
    let course = Course::new(Clock::NoSooner, &conditions, &readings, now);
    assert_close(course.assumed(hour(3.0), hour(5.5))[0].hours, 2.0);
}

#[test]
fn damp_air_stops_the_early_clock_alone_and_is_cut_where_the_line_crosses() {
    let conditions = conditions(q10(2.0), 23.0, 10.0);
    let readings = [damp(0.0, 23.0, 70.0), damp(2.0, 23.0, 90.0)];
    let now = hour(2.0);
    let early = Course::new(Clock::NoSooner, &conditions, &readings, now);
    assert!((early.age(start(), now) - 1.0).abs() < 1e-9, "80 % is passed half way");
    let late = Course::new(Clock::NoLater, &conditions, &readings, now);
    assert!((late.age(start(), now) - 2.0).abs() < 1e-9);
    let gap = [damp(0.0, 23.0, 70.0), damp(20.0, 23.0, 90.0)];
    let course = Course::new(Clock::NoSooner, &conditions, &gap, hour(20.0));
    assert!(
        course.age(start(), hour(20.0)).abs() < 1e-12,
        "the damper end holds all through a gap"
    );
}

#[test]
fn the_dampest_itself_counts_and_a_humidity_read_at_one_end_holds_for_both() {
    let conditions = conditions(q10(2.0), 23.0, 10.0);
    let age = |a: Reading, b: Reading| {
        Course::new(Clock::NoSooner, &conditions, &[a, b], b.at).age(a.at, b.at)
    };
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
        let course = Course::new(clock, &conditions, &readings, hour(349.0));
        for hours in 1..348 {
            let due = start() + TimeDelta::hours(hours);
            assert_eq!(course.reaches(start(), TimeDelta::hours(hours)), Some(due), "{clock:?}");
        }
    }
}

#[test]
fn readings_after_the_moment_asked_about_are_not_known_yet() {
    let conditions = conditions(q10(2.0), 23.0, 10.0);
    let known = [reading(0.0, 13.0), reading(1.0, 13.0)];
    let more = [known[0], known[1], reading(2.0, 33.0), reading(3.0, 33.0)];
    for clock in [Clock::NoSooner, Clock::NoLater] {
        let ask = |readings: &[Reading]| {
            Course::new(clock, &conditions, readings, hour(1.5))
                .forecast(start(), TimeDelta::hours(9))
        };
        assert_eq!(ask(&known), ask(&more));
    }
}

#[test]
fn the_week_looked_back_on_begins_in_the_middle_of_a_stretch() {
    let conditions = conditions(q10(2.0), 23.0, 10.0);
    let readings = [reading(-169.0, 13.0), reading(-167.0, 33.0)];
    let course = Course::new(Clock::NoSooner, &conditions, &readings, start());
    assert_close(course.forecast(start(), TimeDelta::hours(9)).future_rate, 1.0);
}

#[test]
fn a_window_is_open_to_its_last_second() {
    let conditions = conditions(q10(2.0), 23.0, 10.0);
    let readings = [reading(0.0, 23.0), reading(3.0, 23.0)];
    let last = hour(2.0);
    let shut =
        |now| cure::no_later(TimeDelta::hours(2), &conditions, start(), &readings, now).reached;
    assert!(!shut(last) && shut(last + TimeDelta::seconds(1)));
}

#[test]
fn the_forecast_spans_the_coldest_and_warmest_of_the_week() {
    let conditions = conditions(q10(2.0), 23.0, 10.0);
    let old = [reading(-300.0, 2.0)];
    let week: Vec<Reading> =
        (0..=24).map(|h| reading(f64::from(h), 13.0 + f64::from(h % 12))).collect();
    let readings: Vec<Reading> = old.into_iter().chain(week).collect();
    let time = TimeDelta::hours(100);
    let forecast =
        cure::no_sooner(time, Factor::SHEET, &conditions, hour(24.0), &readings, hour(24.0));
    let (cold, warm) = (forecast.if_coldest.unwrap(), forecast.if_warmest.unwrap());
    assert_eq!((cold.temp.get(), cold.at), (13.0, Some(hour(224.0))));
    assert_eq!((warm.temp.get(), warm.at), (24.0, Some(hour(124.0))));
    assert!(warm.at < forecast.at && forecast.at < cold.at);
    let frozen = [reading(0.0, 4.0)];
    let never = cure::no_sooner(time, Factor::SHEET, &conditions, start(), &frozen, hour(1.0));
    assert_eq!((never.at, never.reached), (None, false));
}

#[test]
fn a_log_older_than_a_week_leaves_the_sheets_own_rate_for_the_future() {
    let conditions = conditions(q10(2.0), 23.0, 10.0);
    let readings = [reading(-500.0, 13.0), reading(-499.0, 13.0)];
    let time = TimeDelta::hours(24);
    let forecast = cure::no_sooner(time, Factor::SHEET, &conditions, start(), &readings, hour(4.0));
    assert_eq!((forecast.basis, forecast.if_coldest), (Basis::SheetsOwn, None));
    assert!((forecast.age_hours - 2.0).abs() < 1e-9, "until now as the last reading");
    assert_eq!(forecast.at, Some(hour(26.0)));
}

#[test]
fn a_single_reading_a_day_still_forecasts() {
    let conditions = conditions(q10(2.0), 23.0, 10.0);
    let readings: Vec<Reading> = (0..6)
        .map(|day| reading(f64::from(day) * 24.0, if day == 2 { 33.0 } else { 13.0 }))
        .collect();
    let course = cure::no_sooner(
        TimeDelta::hours(24),
        Factor::SHEET,
        &conditions,
        hour(120.0),
        &readings,
        hour(122.0),
    );
    assert!((course.future_rate - (5.0 * 0.5 + 1.0) / 6.0).abs() < 1e-9, "{}", course.future_rate);
}
