//! What the program reads of the ledger is enough: for looking back, for taking back, and where something is over.

use crate::harness::{SORREL_LANE, TestShop};

/// A shop in which the one lot of batch "rest" was coated, cured, inspected and shipped, and the batch closed. Its can is
/// still open.
fn shipped() -> TestShop {
    let mut shop = TestShop::open();
    for (at, line) in [
        ("2026-03-02 09:00", "can open 'hard wax' --name W1"),
        ("2026-03-02 09:00", "batch open rest --recipe 'one coat' --pieces 12"),
        ("2026-03-02 09:00", "lot start rest --pieces 12"),
        ("2026-03-02 10:00", "done rest-1"),
        ("2026-03-02 11:00", "done rest-1 --rack drip-1"),
        ("2026-03-02 12:00", "rags done --how 'spread flat outdoors'"),
        ("2026-03-16 11:00", "done rest-1"),
        ("2026-03-16 12:00", "ship rest-1 --to 'a shop in town'"),
        ("2026-03-16 12:00", "batch close rest"),
    ] {
        shop.at(at).run(line).ok();
    }
    shop
}

#[test]
fn the_shop_is_shown_as_it_looked_though_the_batch_is_closed_by_now() {
    let mut shop = shipped();
    shop.at("2026-03-20 09:00");
    assert_eq!(shop.json("due")["items"], serde_json::json!([]));
    // At a moment after the last entry about anything still open.
    let then = shop.json("due --now '2026-03-10 09:00'");
    assert_eq!(then["items"][0]["lot"], "rest-1", "{then}");
    assert_eq!(then["items"][0]["from"], "2026-03-16T11:00:00+00:00");
    let racks = shop.json("racks --now '2026-03-10 09:00'");
    assert_eq!(racks["racks"][0]["taken"], 12, "{racks}");
}

/// The check lets go of what is over as it goes through the entries, and not of what comes back later.
#[test]
fn pieces_that_come_back_long_after_their_batch_was_closed_are_whole_to_the_check() {
    let mut shop = shipped();
    shop.at("2026-03-20 09:00");
    for day in 1..12 {
        shop.run(&format!("note shop 'swept, day {day}'")).ok();
    }
    shop.run("ship return 9 rest-1 --pieces 1 --why sticky").ok();
    assert_eq!(shop.json("ledger check")["whole"], true);
}

#[test]
fn before_the_first_setup_the_shop_is_shown_by_that_setup() {
    let shop = TestShop::open();
    for line in [
        "can open 'house oil' --name K7 --at '2026-02-26 09:00'",
        "batch open salt --recipe 'three coats' --pieces 12 --at '2026-02-26 09:00'",
        "lot start salt --pieces 12 --from 6 --rack drip-1 --at '2026-02-26 09:00'",
        "done salt-1 --at '2026-02-26 13:00'",
    ] {
        shop.run(line).ok();
    }
    // The house oil is not rubbed for a day after its coat, and that its sheet was typed in later changes nothing.
    let then = shop.json("due --now '2026-02-26 15:00'");
    let item = &then["items"][0];
    assert_eq!((&item["lot"], &item["state"]), (&"salt-1".into(), &"next".into()), "{then}");
    assert_eq!(item["from"], "2026-02-27T13:00:00+00:00");
    assert_eq!(shop.json("racks --now '2026-02-26 15:00'")["racks"][0]["taken"], 12);
}

#[test]
fn the_first_setup_is_loaded_at_a_time_of_its_own_zone() {
    let shop = TestShop::bare();
    shop.write("shop.toml", &SORREL_LANE.replace("Europe/Dublin", "Asia/Tokyo"));
    shop.run("setup load shop.toml --at '2026-03-01 09:00'").ok();
    assert_eq!(shop.json("ledger list")["entries"][0]["at"], "2026-03-01T09:00:00+09:00");
    // From then on the shop has a zone, and a file of another one is loaded by the shop's wall.
    shop.write("shop.toml", SORREL_LANE);
    shop.run("setup load shop.toml --at '2026-03-02 09:00'").ok();
    assert_eq!(shop.json("ledger list")["entries"][1]["at"], "2026-03-02T00:00:00+00:00");
}

