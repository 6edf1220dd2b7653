//! The words that no screen says of a piece: on none of a long run of commands, as text, as JSON, or in a refusal.

use tackfree::reference;

use crate::caution::{flat, little_known, sanded};
use crate::harness::{Run, TestShop};
use crate::reference::never::{NEVER_PRINTED, never_printed};

/// Looks through everything a run said.
#[track_caller]
fn look(run: Run) -> Run {
    assert_eq!(never_printed(&run.stdout), None, "{run}");
    assert_eq!(never_printed(&run.stderr), None, "{run}");
    run
}

/// A command that only looks, as text and as JSON.
#[track_caller]
fn looks(shop: &TestShop, line: &str) {
    look(shop.run(line)).ok();
    look(shop.run(&format!("{line} --json"))).ok();
}

const LOOKING: [&str; 10] = [
    "due",
    "racks",
    "rags",
    "lot list",
    "batch list",
    "can list",
    "setup show",
    "setup check shop.toml",
    "ledger list",
    "caution",
];

#[test]
fn on_no_screen_of_a_lot_from_the_setup_to_the_customer() {
    let mut shop = little_known();
    for (batch, recipe) in [("boards", "board oil"), ("pegs", "danish"), ("knobs", "over")] {
        shop.at("2026-03-02 08:30");
        shop.run(&format!("batch open {batch} --recipe \"{recipe}\" --pieces 5")).ok();
        shop.run(&format!("lot start {batch} --pieces 5 --rack shelf")).ok();
        let lot = format!("{batch}-1");
        let early = look(shop.run(&format!("ship {lot} --to \"the café\"")));
        early.refused("uncured");
        for (day, clock) in (2..=6).flat_map(|day| [(day, "09:00"), (day, "09:15")]) {
            shop.at(&format!("2026-03-{day:02} {clock}"));
            // Some of these are refused, too early or out of turn: refusals are screens too.
            for line in [format!("begin {lot}"), format!("done {lot} --json")] {
                drop(look(shop.run(&line)));
            }
            looks(&shop, &format!("lot show {lot}"));
        }
        shop.at("2026-05-13 09:00");
        for line in LOOKING {
            looks(&shop, line);
        }
        drop(look(shop.run(&format!("begin {lot}"))));
        drop(look(shop.run(&format!("done {lot}"))));
        look(shop.run(&format!("ship {lot} --pieces 2 --to \"the café\""))).ok();
        look(shop.run(&format!("ship {lot} --to \"the café\" --json"))).ok();
        look(shop.run("rags done --how \"soaked, lidded can, taken outside\"")).ok();
        looks(&shop, "rags");
    }
}

#[test]
fn on_no_screen_of_the_reference_whatever_is_asked() {
    let shop = TestShop::open();
    looks(&shop, "caution --sources");
    for place in ["US", "EU", "UK", "DE", "NZ"] {
        looks(&shop, &format!("caution --where {place}"));
    }
    for topic in reference::topics() {
        looks(&shop, &format!("caution {}", topic.name));
        looks(&shop, &format!("caution {} --where DE", topic.name));
        looks(&shop, &format!("caution {} --sources", topic.name));
    }
    // A question may hold the very words: they are not said back.
    for phrase in NEVER_PRINTED {
        looks(&shop, &format!("caution is it {phrase}"));
        looks(&shop, &format!("caution zzqqx {phrase} zzqqx"));
    }
    look(shop.run("caution --help")).ok();
}

/// What a flow says at all is long enough for the test above to mean something.
#[test]
fn the_cautions_are_among_what_was_looked_through() {
    let shop = little_known();
    let lot = sanded(&shop, "pegs", "danish");
    let text = flat(&look(shop.run(&format!("done {lot}"))).ok());
    assert!(text.contains("They can set themselves on fire within hours."), "{text}");
}
