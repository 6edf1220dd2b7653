//! What is on hand, what open orders need, when it runs out; how damp the blanks are.

use serde_json::{Value, json};
use snapbox::{assert_data_eq, str};

use crate::harness::TestShop;

fn line<'a>(stock: &'a Value, item: &str) -> &'a Value {
    let mut items = stock["items"].as_array().unwrap().iter();
    items.find(|line| line["item"] == item).unwrap_or_else(|| panic!("no {item}: {stock}"))
}

/// 24 blanks and 10 strips of each grit, and an order for 30 bowls of which 12 are started.
fn shop() -> TestShop {
    let mut shop = TestShop::open();
    for (at, what) in [
        ("2026-03-02 08:30", "stock count 'pinch bowl' 24"),
        ("2026-03-02 08:31", "stock count p180 10"),
        ("2026-03-02 08:32", "stock count P240 10"),
        ("2026-03-02 08:33", "stock count cloths 3"),
        ("2026-03-02 08:40", "can open 'house oil' --name K7"),
        ("2026-03-02 08:40", "batch open salt --recipe 'three coats' --pieces 30"),
        ("2026-03-02 08:45", "lot start salt --pieces 12 --rack drip-2"),
    ] {
        shop.at(at).run(what).ok();
    }
    shop
}

#[test]
fn what_is_done_is_taken_off_what_was_counted() {
    let mut shop = shop();
    let before = shop.json("stock");
    // A lot takes its blanks when it starts; a strip of P180 does 8 pieces.
    assert_eq!(line(&before, "pinch bowl")["on_hand"], 12);
    assert_eq!(line(&before, "P180")["on_hand"], 10);
    shop.at("2026-03-02 10:30").run("done salt-1").ok();
    shop.at("2026-03-02 11:00").run("done salt-1").ok();
    let after = shop.json("stock");
    assert_eq!(
        (&line(&after, "P180")["on_hand"], &line(&after, "P180")["used"]),
        (&json!(8), &json!(2))
    );
    shop.run("undo --why 'not yet'").ok();
    assert_eq!(line(&shop.json("stock"), "P180")["on_hand"], 10);
    shop.run("stock add P180 5").ok();
    assert_eq!(line(&shop.json("stock"), "P180")["on_hand"], 15);
    // A later count stands by itself, whatever was used before it.
    shop.at("2026-03-02 11:10").run("stock count P180 7").ok();
    assert_eq!(line(&shop.json("stock"), "P180")["on_hand"], 7);
    // What was done before a count and recorded after it was counted already.
    shop.run("done salt-1 --at 11:05").ok();
    assert_eq!(line(&shop.json("stock"), "P180")["on_hand"], 7);
    assert_eq!(shop.json("ledger check")["whole"], true);
}

/// A closed batch's steps count as well: they are found by when they were done.
#[test]
fn what_is_over_is_taken_off_too() {
    let mut shop = shop();
    shop.run("batch open rest --recipe 'three coats' --pieces 2").ok();
    shop.at("2026-03-02 09:00").run("lot start rest --pieces 2 --rack shelf").ok();
    shop.at("2026-03-02 09:20").run("done rest-1").ok();
    shop.at("2026-03-02 09:30").run("done rest-1").ok();
    shop.at("2026-03-02 09:40").run("lot reject rest-1 --pieces 2 --why cracked").ok();
    shop.run("batch close rest").ok();
    let stock = shop.json("stock");
    assert_eq!(line(&stock, "pinch bowl")["on_hand"], 10);
    assert_eq!(line(&stock, "P180")["used"], 1);
}

#[test]
fn it_says_what_orders_need_and_when_it_runs_out() {
    let shop = shop();
    assert_data_eq!(
        shop.run("stock").fits().ok(),
        str![[r#"
On hand, today 08:45

of          what             on hand      open orders need  runs out
pinch bowl  blanks           12           24                today 14:41, turn of salt-3
P180        strips           10           6
P240        strips           10           6
P320        strips           not counted  3
P400        strips           not counted  3
cloths      cloths           3            18                today 15:55, coat house oil of salt-2
gloves      pairs of gloves  not counted  18

Get 12 blanks of pinch bowl, 15 cloths

"#]]
    );
    let stock = shop.json("stock");
    let (bowls, plan) = (line(&stock, "pinch bowl"), shop.json("plan"));
    // All that the plan still starts is turned from blanks, one a piece.
    let turned: u64 = plan["steps"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|step| step["step"] == 1 && step["lot"] != "salt-1")
        .map(|step| step["pieces"].as_u64().unwrap())
        .sum();
    assert!(turned >= 18, "{plan}");
    assert_eq!(bowls["needed"], turned);
    assert_eq!(bowls["short_by"], turned - 12);
    let out = &bowls["runs_out"];
    let found =
        plan["steps"].as_array().unwrap().iter().any(|step| {
            step["step"] == 1 && step["lot"] == out["lot"] && step["start"] == out["at"]
        });
    assert!(found, "{out}");
    assert_eq!(line(&stock, "P400")["on_hand"], Value::Null, "nobody counted it");
}

#[test]
fn blanks_are_as_damp_as_was_measured_beside_what_the_room_makes_of_wood() {
    let mut shop = TestShop::open();
    shop.at("2026-03-02 09:00").run("stock moisture 'pinch bowl' 12.5 --room 'oil room'").ok();
    let damp = |shop: &TestShop| line(&shop.json("stock"), "pinch bowl")["moisture"].clone();
    assert_eq!(damp(&shop)["room_percent"], Value::Null);
    shop.at("2026-03-02 10:00").run("climate add 'oil room' --temp 21.1 --humidity 55").ok();
    let found = damp(&shop);
    assert_eq!(
        (&found["percent"], &found["at"]),
        (&json!(12.5), &json!("2026-03-02T09:00:00+00:00"))
    );
    // Wood Handbook (FPL-GTR-282) table 4-2: 10.1 % at 70 °F and 55 %.
    assert!((found["room_percent"].as_f64().unwrap() - 10.1).abs() < 0.05, "{found}");
    let said = shop.run("stock").fits().ok();
    assert!(
        said.contains("12.5 % moisture in oil room") && said.contains("settles at 10.1 %"),
        "{said}"
    );
    shop.run("stock moisture 'pinch bowl' 55 --room 'oil room'").fails(2);
    shop.run("stock moisture 'pinch bowl' 10 --room cellar").refused("unknown-name");
    shop.run("stock moisture P180 10 --room 'oil room'").refused("unknown-name");
}

#[test]
fn what_nobody_keeps_is_refused() {
    let shop = TestShop::open();
    assert_data_eq!(
        shop.run("stock").ok(),
        str![[r#"
Nothing is counted yet, and no open order needs anything.
Count what is there: tackfree stock count P180 40

"#]]
    );
    shop.run("stock count 'pinch bowls' 3").refused("unknown-name");
    shop.run("stock count P181 3").refused("unknown-name");
    shop.run("stock count gloves many").fails(2);
    shop.run("stock count gloves -1").fails(2);
}