#[test]
fn rags_dealt_with_stay_so_when_their_batch_is_closed_and_their_can_is_not() {
    let mut shop = shipped();
    shop.at("2026-03-20 09:00");
    assert_eq!(shop.json("rags")["open"], serde_json::json!([]));
    assert_eq!(shop.json("due")["rags"], serde_json::json!([]));
    assert_eq!(shop.json("can list")["cans"][0]["coats"], 1);
    assert_eq!(shop.json("ledger check")["whole"], true);
}

#[test]
fn what_is_over_is_called_over_and_not_unknown() {
    let mut shop = shipped();
    shop.at("2026-03-20 09:00").run("can empty W1").ok();
    for line in [
        "done rest-1",
        "begin rest-1",
        "touch rest-1 tacky",
        "lot start rest --pieces 3",
        "lot split rest-1 --pieces 3",
        "lot reject rest-1 --pieces 3 --why cracked",
        "lot move rest-1 --off",
        "lot hold rest-1 --why scratches",
        "lot release rest-1",
        "ship rest-1 --to nobody",
        "batch close rest",
        "can empty W1",
    ] {
        shop.run(line).refused("over");
    }
    assert_eq!(shop.json("lot show rest-1")["state"], "finished");
}

#[test]
fn what_later_entries_stand_on_is_kept_though_the_setup_was_loaded_again() {
    let shop = TestShop::open();
    shop.run("batch open rest --recipe 'one coat' --pieces 12").ok();
    shop.run("lot start rest --pieces 12 --rack shelf").ok();
    shop.write("shop.toml", &SORREL_LANE.replace("slots = 24", "slots = 30"));
    shop.run("setup load shop.toml").ok();
    let refused = shop.run("undo 2").refused("stood-on");
    assert!(refused.contains("3 (lot start rest-1: 12 pieces, on shelf)"), "{refused}");
    // The newest entry that may be taken back is the setup's, and that one may not.
    shop.run("undo").refused("not-undoable");
    shop.run("undo 3").ok();
    shop.run("undo 2").ok();
    assert_eq!(shop.json("batch list")["batches"], serde_json::json!([]));
}

#[test]
fn what_a_closed_batch_stands_on_is_kept_too() {
    let mut shop = shipped();
    shop.at("2026-03-20 09:00");
    let refused = shop.run("undo 2 --why 'another can'").refused("stood-on");
    assert!(refused.contains("6 (done rest-1 coat hard wax"), "the coat came from it: {refused}");
    let refused = shop.run("undo 9").refused("stood-on");
    assert!(refused.contains("10 (batch close rest)"), "nothing was in hand after it: {refused}");
}

#[test]
fn what_one_command_line_recorded_is_taken_back_together_and_comes_back() {
    let mut shop = TestShop::open();
    shop.run("batch open salt --recipe 'three coats' --pieces 12").ok();
    shop.run("lot start salt --pieces 6").ok();
    shop.run("lot start salt --pieces 6").ok();
    shop.at("2026-03-02 10:00");
    let before = shop.json("due");
    shop.run("done salt-1 salt-2").ok();
    let after = shop.json("lot list");
    // The words stand before the number.
    let said = shop.run("undo 5").ok();
    assert!(said.contains("undo: done salt-1 turn, entry 5: recorded by mistake"), "{said}");
    assert!(said.contains("undo: done salt-2 turn, entry 6: recorded by mistake"), "{said}");
    assert_eq!(shop.json("due"), before);
    let refused = shop.run("undo 6").refused("undone-already");
    assert!(refused.contains("tackfree undo 7"), "{refused}");
    shop.run("undo 7").ok();
    assert_eq!(shop.json("lot list"), after);
    shop.run("climate add 'oil room' --temp 20 --humidity 50").ok();
    let read = shop.json("climate show");
    shop.run("undo").ok();
    assert_ne!(shop.json("climate show"), read);
    shop.run("undo 12").ok();
    assert_eq!(shop.json("climate show"), read);
    assert_eq!(shop.json("ledger check")["whole"], true);
}
