//! A lot that still grabs when it is touched: the plan, `due` and the day sheet say that it waits, as `begin` does.

use serde_json::{Value, json};

use super::scenarios::{checked, does, half_done};
use crate::harness::{SORREL_LANE, TestShop};

/// When a lot's first step to come starts in a plan.
fn first_start(plan: &Value, lot: &str) -> String {
    let steps = plan["steps"].as_array().unwrap();
    let step = steps.iter().find(|step| step["lot"] == lot).unwrap();
    step["start"].as_str().unwrap().to_owned()
}

#[test]
fn between_coats_it_is_planned_no_sooner_than_the_next_open_day() {
    let mut shop = half_done();
    // Its third coat may go on from Friday 10:40; it is touched half an hour later, and is tacky.
    does(&mut shop, "2026-03-06 11:10", "touch salt-2 tacky");
    shop.run("begin salt-2").refused("still-grabs");
    let due = shop.json("due");
    let items = due["items"].as_array().unwrap();
    let item = items.iter().find(|item| item["lot"] == "salt-2").unwrap();
    assert_eq!((&item["state"], &item["grabbed"]["stage"]), (&"next".into(), &"tacky".into()));
    let said = shop.columns(80).run("due").fits().ok();
    assert!(said.contains("once a touch test passes (tacky today 11:10), until Thu"), "{said}");

    let plan = checked(&shop, SORREL_LANE, "plan --effort 200");
    assert!(first_start(&plan, "salt-2").as_str() >= "2026-03-09T08:30", "{plan}");
    let touched = json!([{
        "lot": "salt-2", "waits": "step", "at": "2026-03-06T11:10:00+00:00", "stage": "tacky"
    }]);
    assert_eq!(plan["grabbed"], touched);
    let said = shop.run("plan --effort 50").fits().ok();
    let wanted = "Waiting for a touch test that passes, and planned no sooner than the next open
  day: salt-2 (tacky today 11:10)";
    assert!(said.contains(wanted), "{said}");

    // The day it was planned for comes, and nobody has touched it again.
    shop.at("2026-03-09 08:30");
    let plan = checked(&shop, SORREL_LANE, "plan --effort 200");
    assert!(first_start(&plan, "salt-2").as_str() >= "2026-03-10T08:30", "{plan}");
    // A test that passes lets it go on at once.
    does(&mut shop, "2026-03-09 08:30", "touch salt-2 dry-to-recoat");
    let plan = checked(&shop, SORREL_LANE, "plan --effort 200");
    assert!(first_start(&plan, "salt-2").as_str() < "2026-03-10", "{plan}");
    assert_eq!(plan["grabbed"], json!([]));
}

#[test]
fn past_its_cure_time_it_keeps_its_slots_and_its_date_moves() {
    let mut shop = half_done();
    shop.run("plan --started --effort 100 --keep").ok();
    // The cure time of salt-1 is reached on Thursday 26 March at 09:55.
    does(&mut shop, "2026-03-26 10:00", "touch salt-1 tacky");
    assert_eq!(shop.json("cure salt-1")["held_by_touch"], true);
    let plan = checked(&shop, SORREL_LANE, "plan --started --effort 100");
    assert!(first_start(&plan, "salt-1").as_str() >= "2026-03-27T08:30", "{plan}");
    let stays = plan["stays"].as_array().unwrap();
    let stay = stays.iter().find(|stay| stay["lot"] == "salt-1").unwrap();
    assert_eq!(
        (&stay["rack"], &stay["until"]),
        (&"loft".into(), &"2026-03-27T08:30:00+00:00".into())
    );
    let why = plan["drift"]["why"].to_string();
    assert!(why.contains("salt-1 still grabbed when it was touched today 10:00"), "{why}");
    let today = shop.columns(80).run("today").fits().ok();
    assert!(
        today.contains("salt-1  inspect: once a touch test passes (tacky today 10:00)\n"),
        "{today}"
    );
}

/// One batch, all of it one lot: two steps after its cure were recorded although it still grabbed.
fn packed_all_the_same() -> TestShop {
    let mut shop = TestShop::open();
    shop.run("can open 'house oil' --name K7 --litres 1").ok();
    shop.run("batch open salt --recipe 'three coats' --pieces 24 --due 2026-03-26").ok();
    shop.run("lot start salt --pieces 24 --from 9 --rack drip-2").ok();
    does(&mut shop, "2026-03-03 08:55", "done salt-1");
    does(&mut shop, "2026-03-24 10:00", "lot move salt-1 --rack loft");
    shop.run("plan --started --effort 50 --keep").ok();
    does(&mut shop, "2026-03-26 10:00", "touch salt-1 tacky");
    does(&mut shop, "2026-03-26 10:10", "done salt-1 --anyway 'only two of them'");
    shop
}

/// When the batch is ready in a plan, and what a failed test holds.
fn ready(shop: &TestShop) -> (String, Value, Value) {
    let plan = checked(shop, SORREL_LANE, "plan --started --effort 100");
    let batch = &plan["batches"][0];
    assert_eq!(batch["ready_at"], plan["ready_at"], "{plan}");
    let day = batch["ready_at"].as_str().unwrap()[..10].to_owned();
    (day, batch["days_late"].clone(), plan["grabbed"][0]["waits"].clone())
}

#[test]
fn what_cannot_be_shipped_is_not_ready() {
    let mut shop = packed_all_the_same();
    // It may be packed today, and doesn't ship before a test passes.
    assert_eq!(ready(&shop), ("2026-03-27".to_owned(), json!(1), json!("shipping")));
    does(&mut shop, "2026-03-26 10:40", "done salt-1");
    shop.run("ship salt-1 --to Hale").refused("still-grabs");
    assert_eq!(ready(&shop), ("2026-03-27".to_owned(), json!(1), json!("shipping")));
    let plan = shop.json("plan --started --effort 100");
    let why = plan["drift"]["why"].to_string();
    assert!(why.contains("salt-1 still grabbed when it was touched today 10:00"), "{why}");
    let said = shop.columns(80).run("plan --started").fits().ok();
    let wanted = "Not shipped before a touch test passes, and ready no sooner than the next open
  day: salt-1 (tacky today 10:00)";
    assert!(said.contains(wanted), "{said}");
    // Nor does anything else say that it may go.
    let item = shop.json("due")["items"][0].clone();
    assert_eq!((&item["kind"], &item["state"]), (&"ship".into(), &"next".into()));
    assert_eq!(shop.json("cure salt-1")["cured"], false);
    // Each day anew, over the weekend too.
    shop.at("2026-03-27 09:00");
    assert_eq!(ready(&shop), ("2026-03-30".to_owned(), json!(4), json!("shipping")));
    does(&mut shop, "2026-03-27 09:10", "touch salt-1 tack-free");
    assert_eq!(ready(&shop), ("2026-03-27".to_owned(), json!(1), Value::Null));
    assert_eq!(shop.json("plan --started")["bound"]["gap_percent"], 0.0);
    shop.run("ship salt-1 --to Hale").ok();
}

#[test]
fn a_test_that_fails_after_the_last_step_holds_the_date_too() {
    let mut shop = packed_all_the_same();
    does(&mut shop, "2026-03-26 10:40", "touch salt-1 tack-free");
    does(&mut shop, "2026-03-26 10:50", "done salt-1");
    assert_eq!(ready(&shop), ("2026-03-26".to_owned(), json!(0), Value::Null));
    does(&mut shop, "2026-03-26 11:00", "touch salt-1 tacky");
    assert_eq!(ready(&shop), ("2026-03-27".to_owned(), json!(1), json!("shipping")));
}
