//! What is to be touched or read before anything can go on, and what unread cold hours must not put off.

use std::fmt::Write as _;

use chrono::{NaiveDate, TimeDelta};
use serde_json::{Value, json};

use crate::harness::TestShop;

/// Hourly readings of the oil room from the middle of February on: by that hour of day, until `last`.
fn log(last: &str, temp: impl Fn(i64) -> f64) -> String {
    let first = NaiveDate::from_ymd_opt(2026, 2, 16).unwrap().and_hms_opt(0, 0, 0).unwrap();
    let mut text = String::from("time,temperature,humidity\n");
    for hour in 0.. {
        let at = (first + TimeDelta::hours(hour)).format("%Y-%m-%d %H:%M").to_string();
        if at.as_str() > last {
            return text;
        }
        writeln!(text, "{at},{:.1},60", temp(hour)).unwrap();
    }
    text
}

/// Heated by day, and at night too cold for the oil's sheet: at its slowest its 24 hours take over a week.
fn cold_at_night(hour: i64) -> f64 {
    if (9..17).contains(&(hour % 24)) { 14.0 } else { 9.0 }
}

/// A lot that has its first coat since Monday morning, in a room with that log.
fn coated(log: &str) -> TestShop {
    let mut shop = TestShop::open();
    shop.run("can open 'house oil' --name K7 --litres 1").ok();
    shop.write("log.csv", log);
    shop.run("climate import 'oil room' log.csv").ok();
    shop.run("batch open salt --recipe 'three coats' --pieces 20").ok();
    shop.run("lot start salt --pieces 20 --from 6").ok();
    shop.run("begin salt-1 --rack drip-1 --anyway 'the heating is on'").ok();
    shop.at("2026-03-02 08:50");
    shop.run("done salt-1 --can K7").ok();
    shop.run("rags done --how 'under water'").ok();
    shop
}

/// A lot whose only coat was laid on Monday morning.
fn waxed() -> TestShop {
    let mut shop = TestShop::open();
    shop.run("can open 'hard wax' --name W1 --litres 1").ok();
    shop.run("batch open rest --recipe 'one coat' --pieces 10").ok();
    shop.run("lot start rest --pieces 10 --from 2").ok();
    shop.run("begin rest-1 --rack drip-1").ok();
    shop.at("2026-03-02 08:45");
    shop.run("done rest-1 --can W1").ok();
    shop.run("rags done --how 'under water'").ok();
    shop
}

fn checks(shop: &TestShop) -> Value {
    shop.json("today")["checks"].clone()
}

#[test]
fn a_coat_that_may_be_laid_is_not_put_off_for_the_window_of_the_next_one() {
    // Warm since the coat: its day is over. What comes is unread, and taken as the two cold weeks were.
    let warm_at_last =
        log(
            "2026-03-03 09:00",
            |hour| {
                if hour >= 14 * 24 + 8 { 23.5 } else { cold_at_night(hour) }
            },
        );
    let mut shop = coated(&log("2026-03-02 08:00", cold_at_night));
    shop.at("2026-03-03 09:30");
    shop.write("log.csv", &warm_at_last);
    shop.run("climate import 'oil room' log.csv").ok();
    let plan = shop.json("plan");
    let steps = plan["steps"].as_array().unwrap();
    let starts: Vec<&str> = steps.iter().map(|step| step["start"].as_str().unwrap()).collect();
    assert!(starts[0].starts_with("2026-03-03") && starts[1].starts_with("2026-03-03"), "{plan}");
    assert_eq!(plan["windows_missed"], 0, "{plan}");
}

#[test]
fn a_room_is_to_be_read_while_a_window_that_nobody_saw_open_is_closing() {
    let mut shop = coated(&log("2026-03-02 08:00", cold_at_night));
    // By no clock is it ready in the same hour.
    assert_eq!(checks(&shop), json!([]));
    shop.at("2026-03-04 09:00");
    let asked = checks(&shop);
    assert_eq!(
        (&asked[0]["check"], &asked[0]["room"], &asked[0]["lot"], &asked[0]["step"]),
        (&json!("read"), &json!("oil room"), &json!("salt-1"), &json!(7)),
        "{asked}"
    );
    let said = shop.columns(80).run("today").fits().ok();
    assert!(said.contains("read the oil room"), "{said}");
    assert!(said.contains("climate import \"oil room\" FILE"), "{said}");
    // The log tells that it has been warm enough.
    shop.write("log.csv", &log("2026-03-04 08:00", |hour| if hour > 14 * 24 { 22.0 } else { 9.0 }));
    shop.run("climate import 'oil room' log.csv").ok();
    assert_eq!(checks(&shop), json!([]));
    assert_eq!(shop.json("due")["items"][0]["state"], "ready");
}

