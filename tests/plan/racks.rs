//! Cured lots that still stand on a rack: on record they take their slots, so the plan says what to carry off, and when.

use serde_json::{Value, json};

use super::kept::commands;
use super::scenarios::{checked, does};
use crate::harness::{SORREL_LANE, TestShop};

/// A shop with a loft for one lot.
fn small_loft() -> String {
    SORREL_LANE.replace("slots = 240", "slots = 36")
}

/// On Friday 27 March one lot stands cured on the shelf and waits to be shipped, another in the loft and waits to be
/// inspected; a third, on a drying rack since its last coat, finds no slots to cure on before those are free.
fn cured_on_their_racks() -> TestShop {
    let mut shop = TestShop::with_setup(&small_loft());
    shop.run("can open 'house oil' --name K7 --litres 1").ok();
    shop.run("batch open salt --recipe 'three coats' --pieces 108").ok();
    shop.run("lot start salt --pieces 12 --from 9 --rack shelf").ok();
    shop.run("lot start salt --pieces 36 --from 9 --rack drip-1").ok();
    does(&mut shop, "2026-03-03 08:55", "done salt-2");
    does(&mut shop, "2026-03-03 09:10", "done salt-1");
    does(&mut shop, "2026-03-04 10:00", "lot move salt-2 --rack loft");
    does(&mut shop, "2026-03-26 08:30", "done salt-1");
    does(&mut shop, "2026-03-26 08:40", "done salt-1");
    does(&mut shop, "2026-03-26 08:40", "lot start salt --pieces 24 --from 9 --rack drip-2");
    does(&mut shop, "2026-03-27 09:00", "done salt-3");
    shop.at("2026-03-27 09:30");
    shop
}

/// Follows a plan to its end, leaving out what is not wanted; gives the first command that is refused.
fn follow(shop: &mut TestShop, plan: &Value, wanted: fn(&str) -> bool) -> Option<String> {
    for (moment, command) in commands(plan).into_iter().filter(|(_, command)| wanted(command)) {
        shop.at(&moment.to_rfc3339());
        let run = shop.run(&command);
        if run.code != 0 {
            run.refused("too-few-slots");
            return Some(command);
        }
    }
    None
}

#[test]
fn a_followed_plan_finds_every_slot_free() {
    let mut shop = cured_on_their_racks();
    let plan = checked(&shop, &small_loft(), "plan --effort 200 --sure 80");
    let off = &plan["carries_off"][0];
    assert_eq!(
        (&off["lot"], &off["pieces"], &off["rack"], &off["makes_room_for"]),
        (&json!("salt-2"), &json!(36), &json!("loft"), &json!("salt-3"))
    );
    assert_eq!(follow(&mut shop, &plan, |_| true), None);
    // Nothing is left to do but to ship.
    assert_eq!(shop.json("plan --effort 50 --started")["steps"], json!([]));
}

#[test]
fn what_is_not_carried_off_is_refused() {
    let mut shop = cured_on_their_racks();
    let plan = shop.json("plan --effort 200");
    let refused = follow(&mut shop, &plan, |command| !command.ends_with("--off"));
    assert!(refused.is_some_and(|command| command.contains("--rack")));
}

#[test]
fn the_plan_and_the_day_sheet_say_what_to_carry_off() {
    let mut shop = cured_on_their_racks();
    let plan = shop.json("plan --effort 200 --keep");
    let said = shop.columns(80).run("plan --effort 1").fits().ok();
    let off = &plan["carries_off"][0];
    let [by, lot, rack, others] =
        ["by", "lot", "rack", "makes_room_for"].map(|part| off[part].as_str().unwrap());
    let pieces = &off["pieces"];
    let wanted = format!("move {lot} ({pieces}) off {rack}, to make room for {others}\n");
    assert!(said.contains("To hold it\n") && said.contains(&wanted), "{said}");
    assert!(said.contains(&format!("  Record it: tackfree lot move {lot} --off\n")), "{said}");
    let then = shop.run(&format!("today --now '{} 08:30'", &by[..10])).fits().ok();
    let wanted = format!("by {} {lot} move off {rack} {pieces} pieces", &by[11..16]);
    let words: Vec<&str> = then.split_whitespace().collect();
    assert!(words.join(" ").contains(&wanted), "{then}");
    // Once it is done nobody says it any more.
    shop.run(&format!("lot move {lot} --off")).ok();
    let lots = shop.json("plan --effort 50")["carries_off"].to_string();
    assert!(!lots.contains(&format!("{lot}\"")), "{lots}");
}

