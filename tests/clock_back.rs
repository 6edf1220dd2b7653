//! The computer's clock set back, or ahead for a while: nothing recorded is hidden, and the screen says how it stands.

use serde_json::json;
use snapbox::{assert_data_eq, str};

use crate::harness::TestShop;

/// A lot coated at three, its rags open, and the clock put back by 55 minutes since.
fn put_back() -> TestShop {
    let mut shop = TestShop::open();
    for line in [
        "can open 'house oil' --name W1",
        "batch open rest --recipe 'three coats' --pieces 12",
        "lot start rest --pieces 12 --from 6",
    ] {
        shop.run(line).ok();
    }
    shop.at("2026-03-03 15:12").run("done rest-1 --rack drip-1").ok();
    shop.at("2026-03-03 14:17");
    shop
}

#[test]
fn rags_racks_and_what_is_next_stand_as_recorded_though_the_clock_was_set_back() {
    let shop = put_back();
    assert_data_eq!(
        shop.run("rags").ok(),
        str![[r#"
! The computer's clock stands 55 m before entry 5, recorded today 15:12. Everything recorded is
  shown, but times are reckoned from that clock. If the clock is wrong, set it right; if the entry
  is wrong, take it back: tackfree undo 5

Put them under water in a lidded metal can before you leave the bench.

entry  lot     finish     open since        fire
5      rest-1  house oil  today 15:12, 0 h  can catch fire by itself

Once they are dealt with: tackfree rags done --how "…"
What to do and why: tackfree caution rags

"#]]
    );
    let racks = shop.json("racks");
    assert_eq!(racks["racks"][0]["taken"], 12, "{racks}");
    let due = shop.json("due");
    let (step, state) = (&due["items"][0]["step"], &due["items"][0]["state"]);
    assert_eq!((step, state), (&json!(7), &json!("next")), "not offered for coating again: {due}");
    assert_eq!(
        due["clock_behind"],
        json!({ "entry": 5, "recorded": "2026-03-03T15:12:00+00:00", "seconds": 3300 })
    );
    for line in ["today", "plan --effort 1", "cure rest-1", "kit", "batch list", "promise rest"] {
        let said = shop.run(line).stdout;
        assert!(said.starts_with("! The computer's clock stands 55 m before"), "{line}: {said}");
    }
}

#[test]
fn what_is_recorded_says_so_too_and_what_comes_after_an_entry_waits_for_the_clock() {
    let mut shop = put_back();
    let said = shop.run("lot start rest --pieces 3").ok();
    assert!(said.starts_with("! The computer's clock stands 55 m before entry 5"), "{said}");
    let refused = shop.run("rags done --how 'water, lidded can'").refused("before-last-entry");
    assert!(refused.contains("the computer's clock stands before that: set it right"), "{refused}");
    shop.at("2026-03-03 15:20").run("rags done --how 'water, lidded can'").ok();
    assert_eq!(shop.json("rags")["open"], json!([]));
}

#[test]
fn a_clock_a_year_back_still_shows_the_shop() {
    let mut shop = put_back();
    shop.at("2025-03-03 09:00");
    let due = shop.json("due");
    assert_eq!(due["items"][0]["lot"], "rest-1", "{due}");
    assert_eq!(due["rags"][0]["lot"], "rest-1", "{due}");
}

#[test]
fn a_second_back_counts_and_the_moment_itself_does_not() {
    let mut shop = put_back();
    shop.run("can empty W1 --at 2026-03-03T14:10:00Z").ok();
    shop.at("2026-03-03T15:11:59Z");
    assert_eq!(shop.json("due")["clock_behind"]["seconds"], 1);
    shop.at("2026-03-03T15:12:00Z");
    assert_eq!(shop.json("due")["clock_behind"], json!(null));
}

#[test]
fn an_earlier_moment_asked_for_is_still_shown_as_it_was() {
    let shop = put_back();
    let then = shop.json("racks --now '2026-03-03 14:17'");
    assert_eq!(then["racks"][0]["taken"], 0, "{then}");
}
