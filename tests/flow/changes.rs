//! What a real order goes through: it is changed and cancelled, part of a lot is done, pieces are worked again, given, joined,
//! returned. Counts add up at every moment, and the record shows every coat that was laid.

use serde_json::Value;

use crate::harness::TestShop;

/// Runs it, and holds the batch's counts against each other afterwards.
#[track_caller]
fn done(shop: &TestShop, batch: &str, line: &str) -> Value {
    let answer = shop.json(line);
    counts(shop, batch);
    answer
}

/// Pieces started are in hand, thrown out, or gone and not come back.
#[track_caller]
fn counts(shop: &TestShop, batch: &str) {
    let shown = shop.json(&format!("batch show {batch}"));
    let count = |name: &str| shown[name].as_i64().unwrap();
    let accounted = count("in_hand") + count("rejected") + count("shipped") - count("returned");
    assert_eq!(count("started"), accounted, "{shown:#}");
    let lots = shown["lots"].as_array().unwrap();
    let in_lots: i64 = lots.iter().map(|lot| lot["pieces"].as_i64().unwrap()).sum();
    assert_eq!(count("in_hand"), in_lots, "{shown:#}");
}

fn opened() -> TestShop {
    let shop = TestShop::open();
    shop.run("can open \"house oil\" --name K7 --litres 1 --maker-lot 24-118").ok();
    shop.run("can open \"house oil\" --name K8 --litres 1 --maker-lot 24-200").ok();
    shop
}

/// A lot of one coat's recipe, brought to before its inspection at the end of March.
fn coated(shop: &mut TestShop, batch: &str, pieces: u32) {
    shop.at("2026-03-02 08:30");
    shop.run("can open \"hard wax\" --name W1 --litres 1 --maker-lot w-9").ok();
    shop.run(&format!(
        "batch open {batch} --recipe \"one coat\" --pieces {pieces} --for \"the café\""
    ))
    .ok();
    shop.run(&format!("lot start {batch} --pieces {pieces}")).ok();
    shop.run(&format!("done {batch}-1")).ok();
    shop.at("2026-03-02 09:30");
    shop.run(&format!("done {batch}-1 --rack drip-1 --can W1")).ok();
    shop.at("2026-03-30 09:00");
}

#[test]
fn an_order_changed_reworked_rejected_joined_shipped_and_returned_adds_up() {
    let mut shop = opened();
    coated(&mut shop, "salt", 20);
    shop.json("batch change salt --due 2026-04-30 --pieces 18");
    done(&shop, "salt", "batch change salt --for \"the inn\"");
    // Part of a lot is inspected; the rest goes on by itself.
    let part = done(&shop, "salt", "done salt-1 --pieces 14 --minutes 5");
    assert_eq!(part["made"], serde_json::json!(["salt-2"]));
    done(&shop, "salt", "done salt-2");
    done(&shop, "salt", "lot join salt-1 salt-2");
    // Three are worked again from the sanding on, two turn out cracked at the first step.
    done(&shop, "salt", "lot rework salt-1 --pieces 3 --from-step 1 --why streaks");
    done(&shop, "salt", "lot reject salt-1 --pieces 2 --why cracked --step 1");
    let scrap = shop.json("spares salt");
    let stages = scrap["stages"].as_array().unwrap();
    let at = |step: u64| stages.iter().find(|stage| stage["step"] == step).unwrap();
    assert_eq!(at(1)["scrap"], 2, "{scrap:#}");
    assert_eq!(at(4)["scrap"], 0, "{scrap:#}");
    // Two shipments, one of which comes back in part and one of which never went.
    let first = done(&shop, "salt", "ship salt-1 --pieces 10 --to \"the inn\"");
    let second = done(&shop, "salt", "ship salt-1 --to \"the inn\"");
    let (first, second) = (&first["shipment"], &second["shipment"]);
    done(&shop, "salt", &format!("ship return {first} salt-1 --pieces 1 --why sticky"));
    done(&shop, "salt", &format!("ship cancel {second} --why \"the courier refused it\""));
    shop.run(&format!("ship cancel {first} --why wrong")).refused("came-back");
    shop.run(&format!("ship return {first} salt-1 --pieces 10 --why sticky")).refused("not-sent");
    shop.run(&format!("ship return {second} salt-1 --pieces 1 --why sticky")).refused("over");
    let listed = shop.json("ship list");
    assert_eq!(listed["shipments"][0]["cancelled"], "the courier refused it");
    assert_eq!(listed["shipments"][1]["returned"], 1);
    let batch = shop.json("batch show salt");
    assert_eq!(
        (
            &batch["started"],
            &batch["in_hand"],
            &batch["rejected"],
            &batch["shipped"],
            &batch["returned"]
        ),
        (&20.into(), &9.into(), &2.into(), &10.into(), &1.into())
    );
    // The reworked pieces get another coat; what is shipped of them shows both.
    done(&shop, "salt", "done salt-3");
    shop.at("2026-03-30 10:00");
    done(&shop, "salt", "done salt-3 --can W1 --rack drip-1");
    shop.at("2026-04-20 09:00");
    done(&shop, "salt", "done salt-3");
    let third = done(&shop, "salt", "ship salt-3 --to \"the inn\"");
    let coats = third["lots"][0]["coats"].as_array().unwrap().clone();
    let laid = |coat: &Value| (coat["at"].as_str().unwrap().to_owned(), coat["laid_on"].clone());
    // The pieces may be any of the two lots that were joined before: the record names both.
    let expected = [
        ("2026-03-02T09:30:00+00:00", Value::Null),
        ("2026-03-30T10:00:00+01:00", Value::Null),
        ("2026-03-02T09:30:00+00:00", "salt-2".into()),
    ];
    let expected: Vec<_> = expected.map(|(at, on)| (at.to_owned(), on)).to_vec();
    assert_eq!(coats.iter().map(laid).collect::<Vec<_>>(), expected);
    assert!(coats.iter().all(|coat| coat["maker_lot"] == "w-9"), "{coats:#?}");
    shop.run("ledger check").ok();
}

