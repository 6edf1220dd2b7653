//! What must hold of the two clocks whatever the room does.

use chrono::TimeDelta;
use proptest::prelude::*;
use tackfree::craft::cure::{self, Clock, Conditions, Course, Factor, Law, Reading, TouchTest};
use tackfree::units::{Celsius, Humidity, KilojoulesPerMole};

use super::cure::{conditions, hour, q10, reading, start};

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

fn law() -> impl Strategy<Value = Law> {
    prop_oneof![
        (1.0..4.0_f64).prop_map(q10),
        (20.0..120.0_f64)
            .prop_map(|energy| Law::Arrhenius(KilojoulesPerMole::new(energy).unwrap())),
    ]
}

fn sheet() -> impl Strategy<Value = Conditions> {
    (law(), 15.0..30.0_f64, -5.0..14.0_f64)
        .prop_map(|(law, at, lowest)| conditions(law, at, lowest))
}

fn clock() -> impl Strategy<Value = Clock> {
    prop_oneof![Just(Clock::NoSooner), Just(Clock::NoLater)]
}

/// The same room, every reading so much warmer.
fn warmer(room: &[Reading], by: f64) -> Vec<Reading> {
    room.iter().map(|r| Reading { temp: Celsius::new(r.temp.get() + by).unwrap(), ..*r }).collect()
}

proptest! {
    #[test]
    fn no_climate_beats_the_sheet(room in room(), sheet in sheet(), needs in 1..400_i64, now in 0.0..300.0_f64) {
        let time = TimeDelta::hours(needs);
        let soon = cure::no_sooner(time, Factor::SHEET, &sheet, start(), &room, hour(now));
        let late = cure::no_later(time, &sheet, start(), &room, hour(now));
        prop_assert!(soon.at.is_none_or(|at| at >= start() + time), "{:?}", soon.at);
        prop_assert!(late.at.is_some_and(|at| at <= start() + time), "{:?}", late.at);
        for outlook in [soon.if_coldest, soon.if_warmest].into_iter().flatten() {
            prop_assert!(outlook.at.is_none_or(|at| at >= start() + time));
        }
        for outlook in [late.if_coldest, late.if_warmest].into_iter().flatten() {
            prop_assert!(outlook.at.is_some_and(|at| at <= start() + time));
        }
    }

    #[test]
    fn splitting_an_interval_leaves_the_age_as_it_was(
        room in room(), sheet in sheet(), clock in clock(), a in -30.0..120.0_f64, b in 0.0..60.0_f64, c in 0.0..60.0_f64,
    ) {
        let course = Course::new(clock, &sheet, &room, hour(90.0));
        let (from, middle, until) = (hour(a), hour(a + b), hour(a + b + c));
        let apart = course.age(from, middle) + course.age(middle, until);
        prop_assert!((apart - course.age(from, until)).abs() < 1e-9);
    }

    #[test]
    fn a_reading_on_the_line_changes_nothing(t1 in -10.0..40.0_f64, t2 in -10.0..40.0_f64, cut in 1..179_u32, sheet in sheet(), clock in clock()) {
        let two = [reading(0.0, t1), reading(3.0, t2)];
        let share = f64::from(cut) / 180.0;
        let three = [two[0], reading(3.0 * share, t1 + (t2 - t1) * share), two[1]];
        let age = |room: &[Reading]| Course::new(clock, &sheet, room, hour(3.0)).age(start(), hour(3.0));
        prop_assert!((age(&two) - age(&three)).abs() < 1e-9);
    }

    #[test]
    fn age_grows_with_time_and_with_warmth_up_to_the_cap(
        room in room(), sheet in sheet(), clock in clock(), until in 0.0..100.0_f64, more in 0.0..30.0_f64, by in 0.0..15.0_f64,
    ) {
        let now = hour(80.0);
        let cool = Course::new(clock, &sheet, &room, now);
        let warm = Course::new(clock, &sheet, &warmer(&room, by), now);
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
        room in room(), sheet in sheet(), clock in clock(), needs in 600..400_000_i64, now in 0.0..200.0_f64,
    ) {
        let course = Course::new(clock, &sheet, &room, hour(now));
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
        let (a, b) = (Course::new(clock, &sheet, &room, hour(50.0)), Course::new(clock, &sheet, &turned, hour(50.0)));
        prop_assert_eq!(a.forecast(start(), TimeDelta::hours(40)), b.forecast(start(), TimeDelta::hours(40)));
    }

    #[test]
    fn a_hole_in_the_log_never_hurries_either_clock_past_the_worst_it_can_be(
        room in room(), sheet in sheet(), from in 0..40_usize, length in 1..20_usize,
    ) {
        // Without any readings inside, the careful end is at least as careful as both ends that are left.
        let now = hour(60.0);
        let mut holed = room.clone();
        let end = (from + length).min(holed.len());
        holed.drain(from.min(end)..end);
        let soon = Course::new(Clock::NoSooner, &sheet, &holed, now);
        let late = Course::new(Clock::NoLater, &sheet, &holed, now);
        for pair in holed.windows(2).filter(|p| p[1].at - p[0].at > TimeDelta::hours(3)) {
            let stretch = |course: &Course| course.age(pair[0].at, pair[1].at.min(now));
            #[expect(clippy::cast_precision_loss, reason = "a few days of seconds")]
            let hours = (pair[1].at.min(now) - pair[0].at).num_seconds() as f64 / 3600.0;
            if hours > 0.0 && pair[1].at <= now {
                let cold = pair[0].temp.get().min(pair[1].temp.get());
                let warm = pair[0].temp.get().max(pair[1].temp.get());
                let law = sheet.law.unwrap();
                prop_assert!(stretch(&soon) <= hours * law.ratio(cold, sheet.at.get()).min(1.0) + 1e-9);
                prop_assert!(stretch(&late) >= hours * law.ratio(warm, sheet.at.get()).max(1.0) - 1e-9);
            }
        }
    }

    #[test]
    fn no_touch_test_shortens_and_a_failure_never_does(
        list in proptest::collection::vec((0.0..3.0_f64, any::<bool>()), 0..40), failed in 0.0..3.0_f64,
    ) {
        let time = TimeDelta::hours(10);
        let mut tests: Vec<TouchTest> =
            list.iter().filter_map(|&(share, passed)| TouchTest::new(share * 10.0, time, passed)).collect();
        let before = cure::fit(&tests);
        prop_assert!(before.times >= 1.0 && before.tests == tests.len());
        prop_assert!(before.needed(time) >= time);
        tests.extend(TouchTest::new(failed * 10.0, time, false));
        prop_assert!(cure::fit(&tests).times >= before.times - 1e-12);
    }
}
