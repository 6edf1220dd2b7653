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
