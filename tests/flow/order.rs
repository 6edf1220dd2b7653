//! Two lots of one batch, from an empty shop to the last parcel.

use serde_json::Value;
use snapbox::{assert_data_eq, str};
use tackfree::shop::refusal::Refusal;

use super::script::Script;
use crate::harness::{SORREL_LANE, TestShop};

fn turning_and_sanding(script: &mut Script) {
    script.does("2026-03-02 08:35", "can open 'house oil' --name K7 --litres 1 --maker-lot 24-118");
    script.does("2026-03-02 08:35", "batch open salt --recipe 'three coats' --pieces 56 --due 2026-04-10 --for 'a shop in town'");
    script.refuses(
        "2026-03-02 08:40",
        "batch open salt --recipe 'three coats' --pieces 5",
        "name-taken",
    );
    script.does("2026-03-02 08:40", "lot start salt --pieces 36");
    script.does("2026-03-02 08:45", "lot start salt --pieces 24");
    script.refuses("2026-03-02 08:50", "ship salt-1 --to nobody", "uncured");
    script.does("2026-03-02 08:50", "begin salt-1");
    script.refuses("2026-03-02 08:55", "begin salt-1", "already-begun");
    script.does("2026-03-02 12:32", "done salt-1 --minutes 222");
    script.refuses("2026-03-02 12:00", "done salt-1", "before-last-entry");
    script.does("2026-03-02 15:30", "done salt-2");
    script.refuses("2026-03-03 09:00", "done salt-1 --step 4", "wrong-step");
    script.refuses("2026-03-03 09:00", "done salt-1 --can K7", "no-coat");
    script.refuses("2026-03-03 09:00", "touch salt-1 tacky", "nothing-to-touch");
    script.refuses("2026-03-03 09:00", "done slat-1", "unknown-name");
    script.does("2026-03-03 09:30", "done salt-1 salt-2");
    script.does("2026-03-03 10:15", "done salt-1 salt-2");
    script.does("2026-03-03 11:00", "done salt-2 salt-1");
    script.does("2026-03-03 11:20", "done salt-1 salt-2");
}

fn first_coat(script: &mut Script) {
    script.refuses("2026-03-03 14:00", "done salt-1 --rack drip-1", "too-early");
    script.refuses("2026-03-03 15:20", "done salt-1", "no-rack");
    script.refuses("2026-03-03 15:20", "done salt-1 --rack drip-2", "too-few-slots");
    script.refuses("2026-03-03 15:20", "done salt-2 --rack loft", "wrong-rack");
    script.refuses("2026-03-03 15:20", "begin salt-1 --rack drap-1", "unknown-name");
    script.refuses("2026-03-03 15:20", "done --rack drip-1", "rack-empty");
    script.does("2026-03-03 15:25", "begin salt-1 --rack drip-1");
    script.refuses("2026-03-03 15:30", "done salt-1 --can K7", "too-early");
    script.does("2026-03-03 15:40", "done salt-1 --can K7 --minutes 24");
    script.does("2026-03-03 16:10", "done salt-2 --rack drip-2");
    script.refuses("2026-03-03 16:30", "rags done --how 'in the bin'", "rags-can-burn");
    script.does("2026-03-03 16:30", "rags done --how 'soaked in water, lidded can, outdoors'");
    script.refuses("2026-03-03 16:30", "rags done --how 'once more'", "no-rags");
    script.refuses("2026-03-03 17:00", "done salt-1", "too-early");
}

fn second_coat(script: &mut Script) {
    script.does("2026-03-04 15:41", "touch salt-1 tacky");
    script.refuses("2026-03-04 15:45", "done salt-1", "still-grabs");
    script.does("2026-03-04 17:00", "touch salt-1 tack-free");
    script.does("2026-03-04 17:05", "done salt-1 salt-2");
    script.does("2026-03-04 17:10", "can open 'house oil' --name K8");
    script.refuses("2026-03-04 17:10", "done salt-1", "which-can");
    script.does("2026-03-04 17:10", "can empty K8");
    script.refuses("2026-03-04 17:10", "done salt-1 --can K8", "over");
    script.does("2026-03-04 17:10", "can open 'hard wax' --name W1");
    script.refuses("2026-03-04 17:10", "done salt-1 --can W1", "other-finish");
    script.refuses("2026-03-04 17:10", "done salt-1 --can K9", "unknown-name");
    script.does("2026-03-04 17:20", "done salt-1 --can K7");
    script.does("2026-03-04 17:25", "done salt-2 --can K7");
    let entries = script.shop.json("ledger list");
    let last = entries["entries"].as_array().unwrap().last().unwrap()["entry"].as_i64().unwrap();
    script.shop.run("undo --why 'it was not wiped yet'").ok();
    assert_eq!(
        script.due("2026-03-04 17:25"),
        "salt-2 8 coat house oil ready; salt-1 9 coat house oil next from 03-05T17:20; rags"
    );
    script.refuses_now(&format!("undo {last}"), "undone-already");
    script.refuses_now("undo 999", "no-entry");
    script.refuses_now("undo 1", "not-undoable");
    script.refuses_now("undo 3", "stood-on");
    script.does("2026-03-04 17:40", "done salt-2 --can K7");
    script.does("2026-03-04 17:45", "rags done --how 'spread flat outdoors, one layer'");
}

