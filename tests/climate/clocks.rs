//! Nights on which the clocks change, in a logger's local stamps.

use crate::climate::stored;
use crate::harness::TestShop;

/// 26 October 2025, 00:30 in Dublin (UTC+1): half an hour later comes the hour that comes twice.
const BEGINS: i64 = 1_761_435_000;

fn night() -> Vec<String> {
    let hour =
        |hour: i32, from: i32| (from..60).step_by(10).map(move |m| format!("{hour:02}:{m:02}"));
    hour(0, 30).chain(hour(1, 0)).chain(hour(1, 0)).chain(hour(2, 0)).collect()
}

fn file(times: &[String]) -> String {
    let rows: Vec<String> = times.iter().map(|time| format!("2025-10-26 {time},14.2,55")).collect();
    format!("time,temp,rh\n{}\n", rows.join("\n"))
}

#[test]
fn an_hour_that_comes_twice_is_settled_by_the_order_of_the_lines() {
    let expected: Vec<i64> = (0..21).map(|step| BEGINS + step * 600).collect();
    let mut newest_first = night();
    newest_first.reverse();
    for times in [night(), newest_first] {
        let shop = TestShop::open();
        shop.run_with("climate import 'oil room' -", &file(&times)).ok();
        let at: Vec<i64> = stored(&shop).iter().map(|(at, ..)| *at).collect();
        assert_eq!(at, expected);
    }
    let hourly: Vec<String> = ["00:30", "01:30", "01:30", "02:30"].map(str::to_owned).to_vec();
    let shop = TestShop::open();
    shop.run_with("climate import 'oil room' -", &file(&hourly)).ok();
    let at: Vec<i64> = stored(&shop).iter().map(|(at, ..)| *at).collect();
    assert_eq!(at, [BEGINS, BEGINS + 3600, BEGINS + 7200, BEGINS + 10_800]);
}

#[test]
fn where_the_order_does_not_tell_the_lines_are_named() {
    let shop = TestShop::open();
    let once: Vec<String> = ["00:30", "01:10", "01:30", "02:30"].map(str::to_owned).to_vec();
    let said = shop.run_with("climate import 'oil room' -", &file(&once)).fails(3);
    assert!(said.contains("line 3: 2025-10-26 01:10:00 comes twice that night"), "{said}");
    assert!(said.contains("line 4: 2025-10-26 01:30:00 comes twice that night"), "{said}");
    assert_eq!(stored(&shop), []);
    // A logger whose clock keeps summer time all year has one reading of every time.
    shop.run_with("climate import 'oil room' - --offset +01:00", &file(&once)).ok();
    let at: Vec<i64> = stored(&shop).iter().map(|(at, ..)| *at).collect();
    assert_eq!(at, [BEGINS, BEGINS + 2400, BEGINS + 3600, BEGINS + 7200]);
}

#[test]
fn a_time_that_never_comes_is_named() {
    let shop = TestShop::open();
    // 30 March 2025: from 01:00 the clocks go on to 02:00.
    let file = "time,temp,rh\n2025-03-30 00:50,14.2,55\n2025-03-30 01:00,14.2,55\n2025-03-30 02:00,14.2,55\n";
    let said = shop.run_with("climate import 'oil room' -", file).fails(3);
    assert!(said.contains("line 3: 2025-03-30 01:00:00 never comes"), "{said}");
    assert!(!said.contains("line 4"), "{said}");
    shop.run_with("climate import 'oil room' - --skip-bad", file).ok();
    let at: Vec<i64> = stored(&shop).iter().map(|(at, ..)| *at).collect();
    assert_eq!(at, [1_743_295_800, 1_743_296_400]);
}
