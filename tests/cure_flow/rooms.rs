//! The age of a coat by the room: cold, warm, unread for a while, and two rooms.

use crate::caution::flat;
use crate::climate::Log;
use crate::cure_flow::shops::{COATED, assumed, coated, cure_at, near};

/// Hours of the sheet that an hour counts for at 14 °C: 2^((14 − 23)/10).
fn at_14() -> f64 {
    2_f64.powf(-0.9)
}

#[test]
fn in_a_cold_room_the_sheets_hours_are_too_early_and_the_age_is_not() {
    let mut shop = coated("two oils");
    shop.at("2026-03-03T10:00:00Z");
    Log::from("2026-03-02T00:00:00Z", 60)
        .reads("2026-03-03T10:00:00Z", 14.0, 55.0)
        .into_room("oil room", &shop);
    // 24 h of the sheet are 44 h 47 m 9 s at 14 °C.
    let said = shop.run("done salt-1").refused("too-early");
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("for another 20 h 47 m"), "{said}");
    let cure = shop.json("cure salt-1");
    near(&cure["age_hours"], 24.0 * at_14());
    near(&cure["needs_hours"], 24.0);
    assert_eq!((&cure["phase"], &cure["cured"]), (&"recoat".into(), &false.into()));
    assert_eq!(
        (&cure["ready_at"], &cure["assumed"]),
        (&"2026-03-04T06:47:09+00:00".into(), &serde_json::json!([]))
    );
    assert_eq!(cure["no_later"]["at"], "2026-03-09T10:00:00+00:00");
    assert_eq!(cure["rooms"][0]["readings"], 25);
    shop.at("2026-03-04T06:00:00Z");
    Log::from("2026-03-03T11:00:00Z", 60)
        .reads("2026-03-04T06:00:00Z", 14.0, 55.0)
        .into_room("oil room", &shop);
    shop.at("2026-03-04T06:47:00Z").run("done salt-1").refused("too-early");
    shop.at("2026-03-04T06:48:00Z").run("done salt-1").ok();
}

#[test]
fn what_was_begun_in_time_by_what_was_read_is_recorded_whatever_is_read_later() {
    let mut shop = coated("two oils");
    shop.at("2026-03-03T09:00:00Z");
    Log::from("2026-03-02T00:00:00Z", 60)
        .reads("2026-03-03T09:00:00Z", 23.0, 55.0)
        .into_room("oil room", &shop);
    assert_eq!(cure_at(&shop, "2026-03-03 09:00")["ready_at"], "2026-03-03T10:00:00+00:00");
    // The stove went out after nine: at ten the coat was not as old as it was thought to be.
    shop.at("2026-03-03T12:00:00Z").run("climate add 'oil room' --temp 12 --humidity 55").ok();
    let opens = shop.json("due")["items"][0]["from"].as_str().unwrap().to_owned();
    assert!(opens.as_str() > "2026-03-03T10:05", "{opens}");
    shop.run("done salt-1 --at '2026-03-03 09:55'").refused("too-early");
    shop.run("done salt-1 --at '2026-03-03 10:05'").ok();
    assert_eq!(shop.json("lot show salt-1")["flags"], serde_json::json!([]));
}

#[test]
fn in_a_cold_room_pieces_ship_when_their_age_is_there() {
    let mut shop = coated("one oil");
    // 504 h of the sheet are 940 h 29 m 48 s at 14 °C: 39 days 4 h 29 m 48 s.
    shop.at("2026-04-10T15:00:00+01:00");
    Log::from("2026-03-02T00:00:00Z", 60)
        .reads("2026-04-10T14:00:00Z", 14.0, 55.0)
        .into_room("oil room", &shop);
    let sheet = "2026-03-23T10:00:00Z";
    shop.at(sheet).run("done salt-1").refused("too-early");
    let cure = shop.json("cure salt-1");
    near(&cure["age_hours"], 504.0 * at_14());
    assert_eq!(cure["ready_at"], "2026-04-10T15:29:51+01:00");
    shop.at("2026-04-10T15:29:00+01:00").run("done salt-1").refused("too-early");
    shop.at("2026-04-10T15:30:00+01:00").run("done salt-1").ok();
    assert_eq!(shop.json("cure salt-1")["cured"], true);
    shop.run("ship salt-1 --to 'Sorrel Lane'").ok();
    shop.run("cure salt-1").refused("over");
}

