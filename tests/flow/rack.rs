//! The same work from a rack: one command for all that stands on it; and for several lots all or none.

use serde_json::{Value, json};

use super::order::parcel;
use super::script::Script;
use crate::harness::TestShop;

/// A shop with two lots of batch rest on drip-1, and one of them coated an hour before the other.
fn two_on_a_rack() -> Script {
    let mut script = Script::new(TestShop::open());
    script.does("2026-03-02 08:30", "can open 'hard wax' --name W1");
    script.does("2026-03-02 08:30", "batch open rest --recipe 'one coat' --pieces 30");
    script.does("2026-03-02 08:40", "lot start rest --pieces 20 --rack drip-1");
    script.does("2026-03-02 08:40", "lot start rest --pieces 10 --rack drip-1");
    script
}

fn entries(script: &Script) -> usize {
    script.shop.json("ledger list")["entries"].as_array().unwrap().len()
}

fn recorded(receipt: &Value) -> Vec<(&str, &str)> {
    let lines = receipt["recorded"].as_array().unwrap();
    lines
        .iter()
        .map(|line| (line["what"].as_str().unwrap(), line["fact"]["lot"].as_str().unwrap()))
        .collect()
}

#[test]
fn an_order_goes_through_from_its_racks() {
    let mut script = two_on_a_rack();
    let both = |what| vec![(what, "rest-1"), (what, "rest-2")];
    let receipt = script.does("2026-03-02 09:00", "begin --rack drip-1");
    assert_eq!(recorded(&receipt), both("begin"));
    let receipt = script.does("2026-03-02 09:20", "done --rack drip-1 --minutes 15");
    assert_eq!(recorded(&receipt), both("done"));
    // Twenty pieces of thirty took ten minutes of the fifteen.
    let minutes = |n: usize| &receipt["recorded"][n]["fact"]["minutes"];
    assert_eq!((minutes(0), minutes(1)), (&json!(10), &json!(5)));
    script.does("2026-03-02 09:30", "lot hold --rack drip-1 --why 'wrong wax'");
    script.refuses("2026-03-02 09:40", "done --rack drip-1", "held");
    script.does("2026-03-02 09:50", "lot release --rack drip-1");
    let receipt = script.does("2026-03-02 10:00", "done --rack drip-1 --can W1");
    assert_eq!(recorded(&receipt), both("done"));
    script.refuses("2026-03-02 11:00", "lot move --from drip-1 --rack loft", "too-early");
    script.does("2026-03-02 22:00", "touch --rack drip-1 tack-free");
    script.refuses("2026-03-02 22:00", "lot move --from drip-1 --rack shelf", "too-few-slots");
    script.does("2026-03-02 22:00", "lot move --from drip-1 --rack loft");
    script.refuses("2026-03-02 22:10", "touch --rack drip-1 tacky", "rack-empty");
    script.refuses("2026-03-15 09:00", "ship --rack loft --to 'a shop in town'", "uncured");
    script.does("2026-03-16 10:00", "done --rack loft");
    let shipment = script.does("2026-03-16 10:30", "ship --rack loft --to 'a shop in town'");
    assert_eq!(parcel(&shipment), [("rest-1", 20), ("rest-2", 10)]);
    script.refuses("2026-03-16 10:30", "ship --rack loft --to 'a shop in town'", "rack-empty");
    script.refuses("2026-03-16 10:30", "done --rack lofd", "unknown-name");
    let racks = script.shop.json("racks");
    for rack in racks["racks"].as_array().unwrap() {
        assert_eq!(rack["taken"], 0, "{rack}");
    }
    assert_eq!(script.shop.json("ledger check")["whole"], true);
}

#[test]
fn several_lots_are_all_recorded_or_none() {
    let mut script = two_on_a_rack();
    script.does("2026-03-02 09:00", "done rest-1");
    script.does("2026-03-02 10:00", "done rest-1");
    script.does("2026-03-02 10:00", "done rest-2");
    let before = entries(&script);
    // rest-1 has its coat and rests; rest-2 could be coated: in either order, by name or by rack, neither is.
    for line in
        ["done rest-2 rest-1", "done rest-1 rest-2", "done --rack drip-1", "begin rest-2 rest-1"]
    {
        script.refuses("2026-03-02 11:00", line, "too-early");
    }
    for line in [
        "done rest-2 rest-9",
        "lot hold rest-2 rest-9 --why so",
        "lot move rest-2 rest-9 --rack shelf",
    ] {
        script.refuses("2026-03-02 11:00", line, "unknown-name");
    }
    script.shop.run("done rest-2 rest-2").fails(2);
    assert_eq!(entries(&script), before);
    // Room for the one, not for both.
    script.does("2026-03-02 11:00", "lot start rest --pieces 4 --rack shelf");
    script.does("2026-03-02 11:00", "lot start rest --pieces 8");
    script.refuses("2026-03-02 11:10", "lot move rest-4 rest-2 --rack shelf", "too-few-slots");
    assert_eq!(entries(&script), before + 2);
    // A reason overrules a rule for all of them or for none.
    script.refuses(
        "2026-03-02 11:10",
        "done rest-2 rest-4 --rack shelf --anyway so",
        "too-few-slots",
    );
    assert_eq!(entries(&script), before + 2);
}
