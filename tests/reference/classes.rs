//! The finish classes: what each supplies, marked, and that unknown stays unknown.

use std::collections::BTreeSet;

use tackfree::reference;

const WANTED: &[&str] = &[
    "raw drying oil",
    "polymerised drying oil",
    "drying oil with driers",
    "oil and wax",
    "hardening two-part oil",
    "wiping varnish",
    "shellac",
    "hard wax without oil",
    "non-drying mineral oil and wax",
];

#[test]
fn the_classes_of_the_trade_are_there() {
    let kinds: Vec<&str> = reference::classes().iter().map(|class| class.kind.as_str()).collect();
    assert_eq!(kinds, WANTED);
}

#[test]
fn a_kind_is_found_by_any_of_its_names_in_any_case() {
    for (name, kind) in [
        ("polymerised drying oil", "polymerised drying oil"),
        ("Polymerised  Drying Oil", "polymerised drying oil"),
        ("BLO", "drying oil with driers"),
        ("butcher block oil", "non-drying mineral oil and wax"),
        ("hard-wax oil", "oil and wax"),
        ("danish", "drying oil with driers"),
        // As ledgers of the first days have it.
        ("hard wax", "hard wax without oil"),
    ] {
        assert_eq!(reference::class(name).map(|class| class.kind.as_str()), Some(kind), "{name}");
    }
    assert!(reference::class("house paint").is_none());
    for (word, several) in [
        ("hard wax", ["oil and wax", "hard wax without oil"]),
        ("tung oil", ["raw drying oil", "wiping varnish"]),
        ("linseed", ["raw drying oil", "drying oil with driers"]),
    ] {
        let called = reference::classes_called(word);
        let called: Vec<&str> = called.iter().map(|class| class.kind.as_str()).collect();
        assert_eq!(called, several, "{word}");
    }
}

#[test]
fn a_non_drying_oil_does_not_harden_and_its_time_is_called_a_rest() {
    for kind in ["non-drying mineral oil and wax", "hard wax without oil"] {
        let class = reference::class(kind).unwrap();
        assert!(!class.hardens.value);
        assert!(
            class.supplies["cure"].mark.contains("rest")
                && class.supplies["cure"].mark.contains("not a cure"),
            "{kind}"
        );
    }
    let hardening = reference::classes().iter().filter(|class| class.hardens.value).count();
    assert_eq!(hardening, WANTED.len() - 2);
}

#[test]
fn everything_with_drying_oil_in_it_heats_itself_and_no_allergen_is_ruled_out() {
    for kind in &WANTED[..6] {
        assert_eq!(reference::class(kind).unwrap().supplies["self_heating"].value, "yes", "{kind}");
    }
    assert_eq!(reference::class("shellac").unwrap().supplies["self_heating"].value, "unknown");
    for class in reference::classes() {
        assert_eq!(
            class.supplies["contains"].value, "unknown",
            "{}: a class cannot know what is in a can",
            class.kind
        );
    }
}

#[test]
fn marks_name_statements_that_exist() {
    let marks = reference::classes().iter().flat_map(|class| class.supplies.values());
    for mark in marks.map(|supplied| &supplied.mark) {
        let words = mark.split(|c: char| !c.is_ascii_alphanumeric());
        let ids = words.filter(|word| {
            word.starts_with(['R', 'F', 'A'])
                && word.len() > 1
                && word[1..].chars().all(|c| c.is_ascii_digit())
        });
        for id in ids {
            assert!(reference::statement(id).is_some(), "{mark}: {id}");
        }
    }
}

#[test]
fn every_class_supplies_every_key_with_its_mark_and_no_name_stands_twice() {
    let first = &reference::classes()[0];
    let mut names = BTreeSet::new();
    for class in reference::classes() {
        assert!(class.supplies.keys().eq(first.supplies.keys()), "{}", class.kind);
        for supplied in class.supplies.values() {
            assert!(!supplied.value.is_empty() && !supplied.mark.is_empty(), "{}", class.kind);
        }
        for name in class.also.iter().chain([&class.kind]) {
            assert!(names.insert(name) && *name == name.to_lowercase(), "{name}");
        }
    }
    assert!(reference::class(reference::finishes::TWO_PART_OIL).is_some());
}