#[test]
fn a_warm_room_shortens_no_wait_and_shuts_the_window_earlier() {
    let mut shop = coated("two oils");
    shop.at("2026-03-06T18:00:00Z");
    Log::from("2026-03-02T00:00:00Z", 60)
        .reads("2026-03-06T18:00:00Z", 30.0, 45.0)
        .into_room("oil room", &shop);
    let cure = cure_at(&shop, "2026-03-03 09:59");
    assert_eq!(
        (&cure["phase"], &cure["ready_at"]),
        (&"recoat".into(), &"2026-03-03T10:00:00+00:00".into())
    );
    assert_eq!(cure["no_sooner"]["reached"], false);
    // 7 d of the sheet are 103 h 24 m 58 s at 30 °C.
    assert_eq!(cure["no_later"]["at"], "2026-03-06T17:24:58+00:00");
    shop.at("2026-03-03T09:59:00Z").run("done salt-1").refused("too-early");
    let said = shop.at("2026-03-06T17:25:00Z").run("done salt-1").refused("window-shut");
    assert!(flat(&said).contains("recoat window closed today 17:24, 2 s before"), "{said}");
    let said = shop.columns(60).run("cure salt-1").fits().ok();
    assert!(said.contains("Too late for the next coat since today 17:24"), "{said}");
    shop.at("2026-03-06T17:24:00Z").run("done salt-1").ok();
    // The same lot by the sheet alone has until the seventh day.
    let mut unread = coated("two oils");
    unread.at("2026-03-06T17:25:00Z").run("done salt-1").ok();
}

#[test]
fn a_gap_of_thirty_hours_is_taken_on_the_careful_side_and_said() {
    let log = |gap: bool| {
        let log = Log::from("2026-03-02T09:00:00Z", 60).reads("2026-03-02T12:00:00Z", 20.0, 50.0);
        let log = if gap {
            log.sleeps("2026-03-03T18:00:00Z")
        } else {
            log.reads("2026-03-03T17:00:00Z", 20.0, 50.0)
        };
        log.reads("2026-03-03T18:00:00Z", 15.0, 50.0)
    };
    let asked = |gap: bool| {
        let mut shop = coated("two oils");
        shop.at("2026-03-03T18:00:00Z");
        log(gap).into_room("oil room", &shop);
        shop
    };
    let (read, gapped) = (asked(false), asked(true));
    let (whole, careful) = (read.json("cure salt-1"), gapped.json("cure salt-1"));
    assert_eq!(whole["assumed"], serde_json::json!([]));
    let gap = assumed(&careful, "unread");
    near(&gap["hours"], 30.0);
    // From 9 to 12 as it was the day before; what nobody read is 8 °C below the coldest reading.
    near(&gap["temp_c"], 12.0);
    near(&careful["age_hours"], 5.0 * 2_f64.powf(-0.3) + 27.0 * 2_f64.powf(-1.1));
    assert!(whole["age_hours"].as_f64() > careful["age_hours"].as_f64());
    assert!(whole["ready_at"].as_str() < careful["ready_at"].as_str(), "{whole:#}{careful:#}");
    let said = gapped.run("cure salt-1").ok();
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        said.contains("nobody read 30 h of this: each hour is taken as the slowest since"),
        "{said}"
    );
    assert!(
        said.contains("nobody reads this room at night: taken as 12.0 °C, 8 °C below the coldest reading; a min/max thermometer, or a reading before the heat comes on, would tell"),
        "{said}"
    );
    let said = gapped.run("cure salt-1 --why").ok();
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        said.contains(
            "assumed: 30 h unread, yesterday 12:00 to today 18:00: each hour taken as the slowest since"
        ),
        "{said}"
    );
    // The refusal says it too.
    let refused = gapped.run("done salt-1").refused("too-early");
    let refused = refused.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(refused.contains("part of it assumed: nobody read the room"), "{refused}");
}