fn parted_and_last_coat(script: &mut Script) {
    script.refuses("2026-03-05 09:00", "lot split salt-1 --pieces 36", "split-all");
    script.refuses("2026-03-05 09:00", "lot split salt-1 --pieces 37", "too-few-pieces");
    script.refuses(
        "2026-03-05 09:00",
        "lot split salt-1 --pieces 13 --rack shelf",
        "too-few-slots",
    );
    script.does("2026-03-05 09:00", "lot split salt-1 --pieces 12 --rack shelf");
    script.does("2026-03-05 09:05", "lot reject salt-1 --pieces 1 --why cracked");
    script.does("2026-03-05 09:10", "lot hold salt-2 --why scratches");
    script.refuses("2026-03-06 09:00", "done salt-2", "held");
    script.does("2026-03-06 09:00", "done salt-1 salt-3 --can K7");
    script.does("2026-03-06 09:30", "rags done --how 'soaked in water, lidded can, outdoors'");
    script.refuses("2026-03-06 12:00", "lot move salt-1 --rack loft", "too-early");
    script.does("2026-03-07 09:30", "lot move salt-1 --rack loft");
    script.does("2026-03-12 08:50", "lot release salt-2");
    script.refuses("2026-03-12 08:50", "lot release salt-2", "not-held");
    script.refuses("2026-03-12 09:00", "done salt-2 --can K7", "window-shut");
    script.does("2026-03-12 09:00", "done salt-2 --can K7 --anyway 'abraded with P400'");
    script.does("2026-03-12 09:20", "rags done --how 'spread flat outdoors, one layer'");
    script.does("2026-03-13 09:30", "lot move salt-2 --rack loft");
}

/// The lots of a shipment with their pieces.
pub(super) fn parcel(shipment: &Value) -> Vec<(&str, u64)> {
    let lots = shipment["lots"].as_array().unwrap();
    lots.iter().map(|lot| (lot["lot"].as_str().unwrap(), lot["pieces"].as_u64().unwrap())).collect()
}

fn cured_and_shipped(script: &mut Script) {
    script.refuses("2026-03-20 09:00", "ship salt-1 --to 'a shop in town'", "uncured");
    script.refuses("2026-03-20 09:00", "done salt-1", "too-early");
    script.refuses("2026-03-27 09:00", "ship salt-1 --to 'a shop in town'", "uninspected");
    script.does("2026-03-27 09:10", "done salt-1 salt-3");
    script.refuses("2026-03-27 09:10", "ship salt-1 --to 'a shop in town'", "steps-left");
    script.does("2026-03-27 10:00", "done salt-1 salt-3");
    script.refuses("2026-03-27 10:00", "done salt-1", "no-step-left");
    let part = script.does("2026-03-27 11:00", "ship salt-1 --pieces 10 --to 'a shop in town'");
    assert_eq!(parcel(&part), [("salt-1", 10)]);
    script.refuses(
        "2026-03-27 11:30",
        "ship salt-1 --pieces 14 --to 'a shop in town'",
        "too-few-pieces",
    );
    let rest = script.does("2026-03-27 12:00", "ship salt-1 salt-3 --to 'a shop in town'");
    assert_eq!(parcel(&rest), [("salt-1", 13), ("salt-3", 12)]);
    script.refuses("2026-03-27 12:00", "ship salt-3 --to 'a shop in town'", "over");
    script.refuses("2026-03-27 12:00", "batch close salt", "lots-open");
    // Summer time began on the 29th: 21 days after nine o'clock are at ten.
    script.refuses("2026-04-02 09:59", "done salt-2", "too-early");
    script.does("2026-04-02 10:00", "done salt-2");
    script.does("2026-04-02 10:10", "done salt-2");
    script.does("2026-04-02 10:20", "ship salt-2 --to 'a shop in town'");
    script.refuses("2026-04-02 10:25", "batch change salt --pieces 10", "shipped-more");
    script.does("2026-04-02 10:30", "batch close salt");
    script.refuses("2026-04-02 10:30", "batch close salt", "over");
    script.refuses("2026-04-02 10:30", "lot start salt --pieces 3", "over");
    script.refuses("2026-04-02 10:30", "done salt-2", "over");
}

