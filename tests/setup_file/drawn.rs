//! The faults as a person sees them.

use snapbox::{assert_data_eq, str};
use tackfree::report::faults::render;
use tackfree::shop::setup::{read, starting_file};

fn drawn(text: &str, width: usize, colour: bool) -> String {
    render("shop.toml", text, &read(text).unwrap_err(), width, colour)
}

#[test]
fn a_fault_shows_its_line_and_what_to_write() {
    let text = starting_file()
        .replace("slots = 36", "slotts = 36")
        .replace("{ rub = \"P400\", each = \"15s\"", "{ rub = \"P410\", each = \"15s\"");
    assert_data_eq!(
        drawn(&text, 80, false),
        str![[r#"
shop.toml, line 32: slotts of "drip-1"
  slotts = 36
  Unknown key "slotts" in [[rack]]. Write one of name, room, slots, use. Did you
  mean "slots"?

shop.toml, line 86: step 7 of "three coats"
  { rub = "P410", each = "15s", strip = 12 },
  The grit "P410". Write a P grade of FEPA, one of P12 P16 P20 P24 P30 P36 P40
  P50 P60 P80 P100 P120 P150 P180 P220 P240 P280 P320 P360 P400 P500 P600 P800
  P1000 P1200 P1500 P2000 P2500. Did you mean "P400"?
"#]]
    );
}

#[test]
fn a_narrow_terminal_gets_narrow_pictures() {
    let text = starting_file().replace("strip = 12 },            # rub", "stripp = 12 },  # rub");
    assert_data_eq!(
        drawn(&text, 40, false),
        str![[r#"
shop.toml, line 86: step 7 of "three
coats"
  …ch = "15s", stripp = 12 },
  Unknown key "stripp" in a step. Write
  one of work, sand, raise, coat, rub,
  cure, each, wipe, strip, rest. Did you
  mean "strip"?
"#]]
    );
}

/// What a beginner gets wrong first.
#[test]
fn a_single_recoat_and_a_kind_with_two_meanings() {
    let text = starting_file()
        .replace("recoat = \"24h..7d\"", "recoat = \"24h\"")
        .replace("kind = \"polymerised drying oil\"", "kind = \"hard wax\"");
    assert_data_eq!(
        drawn(&text, 80, false),
        str![[r#"
shop.toml, line 45: kind of "house oil"
  kind = "hard wax"
  The kind "hard wax", which could mean more than one thing. Write the one the
  tin means, by a name of its own.
    oil and wax (oil-wax, oil wax blend, wax oil, board butter with drying
      oil, hard wax oil, hardwax oil)
    hard wax without oil (paste wax, carnauba wax, beeswax polish, wax paste,
      friction wax)

shop.toml, line 48: recoat of "house oil"
  recoat = "24h"
  "24h" is a single time. Write from one coat to the next, the shortest and the
  longest; "24h.." where the tin names no longest, as recoat = "24h..7d".
"#]]
    );
}

#[test]
fn more_than_twenty_faults_are_counted() {
    let racks = "[[rack]]\nslots = 1\nuse = []\n".repeat(22);
    let drawn = drawn(&format!("{}\n{racks}", starting_file()), 80, false);
    assert_eq!(drawn.matches("shop.toml, line").count(), 20);
    assert!(drawn.ends_with("\n\nAnd 46 more faults."), "{drawn}");
}

#[test]
fn colour_adds_only_colour() {
    let text = starting_file().replace("slots = 36", "slotts = 36");
    let plain = drawn(&text, 80, false);
    let coloured = drawn(&text, 80, true);
    assert_ne!(plain, coloured);
    assert_eq!(anstream::adapter::strip_str(&coloured).to_string(), plain);
}
