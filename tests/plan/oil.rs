//! Cans that run out are said by the plan, and nothing is planned otherwise for them.

use serde_json::{Value, json};

use crate::caution::flat;
use crate::harness::{SORREL_LANE, TestShop};

/// A shop with that setup and an order of 30 bowls.
fn order(setup: &str) -> TestShop {
    let shop = TestShop::with_setup(setup);
    shop.run("batch open salt --recipe 'three coats' --pieces 30").ok();
    shop
}

fn plan(shop: &TestShop) -> Value {
    shop.json("plan --effort 60")
}

/// What `kit` says the coats of a plan take, one after the other in order of time: lot, step, litres so far.
fn taken(shop: &TestShop, plan: &Value) -> Vec<(String, u64, f64)> {
    let steps = plan["steps"].as_array().unwrap().iter();
    let coats = steps.filter(|step| step["kind"] == "coat");
    let mut sum = 0.0;
    let so_far = coats.map(|coat| {
        let (pieces, step) = (&coat["pieces"], coat["step"].as_u64().unwrap());
        let line = format!("kit --recipe 'three coats' --pieces {pieces} --steps {step}");
        sum += shop.json(&line)["oil"][0]["litres"].as_f64().unwrap();
        (coat["lot"].as_str().unwrap().to_owned(), step, sum)
    });
    so_far.collect()
}

#[test]
fn the_first_coat_that_the_cans_do_not_last_for_and_how_much_is_missing() {
    let mut shop = order(SORREL_LANE);
    let nothing_open = plan(&shop);
    let none = &nothing_open["oil_runs_out"][0];
    let taken = taken(&shop, &nothing_open);
    let whole = taken.last().unwrap().2;
    assert_eq!((&none["cans"], &none["missing"]), (&json!(0), &json!("about")));
    assert_eq!((&none["lot"], &none["step"]), (&json!(taken[0].0), &json!(6)));
    assert!((none["missing_litres"].as_f64().unwrap() - whole).abs() < 1e-9, "{none}");
    let said = shop.columns(80).run("plan --effort 60").fits().ok();
    assert!(said.contains("house oil has no open can for step 6 of salt-1, "), "{said}");

    // Two cans: together they last for all but a coat or two.
    shop.run("can open 'house oil' --name K7 --litres 0.03").ok();
    shop.run("can open 'house oil' --name K8 --litres 0.03").ok();
    let short = plan(&shop);
    let out = short["oil_runs_out"].as_array().unwrap();
    assert_eq!(out.len(), 1, "hard wax is in no coat of this plan: {out:?}");
    let first = taken.iter().find(|(_, _, so_far)| *so_far > 0.06).unwrap();
    assert_eq!((&out[0]["lot"], &out[0]["step"]), (&json!(first.0), &json!(first.1)));
    assert!((out[0]["missing_litres"].as_f64().unwrap() - (whole - 0.06)).abs() < 1e-9);
    let start = short["steps"]
        .as_array()
        .unwrap()
        .iter()
        .find(|step| (&step["lot"], &step["step"]) == (&out[0]["lot"], &out[0]["step"]));
    assert_eq!(out[0]["start"], start.unwrap()["start"]);
    let said = shop.run("plan --effort 60").fits().ok();
    let sentence = format!("house oil runs out at step {} of {}, ", first.1, first.0);
    assert!(said.contains(&sentence) && flat(&said).contains(" ml more is needed"), "{said}");
    assert_eq!(short["steps"], nothing_open["steps"], "said, not planned");

    // A third one is enough.
    shop.run("can open 'house oil' --name K9 --litres 1").ok();
    assert_eq!(plan(&shop)["oil_runs_out"], json!([]));
}

#[test]
fn where_amounts_are_not_known_only_what_is_sure_is_said() {
    // Nobody said what the can holds.
    let shop = order(SORREL_LANE);
    shop.run("can open 'house oil' --name K7").ok();
    assert_eq!(plan(&shop)["oil_runs_out"], json!([]));
    // Nobody knows what a coat takes.
    let setup = SORREL_LANE
        .replace("kind = \"polymerised drying oil\"\n", "")
        .replace("coverage = 18.0\ncoverage_bare = 12.0\n", "");
    let mut shop = order(&setup);
    let out = plan(&shop)["oil_runs_out"][0].clone();
    assert_eq!((&out["missing"], &out["missing_litres"]), (&json!("unknown"), &Value::Null));
    let said = shop.columns(80).run("plan --effort 60").fits().ok();
    assert!(
        flat(&said).contains(": how much is needed is not known As the rooms are taken to be,"),
        "{said}"
    );
    shop.run("can open 'house oil' --name K7 --litres 0.01").ok();
    assert_eq!(plan(&shop)["oil_runs_out"], json!([]));
}

#[test]
fn a_can_past_its_time_by_then_is_not_counted() {
    let mut shop = TestShop::open();
    shop.at("2025-09-05 09:00").run("can open 'house oil' --name K7 --litres 1").ok();
    shop.at("2026-03-02 08:30");
    shop.run("batch open salt --recipe 'three coats' --pieces 30").ok();
    // It keeps until Thursday; the coats before are laid from it.
    let out = plan(&shop)["oil_runs_out"][0].clone();
    assert_eq!(
        out["past"],
        json!([{"can": "K7", "kept_until": "2026-03-05T09:00:00+00:00"}]),
        "{out}"
    );
    assert!(out["start"].as_str().unwrap() >= "2026-03-05", "{out}");
    let said = shop.columns(80).run("plan --effort 60").fits().ok();
    assert!(flat(&said).contains("K7 is past its time from Thu 5 Mar 09:00 on"), "{said}");
}

#[test]
fn another_can_is_to_be_opened_where_all_that_are_open_are_past_their_time() {
    let mut shop = TestShop::open();
    shop.at("2025-09-05 09:00").run("can open 'hard wax' --name W1 --litres 1").ok();
    shop.at("2026-03-02 08:30");
    shop.run("batch open rest --recipe 'one coat' --pieces 10").ok();
    shop.run("lot start rest --pieces 10 --from 2").ok();
    let said = flat(&shop.columns(80).run("today").fits().ok());
    assert!(said.contains("(open another can: W1 past its time)"), "{said}");
    shop.run("can open 'hard wax' --name W2 --litres 1").ok();
    let said = flat(&shop.columns(80).run("today").fits().ok());
    assert!(said.contains("(can W2)"), "{said}");

    // Whoever pours all the same is told at once, not when the coat is on; the one opened then is the one it came from.
    shop.run("can empty W2").ok();
    shop.run("climate add 'oil room' --temp 19 --humidity 50").ok();
    let said = flat(&shop.run("begin rest-1 --rack shelf").ok());
    let told = "! W1: past its time. Before you pour, open another: tackfree can open \"hard wax\" --name NAME";
    assert!(said.contains(told), "{said}");
    shop.run("can open 'hard wax' --name W3").ok();
    shop.run("can open 'hard wax' --name W4").ok();
    let said = flat(&shop.at("2026-03-02 08:45").run("today").ok());
    assert!(said.contains("then: tackfree done rest-1 --can NAME"), "{said}");
    shop.run("can empty W4").ok();
    let said = shop.run("done rest-1").ok();
    assert!(said.contains("can W3"), "{said}");
}