/// A shop in which two lots are carried at the same minute, the second to the slots that the first leaves: the loft is small,
/// and the alcove for both uses.
fn tight_alcove() -> String {
    SORREL_LANE
        .replace(
            "\"drip-1\"\nroom = \"oil room\"\nslots = 36",
            "\"drip-1\"\nroom = \"oil room\"\nslots = 30",
        )
        .replace(
            "\"drip-2\"\nroom = \"oil room\"\nslots = 24\nuse = [\"dry\"]",
            "\"alcove\"\nroom = \"oil room\"\nslots = 24\nuse = [\"dry\", \"cure\"]",
        )
        .replace("slots = 240", "slots = 12")
        .replace("slots = 12\nuse = [\"dry\", \"cure\"]", "slots = 1\nuse = [\"dry\"]")
}

/// The loft is free on Tuesday 24 March. Until then a lot of 12 cures in the alcove and one of 24 on the drying rack that the
/// next lot waits for, too large for the alcove; it finds room there once that is left for the loft.
fn waiting_in_line() -> TestShop {
    let mut shop = TestShop::with_setup(&tight_alcove());
    shop.run("can open 'house oil' --name K7 --litres 1").ok();
    shop.run("batch open salt --recipe 'three coats' --pieces 78").ok();
    shop.run("lot start salt --pieces 12 --from 9 --rack alcove").ok();
    does(&mut shop, "2026-03-03 08:55", "done salt-1");
    does(&mut shop, "2026-03-04 09:00", "lot move salt-1 --rack loft");
    does(&mut shop, "2026-03-04 09:00", "lot start salt --pieces 12 --from 9 --rack alcove");
    does(&mut shop, "2026-03-05 09:20", "done salt-2");
    does(&mut shop, "2026-03-05 09:30", "lot start salt --pieces 24 --from 9 --rack drip-1");
    does(&mut shop, "2026-03-06 10:00", "done salt-3");
    does(&mut shop, "2026-03-06 10:00", "lot start salt --pieces 30 --from 6");
    shop.at("2026-03-09 08:30");
    shop
}

/// The reminders of moves at this moment.
fn moves_told(shop: &TestShop) -> Vec<Value> {
    // Without a desktop they stay pending, and standard error says so.
    let sent: Value = serde_json::from_str(&shop.run("remind send --json").stdout).unwrap();
    let notices = sent["notices"].as_array().unwrap().iter();
    notices.filter(|notice| notice["kind"] == "move").cloned().collect()
}

#[test]
fn lots_that_leave_the_racks_together_are_recorded_by_the_command_that_is_told() {
    let mut shop = waiting_in_line();
    shop.run("batch change salt --pieces 66").ok();
    shop.run("lot split salt-1 --pieces 5").ok();
    let plan = shop.json("plan --effort 200 --keep");
    shop.at(plan["moves"][0]["at"].as_str().unwrap());
    let told = moves_told(&shop);
    assert_eq!(told[0]["lots"].as_array().unwrap().len(), 2, "{told:?}");
    let (_, command) =
        told[0]["body"].as_str().unwrap().split_once("Record it: tackfree ").unwrap();
    shop.run(command).ok();
    assert!(moves_told(&shop).iter().all(|notice| notice["lots"] != told[0]["lots"]));
}

#[test]
fn an_order_has_its_lots_moved_as_the_list_of_all_lots_has_them() {
    let mut shop = waiting_in_line();
    shop.run("batch open mint --recipe 'three coats' --pieces 6").ok();
    shop.run("lot start mint --pieces 6 --from 6").ok();
    shop.run("plan --effort 200 --keep").ok();
    for at in ["2026-03-09 08:40", "2026-03-11 10:00", "2026-03-17 16:00"] {
        shop.at(at);
        let all = shop.json("lot list")["lots"].as_array().unwrap().clone();
        for order in ["salt", "mint"] {
            let lots =
                shop.json(&format!("batch show {order}"))["lots"].as_array().unwrap().clone();
            for lot in lots.iter().filter(|lot| lot["pieces"] != 0) {
                let known = all.iter().find(|known| known["lot"] == lot["lot"]).unwrap();
                let when = |lot: &Value| (lot["ready_at"].clone(), lot["once_on"].clone());
                assert_eq!(when(lot), when(known), "{at}: {lot}");
            }
        }
    }
}

