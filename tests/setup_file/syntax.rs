//! Faults of TOML itself, told once and at their place.

use super::faults::{each_gives_one_fault, faults, place, spoilt};

#[test]
fn syntax() {
    each_gives_one_fault(&[
        ("hands = 2", "hands = two", "two", "two without quotes", "text in quotes"),
        ("hands = 2", "hands = 2\nhands = 3", "hands = 3", "\"hands\" a second time", "once"),
    ]);
    let open = spoilt("[[room]]\nname = \"oil room\"", "[[room]]\nname = \"oil room");
    let found = faults(&open);
    assert_eq!(found.len(), 1, "{found:#?}");
    assert_eq!((found[0].line, found[0].column), (10, 17), "{}", found[0]);
    // Nothing after the sign: the fault is at the line's end.
    let text = spoilt("slots = 36", "slots =");
    let found = faults(&text);
    assert_eq!(found.len(), 1, "{found:#?}");
    assert_eq!((found[0].line, found[0].column), (15, 8), "{found:#?}");
}

#[test]
fn a_key_without_a_value_does_not_hide_what_comes_after() {
    let text = spoilt("timezone = \"Europe/Dublin\"", "timezone \"Europe/Dublin\"")
        .replace("slots = 36", "slots")
        .replace("\"P180\"", "\"P181\"");
    let found = faults(&text);
    let places: Vec<(usize, usize)> =
        found.iter().map(|fault| (fault.line, fault.column)).collect();
    let (line, column) = place(&text, "timezone");
    let (slots_line, slots_column) = place(&text, "slots\n");
    let expected = [
        (line, column + "timezone ".len()),
        (slots_line, slots_column + "slots".len()),
        place(&text, "\"P181\""),
    ];
    assert_eq!(places, expected, "{found:#?}");
}

#[test]
fn a_list_that_is_never_closed_is_one_slip() {
    let text = spoilt("\"13:15-17:30\"]", "\"13:15-17:30\"");
    let said: Vec<String> = faults(&text).iter().map(ToString::to_string).collect();
    assert_eq!(
        said,
        ["line 9, column 1: a line inside a list that is not closed; expected ] before this line",]
    );
    // The header above that line isn't in the list either, whatever is remarked between them.
    let text = text.replace("[[room]]\nname", "[[room]]\n# For oil alone.\nname");
    let found = faults(&text);
    assert_eq!((found.len(), found[0].line), (1, 9), "{found:#?}");
}

#[test]
fn a_table_that_should_be_a_list() {
    each_gives_one_fault(&[
        ("[[rack]]", "[rack]", "[rack]", "[rack]", "[[rack]]"),
        ("[shop]\n", "[[shop]]\n", "[[shop]]", "a list", "[shop]"),
    ]);
}
