//! A handful of pieces made up for joins another lot at its step, where that costs no date.

use serde_json::json;

use crate::harness::TestShop;

/// A lot of 20 before its first coat, and two pieces made up for two that cracked.
fn made_up_for() -> TestShop {
    let shop = TestShop::open();
    shop.run("can open 'house oil' --name K7 --litres 1").ok();
    shop.run("batch open salt --recipe 'three coats' --pieces 22").ok();
    shop.run("lot start salt --pieces 20 --from 6").ok();
    shop.run("lot start salt --pieces 2 --from 5").ok();
    shop
}

#[test]
fn a_few_pieces_join_the_lot_they_have_caught_up_with() {
    let mut shop = made_up_for();
    assert_eq!(shop.json("today")["joins"], json!([]));
    shop.run("done salt-2").ok();
    shop.at("2026-03-03 10:00");
    let joins = &shop.json("today")["joins"];
    assert_eq!(*joins, json!([{"lot": "salt-2", "pieces": 2, "into": "salt-1"}]));
    let said = shop.columns(80).run("today").fits().ok();
    assert!(said.contains("then: tackfree lot join salt-1 salt-2\n"), "{said}");
    shop.run("lot join salt-1 salt-2").ok();
    assert_eq!(shop.json("today")["joins"], json!([]));
    assert_eq!(shop.json("lot show salt-1")["pieces"], 22);
}

#[test]
fn nothing_joins_that_would_need_a_larger_rack_or_has_no_coat_before_it() {
    let mut shop = TestShop::open();
    shop.run("can open 'house oil' --name K7 --litres 1").ok();
    shop.run("batch open salt --recipe 'three coats' --pieces 26").ok();
    // The second largest drying rack has 24 slots.
    shop.run("lot start salt --pieces 24 --from 6").ok();
    shop.run("lot start salt --pieces 2 --from 6").ok();
    shop.at("2026-03-03 10:00");
    assert_eq!(shop.json("today")["joins"], json!([]));
    shop.run("batch open pepper --recipe 'three coats' --pieces 22").ok();
    shop.run("lot start pepper --pieces 20 --from 12").ok();
    shop.run("lot start pepper --pieces 2 --from 12").ok();
    assert_eq!(shop.json("today")["joins"], json!([]));
}
