//! What a class supplied is marked wherever it is used, and a rest is not called a cure.

use crate::caution::{flat, little_known, sanded};

#[test]
fn times_from_the_class_are_marked_on_receipts_due_lots_and_refusals() {
    let mut shop = little_known();
    let lot = sanded(&shop, "pegs", "danish");
    let soaking = flat(&shop.run(&format!("begin {lot}")).ok());
    assert!(
        soaking.contains(
            "wipe coat 1 of 2, danish, from today 08:41, in 11 m, until today 08:49 (common practice)"
        ),
        "{soaking}"
    );
    shop.at("2026-03-02 08:45");
    let coated = flat(&shop.run(&format!("done {lot}")).ok());
    assert!(coated.contains("(common practice, assumed)"), "{coated}");
    let due = shop.json("due")["items"][0].clone();
    assert_eq!((&due["from_class"], &due["only_rests"]), (&"common practice".into(), &().into()));
    for screen in ["due".to_owned(), format!("lot show {lot}")] {
        let text = flat(&shop.run(&screen).ok());
        assert!(text.contains("(common practice, assumed)"), "{screen}: {text}");
    }
    let refused = flat(&shop.run(&format!("done {lot}")).refused("too-early"));
    let whose = "the finish class's shortest time after the coat (common practice) is not over";
    assert!(refused.contains(whose), "{refused}");
    shop.at("2026-03-20 09:00").run(&format!("done {lot}")).ok();
    let shut = flat(&shop.run(&format!("done {lot}")).refused("window-shut"));
    assert!(shut.contains("the finish class's recoat window (common practice) closed"), "{shut}");
    shop.run(&format!("done {lot} --anyway \"abraded with P400\"")).ok();
    let uncured = flat(&shop.run(&format!("ship {lot} --to \"the café\"")).refused("uncured"));
    let whose = "is not cured: the finish class's cure time (common practice) is reached";
    assert!(uncured.contains(whose), "{uncured}");
}

/// Where the sheet gives the times no class is named.
#[test]
fn times_of_the_sheet_are_not_marked() {
    let mut shop = crate::harness::TestShop::open();
    shop.run("can open \"hard wax\" --name W2").ok();
    shop.run("batch open rest --recipe \"one coat\" --pieces 5").ok();
    shop.run("lot start rest --pieces 5 --rack shelf --from 2").ok();
    shop.run("begin rest-1").ok();
    shop.at("2026-03-02 08:45");
    let text = flat(&shop.run("done rest-1").ok());
    assert!(text.contains("(the sheet's time, assumed)"), "{text}");
    assert!(!text.contains("common practice"), "{text}");
}

#[test]
fn a_setup_says_what_its_classes_supply_and_what_is_unknown() {
    let mut shop = little_known();
    shop.columns(80);
    let text = flat(&shop.run("setup check shop.toml").fits().ok());
    for said in [
        "danish: soak 10m..20m, recoat 24h..7d, cure 21d",
        "board oil does not harden: a rest, not a cure",
        "board oil: contains is unknown: nuts and other allergens",
        "mystery: self_heating is unknown: its rags are treated as if they can catch fire by themselves",
    ] {
        assert!(text.contains(said), "{said}: {text}");
    }
    let supplied = shop.json("setup check shop.toml")["from_class"].clone();
    let cure =
        supplied.as_array().unwrap().iter().find(|value| {
            (&value["finish"], &value["key"]) == (&"board oil".into(), &"cure".into())
        });
    assert!(cure.unwrap()["mark"].as_str().unwrap().contains("a rest"), "{supplied}");
}

#[test]
fn a_finish_that_does_not_harden_rests_and_is_said_to() {
    let mut shop = little_known();
    let lot = sanded(&shop, "boards", "board oil");
    shop.run(&format!("begin {lot}")).ok();
    shop.at("2026-03-02 09:00");
    let rests = "board oil does not harden: a rest, not a cure";
    let done = flat(&shop.run(&format!("done {lot}")).ok());
    assert!(done.contains(rests), "{done}");
    for screen in ["due".to_owned(), format!("lot show {lot}")] {
        let text = flat(&shop.run(&screen).ok());
        assert!(text.contains(rests), "{screen}: {text}");
    }
    assert_eq!(shop.json(&format!("lot show {lot}"))["state"], "resting");
    let cure = flat(&shop.run(&format!("cure {lot}")).ok());
    assert!(cure.contains("rest") && cure.contains("not a cure"), "{cure}");
    assert!(!cure.contains("cure time reached"), "{cure}");
    let refused = flat(&shop.run(&format!("ship {lot} --to \"the café\"")).refused("uncured"));
    assert!(refused.contains(&format!("{lot} still rests ({rests})")), "{refused}");
    assert!(!refused.contains("cure time"), "{refused}");
    shop.at("2026-03-03 09:05").run(&format!("done {lot}")).ok();
    let record = shop.json(&format!("ship {lot} --pieces 1 --to \"the café\""))["lots"][0].clone();
    assert_eq!(record["hardens"], false);
    let text = flat(&shop.run(&format!("ship {lot} --to \"the café\"")).ok());
    assert!(text.contains("the rest after the last coat is over: today 09:00"), "{text}");
    assert!(text.contains(rests) && !text.contains("the cure time is reached"), "{text}");
}

#[test]
fn a_kind_is_taken_in_any_case() {
    let shop = crate::harness::TestShop::bare();
    let setup = crate::caution::LITTLE_KNOWN.replace("\"danish oil\"", "\"BLO\"");
    shop.write("shop.toml", &setup);
    let text = flat(&shop.run("setup check shop.toml").ok());
    assert!(text.contains("danish: soak 10m..20m, recoat 24h..7d"), "{text}");
}

/// A reminder speaks of the class's time as the screens do, and calls a rest no cure.
#[test]
fn reminders_name_whose_time_is_over() {
    let mut shop = little_known();
    let board = sanded(&shop, "boards", "board oil");
    let peg = sanded(&shop, "pegs", "danish");
    shop.run(&format!("done {board} {peg}")).ok();
    shop.at("2026-03-03 09:00").run(&format!("done {peg}")).ok();
    shop.run(&format!("done {peg}")).ok();
    shop.run("rags done --how \"soaked, lidded can, taken outside\"").ok();
    shop.at("2026-03-30 09:00");
    // There is no desktop here: what would be shown is printed.
    let text = flat(&shop.run("remind send").stdout);
    assert!(text.contains("The finish class's cure time is reached: pegs-1"), "{text}");
    assert!(text.contains("Ready: boards-1"), "{text}");
    assert!(!text.contains("The sheet's cure time"), "{text}");
}
