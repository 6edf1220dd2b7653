//! What must hold of the two clocks whatever the room does.

use chrono::TimeDelta;
use proptest::prelude::*;
use tackfree::craft::cure::{self, Clock, Conditions, Reading, TouchTest};
use tackfree::units::{Celsius, Humidity};

use super::cure::{conditions, course, hour, q10, reading, start};

/// A room: readings from a day before the coat to a few days after it, some minutes or some hours apart.
fn room() -> impl Strategy<Value = Vec<Reading>> {
    let one = (1..400_u32, -15.0..45.0_f64, proptest::option::of(20.0..100.0_f64));
    proptest::collection::vec(one, 0..60).prop_map(|list| {
        let mut at = -24.0;
        list.into_iter()
            .map(|(minutes, temp, humidity)| {
                at += f64::from(minutes) / 60.0;
                let humidity = humidity.map(|value| Humidity::new(value).unwrap());
                Reading { humidity, ..reading(at, temp) }
            })
            .collect()
    })
}

fn sheet() -> impl Strategy<Value = Conditions> {
    (1.0..4.0_f64, 15.0..30.0_f64, -5.0..14.0_f64)
        .prop_map(|(rate, at, lowest)| conditions(q10(rate), at, lowest))
}

fn clock() -> impl Strategy<Value = Clock> {
    prop_oneof![Just(Clock::NoSooner), Just(Clock::NoLater)]
}

/// The same room, every reading so much warmer.
fn warmer(room: &[Reading], by: f64) -> Vec<Reading> {
    let temp = |r: &Reading| r.temp.map(|temp| Celsius::new(temp.get() + by).unwrap());
    room.iter().map(|r| Reading { temp: temp(r), ..*r }).collect()
}

proptest! {
    #[test]
    fn no_climate_beats_the_sheet(room in room(), sheet in sheet(), needs in 1..400_i64) {
        let time = TimeDelta::hours(needs);
        let soon = course(Clock::NoSooner, &sheet, &room).reaches(start(), time);
        let late = course(Clock::NoLater, &sheet, &room).reaches(start(), time);
        prop_assert!(soon.is_none_or(|at| at >= start() + time), "{soon:?}");
        prop_assert!(late.is_some_and(|at| at <= start() + time), "{late:?}");
    }

    #[test]
    fn splitting_an_interval_leaves_the_age_as_it_was(
        room in room(), sheet in sheet(), clock in clock(), a in -30.0..120.0_f64, b in 0.0..60.0_f64, c in 0.0..60.0_f64,
    ) {
        let course = course(clock, &sheet, &room);
        let (from, middle, until) = (hour(a), hour(a + b), hour(a + b + c));
        let apart = course.age(from, middle) + course.age(middle, until);
        prop_assert!((apart - course.age(from, until)).abs() < 1e-9);
    }

    #[test]
    fn a_reading_on_the_line_changes_nothing(t1 in -10.0..40.0_f64, t2 in -10.0..40.0_f64, cut in 1..179_u32, sheet in sheet(), clock in clock()) {
        let two = [reading(0.0, t1), reading(3.0, t2)];
        let share = f64::from(cut) / 180.0;
        let three = [two[0], reading(3.0 * share, t1 + (t2 - t1) * share), two[1]];
        let age = |room: &[Reading]| course(clock, &sheet, room).age(start(), hour(3.0));
        prop_assert!((age(&two) - age(&three)).abs() < 1e-9);
    }

    #[test]
    fn age_grows_with_time_and_with_warmth_up_to_the_cap(
        room in room(), sheet in sheet(), clock in clock(), until in 0.0..100.0_f64, more in 0.0..30.0_f64, by in 0.0..15.0_f64,
    ) {
        let cool = course(clock, &sheet, &room);
        let warm = course(clock, &sheet, &warmer(&room, by));
        let (age, later) = (cool.age(start(), hour(until)), cool.age(start(), hour(until + more)));
        prop_assert!(later >= age - 1e-9);
        prop_assert!(warm.age(start(), hour(until)) >= age - 1e-9);
        if clock == Clock::NoSooner {
            prop_assert!(age <= until + 1e-3, "{age} h in {until} h");
        } else {
            prop_assert!(age >= until - 1e-3, "{age} h in {until} h");
        }
    }

    #[test]
    fn the_instant_found_is_exact_to_the_second(
        room in room(), sheet in sheet(), clock in clock(), needs in 600..400_000_i64,
    ) {
        let course = course(clock, &sheet, &room);
        let second = TimeDelta::seconds(1);
        let time = TimeDelta::seconds(needs);
        #[expect(clippy::cast_precision_loss, reason = "a few days of seconds")]
        let needed = needs as f64 / 3600.0;
        if let Some(at) = course.reaches(start(), time) {
            let (before, then, after) = (course.age(start(), at - second), course.age(start(), at), course.age(start(), at + second));
            match clock {
                Clock::NoSooner => prop_assert!(before < needed && then >= needed - 1e-6, "{before} {then} of {needed}"),
                Clock::NoLater => prop_assert!(then <= needed + 1e-6 && after > needed, "{then} {after} of {needed}"),
            }
        }
    }

    #[test]
    fn the_order_of_the_readings_does_not_matter(room in room(), sheet in sheet(), clock in clock()) {
        let mut turned = room.clone();
        turned.reverse();
        let (a, b) = (course(clock, &sheet, &room), course(clock, &sheet, &turned));
        prop_assert_eq!(a.reaches(start(), TimeDelta::hours(40)), b.reaches(start(), TimeDelta::hours(40)));
    }

    #[test]
    fn no_touch_test_shortens_and_a_failure_never_does(
        list in proptest::collection::vec((0.0..3.0_f64, any::<bool>()), 0..40), failed in 0.0..3.0_f64,
    ) {
        let time = TimeDelta::hours(10);
        let mut tests: Vec<TouchTest> =
            list.iter().map(|&(share, passed)| TouchTest { share, passed }).collect();
        let before = cure::fit(&tests);
        prop_assert!(before.times >= 1.0 && before.tests == tests.len());
        prop_assert!(before.needed(time) >= time);
        tests.push(TouchTest { share: failed, passed: false });
        prop_assert!(cure::fit(&tests).times >= before.times - 1e-12);
    }
}
