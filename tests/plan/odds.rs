//! What the odds of a promise rest on: days with work, all batches, the same before and after the order is taken on.

use chrono::{NaiveDate, TimeDelta};
use serde_json::{Value, json};

use crate::harness::{SORREL_LANE, TestShop};
use crate::plan::kept::at;
use crate::plan::rooms::read_from;
use crate::plan::scenarios::does;

/// The days of a promise's dates.
fn days(promise: &Value) -> Vec<String> {
    let of = |odds: &str| promise["ready_at"][odds].as_str().unwrap()[..10].to_owned();
    ["p50", "p80", "p95"].map(of).to_vec()
}

/// Twelve pieces coated, cured, packed and shipped, the batch closed; then three weeks without an order.
fn rested() -> TestShop {
    let mut shop = TestShop::open();
    shop.run("can open 'house oil' --name K7 --litres 1").ok();
    shop.run("batch open old --recipe 'three coats' --pieces 10").ok();
    shop.run("lot start old --pieces 12 --rack shelf --from 9").ok();
    does(&mut shop, "2026-03-03 08:55", "done old-1");
    does(&mut shop, "2026-03-03 09:00", "rags done --how 'under water, lidded can'");
    does(&mut shop, "2026-03-25 09:00", "lot reject old-1 --pieces 2 --why cracked");
    does(&mut shop, "2026-03-25 09:00", "done old-1");
    does(&mut shop, "2026-03-25 09:10", "done old-1");
    does(&mut shop, "2026-03-25 09:20", "ship old-1 --to 'a shop in town'");
    does(&mut shop, "2026-03-25 09:20", "batch close old");
    shop.at("2026-04-20 08:30");
    shop
}

#[test]
fn days_without_work_are_not_lost() {
    // The weeks of curing and the weeks without an order tell nothing. There was work on the three days on which it was
    // recorded, and on Tuesday 24 March, when the cure was over and nobody came.
    let shop = rested();
    let asked = "promise --recipe 'three coats' --pieces 10 --runs 200";
    let said = shop.json(asked);
    let lost = said["rests_on"].as_array().unwrap().iter().find(|line| line["what"] == "lost days");
    let lost = lost.unwrap();
    assert_eq!((&lost["ground"], &lost["records"]), (&"prior".into(), &4.into()), "{said:#}");
    // A day on which a lot was ready and nothing at all was recorded is one.
    let mut idle = rested();
    idle.run("batch open new --recipe 'one coat' --pieces 5").ok();
    idle.at("2026-04-23 08:30");
    let lost = idle.json(asked)["rests_on"][3].clone();
    assert_eq!(lost["records"], 7, "20 April with an order taken on, and two days with nothing");
}

#[test]
fn the_odds_are_the_same_before_and_after_the_order_is_taken_on_and_know_closed_batches() {
    let shop = rested();
    let before = shop.json("promise --recipe 'three coats' --pieces 24 --runs 200");
    shop.run("batch open zq --recipe 'three coats' --pieces 24").ok();
    let after = shop.json("promise zq --runs 200");
    assert_eq!(days(&before), days(&after));
    assert_eq!(before["rests_on"], after["rests_on"]);
    let scrap = &before["rests_on"][0];
    assert_eq!((&scrap["what"], &scrap["records"]), (&"scrap".into(), &12.into()), "{before:#}");
}

#[test]
fn an_order_without_a_date_is_promised_in_turn_with_what_others_wish() {
    let shop = TestShop::open();
    let large = "batch open large --recipe 'three coats' --pieces 240 --due 2026-12-18";
    shop.run(&format!("{large} --wanted 2026-03-20")).ok();
    let said = shop.json("promise --recipe 'one coat' --pieces 12 --runs 10");
    // A few weeks. Behind the last pieces of the large one it would be ready at the end of April.
    let [now, planned] = [&said["now"], &said["planned"]].map(at);
    assert!((planned - now).num_days() < 40, "planned {planned}");
}

#[test]
fn what_is_ready_has_no_date_to_come() {
    let mut shop = TestShop::open();
    shop.run("can open 'house oil' --name K7 --litres 1").ok();
    shop.run("batch open old --recipe 'three coats' --pieces 10").ok();
    shop.run("lot start old --pieces 10 --rack shelf --from 9").ok();
    does(&mut shop, "2026-03-03 08:55", "done old-1");
    does(&mut shop, "2026-03-25 09:00", "done old-1");
    assert!(shop.json("promise old --runs 20")["ready_at"]["p95"].is_string(), "to be packed yet");
    does(&mut shop, "2026-03-25 09:10", "done old-1");
    shop.run("promise old --runs 20").refused("all-done");
    // The day sheet says that it may leave, not that it has to wait.
    let said = shop.run("today").fits().ok();
    assert!(said.contains("MAY SHIP\n  old-1  ship  10 pieces on shelf\n"), "{said}");
    assert!(said.contains("then: tackfree ship old-1 --to NAME"), "{said}");
    assert!(!said.contains("NOT YET") && !said.contains("Nothing to do by hand"), "{said}");
    does(&mut shop, "2026-03-25 09:20", "ship old-1 --to 'a shop in town'");
    shop.run("promise old --runs 20").refused("all-done");
}