#[test]
fn each_room_counts_for_the_time_a_lot_stood_in_it() {
    let mut shop = coated("one oil");
    shop.at("2026-03-06T14:00:00Z").run("lot move salt-1 --rack beam").ok();
    shop.at("2026-03-10T14:00:00Z");
    Log::from("2026-03-02T00:00:00Z", 60)
        .reads("2026-03-10T14:00:00Z", 23.0, 50.0)
        .into_room("oil room", &shop);
    Log::from("2026-03-06T14:00:00Z", 60)
        .reads("2026-03-10T14:00:00Z", 13.0, 60.0)
        .into_room("attic", &shop);
    let cure = shop.json("cure salt-1");
    near(&cure["age_hours"], 100.0 + 96.0 / 2.0);
    // 356 h of the sheet are left, and at 13 °C they take twice as long.
    assert_eq!(cure["ready_at"], "2026-04-09T07:00:00+01:00");
    let rooms = cure["rooms"].as_array().unwrap();
    let told: Vec<_> = rooms
        .iter()
        .map(|room| (room["room"].as_str().unwrap(), room["readings"].as_u64().unwrap()))
        .collect();
    assert_eq!(told, [("oil room", 101), ("attic", 97)]);
    assert_eq!(rooms[0]["until"], "2026-03-06T14:00:00+00:00");
    let said = shop.run("cure --rack beam --why").ok();
    assert!(said.contains("oil room until Fri 6 Mar 14:00: 101 readings"), "{said}");
    assert!(said.contains("attic since Fri 6 Mar 14:00: 97 readings"), "{said}");
}

#[test]
fn nothing_counts_where_the_room_is_too_cold_or_too_damp() {
    let mut shop = coated("two oils");
    shop.at("2026-03-03T12:00:00Z");
    Log::from("2026-03-02T10:00:00Z", 60)
        .reads("2026-03-02T20:00:00Z", 23.0, 50.0)
        .reads("2026-03-03T12:00:00Z", 23.0, 90.0)
        .into_room("oil room", &shop);
    let cure = shop.json("cure salt-1");
    // From 50 to 90 % within an hour the line crosses 80 % after three quarters of it.
    near(&cure["age_hours"], 10.75);
    shop.at("2026-03-20T12:00:00Z");
    Log::from("2026-03-03T13:00:00Z", 60)
        .reads("2026-03-20T12:00:00Z", 8.0, 50.0)
        .into_room("oil room", &shop);
    let cure = shop.json("cure salt-1");
    assert!(cure["ready_at"].is_null(), "{cure:#}");
    let said = shop.run("done salt-1").refused("too-early");
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("will not be while the room stays as cold or damp as it is"), "{said}");
    let said = shop.run("cure salt-1").ok();
    assert!(
        said.contains("Not while the room stays as cold or damp as it is.   Now: 11.1 h of 24."),
        "{said}"
    );
}

#[test]
fn without_readings_the_sheets_own_interval_is_taken_and_said() {
    let shop = coated("one oil");
    let cure = cure_at(&shop, "2026-03-04 10:00");
    near(&cure["age_hours"], 48.0);
    near(&cure["needs_hours"], 504.0);
    near(&assumed(&cure, "no_readings")["hours"], 504.0);
    assert_eq!(
        (&cure["phase"], &cure["ready_at"]),
        (&"cure".into(), &"2026-03-23T10:00:00+00:00".into())
    );
    assert_eq!(cure["coat"]["ended"], COATED.replace('Z', "+00:00"));
    assert_eq!(
        (&cure["coat"]["sheet"], &cure["coat"]["revised"]),
        (&"maker's technical sheet".into(), &"2025-04-01".into())
    );
    let mut uncoated = super::shops::shop("one oil");
    let none = uncoated.json("cure salt-1");
    assert_eq!(
        (&none["phase"], &none["age_hours"], &none["ready_at"]),
        (&"uncoated".into(), &serde_json::Value::Null, &serde_json::Value::Null)
    );
    uncoated.columns(60).run("cure salt-2").refused("unknown-name");
    uncoated.run("cure --rack loft").refused("rack-empty");
    uncoated.run("cure").fails(2);
}
