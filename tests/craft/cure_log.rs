//! What a log leaves open: its ends, its gaps, humidity that was not read.

use chrono::TimeDelta;
use tackfree::craft::cure::{Clock, Conditions, Reading, Why};
use tackfree::units::Humidity;

use super::cure::{conditions, course, hour, q10, reading, start};
use super::sheet::assert_close;

fn damp(hours: f64, temp: f64) -> Reading {
    Reading { humidity: Some(Humidity::new(60.0).unwrap()), ..reading(hours, temp) }
}

#[test]
fn before_the_first_reading_it_is_the_first_that_counts_and_after_the_last_the_careful_one() {
    let conditions = conditions(q10(2.0), 23.0, 10.0);
    let readings = [reading(5.0, 13.0), reading(6.0, 43.0)];
    let early = course(Clock::NoSooner, &conditions, &readings);
    assert_close(early.age(start(), hour(5.0)), 2.5);
    assert_close(early.age(hour(6.0), hour(10.0)), 2.0);
    let late = course(Clock::NoLater, &conditions, &readings);
    assert_close(late.age(start(), hour(5.0)), 5.0);
    assert_close(late.age(hour(6.0), hour(10.0)), 16.0);
}

#[test]
fn humidity_is_named_as_unread_only_where_neither_end_has_it() {
    let conditions = conditions(q10(2.0), 23.0, 10.0);
    let readings = [
        reading(0.0, 20.0),
        reading(1.0, 20.0),
        reading(2.0, 20.0),
        damp(3.0, 20.0),
        reading(4.0, 20.0),
        reading(5.0, 20.0),
    ];
    let now = hour(5.0);
    let found = |conditions: &Conditions, clock| -> Vec<_> {
        let course = course(clock, conditions, &readings);
        course.assumed(start(), now).iter().map(|a| (a.why, a.from, a.until)).collect()
    };
    let unread = Why::HumidityNotRead;
    assert_eq!(
        found(&conditions, Clock::NoSooner),
        [(unread, hour(0.0), hour(2.0)), (unread, hour(4.0), hour(5.0))]
    );
    assert!(found(&conditions, Clock::NoLater).is_empty());
    let no_limit = Conditions { dampest: None, ..conditions };
    assert!(found(&no_limit, Clock::NoSooner).is_empty());
}

#[test]
fn an_age_more_than_a_year_off_is_not_forecast() {
    let conditions = Conditions { lowest: None, ..conditions(q10(10.0), 23.0, 10.0) };
    let frozen = [reading(0.0, -40.0)];
    let course = course(Clock::NoSooner, &conditions, &frozen);
    assert!(course.age(start(), hour(500.0)) > 0.0);
    assert_eq!(course.reaches(start(), TimeDelta::hours(500)), None);
}
