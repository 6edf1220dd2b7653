//! Two coats that soak at once, and one pair of hands.

use serde_json::Value;

use crate::harness::TestShop;

/// Two lots before their first coat: 24 pieces take 8 min 48 s to apply and 7 min 12 s to wipe.
fn two_lots(hands: u32) -> TestShop {
    let setup = crate::harness::SORREL_LANE.replace("hands = 1", &format!("hands = {hands}"));
    let mut shop = TestShop::with_setup(&setup);
    shop.run("can open 'house oil' --name K7 --litres 1").ok();
    shop.run("batch open salt --recipe 'three coats' --pieces 36").ok();
    shop.run("lot start salt --pieces 24 --rack drip-2 --from 6").ok();
    shop.run("lot start salt --pieces 12 --rack shelf --from 6").ok();
    shop.at("2026-03-02 13:20").run("begin salt-1").ok();
    shop
}

#[test]
fn a_coat_whose_wiping_collides_is_said_with_when_to_begin_it() {
    // Wiping salt-1 begins between 13:31:54 and 13:39:42. Applying salt-2 from 13:37 keeps the hands until 13:41:24.
    let mut shop = two_lots(1);
    let said = shop.at("2026-03-02 13:37").json("begin salt-2");
    let clash = &said["coats"][0]["clash"];
    assert_eq!(clash["with"], serde_json::json!(["salt-1"]));
    // By brute force over whole minutes: salt-1 is wiped from 13:37 to 13:44:12, and 13:45 is the first minute after that.
    assert_eq!(clash["begin_at"], "2026-03-02T13:45:00+00:00");
    shop.run("undo").ok();
    let text = shop.run("begin salt-2").ok();
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("Your hands are at salt-1") && text.contains("begin at 13:45"), "{text}");
    shop.run("undo").ok();
    shop.at("2026-03-02 13:45");
    shop.run("done salt-1").ok();
    assert_eq!(shop.json("begin salt-2")["coats"][0]["clash"], Value::Null);
}

#[test]
fn what_can_be_wiped_in_turn_is_no_collision_and_four_hands_do_both() {
    // Begun at 13:29, salt-2 is applied by 13:33:24; salt-1 is wiped until 13:40:36, and salt-2 from then on, by 13:48:42.
    let mut shop = two_lots(1);
    assert_eq!(shop.at("2026-03-02 13:29").json("begin salt-2")["coats"][0]["clash"], Value::Null);
    let mut shop = two_lots(2);
    assert_eq!(shop.at("2026-03-02 13:37").json("begin salt-2")["coats"][0]["clash"], Value::Null);
}

#[test]
fn a_group_leaves_a_minute_to_begin_wiping_it() {
    // 45 s to apply, 8 s to wipe, 200 to 600 s of soak: of 30 pieces the fewest groups once left 14 s between "from" and "by".
    let setup = crate::harness::SORREL_LANE
        .replace(
            "soak = \"10m..20m\"\nrecoat = \"24h..7d\"",
            "soak = \"200s..600s\"\nrecoat = \"24h..7d\"",
        )
        .replace("each = \"22s\", wipe = \"18s\"", "each = \"45s\", wipe = \"8s\"");
    for pieces in 1..=36 {
        let mut shop = TestShop::with_setup(&setup);
        shop.run("batch open salt --recipe 'three coats' --pieces 36").ok();
        shop.run(&format!("lot start salt --pieces {pieces} --rack drip-1 --from 6")).ok();
        let said = shop.at("2026-03-02 12:40").json("begin salt-1");
        for group in said["coats"][0]["groups"].as_array().unwrap() {
            let at = |key: &str| {
                chrono::DateTime::parse_from_rfc3339(group[key].as_str().unwrap()).unwrap()
            };
            let window = (at("wipe_by") - at("wipe_from")).num_seconds();
            assert!(window >= 60, "{pieces} pieces: {window} s in {group}");
        }
    }
}
