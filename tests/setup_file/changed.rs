//! What loading a file over another would change, in sentences.

use tackfree::shop::setup::{Setup, changes, read, starting_file};

fn setup(text: &str) -> Setup {
    read(text).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

/// The sentences for the starting file with these replacements, each there once.
fn sentences(replaced: &[(&str, &str)]) -> Vec<String> {
    let mut text = starting_file().to_owned();
    for (old, new) in replaced {
        assert_eq!(text.matches(old).count(), 1, "{old}");
        text = text.replace(old, new);
    }
    changes(Some(&setup(starting_file())), &setup(&text)).iter().map(ToString::to_string).collect()
}

#[test]
fn nothing_changes_in_the_same_file() {
    assert!(sentences(&[]).is_empty());
    assert!(sentences(&[("slots = 36    ", "slots = 0x24")]).is_empty());
}

#[test]
fn a_first_load_adds_everything() {
    let first = setup(starting_file());
    let said: Vec<String> = changes(None, &first).iter().map(ToString::to_string).collect();
    assert_eq!(
        said,
        [
            "shop \"Sorrel Lane Turnery\" added",
            "room \"oil room\" added",
            "rack \"drip-1\" added",
            "rack \"loft\" added",
            "finish \"house oil\" added",
            "piece \"pinch bowl\" added",
            "recipe \"three coats\" added",
        ]
    );
}

#[test]
fn each_change_has_its_sentence() {
    for (old, new, sentence) in [
        ("hands = 1 ", "hands = 2 ", "shop \"Sorrel Lane Turnery\": hands 1 becomes 2"),
        (
            "Europe/Dublin",
            "Europe/Oslo",
            "shop \"Sorrel Lane Turnery\": timezone \"Europe/Dublin\" becomes \"Europe/Oslo\"",
        ),
        (
            "closed = [\"2026-03-17\", ",
            "closed = [",
            "shop \"Sorrel Lane Turnery\": closed [\"2026-03-17\", \"2026-04-03..2026-04-06\"] becomes [\"2026-04-03..2026-04-06\"]",
        ),
        (
            "fri = [\"08:30-12:30\", \"13:15-16:00\"]",
            "sat = [\"09:00-12:00\"]",
            "shop \"Sorrel Lane Turnery\": sat [\"09:00-12:00\"] added; fri [\"08:30-12:30\", \"13:15-16:00\"] left out",
        ),
        ("slots = 36", "slots = 40", "rack \"drip-1\": slots 36 becomes 40"),
        (
            "\"10m..20m\"",
            "\"10m..15m\"",
            "finish \"house oil\": soak \"10m..20m\" becomes \"10m..15m\"",
        ),
        (
            "revised = \"2025-04-01\"",
            "revised = \"2026-01-15\"",
            "finish \"house oil\": sheet revised, the sheet of 2026-01-15 instead of the sheet of 2025-04-01",
        ),
        (
            ", revised = \"2025-04-01\"",
            "",
            "finish \"house oil\": sheet revised, an undated sheet instead of the sheet of 2025-04-01",
        ),
        ("voc = 420 ", "# ", "finish \"house oil\": voc 420 left out"),
        (
            "self_heating = true  ",
            "# ",
            "finish \"house oil\": self_heating true becomes true (from the kind)",
        ),
        ("[12, 62]", "[12, 64]", "piece \"pinch bowl\": another profile"),
        (
            "{ rub = \"P400\", each = \"15s\"",
            "{ rub = \"P500\", each = \"15s\"",
            "recipe \"three coats\": new revision, its steps differ from step 7 on",
        ),
        (
            "  { work = \"pack\", each = \"45s\" },\n",
            "",
            "recipe \"three coats\": new revision, 11 steps instead of 12, different from step 12 on",
        ),
    ] {
        assert_eq!(sentences(&[(old, new)]), [sentence], "{new}");
    }
}

#[test]
fn a_renamed_rack_is_one_added_and_one_removed_in_the_order_of_the_files() {
    assert_eq!(
        sentences(&[("name = \"drip-1\"", "name = \"drip-9\""), ("slots = 240", "slots = 200")]),
        [
            "rack \"drip-9\" added",
            "rack \"loft\": slots 240 becomes 200",
            "rack \"drip-1\" removed"
        ]
    );
}

#[test]
fn a_sheet_revised_with_other_numbers_says_both() {
    assert_eq!(
        sentences(&[("2025-04-01", "2026-01-15"), ("cure = \"21d\"", "cure = \"28d\"")]),
        [
            "finish \"house oil\": sheet revised, the sheet of 2026-01-15 instead of the sheet of 2025-04-01",
            "finish \"house oil\": cure \"21d\" becomes \"28d\"",
        ]
    );
}

#[test]
fn a_recipe_for_another_piece_is_revised() {
    let other = "[[piece]]\nname = \"cup\"\n\n[[recipe]]\n";
    assert_eq!(
        sentences(&[("[[recipe]]\n", other), ("piece = \"pinch bowl\"", "piece = \"cup\"")]),
        [
            "piece \"cup\" added",
            "recipe \"three coats\": new revision, for the piece \"cup\" instead of \"pinch bowl\"",
        ]
    );
}
