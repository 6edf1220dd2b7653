//! `--where`: what stands first, and what the reference has nothing on.

use tackfree::reference::{self, Jurisdiction, Topic};

fn at(code: &str) -> Jurisdiction {
    code.parse().unwrap_or_else(|error| panic!("{error}"))
}

fn ids(topic: &Topic, code: &str) -> (Vec<String>, Vec<String>, usize) {
    let by = topic.for_jurisdiction(at(code));
    let names = |all: &[&reference::Statement]| all.iter().map(|s| s.id.clone()).collect();
    (names(&by.here), names(&by.wider), by.elsewhere.len())
}

#[test]
fn no_statement_is_lost_or_doubled_by_ordering() {
    for topic in reference::topics() {
        for jurisdiction in Jurisdiction::all() {
            let by = topic.for_jurisdiction(*jurisdiction);
            let mut lines: Vec<usize> =
                [by.here, by.wider, by.elsewhere].iter().flatten().map(|s| s.line).collect();
            lines.sort_unstable();
            let all: Vec<usize> = topic.statements.iter().map(|s| s.line).collect();
            assert_eq!(lines, all, "{} for {jurisdiction}", topic.name);
        }
    }
}

#[test]
fn germany_has_its_own_then_the_unions_then_what_holds_anywhere() {
    let rags = reference::topic("rags").unwrap();
    let (here, wider, _) = ids(rags, "DE");
    assert_eq!(here, ["R24", "R25"]);
    assert!(
        wider.contains(&"R27".to_owned()),
        "the Union's waste code holds in Germany: {wider:?}"
    );
    assert!(wider.contains(&"R1".to_owned()));
    assert!(!wider.contains(&"R17".to_owned()), "a US rule does not");
}

#[test]
fn the_uk_is_not_under_the_union() {
    let dust = reference::topic("dust").unwrap();
    let (here, wider, _) = ids(dust, "UK");
    assert!(here.contains(&"D7".to_owned()));
    assert!(!wider.contains(&"D6".to_owned()));
    assert_eq!(ids(dust, "GB"), ids(dust, "UK"));
}

#[test]
fn a_place_with_nothing_of_its_own_is_said_to_have_nothing() {
    let toys = reference::topic("toys").unwrap();
    assert!(toys.for_jurisdiction(at("NZ")).here.is_empty());
    let names: Vec<&str> =
        reference::nothing_on(at("FI")).iter().map(|topic| topic.name.as_str()).collect();
    assert!(!names.contains(&"food"), "Finland has a statement on food contact");
    assert!(names.contains(&"rags"));
}

#[test]
fn codes_are_read_in_any_case_and_others_are_refused_with_what_is_known() {
    assert_eq!("usa".parse::<Jurisdiction>().unwrap().code(), "US");
    assert_eq!(" germany ".parse::<Jurisdiction>().unwrap().code(), "DE");
    let refused = "Atlantis".parse::<Jurisdiction>().unwrap_err().to_string();
    assert!(refused.contains("Atlantis") && refused.contains("NZ"), "{refused}");
}
