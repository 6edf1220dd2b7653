//! A coat begun: its groups, when they are to be wiped, and what the room's air says to it.

use crate::cure_flow::shops::shop;

#[test]
fn a_coat_begun_says_when_its_group_is_to_be_wiped() {
    let shop = shop("one oil");
    let begun = shop.json("begin salt-1");
    let coat = &begun["coats"][0];
    // 20 s to apply and 18 s to wipe, soaking 10 to 20 min: 1 + (1162 - 60) / 20 = 56 pieces at the most, with a minute to begin wiping. Of twelve the first
    // waits 600 − 11 × 18 = 402 s after the last is oiled; 12 × 38 s of work and that wait are 14 m 18 s.
    assert_eq!((&coat["most_in_a_group"], &coat["minutes"]), (&56.into(), &15.into()));
    let groups = coat["groups"].as_array().unwrap();
    assert_eq!(groups.len(), 1);
    let group = &groups[0];
    assert_eq!(
        (&group["pieces"], &group["begins"]),
        (&12.into(), &"2026-03-02T10:00:00+00:00".into())
    );
    assert_eq!(group["wipe_from"], "2026-03-02T10:10:42+00:00");
    assert_eq!(group["wipe_by"], "2026-03-02T10:19:42+00:00");
    assert_eq!(group["first_off_by"], "2026-03-02T10:20:00+00:00");
    assert_eq!(group["last_off_by"], "2026-03-02T10:23:40+00:00");
    let due = shop.json("due")["items"][0].clone();
    assert_eq!((&due["action"], &due["minutes"]), (&"wipe".into(), &4.into()));
    assert_eq!((&due["from"], &due["until"]), (&group["wipe_from"], &group["wipe_by"]));
}