#[test]
fn a_move_is_in_the_calendar_and_reminded_of_until_it_is_recorded() {
    let mut shop = waiting_in_line();
    // With as many spares as are sure to do nothing more is to be started.
    shop.run("batch change salt --pieces 66").ok();
    let plan = shop.json("plan --effort 200 --keep");
    let planned = &plan["moves"][0];
    let [lot, to, at, why] =
        ["lot", "to", "at", "why"].map(|part| planned[part].as_str().unwrap().to_owned());
    let event = |shop: &TestShop| -> Value {
        let events = shop.json("calendar")["events"].as_array().unwrap().clone();
        let title = format!("{lot}: move to {to}");
        let of_move = |event: &Value| event["summary"].as_str().unwrap().ends_with(&title);
        events.into_iter().find(of_move).unwrap()
    };
    assert_eq!(event(&shop)["start"], at);
    let told = moves_told;
    assert_eq!(told(&shop), Vec::<Value>::new());
    shop.at(&at);
    // Who stands where it is to go leaves first.
    assert_eq!(told(&shop)[0]["summary"], "To move: salt-1, off the racks");
    shop.run("lot move salt-1 --off").ok();
    let notice = &told(&shop)[0];
    assert_eq!(notice["summary"], format!("To move: {lot}, to {to}"));
    let body = notice["body"].as_str().unwrap();
    let record = format!("lot move {lot} --rack '{to}'");
    assert!(body.contains(&why) && body.contains(&record), "{body}");
    // Who is late hears of no move that the day sheet of that minute has put off.
    let first = super::kept::at(&at.clone().into());
    for minutes in [1, 7, 45, 200, 380] {
        shop.at(&(first + chrono::TimeDelta::minutes(minutes)).to_rfc3339());
        let (notices, today) = (told(&shop), shop.json("today"));
        let carried = ["carries", "carries_off"].map(|of| today[of].to_string()).concat();
        for notice in notices {
            let lots = notice["lots"].as_array().unwrap();
            assert!(
                lots.iter().all(|lot| carried.contains(&lot.to_string())),
                "{notice} {carried}"
            );
        }
    }
    shop.at(&at);
    shop.run(&record).ok();
    assert!(told(&shop).iter().all(|notice| !notice["lots"].to_string().contains(&lot)));
    let done = event(&shop)["summary"].as_str().unwrap().starts_with("Done: ");
    assert!(done, "{}", event(&shop));
}

#[test]
fn who_goes_to_a_rack_is_carried_a_minute_after_who_leaves_it() {
    let mut shop = waiting_in_line();
    let plan = checked(&shop, &tight_alcove(), "plan --started --effort 200");
    let moves = |plan: &Value| -> Vec<String> {
        let carried = commands(plan).into_iter().map(|(_, command)| command);
        carried.filter(|command| command.contains("move") && command.contains("--rack")).collect()
    };
    assert_eq!(moves(&plan)[..2], ["lot move salt-2 --rack loft", "lot move salt-3 --rack alcove"]);
    let at = |lot: &str| {
        let stays = plan["stays"].as_array().unwrap();
        let cures = stays.iter().rfind(|stay| stay["lot"] == lot && stay["cures"] == true);
        super::kept::at(&cures.unwrap()["from"])
    };
    assert_eq!(at("salt-3") - at("salt-2"), chrono::TimeDelta::minutes(1));
    shop.at("2026-03-23 09:00");
    let today = shop.json("today --now tomorrow")["carries"].clone();
    let lots: Vec<&Value> = today.as_array().unwrap().iter().map(|carry| &carry["lot"]).collect();
    assert_eq!(lots, ["salt-2", "salt-3"], "{today}");
    shop.at("2026-03-09 08:30");
    assert_eq!(follow(&mut shop, &plan, |_| true), None);
}
