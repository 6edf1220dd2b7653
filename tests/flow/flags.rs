//! What was recorded against the rules is flagged wherever the lot is shown, for good.

use crate::harness::TestShop;

/// A lot whose coat went on two hours after sanding with water, which asks for four.
fn flagged() -> TestShop {
    let mut shop = TestShop::open();
    for (at, line) in [
        ("2026-03-02 08:30", "can open 'house oil' --name K7"),
        ("2026-03-02 08:30", "batch open salt --recipe 'three coats' --pieces 20"),
        ("2026-03-02 08:30", "lot start salt --pieces 20 --from 5"),
        ("2026-03-02 09:00", "done salt-1"),
        ("2026-03-02 11:00", "done salt-1 --rack drip-1 --anyway 'dry to the meter'"),
    ] {
        shop.at(at).run(line).ok();
    }
    shop
}

#[test]
fn the_receipt_says_what_was_overruled() {
    let mut shop = flagged();
    shop.run("undo").ok();
    let receipt = shop
        .at("2026-03-02 11:30")
        .run("done salt-1 --rack drip-1 --anyway 'dry to the meter'")
        .ok();
    assert!(
        receipt.contains("! recorded against the rules, flagged for good: dry to the meter"),
        "{receipt}"
    );
    let ledger = shop.json("ledger list");
    let last = ledger["entries"].as_array().unwrap().last().unwrap();
    assert_eq!(last["anyway"], "dry to the meter");
}

#[test]
fn the_flag_shows_wherever_the_lot_does() {
    let shop = flagged();
    for line in ["due", "racks", "lot list", "batch show salt", "lot show salt-1"] {
        let shown = shop.run(line).ok();
        let of_lot =
            shown.lines().filter(|line| line.contains("salt-1") || line.starts_with("  !"));
        assert!(of_lot.clone().any(|line| line.contains('!')), "no flag in {line}:\n{shown}");
    }
    let flag = serde_json::json!([{
        "entry": 6, "step": 6, "overruled": ["too-early"], "reason": "dry to the meter"
    }]);
    assert_eq!(shop.json("lot show salt-1")["flags"], flag);
    assert_eq!(shop.json("lot list")["lots"][0]["flags"], flag);
    assert_eq!(shop.json("batch show salt")["lots"][0]["flags"], flag);
    assert_eq!(shop.json("racks")["racks"][0]["lots"][0]["flags"], flag);
    assert_eq!(shop.json("due")["items"][0]["flagged"], true);
}

#[test]
fn the_flag_goes_with_pieces_that_are_split_off_and_into_the_parcel() {
    let mut shop = flagged();
    for (at, line) in [
        ("2026-03-03 11:00", "done salt-1"),
        ("2026-03-03 11:10", "done salt-1"),
        ("2026-03-04 12:00", "lot split salt-1 --pieces 5"),
        ("2026-03-04 12:00", "done salt-1 salt-2"),
        ("2026-03-25 12:00", "done salt-1 salt-2"),
        ("2026-03-25 13:00", "done salt-1 salt-2"),
    ] {
        shop.at(at).run(line).ok();
    }
    assert_eq!(shop.json("lot show salt-2")["flags"], shop.json("lot show salt-1")["flags"]);
    let shipment = shop.run("ship salt-1 salt-2 --to 'a shop in town'").ok();
    assert_eq!(shipment.matches("dry to the meter").count(), 2, "{shipment}");
    assert!(shop.run("lot show salt-2").ok().contains("dry to the meter"));
}

#[test]
fn a_reason_that_overrules_nothing_flags_nothing() {
    let mut shop = flagged();
    shop.at("2026-03-03 11:00").run("done salt-1 --anyway 'just to be sure'").ok();
    assert_eq!(shop.json("lot show salt-1")["flags"].as_array().unwrap().len(), 1);
}

#[test]
fn what_no_reason_can_overrule_stays_refused() {
    let mut shop = flagged();
    shop.at("2026-03-03 11:00").run("lot hold salt-1 --why so").ok();
    shop.run("done salt-1 --anyway so").refused("held");
    shop.run("lot release salt-1").ok();
    shop.run("lot move salt-1 --rack shelf --anyway so").refused("too-few-slots");
    shop.run("done salt-1 --at '2026-03-02 10:00' --anyway so").refused("before-last-entry");
    shop.run("done salt-1 --at '2026-03-04 10:00' --anyway so").refused("future-time");
    // Shipping knows no --anyway at all.
    let usage = shop.run("ship salt-1 --to nobody --anyway so").fails(2);
    assert!(usage.contains("--anyway"), "{usage}");
}
