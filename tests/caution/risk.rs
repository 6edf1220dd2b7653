//! The short forms stand by themselves where the risk is, and nowhere else.

use crate::caution::{flat, little_known, sanded};
use crate::harness::TestShop;

/// The topics of the cautions a recording command answers with.
fn topics(answer: &serde_json::Value) -> Vec<&str> {
    let cautions = answer["cautions"].as_array().unwrap();
    cautions.iter().map(|caution| caution["topic"].as_str().unwrap()).collect()
}

fn short(topic: &str) -> String {
    flat(&tackfree::reference::short(topic).join(" "))
}

/// Sorrel Lane with a lot of three coats ready for its first.
fn ready_to_coat() -> TestShop {
    let shop = TestShop::open();
    shop.run("can open \"house oil\" --name K7 --litres 1 --maker-lot 24-118").ok();
    shop.run("batch open salt --recipe \"three coats\" --pieces 12").ok();
    shop.run("lot start salt --pieces 12 --from 6").ok();
    shop
}

#[test]
fn the_air_stands_before_a_session_and_the_rags_after_it() {
    let mut shop = ready_to_coat();
    shop.at("2026-03-02 13:20");
    let begun = flat(&shop.run("begin salt-1 --rack drip-1").ok());
    let sheet = "house oil: gives off 420 g/L of solvent; breathing limit 350 mg/m³, \
                 occupational limit on the sheet, 8 h (maker's technical sheet, revised 2025-04-01)";
    assert!(begun.contains(&format!("{sheet} {}", short("air"))), "{begun}");
    assert!(!begun.contains(&short("rags")), "{begun}");

    shop.at("2026-03-02 13:32");
    let done = flat(&shop.run("done salt-1").ok());
    let sheet = "house oil: rags can catch fire by themselves \
                 (maker's technical sheet, revised 2025-04-01)";
    assert!(done.contains(&format!("{sheet} {}", short("rags"))), "{done}");
    assert!(done.contains("Then: tackfree rags done --how \"…\""), "{done}");
    assert!(!done.contains(&short("air")), "{done}");

    // Rubbing down makes dust; what is done already needs no caution before it.
    shop.at("2026-03-03 14:00");
    assert_eq!(topics(&shop.json("begin salt-1")), ["dust"]);
    assert!(topics(&shop.json("done salt-1")).is_empty());
    assert!(topics(&shop.json("touch salt-1 tacky")).is_empty());
}

#[test]
fn what_nobody_knows_of_solvent_is_said_to_be_unknown() {
    let shop = little_known();
    let danish = sanded(&shop, "pegs", "danish");
    let text = flat(&shop.run(&format!("begin {danish}")).ok());
    let unknown = "danish: whether it gives off solvent is unknown: read its data sheet, sections 3 and 9; \
                   breathing limit unknown: its data sheet, section 8 \
                   (its class: some are thinned; the sheet says)";
    assert!(text.contains(&format!("{unknown} {}", short("air"))), "{text}");

    // No class knows it either.
    let over = sanded(&shop, "knobs", "over");
    shop.run(&format!("done {over} --can D1")).ok();
    let text = flat(
        &shop.run(&format!("begin {over} --anyway \"to see what is said of the next coat\"")).ok(),
    );
    assert!(text.contains("mystery: whether it gives off solvent is unknown"), "{text}");
    assert!(text.contains("(the setup says nothing)"), "{text}");
}

#[test]
fn no_air_caution_before_a_finish_that_gives_off_none() {
    let shop = little_known();
    let board = sanded(&shop, "boards", "board oil");
    assert!(topics(&shop.json(&format!("begin {board}"))).is_empty(), "its class says none");
    // The sheet says 0 g/L, but the second part may be an isocyanate.
    let parts = sanded(&shop, "parts", "parts");
    assert_eq!(topics(&shop.json(&format!("begin {parts}"))), ["driers"]);
}

#[test]
fn sanding_names_the_wood_where_the_reference_does() {
    let shop = little_known();
    for (batch, recipe, said) in [
        (
            "boards",
            "board oil",
            "iroko: Named as sensitising the lungs: western red cedar and iroko.",
        ),
        (
            "pegs",
            "danish",
            "The reference names few woods, and not cherry: that says nothing of its dust.",
        ),
        ("knobs", "parts", "The setup does not name the wood: look it up before it is sanded."),
    ] {
        shop.run(&format!("batch open {batch} --recipe \"{recipe}\" --pieces 5")).ok();
        shop.run(&format!("lot start {batch} --pieces 5 --rack shelf")).ok();
        let text = flat(&shop.run(&format!("begin {batch}-1")).ok());
        assert!(text.contains(&short("dust")) && text.contains(said), "{batch}: {text}");
    }
}

#[test]
fn the_setups_own_no_is_told_from_the_classes() {
    let shop = little_known();
    let parts = sanded(&shop, "parts", "parts");
    let text = flat(&shop.run(&format!("done {parts}")).ok());
    let own = "part oil: the setup says that rags don't catch fire by themselves; its data sheet and local rules decide \
               what becomes of them (maker's two-part sheet, no date)";
    assert!(text.contains(own) && !text.contains(&short("rags")), "{text}");
    assert!(text.contains("Then: tackfree rags done"), "{text}");

    let board = sanded(&shop, "boards", "board oil");
    let text = flat(&shop.run(&format!("done {board}")).ok());
    assert!(text.contains("board oil: rags are taken not to catch fire by themselves"), "{text}");
    assert!(text.contains("(its class: white mineral oil"), "{text}");
    assert!(!text.contains(&short("rags")), "{text}");

    // One that heats among several is enough, and so is one of which nobody knows.
    let pegs = sanded(&shop, "pegs", "danish");
    shop.run("batch open more --recipe parts --pieces 5").ok();
    shop.run("lot start more --pieces 5 --rack shelf --from 2").ok();
    let text = flat(&shop.run(&format!("done {pegs} more-1")).ok());
    assert!(
        text.contains("danish: rags can catch fire by themselves (its class: see R1"),
        "{text}"
    );
    assert!(text.contains(&short("rags")), "{text}");
}

#[test]
fn the_receiver_is_told_at_shipping() {
    let mut shop = ready_to_coat();
    shop.at("2026-03-02 13:20").run("done salt-1 --rack drip-1").ok();
    shop.at("2026-03-03 14:00").run("done salt-1").ok();
    shop.run("done salt-1").ok();
    shop.at("2026-03-04 14:30").run("done salt-1").ok();
    shop.at("2026-03-26 10:00").run("done salt-1").ok();
    shop.run("done salt-1").ok();
    let text = flat(&shop.run("ship salt-1 --pieces 2 --to \"the café\"").ok());
    for topic in ["record", "allergens", "food", "toys"] {
        assert!(text.contains(&short(topic)), "{topic}: {text}");
    }
    let answer = shop.json("ship salt-1 --to \"the café\"");
    assert_eq!(topics(&answer), ["record", "allergens", "food", "toys"]);
}