#[test]
fn a_cancelled_orders_lots_wait_and_go_on_in_another_batch() {
    let mut shop = opened();
    coated(&mut shop, "salt", 12);
    shop.run("batch open pepper --recipe \"one coat\" --pieces 12").ok();
    shop.run("batch open cumin --recipe \"three coats\" --pieces 12").ok();
    done(&shop, "salt", "batch cancel salt --why \"the café closed\"");
    shop.run("done salt-1").refused("held");
    shop.run("lot give salt-1 --to cumin").refused("other-recipe");
    let racks = shop.run("racks").ok();
    assert!(racks.contains("salt-1"), "its slots are still taken:\n{racks}");
    done(&shop, "pepper", "lot give salt-1 --to pepper");
    counts(&shop, "salt");
    // Nothing of salt is open any more, and pepper's lot still knows its coat.
    let due = shop.json("due");
    assert_eq!(
        (&due["items"][0]["lot"], &due["items"][0]["state"]),
        (&"pepper-1".into(), &"ready".into())
    );
    done(&shop, "pepper", "done pepper-1");
    let shipped = done(&shop, "pepper", "ship pepper-1 --to \"the inn\"");
    assert_eq!(shipped["lots"][0]["coats"][0]["can"], "W1");
    shop.run("batch close pepper").ok();
    let shown = shop.json(&format!("ship show {}", shipped["shipment"]));
    assert_eq!(shown["lots"], shipped["lots"]);
    shop.run("ledger check").ok();
}

#[test]
fn steps_before_the_one_begun_with_are_not_recorded_unless_said() {
    let shop = opened();
    shop.run("batch open salt --recipe \"three coats\" --pieces 12").ok();
    shop.run("lot start salt --pieces 12 --from 7 --rack drip-1 --did \"6=2026-03-01 10:00 K7\"")
        .ok();
    let lot = shop.json("lot show salt-1");
    assert_eq!(lot["steps"][5]["done"], "2026-03-01T10:00:00+00:00");
    assert_eq!(lot["steps"][5]["can"], "K7");
    assert_eq!(
        (&lot["steps"][0]["done"], &lot["steps"][0]["not_recorded"]),
        (&Value::Null, &true.into())
    );
    // The window runs from the coat that is known.
    assert_eq!(lot["until"], "2026-03-08T10:00:00+00:00");
    shop.run("lot start salt --pieces 6 --from 7 --rack drip-2").ok();
    let unknown = shop.json("lot show salt-2");
    assert_eq!(unknown["until"], Value::Null, "no coat is known, so no window closes");
    shop.run("lot start salt --pieces 1 --from 7 --rack shelf --did 7=08:00").refused("not-before");
    shop.run("lot start salt --pieces 1 --from 7 --rack shelf --did \"6=08:00 K99\"")
        .refused("unknown-name");
    shop.run("lot start salt --pieces 1 --from 7 --rack shelf --did 6=sometime").fails(2);
}

