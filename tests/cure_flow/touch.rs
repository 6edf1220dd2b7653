//! Touch tests: one that grabs holds its lot, and those past the sheet's time lengthen the cure of the finish.

use crate::cure_flow::shops::{coated, near};

#[test]
fn tests_that_fail_past_the_sheet_lengthen_the_cure_of_every_lot() {
    let mut shop = coated("one oil");
    shop.run("lot start salt --pieces 12 --rack beam").ok();
    shop.at("2026-03-04T10:00:00Z").run("done salt-2").ok();
    // Before the sheet's time a surface that grabs says nothing against the sheet.
    shop.at("2026-03-16T10:00:00Z").run("touch salt-1 tacky").ok();
    let early = shop.json("cure salt-2");
    near(&early["needs_hours"], 504.0);
    assert_eq!((&early["factor"]["tests"], &early["factor"]["times"]), (&1.into(), &1.0.into()));
    // A day past its 21 days it still grabs.
    shop.at("2026-03-24T10:00:00Z").run("touch salt-1 tacky").ok();
    let cure = shop.json("cure salt-1");
    assert_eq!((&cure["cured"], &cure["held_by_touch"]), (&false.into(), &true.into()));
    shop.run("done salt-1").refused("still-grabs");
    let other = shop.json("cure salt-2");
    near(&other["needs_hours"], 528.0);
    assert_eq!(
        (&other["factor"]["failed_past_sheet"], &other["factor"]["open"]),
        (&1.into(), &true.into())
    );
    assert_eq!(other["ready_at"], "2026-03-26T10:00:00+00:00");
    // Two days later it has passed: that age is what the finish takes here.
    shop.at("2026-03-26T10:00:00Z").run("touch salt-1 tack-free").ok();
    let other = shop.json("cure salt-2");
    near(&other["needs_hours"], 576.0);
    near(&other["factor"]["times"], 24.0 / 21.0);
    assert_eq!((&other["factor"]["tests"], &other["factor"]["open"]), (&3.into(), &false.into()));
    shop.run("done salt-2").refused("too-early");
    let said = shop.columns(60).run("cure salt-2 --why").fits().ok();
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        said.contains("ask for 1.14 times the sheet's time (3 touch tests, 1 failure past it)"),
        "{said}"
    );
    // The 24th day of the second lot is 28 March, and the clocks do not change before it.
    shop.at("2026-03-28T09:59:00Z").run("done salt-2").refused("too-early");
    shop.at("2026-03-28T10:00:00Z").run("done salt-2").ok();
}

#[test]
fn pieces_found_hard_past_the_sheet_stay_cured_when_others_fail() {
    let mut shop = coated("one oil");
    shop.run("lot start salt --pieces 12 --rack beam").ok();
    shop.at("2026-03-02T11:00:00Z").run("done salt-2").ok();
    shop.at("2026-03-24T10:00:00Z").run("touch salt-1 dry-hard").ok();
    shop.run("touch salt-2 tacky").ok();
    // The 22nd day of salt-2 is what the finish takes at least; salt-1 was looked at itself.
    assert_eq!(shop.json("cure salt-1")["cured"], true);
    near(&shop.json("cure salt-1")["needs_hours"], 504.0);
    assert_eq!(shop.json("cure salt-2")["cured"], false);
    assert_eq!(shop.json("today")["checks"], serde_json::json!([]));
    shop.run("done salt-1").ok();
    // The slip says when the sheet's time was over, not the shop's.
    let shipment = shop.json("ship salt-1 --to mill")["shipment"].clone();
    let slip = shop.run(&format!("ship show {shipment}")).ok();
    assert!(
        slip.contains("the sheet's cure time is reached: yesterday 10:00 (21 d after"),
        "{slip}"
    );
}

#[test]
fn a_test_in_a_room_that_nobody_reads_tells_of_its_lot_alone() {
    let mut shop = coated("one oil");
    shop.run("lot start salt --pieces 12 --rack beam").ok();
    shop.at("2026-03-04T10:00:00Z").run("done salt-2").ok();
    shop.run("climate add attic --temp 23 --humidity 50").ok();
    // A day past its 21 days in the oil room, which may have been cold: nobody knows.
    shop.at("2026-03-24T10:00:00Z").run("touch salt-1 tacky").ok();
    shop.run("done salt-1").refused("still-grabs");
    let cure = shop.json("cure salt-1");
    assert_eq!((&cure["factor"]["tests"], &cure["factor"]["times"]), (&0.into(), &1.0.into()));
    // In the attic, which is read, it does.
    shop.at("2026-03-24T10:30:00Z").run("touch salt-2 tacky").ok();
    assert_eq!(shop.json("cure salt-2")["factor"]["tests"], 1);
}

#[test]
fn several_lots_are_shown_one_below_the_other() {
    let shop = coated("one oil");
    shop.run("lot start salt --pieces 12 --rack beam").ok();
    let both = shop.json("cure salt-1 salt-2");
    let lots = both["lots"].as_array().unwrap();
    assert_eq!((&lots[0]["lot"], &lots[1]["phase"]), (&"salt-1".into(), &"uncoated".into()));
    let on_rack = shop.json("cure --rack shelf");
    assert_eq!(
        (&on_rack["lots"][0]["lot"], &on_rack["now"]),
        (&"salt-1".into(), &"2026-03-02T10:00:00+00:00".into())
    );
    let said = shop.run("cure salt-1 salt-2 --why").ok();
    assert_eq!(said.matches("are not in the rate").count(), 1, "{said}");
}
