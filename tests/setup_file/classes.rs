//! What a finish leaves out its class supplies, marked.

use tackfree::shop::setup::{ClassValues, Classes, changes, read, read_with, to_toml};
use tackfree::units::{Celsius, Spread};

const FILE: &str = "[shop]
name = \"Sorrel Lane Turnery\"
timezone = \"Europe/Dublin\"
[shop.hours]
mon = [\"08:30-12:30\"]
[[finish]]
name = \"house oil\"
kind = \"drying oil\"
recoat = \"24h..7d\"
";

fn classes() -> Classes {
    let practice = || "common practice".to_owned();
    let oil = ClassValues {
        soak: Some(("10m..20m".parse().unwrap(), practice())),
        recoat: Some(("12h..3d".parse().unwrap(), practice())),
        cure: Some(("30d".parse().unwrap(), practice())),
        at: Some((Celsius::new(20.0).unwrap(), practice())),
        spread: Some((Spread::new(15.0).unwrap(), "a maker's sheet".to_owned())),
        self_heating: Some((true, practice())),
        ..ClassValues::default()
    };
    Classes::from([
        ("drying oil".to_owned(), oil),
        ("hard wax oil".to_owned(), ClassValues::default()),
    ])
}

#[test]
fn the_class_supplies_what_is_left_out_and_nothing_else() {
    let setup = read_with(FILE, &classes()).unwrap();
    let finish = setup.finish("house oil").unwrap();
    assert_eq!(finish.recoat, "24h..7d".parse().unwrap());
    assert_eq!(finish.cure, "30d".parse().unwrap());
    assert_eq!(finish.spread, Some(Spread::new(15.0).unwrap()));
    assert_eq!(finish.self_heating, Some(true));
    assert_eq!(finish.voc, None);
    let marks: Vec<(&str, &str)> =
        finish.from_class.iter().map(|(key, mark)| (key.as_str(), mark.as_str())).collect();
    assert_eq!(
        marks,
        [
            ("at", "common practice"),
            ("cure", "common practice"),
            ("self_heating", "common practice"),
            ("soak", "common practice"),
            ("spread", "a maker's sheet"),
        ]
    );
}

#[test]
fn without_the_class_the_missing_times_are_named_in_one_fault() {
    for (file, found, expected) in [
        (
            FILE.to_owned(),
            "no \"soak\", no \"cure\" in [[finish]]",
            "the kind \"drying oil\" is no class",
        ),
        (
            FILE.replace("kind = \"drying oil\"\n", ""),
            "no \"soak\", no \"cure\"",
            "or a kind whose class",
        ),
    ] {
        let faults = read(&file).unwrap_err();
        assert_eq!(faults.len(), 1, "{faults:#?}");
        assert_eq!((faults[0].line, faults[0].column), (6, 1));
        assert!(faults[0].found.contains(found), "{}", faults[0]);
        assert!(faults[0].expected.contains(expected), "{}", faults[0]);
    }
    let bare = FILE.replace("drying oil", "hard wax oil");
    let faults = read_with(&bare, &classes()).unwrap_err();
    assert!(faults[0].expected.contains("\"hard wax oil\" does not supply"), "{}", faults[0]);
}

#[test]
fn a_kind_nearly_known_is_a_slip_and_another_is_only_a_word() {
    let times = "soak = \"1m..2m\"\ncure = \"1d\"\n";
    let slip = format!("{}{times}", FILE.replace("drying oil", "dryng oil"));
    let faults = read_with(&slip, &classes()).unwrap_err();
    assert_eq!(faults.len(), 1, "{faults:#?}");
    assert_eq!((faults[0].line, faults[0].column), (8, 8));
    assert_eq!(faults[0].suggestion.as_deref(), Some("drying oil"));

    let own = format!("{}{times}", FILE.replace("drying oil", "shellac flakes"));
    let setup = read_with(&own, &classes()).unwrap();
    let finish = setup.finish("house oil").unwrap();
    assert_eq!(finish.kind.as_deref(), Some("shellac flakes"));
    assert!(finish.from_class.is_empty());
}

#[test]
fn the_class_and_the_file_together_must_make_sense() {
    let cold = format!("{FILE}lowest = 21.0\n");
    let faults = read_with(&cold, &classes()).unwrap_err();
    assert_eq!((faults[0].line, faults[0].column), (10, 10), "{faults:#?}");
}

#[test]
fn what_the_class_supplied_is_written_as_a_comment_and_reads_back() {
    let setup = read_with(FILE, &classes()).unwrap();
    let text = to_toml(&setup);
    assert!(text.contains("# cure = \"30d\"  # from the kind: common practice\n"), "{text}");
    assert_eq!(read_with(&text, &classes()).unwrap(), setup);
}

#[test]
fn a_value_taken_from_the_class_to_the_file_is_a_change() {
    let old = read_with(FILE, &classes()).unwrap();
    let new = read_with(&format!("{FILE}cure = \"30d\"\n"), &classes()).unwrap();
    let said: Vec<String> = changes(Some(&old), &new).iter().map(ToString::to_string).collect();
    assert_eq!(said, ["finish \"house oil\": cure \"30d\" (from the kind) becomes \"30d\""]);
}