#[test]
fn groups_follow_one_another_and_due_shows_the_one_under_way() {
    let mut shop = shop("two oils");
    shop.run("lot start salt --pieces 36 --rack beam").ok();
    let said = shop.columns(60).run("begin salt-2").fits().ok();
    snapbox::assert_data_eq!(
        said,
        snapbox::str![[r#"
begin: salt-2 coat 1 of 2, house oil, today 10:00
next: salt-2 wipe coat 1 of 2, house oil, from today 10:17,
  in 17 m, until today 10:19
salt-2: 2 groups of 18 pieces (no more than 22 can be wiped
  in time), 45 min of work
  group 1 (18 pieces): start wiping from today 10:17, by
    10:19; first off by 10:20, last by 10:31
  group 2 (18 pieces): start wiping from today 10:40, by
    10:42; first off by 10:42, last by 10:53
  each group straight after the one before; a pause moves
    the later ones
attic has no reading: whether it is too cold or too near the
  dew point for a coat is not known

house oil: gives off 420 g/L of solvent; breathing limit 350
  mg/m³, occupational limit on the sheet, 8 h (maker's
  technical sheet, revised 2025-04-01)
Air in one side, out the other. No flame, pilot light, spark
  or smoking.
Gloves as the sheet says, eyes covered. Dizzy or headache:
  stop, go outside.
The fire limit (25 % LEL) is far above the breathing limit:
  watch the lower.
More: tackfree caution air

"#]]
    );
    let at = |shop: &mut crate::harness::TestShop, now: &str| {
        let items = shop.json(&format!("due --now {now}"))["items"].clone();
        let item =
            items.as_array().unwrap().iter().find(|item| item["lot"] == "salt-2").unwrap().clone();
        (
            item["state"].as_str().unwrap().to_owned(),
            item["from"].as_str().unwrap().to_owned(),
            item["until"].as_str().unwrap().to_owned(),
            item["minutes"].clone(),
        )
    };
    // 40 s and 18 s, 18 pieces: 720 s to apply, 294 s to wait; the second group begins after 1338 s.
    let first = ("2026-03-02T10:16:54+00:00".to_owned(), "2026-03-02T10:19:42+00:00".to_owned());
    let second = ("2026-03-02T10:39:12+00:00".to_owned(), "2026-03-02T10:42:00+00:00".to_owned());
    let expected = [
        ("10:16", "next", &first),
        ("10:17", "ready", &first),
        ("10:20", "overdue", &first),
        ("10:23", "next", &second),
        ("10:40", "ready", &second),
        ("11:30", "overdue", &second),
    ];
    for (now, state, (from, until)) in expected {
        let told = at(&mut shop, now);
        assert_eq!(told, (state.to_owned(), from.clone(), until.clone(), 6.into()), "{now}");
    }
    // The rule for `done` is the sheet's shortest soak from the beginning, as before.
    shop.at("2026-03-02T10:09:00Z").run("done salt-2").refused("too-early");
    shop.at("2026-03-02T10:45:00Z").run("done salt-2").ok();
}

#[test]
fn a_piece_that_does_not_fit_the_soak_is_said() {
    let shop = shop("by the brush");
    let said = shop.run("begin salt-1").ok();
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("! salt-1: no piece fits the soak: one piece takes 1518 s to apply, soak and wipe, and the sheet's longest soak is 1200 s"), "{said}");
    let due = shop.json("due")["items"][0].clone();
    assert_eq!(
        (&due["from"], &due["until"]),
        (&"2026-03-02T10:10:00+00:00".into(), &"2026-03-02T10:20:00+00:00".into())
    );
    assert_eq!(due["minutes"], 184);
}

#[test]
fn what_a_room_says_to_a_coat_stands_with_its_beginning() {
    let begun = |readings: &[&str]| {
        let shop = shop("one oil");
        for reading in readings {
            shop.run(&format!("climate add 'oil room' {reading}")).ok();
        }
        let line = "begin salt-1 --anyway 'the pieces were kept warm'";
        let said = shop.run(line).ok();
        shop.run("undo").ok();
        let air = shop.json(line)["coats"][0]["air"].clone();
        (said.split_whitespace().collect::<Vec<_>>().join(" "), air)
    };
    let (said, air) = begun(&["--temp 8 --humidity 50"]);
    assert!(
        said.contains(
            "! oil room is at 8.0 °C, the sheet's lowest is 10.0 °C (the air's temperature assumed)"
        ),
        "{said}"
    );
    assert_eq!((&air["against"], &air["fresh"]), (&serde_json::json!(["too cold"]), &true.into()));
    let (said, air) = begun(&["--temp 20 --humidity 85 --surface 18"]);
    assert!(said.contains("! oil room is at 85 %, the sheet's highest is 80 %"), "{said}");
    // Dew point 17.4 °C.
    assert!(
        said.contains("! oil room is 0.6 °C above its dew point, at least 3 °C is practice"),
        "{said}"
    );
    assert_eq!(air["against"], serde_json::json!(["too damp", "near dew point"]));
    let (said, air) = begun(&["--temp 20 --humidity 50"]);
    assert!(said.contains("oil room, read today 10:00: 20.0 °C, pieces 10.7 °C above the dew point (the air's temperature assumed)"), "{said}");
    assert_eq!((&air["against"], &air["surface_assumed"]), (&serde_json::json!([]), &true.into()));
    assert!((air["margin_c"].as_f64().unwrap() - 10.7).abs() < 0.05);
    // A reading that is too old says nothing, and neither does none.
    let (said, air) = begun(&["--temp 8 --humidity 50 --at 06:59"]);
    assert!(said.contains("oil room: last read 3 h 1 m before: whether it is too cold or too near the dew point for a coat is not known"), "{said}");
    assert_eq!((&air["against"], &air["fresh"]), (&serde_json::json!([]), &false.into()));
    let (said, air) = begun(&[]);
    assert!(said.contains("oil room has no reading: whether it is too cold"), "{said}");
    assert!(air["read"].is_null() && air["margin_c"].is_null());
    let (_, air) = begun(&["--temp 8 --humidity 50 --at 07:00"]);
    assert_eq!(air["against"], serde_json::json!(["too cold"]));
}
