//! Readings by hand, what is shown of a room, and what proves it.

use crate::climate::{Log, stored};
use crate::harness::TestShop;

#[test]
fn a_reading_is_answered_with_what_follows_from_it() {
    let shop = TestShop::open();
    let line = "climate add 'oil room' --temp 14.2 --humidity 55 --surface 13.5 --at 08:10";
    let answer = shop.json(line);
    let reading = &answer["reading"];
    // Dew point by the Magnus form with 17.62 and 243.12 °C: 5.3 °C; wood by the Wood Handbook's equation: 10.2 %.
    assert!((reading["dew_point_c"].as_f64().unwrap() - 5.3).abs() < 0.05, "{answer:#}");
    assert!((reading["margin_c"].as_f64().unwrap() - 8.2).abs() < 0.05, "{answer:#}");
    assert!((reading["wood_moisture_percent"].as_f64().unwrap() - 10.2).abs() < 0.05, "{answer:#}");
    assert_eq!(
        (&reading["margin_enough"], &reading["surface_assumed"]),
        (&true.into(), &false.into())
    );
    assert_eq!(reading["at"], "2026-03-02T08:10:00+00:00");
    let near = shop.run("climate add 'oil room' --temp 14,2 --humidity 90").ok();
    let near = near.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        near.contains(
            "pieces 1.6 °C above it (the air's temperature assumed for them); too near for a coat"
        ),
        "{near}"
    );
    let dry = shop.json("climate add 'oil room' --temp -3 --at 08:15");
    assert!(dry["reading"]["dew_point_c"].is_null() && dry["reading"]["margin_enough"].is_null());
}

#[test]
fn a_reading_that_cannot_be_is_refused() {
    let shop = TestShop::open();
    let wrong = |line: &str, why: &str| {
        let said = shop.run(&format!("climate add 'oil room' {line}")).fails(2);
        assert!(said.contains(why), "{line}: {said}");
    };
    wrong(
        "--temp 14.2 --humidity 101",
        "relative humidity of 101 % isn't possible: expected 0 to 100 %",
    );
    wrong("--temp 14.2 --humidity -1", "relative humidity of -1 % isn't possible");
    wrong(
        "--temp 88",
        "temperature of 88 °C isn't possible: expected -40 to 60 °C (-40 to 140 °F)",
    );
    wrong("--temp 14.2 --surface -99", "temperature of -99 °C isn't possible");
    wrong("--temp warm", "\"warm\" isn't a number");
    wrong("--temp NaN", "isn't a number");
    wrong("--temp 68K", "\"K\" in \"68K\" isn't a unit for this: expected one of °C, °F");
    wrong("--temp 500F", "temperature of 500 °F isn't possible");
    wrong("--humidity 55", "--temp");
    shop.run("climate add 'oil rom' --temp 14.2").refused("unknown-name");
    shop.run("climate add 'oil room' --temp 14.2 --at 'tomorrow 09:00'").refused("future-time");
    assert_eq!(stored(&shop), []);
}

/// 68 °F is 20 °C by NIST SP 811, B.8.
#[test]
fn a_reading_is_typed_in_either_unit() {
    let mut shop = TestShop::open();
    for (hour, typed) in (10..).zip(["68F", "'68 °F'", "20", "20C"]) {
        shop.at(&format!("2026-03-02 {hour}:00"));
        let read = shop.json(&format!("climate add 'oil room' --temp {typed}"));
        let temp = read["reading"]["temp_c"].as_f64().unwrap();
        assert!((temp - 20.0).abs() < 1e-9, "{typed}: {temp}");
    }
}

/// A US fluid ounce is 29.573 53 ml by NIST Handbook 44, appendix C.
#[test]
fn a_can_s_size_is_typed_with_its_unit() {
    let shop = TestShop::open();
    for (can, typed, litres) in [
        ("A1", "--size 500ml", 0.5),
        ("A2", "--size 1qt", 0.946_352_9),
        ("A3", "--size '16 fl oz'", 0.473_176_5),
        ("A4", "--litres 0.25", 0.25),
    ] {
        shop.run(&format!("can open 'house oil' --name {can} {typed}")).ok();
        let list = shop.json("can list");
        let cans = list["cans"].as_array().unwrap();
        let held = cans.iter().find(|line| line["can"] == can).unwrap()["litres"].as_f64();
        assert!((held.unwrap() - litres).abs() < 1e-6, "{typed}: {held:?}");
    }
    let screen = shop.run("can list").ok();
    assert!(screen.contains(" 946 ml ") && screen.contains(" 473 ml "), "{screen}");
    let bare = shop.run("can open 'house oil' --name A5 --size 500").fails(2);
    assert!(bare.contains("\"500\" has no unit: expected one of L, qt, fl oz, ml"), "{bare}");
    shop.run("can open 'house oil' --name A5 --size 0ml").fails(2);
}

#[test]
fn a_second_reading_of_the_same_moment_is_said() {
    let shop = TestShop::open();
    shop.run("climate add 'oil room' --temp 14.2 --humidity 55").ok();
    let again = shop.run("climate add 'oil room' --temp 14.2 --humidity 55").ok();
    assert!(again.contains("known already, nothing recorded"), "{again}");
    let other = shop.run("climate add 'oil room' --temp 15 --humidity 55").refused("read-already");
    assert!(
        other.contains("14.2 °C, 55 % humidity") && other.contains("tackfree undo 2"),
        "{other}"
    );
    shop.run("undo 2").ok();
    shop.run("climate add 'oil room' --temp 15 --humidity 55").ok();
    assert_eq!(stored(&shop).len(), 1);
}