#[test]
fn what_is_held_has_no_date_and_is_not_done() {
    let mut shop = TestShop::open();
    shop.run("can open 'house oil' --name K7 --litres 1").ok();
    shop.run("batch open old --recipe 'three coats' --pieces 10 --due 2026-04-20").ok();
    shop.run("lot start old --pieces 12 --rack shelf --from 9").ok();
    does(&mut shop, "2026-03-03 08:55", "done old-1");
    shop.run("lot split old-1 --pieces 4").ok();
    shop.run("lot hold old-1 --why 'is it the right oil?'").ok();
    let said = shop.run("plan --started --effort 50").fits().ok();
    assert!(said.contains("4 ready Tue 24 Mar") && said.contains("; 8 pieces held"), "{said}");
    shop.run("promise old --runs 20").refused("held");
    shop.run("batch open salt --recipe 'one coat' --pieces 12 --due 2026-05-20").ok();
    let other = shop.json("promise salt --runs 20")["others"][0].clone();
    assert_eq!(
        (&other["batch"], &other["is"], &other["late"]),
        (&json!("old"), &Value::Null, &json!(1.0))
    );
    shop.run("lot hold old-2 --why 'is it the right oil?'").ok();
    let said = shop.run("plan --started --effort 50").fits().ok();
    assert!(said.contains("no date: 12 pieces held"), "{said}");
    shop.run("promise old --runs 20").refused("held");
    shop.run("lot release old-1 old-2").ok();
    shop.json("promise old --runs 20");
}

#[test]
fn no_run_puts_a_coat_off_for_weeks_to_keep_its_window() {
    // At 13 °C the window of 54 h is open for an afternoon; where a run has it a tenth colder it closes before it opens.
    let setup = SORREL_LANE
        .replacen("24h..7d", "24h..54h", 1)
        .replacen("\"21d\"", "\"3d\"", 1)
        .replacen("min_temp = 10.0", "min_temp = 4.0", 1)
        .replacen("name = \"oil room\"\n", "name = \"oil room\"\nheated = \"no\"\n", 1);
    let mut shop = TestShop::with_setup(&setup);
    shop.at("2026-11-02 09:00");
    read_from(&shop, "oil room", "2026-10-19", 14, |_, _| Some(13.0));
    shop.run("batch open salt --recipe 'three coats' --pieces 20 --due 2027-02-26").ok();
    let promise = shop.json("promise salt");
    let (planned, sure) = (at(&promise["planned"]), at(&promise["ready_at"]["p95"]));
    // It was 28 days while every run kept its windows.
    assert!(sure - planned <= TimeDelta::days(24), "{planned} {sure}");
}

#[test]
fn an_order_of_which_more_has_left_than_was_ordered_may_get_another_date() {
    let mut shop = TestShop::open();
    shop.run("can open 'house oil' --name K7 --litres 1").ok();
    shop.run("batch open old --recipe 'three coats' --pieces 10").ok();
    shop.run("lot start old --pieces 12 --rack shelf --from 9").ok();
    for at in ["2026-03-03 08:55", "2026-03-25 09:00", "2026-03-25 09:10"] {
        does(&mut shop, at, "done old-1");
    }
    does(&mut shop, "2026-03-25 09:20", "ship old-1 --to 'a shop in town'");
    shop.run("batch change old --due 2026-04-20 --for 'another shop'").ok();
    shop.run("batch change old --pieces 11").refused("shipped-more");
}

#[test]
fn the_share_of_runs_by_the_end_of_a_likely_day_is_no_less_than_its_odds() {
    let said = rested().json("promise --recipe 'three coats' --pieces 10 --runs 200");
    for (odds, least) in [("p80", 0.8), ("p95", 0.95)] {
        let share = said["by_that_day"][odds].as_f64().unwrap();
        assert!((least..=1.0).contains(&share), "{odds}: {share}");
    }
}

#[test]
fn no_day_is_nearer_to_even_odds_than_the_one_that_is_called_so() {
    let shop = rested();
    for pieces in [10, 30] {
        let asked = format!("promise --recipe 'three coats' --pieces {pieces}");
        let said = shop.json(&asked);
        let day: NaiveDate = said["ready_at"]["p50"].as_str().unwrap()[..10].parse().unwrap();
        let off = |share: &Value| (share.as_f64().unwrap() - 0.5).abs();
        let even = off(&said["by_that_day"]["p50"]);
        for days in -3..=3 {
            let other = day + TimeDelta::days(days);
            let kept = shop.json(&format!("{asked} --due {other}"))["kept"].clone();
            assert!(off(&kept) >= even - 1e-9, "{pieces} by {other}: {kept}, {said}");
        }
    }
}

#[test]
fn an_order_taken_on_is_promised_by_the_plan_that_is_followed() {
    let mut shop = TestShop::open();
    shop.run("can open 'house oil' --name K7 --litres 1").ok();
    for (batch, pieces) in [("salt", 80), ("mint", 60), ("sage", 40)] {
        shop.run(&format!("batch open {batch} --recipe 'three coats' --pieces {pieces}")).ok();
    }
    shop.run("plan --keep").ok();
    for at in ["2026-03-02 08:40", "2026-03-02 15:00", "2026-03-03 11:00"] {
        shop.at(at);
        let plan = shop.json("plan");
        for batch in plan["batches"].as_array().unwrap() {
            let name = batch["batch"].as_str().unwrap();
            let planned = shop.json(&format!("promise {name} --runs 5"))["planned"].clone();
            assert_eq!(planned, batch["ready_at"], "{at}, {name}");
        }
    }
}
