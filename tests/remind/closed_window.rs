//! At a coat's beginning: nobody will be there when the next one may go on.

use super::shop::at;

#[test]
fn a_coat_whose_successors_window_lies_in_closed_hours_is_warned_of_before_the_oil_is_on() {
    // Nine pieces of 20 s and 18 s take their soak: begun on Friday at 15:00 they are done by 15:14, and the next coat may
    // go on from four hours later to Saturday at the same time; the shop opens on Monday.
    for (begun, warned) in [
        ("2026-03-27T15:00:00Z", true),
        // On Thursday at noon the window ends on Friday at noon, and the shop opens at 08:30.
        ("2026-03-26T12:00:00Z", false),
        // On Friday at 08:30 it opens while the shop is open.
        ("2026-03-27T08:30:00Z", false),
    ] {
        let shop = at(begun);
        shop.run("batch open wax --recipe waxed --pieces 9").ok();
        shop.run("lot start wax --pieces 9 --rack drip-1").ok();
        let begin = shop.json("begin wax-1");
        let notes = begin["notes"].as_array().unwrap();
        assert_eq!(!notes.is_empty(), warned, "{begun}: {notes:?}");
        if warned {
            let said = notes[0].as_str().unwrap();
            assert!(
                said.starts_with(
                    "! wax-1: the shop isn't open between today 19:14 and tomorrow 15:14, the window for coat 2 of 2, \
                     oil & wax <fine>."
                ),
                "{said}"
            );
            shop.run("undo --why later").ok();
        }
    }
}

#[test]
fn the_last_coat_and_one_whose_window_has_no_end_are_not() {
    let mut shop = at("2026-03-27T15:00:00Z");
    shop.run("can open 'house oil' --name K7").ok();
    shop.run("batch open wax --recipe waxed --pieces 9").ok();
    shop.run("batch open salt --recipe 'two coats' --pieces 9").ok();
    shop.run("lot start wax --pieces 9 --rack drip-1 --from 2").ok();
    shop.run("lot start salt --pieces 9 --rack drip-1").ok();
    shop.at("2026-04-03T15:00:00Z");
    for line in ["begin wax-1 --anyway 'the one before is old'", "begin salt-1"] {
        assert_eq!(shop.json(line)["notes"].as_array().unwrap().len(), 0, "{line}");
    }
}

#[test]
fn what_opens_with_time_enough_before_the_shop_closes_is_not_said_to_lie_in_closed_hours() {
    // It opens four hours after the coat until Saturday, takes six minutes, and the shop closes on Friday at 17:30.
    for (begun, done, unseen) in [
        ("2026-03-27T12:56:00Z", "2026-03-27T13:10:00Z", false),
        ("2026-03-27T13:14:00Z", "2026-03-27T13:28:00Z", true),
    ] {
        let mut shop = at(begun);
        shop.run("can open 'oil & wax <fine>' --name W1").ok();
        shop.run("batch open wax --recipe waxed --pieces 9").ok();
        shop.run("lot start wax --pieces 9 --rack drip-1").ok();
        shop.run("begin wax-1").ok();
        shop.at(done).run("done wax-1").ok();
        shop.at("2026-03-27T17:05:00Z");
        assert_eq!(shop.json("due")["items"][0]["closing"], unseen, "{done}");
    }
}

#[test]
fn what_has_not_opened_rests_though_its_window_closes_unseen() {
    let mut shop = at("2026-03-27T17:10:00Z");
    shop.run("can open 'oil & wax <fine>' --name W1").ok();
    shop.run("batch open wax --recipe waxed --pieces 9").ok();
    shop.run("lot start wax --pieces 9 --rack drip-1").ok();
    shop.run("begin wax-1").ok();
    shop.at("2026-03-27T17:24:00Z").run("done wax-1").ok();
    assert_eq!(shop.json("due")["items"][0]["closing"], true);
    for list in ["lot list", "racks"] {
        let said = shop.run(list).ok();
        assert!(said.contains("resting") && !said.contains("ready"), "{said}");
    }
}