#[test]
fn a_room_is_to_be_read_where_a_lot_is_cured_by_hours_that_nobody_read() {
    let mut shop = waxed();
    shop.at("2026-03-11 09:00");
    shop.write("log.csv", &log("2026-03-11 08:00", |_| 22.0));
    shop.run("climate import 'oil room' log.csv").ok();
    shop.at("2026-03-16 09:00");
    let touch = json!({"check": "touch", "lot": "rest-1", "pieces": 10});
    let read = json!({"check": "unread", "lot": "rest-1", "room": "oil room", "step": 4});
    assert_eq!(checks(&shop), json!([read, touch]));
    let said = shop.columns(80).run("today").fits().ok();
    assert!(said.contains("cured by hours nobody read"), "{said}");
    // One reading tells of the hours before.
    shop.run("climate add 'oil room' --temp 21 --humidity 50").ok();
    assert_eq!(checks(&shop), json!([touch]));
}

#[test]
fn a_lot_is_to_be_touched_when_its_cure_is_over_and_on_each_day_after_it_grabbed() {
    let mut shop = waxed();
    shop.at("2026-03-13 09:00");
    assert_eq!(checks(&shop), json!([]));
    shop.at("2026-03-16 09:00");
    let touch = json!([{"check": "touch", "lot": "rest-1", "pieces": 10}]);
    assert_eq!(checks(&shop), touch);
    let said = shop.columns(80).run("today").fits().ok();
    for found in
        ["it grabs: tackfree touch rest-1 tacky", "dry through: tackfree touch rest-1 dry-through"]
    {
        assert!(said.lines().any(|line| line.trim() == found), "{said}");
    }
    shop.run("touch rest-1 tacky").ok();
    assert_eq!(checks(&shop), json!([]));
    shop.at("2026-03-17 09:00");
    assert_eq!(checks(&shop), touch);
    shop.run("touch rest-1 dry-through").ok();
    assert_eq!(checks(&shop), json!([]));
    // Once it has gone on, nobody is asked any more.
    shop.run("done rest-1").ok();
    assert_eq!(checks(&shop), json!([]));
}

#[test]
fn a_room_too_cold_for_a_coat_when_read_last_is_read_again_before_the_coat() {
    let mut shop = TestShop::open();
    shop.run("batch open salt --recipe 'three coats' --pieces 20").ok();
    shop.run("lot start salt --pieces 20 --from 6 --rack drip-1").ok();
    shop.run("climate add 'oil room' --temp 8 --humidity 60").ok();
    assert_eq!(checks(&shop), json!([]), "it has just been read");
    shop.at("2026-03-02 13:30");
    let read = json!({ "check": "air", "room": "oil room", "lot": "salt-1", "step": 6 });
    assert_eq!(checks(&shop), json!([read.clone()]));
    let said = shop.columns(80).run("today").fits().ok();
    assert!(said.contains("it may be by now: tackfree climate import \"oil room\" FILE"), "{said}");
    // A weekend later, too, but not for good.
    shop.at("2026-03-05 08:00");
    assert_eq!(checks(&shop), json!([read]));
    shop.at("2026-03-05 09:00");
    assert_eq!(checks(&shop), json!([]));
    shop.run("climate add 'oil room' --temp 14 --humidity 60").ok();
    assert_eq!(checks(&shop), json!([]));
}

#[test]
fn a_late_coat_waits_for_its_room_to_be_read_where_it_was_too_cold_when_read_last() {
    let mut shop = coated(&log("2026-03-02 08:00", |_| 21.0));
    shop.at("2026-03-03 15:00").run("done salt-1").ok();
    let first = |shop: &TestShop| shop.json("today")["first"].as_array().unwrap().len();
    shop.at("2026-03-12 16:00");
    assert_eq!(first(&shop), 1, "its window closed days ago");
    shop.run("climate add 'oil room' --temp 8 --humidity 60").ok();
    shop.at("2026-03-13 09:00");
    let read = json!({ "check": "air", "room": "oil room", "lot": "salt-1", "step": 8 });
    assert_eq!((first(&shop), checks(&shop)), (0, json!([read])));
    shop.run("climate add 'oil room' --temp 20 --humidity 60").ok();
    assert_eq!((first(&shop), checks(&shop)), (1, json!([])));
}

#[test]
fn what_grabs_is_to_be_touched_before_its_step_in_the_calendar_too() {
    let mut shop = coated(&log("2026-03-02 08:00", |_| 21.0));
    shop.at("2026-03-04 09:00").run("touch salt-1 tacky").ok();
    let calendar = shop.run("calendar").ok().replace("\r\n ", "");
    let touch = "Once a touch test passes: tackfree touch salt-1 dry-through";
    assert!(calendar.contains(touch), "{calendar}");
    shop.at("2026-03-05 09:00").run("touch salt-1 dry-through").ok();
    assert!(!shop.run("calendar").ok().replace("\r\n ", "").contains(touch));
}