#[test]
fn an_import_is_taken_back_whole() {
    let mut shop = TestShop::open();
    shop.run("climate add 'oil room' --temp 14.2 --humidity 55").ok();
    shop.at("2026-03-03 08:30");
    let log = || Log::from("2026-03-02T09:00:00Z", 60).reads("2026-03-03T08:00:00Z", 20.0, 50.0);
    log().into_room("oil room", &shop);
    assert_eq!(stored(&shop).len(), 25);
    shop.run("undo --why 'the wrong logger'").ok();
    assert_eq!(stored(&shop).len(), 1);
    assert_eq!(shop.json("climate show")["rooms"][0]["latest"]["temp_c"], 14.2);
    assert_eq!(shop.json("ledger check")["whole"], true);
    log().into_room("oil room", &shop);
    assert_eq!(stored(&shop).len(), 25);
}

#[test]
fn a_changed_reading_is_found() {
    let shop = TestShop::open();
    shop.run("climate add 'oil room' --temp 14.2 --humidity 55").ok();
    assert_eq!(shop.json("ledger check")["whole"], true);
    let database = rusqlite::Connection::open(shop.database()).unwrap();
    for change in [
        "UPDATE reading SET temp = 14.3",
        "UPDATE reading SET temp = 14.2, humidity = NULL",
        "UPDATE reading SET humidity = 55, at = at + 1",
        "UPDATE reading SET at = at - 1, lowest = 6, highest = 19",
        "UPDATE reading SET lowest = NULL, highest = NULL, surface = 6",
        "DELETE FROM reading",
    ] {
        database.execute(change, []).unwrap();
        let run = shop.run("ledger check");
        assert_eq!(run.code, 4, "{change}");
        assert!(
            run.stdout.contains("the readings that entry 2 brought are not the ones it took in"),
            "{change}: {run}"
        );
    }
}

#[test]
fn a_room_is_shown_with_its_days() {
    let mut shop = TestShop::open();
    shop.at("2026-03-05 08:30");
    Log::from("2026-03-03T00:00:00Z", 60)
        .reads("2026-03-03T11:00:00Z", 12.0, 60.0)
        .reads("2026-03-03T23:00:00Z", 18.0, 50.0)
        .reads("2026-03-05T03:00:00Z", 15.0, 55.0)
        .into_room("oil room", &shop);
    let room = shop.json("climate show 'oil room' --days 3")["rooms"][0].clone();
    assert_eq!((&room["stale"], &room["latest_hours_ago"]), (&true.into(), &5.5.into()));
    let day = &room["days"][0];
    assert_eq!((&day["date"], &day["readings"]), (&"2026-03-03".into(), &24.into()));
    assert_eq!((&day["temp_c"]["min"], &day["temp_c"]["max"]), (&12.0.into(), &18.0.into()));
    // Twelve readings each, an hour apart; the first stands for an hour and a half before it too.
    let mean = (12.0 * 13.0 + 18.0 * 12.0) / 25.0;
    assert!((day["temp_c"]["mean"].as_f64().unwrap() - mean).abs() < 1e-9, "{day:#}");
    assert_eq!(room["days"][2]["readings"], 4);
    let said = shop.columns(60).run("climate show --days 3").fits().ok();
    snapbox::assert_data_eq!(
        said,
        snapbox::str![[r#"
Room climate, today 08:30

oil room
  today 03:00, 5 h 30 m ago: 15.0 °C, 55 % humidity
  dew point 6.0 °C: pieces 9.0 °C above it (the air's
    temperature assumed for them); at least 3 °C is practice
  wood will end up near 10.2 % moisture
  stale: over 3 hours old; what follows from later hours
    counts as assumed

day        °C            mean  humidity %  mean  readings
Tue 3 Mar  12.0 to 18.0  14.9  50 to 60    55    24
yesterday  15.0          15.0  55          55    24
today      15.0          15.0  55          55    4

  18.0 |          **********
  17.0 |
  16.0 |
  15.0 |                    ************************
  14.0 |
  13.0 |
  12.0 |**********
    °C +------------------------------------------------
                             |yesterday          |today

"#]]
    );
    let empty = TestShop::open().run("climate show").ok();
    assert!(empty.contains("no readings yet"), "{empty}");
    shop.run("climate show attic").refused("unknown-name");
    shop.columns(30).run("climate show --days 366").fits().ok();
}

#[test]
fn a_minimum_and_maximum_thermometer_speaks_for_the_night() {
    let mut shop = TestShop::open();
    shop.at("2026-03-02T17:00:00Z").run("climate add 'oil room' --temp 18").ok();
    shop.at("2026-03-03T08:30:00Z");
    let said = shop.run("climate add 'oil room' --lowest 6 --highest 19").ok();
    assert_eq!(
        said,
        "oil room, today 08:30: between 6.0 °C and 19.0 °C since the reading before\n"
    );
    let shown = shop.json("climate show");
    let latest = &shown["rooms"][0]["latest"];
    assert_eq!((&latest["lowest_c"], &latest["temp_c"]), (&6.0.into(), &serde_json::Value::Null));
    assert_eq!(shop.json("ledger check")["whole"], true);
    // Recorded twice it is one reading; another for the same moment is not taken.
    let again = shop.run("climate add 'oil room' --lowest 6 --highest 19").ok();
    assert!(again.contains("known already"), "{again}");
    shop.run("climate add 'oil room' --lowest 5 --highest 19").refused("read-already");
    for wrong in ["--lowest 6", "--lowest 19 --highest 6", "--temp 20 --lowest 6 --highest 19"] {
        shop.run(&format!("climate add 'oil room' {wrong}")).fails(2);
    }
    shop.run("undo").ok();
    assert_eq!(shop.json("climate show")["rooms"][0]["latest"]["temp_c"], 18.0);
}
