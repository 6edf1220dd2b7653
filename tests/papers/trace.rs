//! `trace`: both ways, and a recall.

use serde_json::{Value, json};
use snapbox::{assert_data_eq, str};

use super::shop;

fn lots(trace: &Value) -> Vec<&str> {
    trace["lots"].as_array().unwrap().iter().map(|lot| lot["lot"].as_str().unwrap()).collect()
}

#[test]
fn a_recalled_can_says_first_what_can_still_be_held() {
    let shop = shop();
    assert_data_eq!(
        shop.run("trace --can W1").fits().ok(),
        str![[r#"
Can W1: 27 pieces to hold back, 0 held, 15 shipped
Still here, not held
  rest-1  5 pieces on loft, to ship, for the café
    coat of hard wax, Mon 2 Mar 10:00: can W1, maker's lot 24-118, opened Mon 2 Mar 08:30
    in oil room from Mon 2 Mar 08:40 to now: 1 reading, 21.0 to 21.0 °C, up to 55 %
  rest-2  22 pieces on drip-1, ready, for the café
    coat of hard wax, Thu 12 Mar 09:40: can W1, maker's lot 24-118, opened Mon 2 Mar 08:30
    in oil room from Thu 12 Mar 09:00 to now: nobody read it
Shipped
  18  today 10:00 to the café: 15 of rest-1
Cans
  W1  hard wax, maker's lot 24-118, opened Mon 2 Mar 08:30, still in use; close it: tackfree can
    empty W1
Hold all of it: the same again with --hold

"#]]
    );
    let trace = shop.json("trace --can W1");
    assert_eq!(lots(&trace), ["rest-1", "rest-2"], "rest-3 came from another can");
    assert_eq!(
        (&trace["can"], &trace["can_be_held"], &trace["held"], &trace["away"]),
        (&json!("W1"), &json!(27), &json!(0), &json!(15))
    );
    assert_eq!(trace["shipments"][0]["lots"], json!([{"lot": "rest-1", "pieces": 15, "away": 15}]));
    assert_eq!(lots(&shop.json("trace --can W2")), ["rest-3"]);
}

#[test]
fn one_hold_holds_it_all_and_one_undo_lets_all_go_on() {
    let mut shop = shop();
    shop.at("2026-03-30 11:00");
    let trace = shop.json("trace --can W1 --hold --why 'recalled by its maker'");
    assert_eq!((&trace["can_be_held"], &trace["held"]), (&json!(0), &json!(27)));
    assert_eq!(trace["recorded"].as_array().unwrap().len(), 2);
    shop.run("ship rest-1 --to 'a shop in town'").refused("held");
    let again = shop.json("trace --can W1 --hold");
    assert_eq!((&again["held"], &again["recorded"]), (&json!(27), &json!([])));
    shop.run("undo").ok();
    assert_eq!(shop.json("trace --can W1")["can_be_held"], 27);
    assert_eq!(shop.json("ledger check")["whole"], true);
}

#[test]
fn a_shipment_a_customer_and_a_lot_lead_back_to_the_can() {
    let shop = shop();
    let shipment = shop.json("ship list")["shipments"][0]["shipment"].clone();
    for line in [format!("trace --shipment {shipment}"), "trace --to 'The Café'".to_owned()] {
        let trace = shop.json(&line);
        assert_eq!(lots(&trace), ["rest-1"], "{line}");
        assert_eq!(trace["cans"][0]["maker_lot"], "24-118");
        assert_eq!(trace["lots"][0]["rooms"][0]["readings"], 1);
        assert_eq!(trace["lots"][0]["rooms"][0]["dampest_percent"], 55.0);
    }
    let said = shop.run("trace rest-3").ok();
    assert!(
        said.starts_with("Lot rest-3: 10 pieces to hold back"),
        "a name stays as it is: {said}"
    );
    let trace = shop.json("trace rest-3 rest-2");
    assert_eq!(lots(&trace), ["rest-2", "rest-3"]);
    assert_eq!((&trace["asked"], &trace["away"]), (&json!(["rest-3", "rest-2"]), &json!(0)));
}

#[test]
fn what_came_back_or_never_went_is_not_counted_as_away() {
    let mut shop = shop();
    let number = shop.json("ship list")["shipments"][0]["shipment"].clone();
    shop.at("2026-04-08 09:00");
    shop.run(&format!("ship return {number} rest-1 --pieces 4 --why scratched")).ok();
    let trace = shop.json("trace --can W1");
    assert_eq!(
        (&trace["away"], &trace["held"]),
        (&json!(11), &json!(4)),
        "what comes back is held"
    );
    shop.run("undo").ok();
    shop.run(&format!("ship cancel {number} --why 'the van broke down'")).ok();
    assert_eq!(shop.json("trace --can W1")["away"], 0);
}

#[test]
fn names_nothing_has_are_refused_with_those_there_are() {
    let shop = shop();
    assert!(shop.run("trace --can W3").refused("unknown-name").contains("W1"));
    assert!(shop.run("trace --to nobody").refused("unknown-name").contains("the café"));
    shop.run("trace --shipment 3").refused("unknown-name");
    shop.run("trace rest-9").refused("unknown-name");
    shop.run("trace").fails(2);
    shop.run("trace --can W1 --now yesterday --hold").fails(2);
    shop.run("trace --can W1 --at yesterday").fails(2);
}
