//! A shop planned as it is, at many points of its way: every plan passes the independent checker.

use std::collections::BTreeMap;

use serde_json::{Value, json};

use super::checker::Checker;
use crate::harness::{SORREL_LANE, TestShop};

/// The plan of a shop, with every lot of it, held against the setup.
#[track_caller]
pub(super) fn checked(shop: &TestShop, setup: &str, line: &str) -> Value {
    checked_at(shop, setup, line, (1.0, 1.0))
}

#[track_caller]
pub(super) fn checked_at(shop: &TestShop, setup: &str, line: &str, rates: (f64, f64)) -> Value {
    checked_with(shop, setup, line, |checker| checker.rates = rates)
}

/// The same where rooms have rates of their own.
#[track_caller]
pub(super) fn checked_in(shop: &TestShop, setup: &str, line: &str, rooms: &[(&str, f64)]) -> Value {
    let rooms = rooms.iter().map(|(room, rate)| ((*room).to_owned(), *rate)).collect();
    checked_with(shop, setup, line, |checker| checker.rooms = rooms)
}

#[track_caller]
fn checked_with(
    shop: &TestShop,
    setup: &str,
    line: &str,
    tell: impl FnOnce(&mut Checker),
) -> Value {
    let mut plan = shop.json(line);
    let faults = faults(shop, setup, &mut plan, tell);
    assert!(faults.is_empty(), "{faults:#?}\n{}", shop.run("plan --effort 50 --days 30"));
    plan
}

fn faults(
    shop: &TestShop,
    setup: &str,
    plan: &mut Value,
    tell: impl FnOnce(&mut Checker),
) -> Vec<String> {
    let lots = shop.json("lot list")["lots"].as_array().unwrap().clone();
    let lots =
        lots.iter().map(|lot| shop.json(&format!("lot show {}", lot["lot"].as_str().unwrap())));
    let lots: Vec<Value> = lots.collect();
    let batches = shop.json("batch list")["batches"].as_array().unwrap().clone();
    let planned = |lot: &&Value| {
        let of = |part: &str| plan[part].as_array().unwrap().iter().any(|p| p["lot"] == lot["lot"]);
        of("steps") || of("stays")
    };
    let finished: Vec<Value> = lots
        .iter()
        .filter(|lot| {
            let past_the_last =
                lot["step"].as_u64() > Some(lot["steps"].as_array().unwrap().len() as u64);
            past_the_last && lot["held"].is_null() && !planned(lot)
        })
        .cloned()
        .collect();
    let mut wanted = BTreeMap::new();
    for batch in batches {
        let name = batch["batch"].as_str().unwrap();
        let of_batch = |lot: &&Value| lot["batch"] == batch["batch"];
        let done: i64 =
            finished.iter().filter(of_batch).map(|lot| lot["pieces"].as_i64().unwrap()).sum();
        let left = batch["pieces"].as_i64().unwrap() - batch["shipped"].as_i64().unwrap() - done;
        wanted.insert(name.to_owned(), left);
        plan["recipes"][name] = batch["recipe"].clone();
    }
    let mut checker = Checker::new(setup, plan, lots);
    checker.wanted = wanted;
    tell(&mut checker);
    checker.faults()
}

/// An order of 132 bowls, nothing started.
fn salt() -> TestShop {
    let shop = TestShop::open();
    shop.run("can open 'house oil' --name K7 --litres 1").ok();
    shop.run("batch open salt --recipe 'three coats' --pieces 132 --due 2026-04-02").ok();
    shop
}

#[track_caller]
pub(super) fn does(shop: &mut TestShop, at: &str, line: &str) {
    shop.at(at);
    shop.run(line).ok();
}

/// Half of it done: one lot cures, one has two coats, one is turned and sanded, the rest is to come.
pub(super) fn half_done() -> TestShop {
    let mut shop = salt();
    let shop_ = &mut shop;
    does(shop_, "2026-03-02 08:30", "lot start salt --pieces 36");
    for step in 0..5 {
        does(shop_, &format!("2026-03-02 1{}:30", step + 3), "done salt-1");
    }
    does(shop_, "2026-03-03 08:54", "done salt-1 --rack drip-1");
    does(shop_, "2026-03-03 09:00", "lot start salt --pieces 24");
    for step in 0..5 {
        does(shop_, &format!("2026-03-03 1{}:40", step + 2), "done salt-2");
    }
    does(shop_, "2026-03-04 08:58", "done salt-1");
    does(shop_, "2026-03-04 09:30", "done salt-1");
    does(shop_, "2026-03-04 09:55", "done salt-2 --rack drip-2");
    does(shop_, "2026-03-04 10:00", "lot start salt --pieces 12");
    does(shop_, "2026-03-05 09:55", "done salt-1");
    does(shop_, "2026-03-05 10:10", "done salt-2");
    does(shop_, "2026-03-05 10:40", "done salt-2");
    does(shop_, "2026-03-05 11:30", "done salt-3");
    does(shop_, "2026-03-05 11:45", "done salt-3");
    does(shop_, "2026-03-06 10:00", "lot move salt-1 --rack loft");
    shop
}

