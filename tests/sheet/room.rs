//! Whether a room is fit for a coat: the rule that refuses, and the screens that must not advise against it.

use crate::harness::TestShop;

/// A lot on a rack whose first coat is next, and nothing else.
fn before_its_coat() -> TestShop {
    let mut shop = TestShop::open();
    shop.run("can open 'house oil' --name K7 --litres 1").ok();
    shop.run("batch open salt --recipe 'three coats' --pieces 12").ok();
    shop.run("lot start salt --pieces 12 --rack drip-1 --from 6").ok();
    shop.at("2026-03-03 09:00");
    shop
}

#[test]
fn no_coat_is_begun_in_a_cold_a_damp_or_a_sweating_room() {
    // The sheet's lowest is 10 °C and its highest 80 %; 18 °C at 83 % is 2.9 °C above the dew point by the Magnus form with
    // 17.62 and 243.12 °C, and 79 % at 18 °C is 3.7 °C above it.
    for (air, said) in [
        ("--temp 9.9 --humidity 50", "oil room is at 9.9 °C, the sheet's lowest is 10.0 °C"),
        ("--temp 18 --humidity 81", "oil room is at 81 %, the sheet's highest is 80 %"),
        (
            "--temp 18 --humidity 60 --surface 12",
            "°C above its dew point, at least 3 °C is practice",
        ),
    ] {
        let shop = before_its_coat();
        shop.run(&format!("climate add 'oil room' {air} --at 06:00")).ok();
        for line in ["begin salt-1", "done salt-1"] {
            let refused = shop.run(line).refused("room-unfit");
            let refused = refused.split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(refused.contains(said), "{air}: {refused}");
            assert!(refused.contains("tackfree climate add \"oil room\""), "{refused}");
        }
        let item = shop.json("due")["items"][0].clone();
        assert_eq!(item["state"], "next", "{air}");
        assert!(item["room_unfit"].as_str().unwrap().contains("oil room is"), "{item}");
        // The person at the bench may know better; it is flagged for good.
        let said = shop.run("begin salt-1 --anyway 'the pieces come from a warm cupboard'").ok();
        assert!(said.contains("flagged for good"), "{said}");
        // Three hours and a minute after the reading nobody knows.
        let mut shop = before_its_coat();
        shop.run(&format!("climate add 'oil room' {air} --at 06:00")).ok();
        shop.at("2026-03-03 09:01").run("begin salt-1").ok();
    }
}

#[test]
fn a_room_that_nobody_read_or_that_is_fit_is_no_reason_to_refuse() {
    let shop = before_its_coat();
    shop.run("begin salt-1").ok();
    shop.run("undo").ok();
    shop.run("climate add 'oil room' --temp 10 --humidity 50").ok();
    assert_eq!(shop.json("due")["items"][0]["state"], "ready");
    shop.run("begin salt-1").ok();
}

#[test]
fn the_room_meant_is_that_of_the_rack_the_pieces_go_on() {
    let two_rooms = crate::harness::SORREL_LANE.replace(
        "[[rack]]\nname = \"drip-2\"\nroom = \"oil room\"",
        "[[room]]\nname = \"shed\"\n\n[[rack]]\nname = \"drip-2\"\nroom = \"shed\"",
    );
    let mut shop = TestShop::with_setup(&two_rooms);
    shop.run("can open 'house oil' --name K7 --litres 1").ok();
    shop.run("batch open salt --recipe 'three coats' --pieces 12").ok();
    shop.run("lot start salt --pieces 12 --from 6").ok();
    shop.at("2026-03-02 12:40").run("climate add shed --temp 4").ok();
    shop.run("begin salt-1 --rack drip-2").refused("room-unfit");
    shop.run("begin salt-1 --rack drip-1").ok();
    // One room below the lowest stops no screen.
    for line in ["due", "racks"] {
        shop.run(line).ok();
    }
}
