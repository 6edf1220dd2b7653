//! The faults as a person sees them.

use snapbox::{assert_data_eq, str};
use tackfree::report::faults::render;
use tackfree::shop::setup::{read, starting_file};

fn drawn(text: &str, width: usize, colour: bool) -> String {
    render("shop.toml", text, &read(text).unwrap_err(), width, colour)
}

#[test]
fn a_fault_shows_place_line_caret_and_what_was_expected() {
    let text = starting_file()
        .replace("slots = 36", "slotts = 36")
        .replace("{ rub = \"P400\", each = \"15s\"", "{ rub = \"P410\", each = \"15s\"");
    assert_data_eq!(
        drawn(&text, 80, false),
        str![[r#"
error: unknown key "slotts" in [[rack]]
  --> shop.toml:28:1
   |
28 | slotts = 36                            # how many pieces it holds
   | ^^^^^^
   = expected one of name, room, slots, use
   = did you mean "slots"?

error: the grit "P410"
  --> shop.toml:80:11
   |
80 |   { rub = "P410", each = "15s", strip = 12 },            # rub down betwe…
   |           ^^^^^^
   = expected a P grade of FEPA, one of P12 P16 P20 P24 P30 P36 P40 P50 P60 P80
     P100 P120 P150 P180 P220 P240 P280 P320 P360 P400 P500 P600 P800 P1000
     P1200 P1500 P2000 P2500
   = did you mean "P400"?
"#]]
    );
}

#[test]
fn a_narrow_terminal_gets_narrow_pictures() {
    let text = starting_file().replace("strip = 12 },            # rub", "stripp = 12 },  # rub");
    assert_data_eq!(
        drawn(&text, 40, false),
        str![[r#"
error: unknown key "stripp" in a step
  --> shop.toml:80:33
   |
80 | …h = "15s", stripp = 12 },  # rub …
   |             ^^^^^^
   = expected one of work, sand, raise,
     coat, rub, cure, each, wipe, strip,
     rest
   = did you mean "strip"?
"#]]
    );
}

#[test]
fn colour_adds_only_colour() {
    let text = starting_file().replace("slots = 36", "slotts = 36");
    let plain = drawn(&text, 80, false);
    let coloured = drawn(&text, 80, true);
    assert_ne!(plain, coloured);
    assert_eq!(anstream::adapter::strip_str(&coloured).to_string(), plain);
}