/// What the order did not meet: a shop without a setup, a setup that would take away what is in use, an old can.
fn other_refusals(script: &mut Script) {
    let bare = TestShop::bare();
    bare.run("batch open salt --recipe 'three coats' --pieces 5").refused("no-setup");
    bare.run("undo").refused("nothing-to-undo");
    script.seen.extend(["no-setup", "nothing-to-undo"].map(str::to_owned));
    script.does("2026-10-05 09:00", "batch open rest --recipe 'one coat' --pieces 12");
    script.does("2026-10-05 09:00", "lot start rest --pieces 12 --rack shelf --from 2");
    script.refuses("2026-10-05 09:10", "done rest-1", "can-past-its-time");
    changes_refused(script);
    script.does("2026-10-05 09:15", "climate add 'oil room' --temp 19 --humidity 55");
    script.refuses("2026-10-05 09:15", "climate add 'oil room' --temp 12", "read-already");
    script.does("2026-10-05 09:16", "climate add 'oil room' --temp 4");
    script.refuses("2026-10-05 09:16", "begin rest-1", "room-unfit");
    script.does("2026-10-05 09:17", "climate add 'oil room' --temp 19 --humidity 55");
    script.does("2026-10-05 09:20", "can empty W1");
    script.refuses("2026-10-05 09:30", "done rest-1", "no-can");
    let without = SORREL_LANE.replace("name = \"shelf\"", "name = \"ledge\"");
    script.shop.write("without.toml", &without);
    script.refuses("2026-10-05 09:30", "setup load without.toml", "in-use");
    let narrower = SORREL_LANE.replace("slots = 12", "slots = 11");
    script.shop.write("narrower.toml", &narrower);
    script.refuses("2026-10-05 09:30", "setup load narrower.toml", "rack-too-small");
    let ahead = script.refuses_now("done rest-1 --at '2026-10-05 12:00'", "future-time");
    assert!(ahead.contains("2 h"), "{ahead}");
}

/// Changes that a lot one coat short of its cure, and a shipment that went, don't allow.
fn changes_refused(script: &mut Script) {
    let at = "2026-10-05 09:12";
    script.refuses(at, "lot reject rest-1 --pieces 1 --step 4 --why cracked", "not-reached");
    script.refuses(at, "lot rework rest-1 --from-step 2 --why streaks", "not-behind");
    script.refuses(
        at,
        "lot start rest --pieces 1 --rack drip-1 --from 2 --did 2=08:40",
        "not-before",
    );
    script.refuses(at, "lot join rest-1 rest-1", "cannot-join");
    script.does(at, "batch open thyme --recipe 'three coats' --pieces 5");
    script.refuses(at, "lot give rest-1 --to thyme", "other-recipe");
    let last = script.shop.json("ship list")["shipments"][0]["shipment"].clone();
    script.refuses(at, &format!("ship return {last} salt-2 --pieces 999 --why sticky"), "not-sent");
    script.does(at, &format!("ship return {last} salt-2 --pieces 1 --why sticky"));
    script.refuses(at, &format!("ship cancel {last} --why lost"), "came-back");
}