#[test]
fn an_order_not_begun() {
    let shop = salt();
    let plan = checked(&shop, SORREL_LANE, "plan --effort 300");
    assert_eq!(plan["batches"][0]["to_start"], 155);
    assert!(plan["batches"][0]["days_late"].as_i64().unwrap() <= 0, "{plan}");
    assert_eq!(plan["windows_missed"], 0);
    // Only what is there: nothing.
    let plan = checked(&shop, SORREL_LANE, "plan --started");
    assert_eq!((&plan["steps"], &plan["batches"][0]["ready_at"]), (&json!([]), &Value::Null));
}

/// Something done to a plan that spoils it.
type Change<'a> = &'a dyn Fn(&mut Value);

#[test]
fn the_checker_finds_what_is_wrong() {
    let shop = half_done();
    let plan = shop.json("plan --effort 100");
    let broken = |change: &dyn Fn(&mut Value)| {
        let mut plan = plan.clone();
        change(&mut plan);
        faults(&shop, SORREL_LANE, &mut plan, |_| ())
    };
    assert_eq!(broken(&|_| {}), Vec::<String>::new());
    let nothing_of_it: [(&str, Change<'_>); 8] = [
        ("a step left out", &|plan| {
            plan["steps"].as_array_mut().unwrap().pop();
        }),
        ("two at once", &|plan| {
            let first = plan["steps"][0]["start"].clone();
            plan["steps"][1]["start"] = first;
        }),
        ("at night", &|plan| {
            plan["steps"][3]["start"] = json!("2026-03-09T03:00:00Z");
            plan["steps"][3]["end"] = json!("2026-03-09T03:10:00Z");
        }),
        ("no rack", &|plan| {
            plan["stays"].as_array_mut().unwrap().pop();
        }),
        ("a rack too small", &|plan| {
            for stay in plan["stays"].as_array_mut().unwrap() {
                if stay["cures"] == true {
                    stay["rack"] = json!("shelf");
                }
            }
        }),
        ("another date", &|plan| plan["batches"][0]["days_late"] = json!(-30)),
        ("ready sooner", &|plan| plan["ready_at"] = json!("2026-03-10T10:00:00Z")),
        ("a bound above", &|plan| plan["bound"]["ready_at"] = json!("2027-03-10T10:00:00Z")),
    ];
    for (what, change) in nothing_of_it {
        assert!(!broken(change).is_empty(), "{what} was not found");
    }
    // In a colder room the same plan is too quick everywhere.
    let mut plan = plan;
    assert!(
        !faults(&shop, SORREL_LANE, &mut plan, |checker| checker.rates = (0.5, 1.0)).is_empty()
    );
}

#[test]
fn half_of_it_done_and_a_step_begun() {
    let mut shop = half_done();
    checked(&shop, SORREL_LANE, "plan --effort 300");
    // Seen in the middle of it, at noon and after hours.
    does(&mut shop, "2026-03-06 10:05", "begin salt-3");
    for at in ["2026-03-06 10:08", "2026-03-06 12:40", "2026-03-06 20:00"] {
        shop.at(at);
        checked(&shop, SORREL_LANE, "plan --effort 100");
    }
}

/// A logger's file of a week of hours up to that moment, at 13 °C.
fn cold_week(until: &str) -> String {
    let until = chrono::DateTime::parse_from_rfc3339(until).unwrap();
    let hours = (0..=7 * 24).rev().map(|hour| until - chrono::TimeDelta::hours(hour));
    let lines = hours.map(|at| format!("{},13.0,55\n", at.format("%Y-%m-%dT%H:%M:%SZ")));
    std::iter::once("time,temperature,humidity\n".to_owned()).chain(lines).collect()
}

#[test]
fn half_of_it_done_then_a_cold_week_and_ten_rejected() {
    let mut shop = half_done();
    let before = checked(&shop, SORREL_LANE, "plan --effort 300");
    shop.write("log.csv", &cold_week("2026-03-06T10:00:00Z"));
    does(&mut shop, "2026-03-06 10:15", "climate import 'oil room' log.csv");
    does(&mut shop, "2026-03-06 10:20", "lot reject salt-1 --pieces 6 --why cracked");
    does(&mut shop, "2026-03-06 10:21", "lot reject salt-2 --pieces 4 --why cracked");
    // Ten degrees below the sheet's 23 °C at Q10 2 halve the rate, of what is laid as of what is to come; the window keeps
    // the sheet's own pace.
    let plan = checked_at(&shop, SORREL_LANE, "plan --effort 300", (0.5, 1.0));
    let oil = &plan["waits"][0];
    assert_eq!((&oil["finish"], &oil["shortest"]), (&json!("house oil"), &json!(48 * 60)));
    assert_eq!((&oil["longest"], &oil["cure"]), (&json!(7 * 24 * 60), &json!(42 * 24 * 60)));
    // More have to be started, and all of it is ready three weeks later or more.
    let (was, is) = (&before["batches"][0], &plan["batches"][0]);
    assert!(is["to_start"].as_u64() > was["to_start"].as_u64(), "{was} {is}");
    let days = |batch: &Value| batch["days_late"].as_i64().unwrap();
    assert!(days(is) >= days(was) + 21, "{was} {is}");
}

#[test]
fn a_clock_change_and_closed_days() {
    // The clocks go forward on 29 March, in the cure and between coats; Easter is closed.
    let mut shop = salt();
    for from in ["2026-03-26 14:00", "2026-03-27 08:30", "2026-10-22 09:00"] {
        shop.at(from);
        checked(&shop, SORREL_LANE, "plan --effort 150");
    }
    // A whole week closed.
    let shut = SORREL_LANE.replace("\"2026-03-17\",", "\"2026-03-05..2026-03-13\",");
    let shop = TestShop::with_setup(&shut);
    shop.run("batch open salt --recipe 'three coats' --pieces 60").ok();
    let plan = checked(&shop, &shut, "plan --effort 300");
    assert_eq!(plan["windows_missed"], 0);
}

#[test]
fn a_window_shorter_than_the_weekend() {
    // A coat on Friday would have to be followed on Saturday: no coat but the last is laid on Thursday or Friday.
    let setup = SORREL_LANE.replace("recoat = \"24h..7d\"", "recoat = \"20h..30h\"");
    let mut shop = TestShop::with_setup(&setup);
    shop.run("can open 'house oil' --name K7").ok();
    shop.run("batch open salt --recipe 'three coats' --pieces 60").ok();
    let plan = checked(&shop, &setup, "plan --effort 300");
    assert_eq!(plan["windows_missed"], 0);
    // One that was coated on Friday all the same can't be helped: its window is missed, abraded, and said first.
    shop.at("2026-03-06 15:00");
    shop.run("lot start salt --pieces 24 --from 7 --rack drip-2 --did 6=15:00").ok();
    shop.at("2026-03-06 15:30");
    let plan = checked(&shop, &setup, "plan --started --effort 300");
    assert_eq!(plan["windows_missed"], 1);
    let said = shop.run("plan --started --effort 300").fits().ok();
    assert!(said.starts_with("NO PLAN KEEPS"), "{said}");
}

#[test]
fn a_lot_begun_too_early() {
    let mut shop = salt();
    shop.run("lot start salt --pieces 36 --from 6 --rack drip-1").ok();
    shop.at("2026-03-02 09:00");
    shop.run("done salt-1 --anyway 'grain not raised'").ok();
    shop.at("2026-03-02 10:00");
    shop.run("done salt-1 --step 8 --anyway 'wet on wet'").ok();
    checked(&shop, SORREL_LANE, "plan --effort 200");
    shop.at("2026-03-02 11:00");
    shop.run("begin salt-1 --anyway 'in a hurry'").ok();
    checked(&shop, SORREL_LANE, "plan --effort 200");
    shop.at("2026-03-02 19:00");
    checked(&shop, SORREL_LANE, "plan --effort 200");
}

#[test]
fn held_lots_keep_their_slots() {
    let mut shop = half_done();
    does(&mut shop, "2026-03-06 10:30", "lot hold salt-2 --why 'which oil?'");
    let plan = checked(&shop, SORREL_LANE, "plan --effort 200");
    assert_eq!(plan["held"], json!(["salt-2"]));
}

#[test]
fn no_plan_says_why() {
    let shop = TestShop::bare();
    shop.run("plan").refused("no-setup");
    // No open hours.
    let shut = SORREL_LANE.replace("\"2026-03-17\",", "\"2026-01-01..2036-12-31\",");
    let shop = TestShop::with_setup(&shut);
    shop.run("batch open salt --recipe 'three coats' --pieces 60").ok();
    shop.run("plan").refused("no-open-hours");
    // Racks smaller than any lot: lots are made as small.
    let small =
        SORREL_LANE.replace("slots = 36", "slots = 5").replace("slots = 24\n", "slots = 5\n");
    let shop = TestShop::with_setup(&small);
    shop.run("batch open salt --recipe 'three coats' --pieces 30").ok();
    checked(&shop, &small, "plan --effort 100");
    // A lot larger than them all.
    shop.run("lot start salt --pieces 20").ok();
    let left_out = shop.json("plan")["not_planned"][0].clone();
    assert_eq!((&left_out["lot"], &left_out["pieces"]), (&"salt-1".into(), &20.into()));
    let said = shop.run("plan").fits().ok();
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("tackfree lot split salt-1 --pieces 12"), "{said}");
}
