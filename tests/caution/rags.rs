//! Rags: open until recorded, and said more plainly the longer they lie.

use tackfree::shop::rags::Lain;
use tackfree::time::Span;

use crate::caution::{flat, little_known, sanded};
use crate::reference::never::never_printed;

#[test]
fn the_words_grow_plainer_with_the_hours_on_rags_and_on_due() {
    let mut shop = little_known();
    let lot = sanded(&shop, "pegs", "danish");
    shop.run(&format!("done {lot}")).ok();
    let steps = [
        ("2026-03-02 08:30", 0.0, "fresh", "before you leave the bench"),
        ("2026-03-02 10:29", 2.0, "fresh", "before you leave the bench"),
        ("2026-03-02 10:30", 2.0, "hours", "Else do it now: under water, metal can, lid."),
        ("2026-03-02 16:30", 8.0, "day", "they have lain all day."),
        ("2026-03-02 20:30", 12.0, "night", "They have lain overnight with nobody watching."),
        ("2026-03-03 08:30", 24.0, "days", "they have lain for a day or more"),
        ("2026-03-09 08:30", 168.0, "days", "they have lain for a day or more"),
    ];
    for (when, hours, lain, said) in steps {
        shop.at(when);
        let open = shop.json("rags")["open"][0].clone();
        assert_eq!((&open["hours"], &open["lain"]), (&hours.into(), &lain.into()), "{when}");
        for screen in ["rags", "due"] {
            let text = flat(&shop.columns(80).run(screen).fits().ok());
            assert!(text.contains(said), "{screen} at {when}: {text}");
            let lying =
                if screen == "rags" { format!("{hours} h") } else { format!("lying: {lot}, ") };
            assert!(text.contains(&lying), "{screen} at {when}: {text}");
        }
    }
    let text = shop.run("rags done --how \"soaked, lidded can, taken outside\"").ok();
    assert!(text.starts_with("rags done: rags of "), "{text}");
    assert_eq!(
        shop.run("rags").ok(),
        "No rags are open: every coat's rags are recorded as dealt with.\n"
    );
    assert!(!shop.run("due").ok().contains("RAGS"));
}

/// Rags that are said not to heat stay open too, but do not hide older or newer ones that may.
#[test]
fn the_rags_that_may_heat_set_the_words() {
    let mut shop = little_known();
    let board = sanded(&shop, "boards", "board oil");
    shop.run(&format!("done {board}")).ok();
    shop.at("2026-03-02 18:30");
    let text = flat(&shop.run("due").ok());
    assert!(text.contains("They are said not to catch fire by themselves"), "{text}");
    let pegs = sanded(&shop, "pegs", "danish");
    shop.run(&format!("done {pegs}")).ok();
    let text = flat(&shop.run("rags").ok());
    assert!(text.starts_with("Put them under water in a lidded metal can"), "{text}");
    assert!(text.contains("said not to catch fire by itself (its class)"), "{text}");
    assert!(text.contains("can catch fire by itself (its class)"), "{text}");
}

#[test]
fn rags_of_which_nobody_knows_are_treated_as_if_they_could() {
    let mut shop = little_known();
    let lot = sanded(&shop, "knobs", "over");
    shop.run(&format!("done {lot}")).ok();
    shop.run("rags done --how \"soaked, lidded can, taken outside\"").ok();
    shop.at("2026-03-03 09:00").run(&format!("done {lot}")).ok();
    let text = flat(&shop.at("2026-03-03 19:00").run("rags").ok());
    assert!(
        text.contains("unknown: treat as if they can") && text.contains("they have lain all day."),
        "{text}"
    );
}

/// What would let them catch fire is answered with the caution, and they stay open.
#[test]
fn rags_said_to_lie_in_a_bin_stay_open_until_said_again() {
    let mut shop = little_known();
    let lot = sanded(&shop, "pegs", "danish");
    shop.run(&format!("done {lot}")).ok();
    for how in [
        "put in the bin",
        "threw them in the trash",
        "in a heap by the door",
        "garbage bag",
        "in my pocket",
        "burned in the wood stove",
        "in the wooodstove",
        "rubbish",
        "folded up in a drawer",
        "in teh dustbn",
    ] {
        let error = shop
            .columns(80)
            .run(&format!("rags done --how \"{how}\""))
            .fits()
            .refused("rags-can-burn");
        assert!(flat(&error).contains("get out, call the fire service"), "{how}: {error}");
        assert!(error.contains("tackfree rags done --how"), "{how}: {error}");
        assert_eq!(shop.json("rags")["open"].as_array().unwrap().len(), 1, "{how}");
    }
    for how in [
        "soaked, sealed bag, outdoor bin",
        "under water in the metal bin",
        "rag can, lid on",
        "laid flat in the yard",
        "the council took the bag",
    ] {
        shop.run(&format!("rags done --how \"{how}\"")).ok();
        shop.run("undo --why again").ok();
    }
    let board = sanded(&shop, "boards", "board oil");
    shop.run(&format!("done {board}")).ok();
    let entry = shop.json("rags")["open"][1]["entry"].to_string();
    shop.run(&format!("rags done {entry} --how \"in the bin\"")).ok();
}

#[test]
fn what_is_said_changes_at_each_step_and_only_there() {
    for (minutes, expected) in [
        (0, Lain::Fresh),
        (119, Lain::Fresh),
        (120, Lain::Hours),
        (8 * 60 - 1, Lain::Hours),
        (8 * 60, Lain::Day),
        (12 * 60 - 1, Lain::Day),
        (12 * 60, Lain::Night),
        (24 * 60 - 1, Lain::Night),
        (24 * 60, Lain::Days),
        (400 * 24 * 60, Lain::Days),
    ] {
        assert_eq!(Lain::of(Span::minutes(minutes)), expected, "{minutes} min");
    }
}

#[test]
fn every_step_names_what_to_do_and_what_may_smoke_the_fire_service_first() {
    let all = [Lain::Fresh, Lain::Hours, Lain::Day, Lain::Night, Lain::Days];
    for lain in all {
        assert_eq!(never_printed(lain.says()), None);
        let fire = "Smoke, heat or a sharp smell: leave it, get out, call the fire service.";
        assert_eq!(lain.says().starts_with(fire), lain >= Lain::Hours, "{lain:?}");
    }
    assert!(all.windows(2).all(|pair| pair[0].says().len() <= pair[1].says().len()));
}