#[test]
#[expect(clippy::too_many_lines, reason = "most of them are what is shown")]
fn an_order_goes_from_setup_to_shipment() {
    let mut script = Script::new(TestShop::open());
    turning_and_sanding(&mut script);
    first_coat(&mut script);
    second_coat(&mut script);
    parted_and_last_coat(&mut script);
    cured_and_shipped(&mut script);
    assert!(script.done >= 40, "{} commands", script.done);
    let salt = script.shop.json("batch show salt");
    let count = |name: &str| salt[name].as_u64().unwrap();
    assert_eq!(["started", "rejected", "shipped", "in_hand"].map(count), [60, 1, 59, 0]);
    other_refusals(&mut script);
    // What is typed is at least one piece: the rule stands for callers beside the command line.
    script.seen.insert("no-pieces".to_owned());
    let unmet = |rule: &&&str| !script.seen.contains(**rule);
    let never_met: Vec<_> = Refusal::RULES.iter().filter(unmet).collect();
    assert!(never_met.is_empty(), "no command was refused by {never_met:?}");
    let check = script.shop.json("ledger check");
    assert_eq!(check["whole"], true, "{check}");
    assert_data_eq!(
        script.told,
        str![[r#"
2026-03-02 08:35  can open 'house oil' --name K7 --litres 1 --maker-lot 24-118
  before: nothing
  after:  nothing
2026-03-02 08:35  batch open salt --recipe 'three coats' --pieces 56 --due 2026-04-10 --for 'a shop in town'
  before: nothing
  after:  nothing
2026-03-02 08:40  lot start salt --pieces 36
  before: nothing
  after:  salt-1 1 turn ready
2026-03-02 08:45  lot start salt --pieces 24
  before: salt-1 1 turn ready
  after:  salt-1 1 turn ready; salt-2 1 turn ready
2026-03-02 08:50  begin salt-1
  before: salt-1 1 turn ready; salt-2 1 turn ready
  after:  salt-1 1 turn ready; salt-2 1 turn ready
2026-03-02 12:32  done salt-1 --minutes 222
  before: salt-1 1 turn ready; salt-2 1 turn ready
  after:  salt-2 1 turn ready; salt-1 2 sand P180 ready
2026-03-02 15:30  done salt-2
  before: salt-2 1 turn ready; salt-1 2 sand P180 ready
  after:  salt-1 2 sand P180 ready; salt-2 2 sand P180 ready
2026-03-03 09:30  done salt-1 salt-2
  before: salt-1 2 sand P180 ready; salt-2 2 sand P180 ready
  after:  salt-1 3 sand P240 ready; salt-2 3 sand P240 ready
2026-03-03 10:15  done salt-1 salt-2
  before: salt-1 3 sand P240 ready; salt-2 3 sand P240 ready
  after:  salt-1 4 sand P320 ready; salt-2 4 sand P320 ready
2026-03-03 11:00  done salt-2 salt-1
  before: salt-1 4 sand P320 ready; salt-2 4 sand P320 ready
  after:  salt-1 5 raise with water ready; salt-2 5 raise with water ready
2026-03-03 11:20  done salt-1 salt-2
  before: salt-1 5 raise with water ready; salt-2 5 raise with water ready
  after:  salt-1 6 coat house oil next from 03-03T15:20; salt-2 6 coat house oil next from 03-03T15:20
2026-03-03 15:25  begin salt-1 --rack drip-1
  before: salt-1 6 coat house oil ready; salt-2 6 coat house oil ready
  after:  salt-2 6 coat house oil ready; salt-1 6 wipe house oil next from 03-03T15:38
2026-03-03 15:40  done salt-1 --can K7 --minutes 24
  before: salt-1 6 wipe house oil ready; salt-2 6 coat house oil ready
  after:  salt-2 6 coat house oil ready; salt-1 7 rub P400 next from 03-04T15:40; rags
2026-03-03 16:10  done salt-2 --rack drip-2
  before: salt-2 6 coat house oil ready; salt-1 7 rub P400 next from 03-04T15:40; rags
  after:  salt-1 7 rub P400 next from 03-04T15:40; salt-2 7 rub P400 next from 03-04T16:10; rags
2026-03-03 16:30  rags done --how 'soaked in water, lidded can, outdoors'
  before: salt-1 7 rub P400 next from 03-04T15:40; salt-2 7 rub P400 next from 03-04T16:10; rags
  after:  salt-1 7 rub P400 next from 03-04T15:40; salt-2 7 rub P400 next from 03-04T16:10
2026-03-04 15:41  touch salt-1 tacky
  before: salt-1 7 rub P400 ready; salt-2 7 rub P400 next from 03-04T16:10
  after:  salt-1 7 rub P400 next from 03-04T15:40; salt-2 7 rub P400 next from 03-04T16:10
2026-03-04 17:00  touch salt-1 tack-free
  before: salt-2 7 rub P400 ready; salt-1 7 rub P400 next from 03-04T15:40
  after:  salt-1 7 rub P400 ready; salt-2 7 rub P400 ready
2026-03-04 17:05  done salt-1 salt-2
  before: salt-1 7 rub P400 ready; salt-2 7 rub P400 ready
  after:  salt-1 8 coat house oil ready; salt-2 8 coat house oil ready
2026-03-04 17:10  can open 'house oil' --name K8
  before: salt-1 8 coat house oil ready; salt-2 8 coat house oil ready
  after:  salt-1 8 coat house oil ready; salt-2 8 coat house oil ready
2026-03-04 17:10  can empty K8
  before: salt-1 8 coat house oil ready; salt-2 8 coat house oil ready
  after:  salt-1 8 coat house oil ready; salt-2 8 coat house oil ready
2026-03-04 17:10  can open 'hard wax' --name W1
  before: salt-1 8 coat house oil ready; salt-2 8 coat house oil ready
  after:  salt-1 8 coat house oil ready; salt-2 8 coat house oil ready
2026-03-04 17:20  done salt-1 --can K7
  before: salt-1 8 coat house oil ready; salt-2 8 coat house oil ready
  after:  salt-2 8 coat house oil ready; salt-1 9 coat house oil next from 03-05T17:20; rags
2026-03-04 17:25  done salt-2 --can K7
  before: salt-2 8 coat house oil ready; salt-1 9 coat house oil next from 03-05T17:20; rags
  after:  salt-1 9 coat house oil next from 03-05T17:20; salt-2 9 coat house oil next from 03-05T17:25; rags
2026-03-04 17:40  done salt-2 --can K7
  before: salt-2 8 coat house oil ready; salt-1 9 coat house oil next from 03-05T17:20; rags
  after:  salt-1 9 coat house oil next from 03-05T17:20; salt-2 9 coat house oil next from 03-05T17:40; rags
2026-03-04 17:45  rags done --how 'spread flat outdoors, one layer'
  before: salt-1 9 coat house oil next from 03-05T17:20; salt-2 9 coat house oil next from 03-05T17:40; rags
  after:  salt-1 9 coat house oil next from 03-05T17:20; salt-2 9 coat house oil next from 03-05T17:40
2026-03-05 09:00  lot split salt-1 --pieces 12 --rack shelf
  before: salt-1 9 coat house oil next from 03-05T17:20; salt-2 9 coat house oil next from 03-05T17:40
  after:  salt-1 9 coat house oil next from 03-05T17:20; salt-3 9 coat house oil next from 03-05T17:20; salt-2 9 coat house oil next from 03-05T17:40
2026-03-05 09:05  lot reject salt-1 --pieces 1 --why cracked
  before: salt-1 9 coat house oil next from 03-05T17:20; salt-3 9 coat house oil next from 03-05T17:20; salt-2 9 coat house oil next from 03-05T17:40
  after:  salt-1 9 coat house oil next from 03-05T17:20; salt-3 9 coat house oil next from 03-05T17:20; salt-2 9 coat house oil next from 03-05T17:40
2026-03-05 09:10  lot hold salt-2 --why scratches
  before: salt-1 9 coat house oil next from 03-05T17:20; salt-3 9 coat house oil next from 03-05T17:20; salt-2 9 coat house oil next from 03-05T17:40
  after:  salt-1 9 coat house oil next from 03-05T17:20; salt-3 9 coat house oil next from 03-05T17:20; salt-2 held
2026-03-06 09:00  done salt-1 salt-3 --can K7
  before: salt-1 9 coat house oil ready; salt-3 9 coat house oil ready; salt-2 held
  after:  salt-1 11 inspect next from 03-27T09:00; salt-3 11 inspect next from 03-27T09:00; salt-2 held; rags
2026-03-06 09:30  rags done --how 'soaked in water, lidded can, outdoors'
  before: salt-1 11 inspect next from 03-27T09:00; salt-3 11 inspect next from 03-27T09:00; salt-2 held; rags
  after:  salt-1 11 inspect next from 03-27T09:00; salt-3 11 inspect next from 03-27T09:00; salt-2 held
2026-03-07 09:30  lot move salt-1 --rack loft
  before: salt-1 11 inspect next from 03-27T09:00; salt-3 11 inspect next from 03-27T09:00; salt-2 held
  after:  salt-1 11 inspect next from 03-27T09:00; salt-3 11 inspect next from 03-27T09:00; salt-2 held
2026-03-12 08:50  lot release salt-2
  before: salt-1 11 inspect next from 03-27T09:00; salt-3 11 inspect next from 03-27T09:00; salt-2 held
  after:  salt-2 9 coat house oil overdue; salt-1 11 inspect next from 03-27T09:00; salt-3 11 inspect next from 03-27T09:00
2026-03-12 09:00  done salt-2 --can K7 --anyway 'abraded with P400'
  before: salt-2 9 coat house oil overdue; salt-1 11 inspect next from 03-27T09:00; salt-3 11 inspect next from 03-27T09:00
  after:  salt-1 11 inspect next from 03-27T09:00; salt-3 11 inspect next from 03-27T09:00; salt-2 11 inspect next from 04-02T10:00; rags
2026-03-12 09:20  rags done --how 'spread flat outdoors, one layer'
  before: salt-1 11 inspect next from 03-27T09:00; salt-3 11 inspect next from 03-27T09:00; salt-2 11 inspect next from 04-02T10:00; rags
  after:  salt-1 11 inspect next from 03-27T09:00; salt-3 11 inspect next from 03-27T09:00; salt-2 11 inspect next from 04-02T10:00
2026-03-13 09:30  lot move salt-2 --rack loft
  before: salt-1 11 inspect next from 03-27T09:00; salt-3 11 inspect next from 03-27T09:00; salt-2 11 inspect next from 04-02T10:00
  after:  salt-1 11 inspect next from 03-27T09:00; salt-3 11 inspect next from 03-27T09:00; salt-2 11 inspect next from 04-02T10:00
2026-03-27 09:10  done salt-1 salt-3
  before: salt-1 11 inspect ready; salt-3 11 inspect ready; salt-2 11 inspect next from 04-02T10:00
  after:  salt-1 12 pack ready; salt-3 12 pack ready; salt-2 11 inspect next from 04-02T10:00
2026-03-27 10:00  done salt-1 salt-3
  before: salt-1 12 pack ready; salt-3 12 pack ready; salt-2 11 inspect next from 04-02T10:00
  after:  salt-1 13 ship ready; salt-3 13 ship ready; salt-2 11 inspect next from 04-02T10:00
2026-03-27 11:00  ship salt-1 --pieces 10 --to 'a shop in town'
  before: salt-1 13 ship ready; salt-3 13 ship ready; salt-2 11 inspect next from 04-02T10:00
  after:  salt-1 13 ship ready; salt-3 13 ship ready; salt-2 11 inspect next from 04-02T10:00
2026-03-27 12:00  ship salt-1 salt-3 --to 'a shop in town'
  before: salt-1 13 ship ready; salt-3 13 ship ready; salt-2 11 inspect next from 04-02T10:00
  after:  salt-2 11 inspect next from 04-02T10:00
2026-04-02 10:00  done salt-2
  before: salt-2 11 inspect ready
  after:  salt-2 12 pack ready
2026-04-02 10:10  done salt-2
  before: salt-2 12 pack ready
  after:  salt-2 13 ship ready
2026-04-02 10:20  ship salt-2 --to 'a shop in town'
  before: salt-2 13 ship ready
  after:  nothing
2026-04-02 10:30  batch close salt
  before: nothing
  after:  nothing
2026-10-05 09:00  batch open rest --recipe 'one coat' --pieces 12
  before: nothing
  after:  nothing
2026-10-05 09:00  lot start rest --pieces 12 --rack shelf --from 2
  before: nothing
  after:  rest-1 2 coat hard wax ready
2026-10-05 09:12  batch open thyme --recipe 'three coats' --pieces 5
  before: rest-1 2 coat hard wax ready
  after:  rest-1 2 coat hard wax ready
2026-10-05 09:12  ship return 52 salt-2 --pieces 1 --why sticky
  before: rest-1 2 coat hard wax ready
  after:  rest-1 2 coat hard wax ready; salt-4 held
2026-10-05 09:15  climate add 'oil room' --temp 19 --humidity 55
  before: rest-1 2 coat hard wax ready; salt-4 held
  after:  rest-1 2 coat hard wax ready; salt-4 held
2026-10-05 09:16  climate add 'oil room' --temp 4
  before: rest-1 2 coat hard wax ready; salt-4 held
  after:  rest-1 2 coat hard wax next from 10-05T09:00; salt-4 held
2026-10-05 09:17  climate add 'oil room' --temp 19 --humidity 55
  before: rest-1 2 coat hard wax next from 10-05T09:00; salt-4 held
  after:  rest-1 2 coat hard wax ready; salt-4 held
2026-10-05 09:20  can empty W1
  before: rest-1 2 coat hard wax ready; salt-4 held
  after:  rest-1 2 coat hard wax ready; salt-4 held

"#]]
    );
}