#[test]
fn what_is_odd_about_a_due_date_is_remarked() {
    let shop = opened();
    let open = |name: &str, due: &str| {
        shop.run(&format!("batch open {name} --recipe \"three coats\" --pieces 12 --due {due}"))
            .ok()
    };
    assert!(open("a", "2026-02-27").contains("! due Fri 27 Feb 2026 is past"));
    assert!(
        open("b", "2026-04-04").contains("! the shop is closed on Sat 4 Apr 2026, the due date")
    );
    let soon = open("c", "2026-03-13");
    // Four hours of rest, two recoats of a day and a cure of 21: from 2 March to 25 March.
    assert!(soon.contains("alone take until Wed 25 Mar"), "{soon}");
    let fine = open("d", "2026-05-01");
    assert!(!fine.contains('!'), "{fine}");
    let changed = shop.run("batch change d --due 2026-03-17").ok();
    assert!(changed.contains("closed on Tue 17 Mar 2026"), "{changed}");
}

#[test]
fn lots_join_at_the_same_step_and_wait_for_the_later_coat() {
    let mut shop = opened();
    shop.run("batch open salt --recipe \"three coats\" --pieces 24").ok();
    shop.run("lot start salt --pieces 10 --from 6 --did \"5=2026-03-01 10:00\"").ok();
    shop.run("lot start salt --pieces 6 --from 6 --did \"5=2026-03-01 10:00\"").ok();
    shop.run("done salt-1 --rack drip-1 --can K7").ok();
    shop.at("2026-03-02 15:00");
    shop.run("lot join salt-1 salt-2").refused("cannot-join");
    shop.run("done salt-2 --rack drip-1 --can K8").ok();
    done(&shop, "salt", "lot join salt-1 salt-2");
    let lot = shop.json("lot show salt-1");
    // No sooner than a day after the later coat, no later than a week after the earlier.
    assert_eq!(lot["ready_at"], "2026-03-03T15:00:00+00:00");
    assert_eq!(lot["until"], "2026-03-09T08:30:00+00:00");
    assert_eq!(lot["joined"], serde_json::json!(["salt-2"]));
    let racks = shop.json("racks");
    let taken =
        racks["racks"].as_array().unwrap().iter().find(|rack| rack["rack"] == "drip-1").unwrap();
    assert_eq!(taken["taken"], 16);
}

#[test]
fn a_note_is_kept_about_whatever_bears_the_name() {
    let shop = opened();
    shop.run("batch open salt --recipe \"three coats\" --pieces 12").ok();
    shop.run("lot start salt --pieces 12").ok();
    for about in ["salt", "salt-1", "K7", "shop"] {
        shop.run(&format!("note {about} \"keep {about} in mind\"")).ok();
    }
    assert!(shop.run("batch show salt").ok().contains("note: keep salt in mind"));
    assert!(shop.run("lot show salt-1").ok().contains("note: keep salt-1 in mind"));
    // A note about the shop is no setup.
    assert!(shop.run("due").ok().contains("salt-1"));
    shop.run("note nothing \"x\"").refused("unknown-name");
    shop.run("note salt \" \"").fails(2);
}

/// Both parts stay where they stand, however full the rack is.
#[test]
fn a_lot_is_split_on_a_rack_that_has_no_slot_left() {
    let mut shop = opened();
    shop.run("batch open salt --recipe \"three coats\" --pieces 36").ok();
    shop.run("lot start salt --pieces 36 --from 6 --rack drip-1").ok();
    shop.at("2026-03-02 14:00");
    shop.run("done salt-1 --can K7").ok();
    // Of 36 slots 36 are taken.
    shop.run("batch open rest --recipe \"one coat\" --pieces 1").ok();
    shop.run("lot start rest --pieces 1 --from 2 --rack drip-1").refused("too-few-slots");
    shop.run("lot split salt-1 --pieces 5 --rack drip-1").ok();
    counts(&shop, "salt");
    // What was taken in is said by how much it is.
    shop.run("climate add \"oil room\" --temp 20 --humidity 50").ok();
    let said = shop.run("ledger list --last 1").ok();
    assert!(said.contains("oil room: 1 reading"), "{said}");
}

/// A can that was called empty gives no coat.
#[test]
fn an_empty_can_gives_no_coat() {
    let mut shop = opened();
    shop.run("batch open salt --recipe \"three coats\" --pieces 12").ok();
    shop.run("lot start salt --pieces 12 --from 6 --rack drip-1").ok();
    shop.run("can empty K8").ok();
    shop.at("2026-03-02 14:00");
    shop.run("done salt-1 --can K8").refused("over");
    shop.run("done salt-1 --can K7").ok();
}
