//! What a finish leaves out its class supplies, marked.

use tackfree::reference;
use tackfree::shop::setup::{KEYS, changes, read, to_toml};
use tackfree::units::Coverage;

const FILE: &str = "[shop]
name = \"Sorrel Lane Turnery\"
timezone = \"Europe/Dublin\"
[shop.hours]
mon = [\"08:30-12:30\"]
[[finish]]
name = \"house oil\"
kind = \"raw drying oil\"
recoat = \"24h..7d\"
";

#[test]
fn the_class_supplies_what_is_left_out_and_nothing_else() {
    let setup = read(FILE).unwrap();
    let finish = setup.finish("house oil").unwrap();
    assert_eq!(finish.recoat, "24h..7d".parse().unwrap());
    // The values of reference/finishes.txt, where the source of each stands beside it.
    assert_eq!(finish.cure, "30d".parse().unwrap());
    assert_eq!(finish.coverage, Some(Coverage::new(18.0).unwrap()));
    assert_eq!(finish.self_heating, Some(true));
    assert_eq!((finish.voc, &finish.air_limit, &finish.contains), (None, &None, &None));
    let marked: Vec<&str> = finish.from_class.keys().map(String::as_str).collect();
    assert_eq!(
        marked,
        [
            "coverage",
            "coverage_bare",
            "cure",
            "max_humidity",
            "min_temp",
            "q10",
            "self_heating",
            "sheet_temp",
            "soak",
            "use_within",
        ]
    );
    assert_eq!(finish.marked("coverage"), Some("common practice"));
}

/// The reference writes values in the setup file's notation; one that doesn't read would silently supply nothing.
#[test]
fn every_value_of_every_class_reads_and_is_marked() {
    for class in reference::classes() {
        for name in std::iter::once(&class.kind).chain(&class.also) {
            let file = FILE.replace("raw drying oil", name).replace("recoat = \"24h..7d\"\n", "");
            let setup = read(&file).unwrap_or_else(|faults| panic!("{name}: {faults:#?}"));
            let finish = &setup.finishes[0];
            for (key, supplied) in &class.supplies {
                assert!(KEYS.iter().any(|known| known.name == key), "{key}");
                let mark = finish.from_class.get(key);
                let known = supplied.value != reference::finishes::UNKNOWN;
                assert_eq!(mark, known.then_some(&supplied.mark), "{name}: {key}");
            }
        }
    }
}

#[test]
fn without_a_class_the_missing_times_are_named_in_one_fault() {
    let faults = read(&FILE.replace("kind = \"raw drying oil\"\n", "")).unwrap_err();
    assert_eq!(faults.len(), 1, "{faults:#?}");
    assert_eq!((faults[0].line, faults[0].column), (6, 1));
    assert!(faults[0].found.contains("no \"soak\", no \"cure\" in [[finish]]"), "{}", faults[0]);
    assert!(faults[0].expected.contains("or a kind whose class"), "{}", faults[0]);
}

#[test]
fn a_kind_that_no_class_has_is_a_fault_and_never_a_guess() {
    for (kind, meant, choices) in [
        ("raw dryng oil", Some("raw drying oil"), 9),
        ("house paint", None, 9),
        ("hard wax", None, 2),
    ] {
        let faults = read(&FILE.replace("raw drying oil", kind)).unwrap_err();
        assert_eq!(faults.len(), 1, "{faults:#?}");
        assert_eq!((faults[0].line, faults[0].column), (8, 8));
        assert_eq!(faults[0].suggestion.as_deref(), meant, "{kind}");
        assert_eq!(faults[0].choices.len(), choices, "{kind}: {:#?}", faults[0].choices);
    }
}

#[test]
fn the_class_and_the_file_together_must_make_sense() {
    let faults = read(&format!("{FILE}min_temp = 21.0\n")).unwrap_err();
    assert_eq!((faults[0].line, faults[0].column), (10, 12), "{faults:#?}");
}

#[test]
fn what_the_class_supplied_is_written_as_a_comment_and_reads_back() {
    let setup = read(FILE).unwrap();
    let text = to_toml(&setup);
    assert!(text.contains("# coverage = 18  # from the kind: common practice"), "{text}");
    assert_eq!(read(&text).unwrap(), setup);
}

#[test]
fn a_value_taken_from_the_class_to_the_file_is_a_change() {
    let old = read(FILE).unwrap();
    let new = read(&format!("{FILE}cure = \"30d\"\n")).unwrap();
    let said: Vec<String> = changes(Some(&old), &new).iter().map(ToString::to_string).collect();
    assert_eq!(said, ["finish \"house oil\": cure \"30d\" (from the kind) becomes \"30d\""]);
}
