//! The README's picture: drawn from `picture/flow.txt`, a box a line. `SNAPSHOTS=overwrite` draws it again.

use maud::html;
use snapbox::{Data, assert_data_eq};

const COLUMNS: usize = 3;
/// A box, and the gap between two, in pixels.
const WIDE: usize = 200;
const HIGH: usize = 84;
const GAP: usize = 46;

const STYLE: &str = "\
text{font:14px sans-serif;fill:#222;text-anchor:middle}.name{font-weight:bold}\
.command{font-family:monospace;font-size:13px}.box{fill:#f4efe6;stroke:#6b5b45}\
.arrow{fill:none;stroke:#6b5b45;stroke-width:2}\
@media(prefers-color-scheme:dark){text{fill:#eee}.box{fill:#2f2a24;stroke:#c9b48f}.arrow{stroke:#c9b48f}}";

/// The left upper corner of a box by its place.
fn corner(place: usize) -> (usize, usize) {
    (10 + place % COLUMNS * (WIDE + GAP), 10 + place / COLUMNS * (HIGH + GAP))
}

/// From a box to the one after it: to the right, or from a row's end to the next one's beginning.
fn arrow(place: usize) -> String {
    let ((x, y), (to_x, to_y)) = (corner(place), corner(place + 1));
    let middle = HIGH / 2;
    if y == to_y {
        format!("M{} {}H{}m-8-5l8 5l-8 5", x + WIDE, y + middle, to_x - 2)
    } else {
        let (down, between) = (x + WIDE / 2, y + HIGH + GAP / 2);
        format!("M{down} {}V{between}H{}V{}m-5-8l5 8l5-8", y + HIGH, to_x + WIDE / 2, to_y - 2)
    }
}

#[test]
fn the_flow_is_drawn_as_its_text_says() {
    let text = include_str!("picture/flow.txt");
    let boxes: Vec<Vec<&str>> = text.lines().map(|line| line.split(" | ").collect()).collect();
    let (last_x, last_y) = corner(boxes.len() - 1);
    let size = (last_x + WIDE + 10, last_y + HIGH + 10);
    let said = boxes.iter().map(|parts| parts[0]).collect::<Vec<_>>().join(", then ");
    let drawn = html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox=(format!("0 0 {} {}", size.0, size.1))
            width=(size.0) height=(size.1) role="img" aria-label=(said) {
            style { (STYLE) }
            @for (place, parts) in boxes.iter().enumerate() {
                @let (x, y) = corner(place);
                rect.box x=(x) y=(y) width=(WIDE) height=(HIGH) rx="6" {}
                @for (line, (class, part)) in ["name", "command", "tells"].iter().zip(parts).enumerate() {
                    text class=(class) x=(x + WIDE / 2) y=(y + 24 + line * 22) { (part) }
                }
                @if place + 1 < boxes.len() { path.arrow d=(arrow(place)) {} }
            }
        }
    };
    let drawn = drawn.into_string().replace("><", ">\n<") + "\n";
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/picture/flow.svg");
    assert_data_eq!(drawn, Data::read_from(file.as_ref(), None).raw());
}
