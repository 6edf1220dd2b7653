//! `--where`: what stands first, and whose word counts.

use tackfree::reference::{self, Jurisdiction, authority};

fn at(code: &str) -> Jurisdiction {
    code.parse().unwrap_or_else(|error| panic!("{error}"))
}

fn distance(id: &str, code: &str) -> u8 {
    reference::statement(id).unwrap().1.distance(at(code))
}

#[test]
fn germany_has_its_own_then_the_unions_then_what_holds_anywhere() {
    assert_eq!(distance("R24", "DE"), 0);
    assert_eq!(distance("R27", "DE"), 1, "the Union's waste code holds in Germany");
    assert_eq!(distance("R1", "DE"), 1);
    assert_eq!(distance("R17", "DE"), 2, "a US rule does not");
}

#[test]
fn the_uk_is_not_under_the_union() {
    assert_eq!((distance("D7", "UK"), distance("D6", "UK")), (0, 2));
    assert_eq!(at("GB"), at("UK"));
}

#[test]
fn a_place_names_its_own_authority_and_a_member_the_unions() {
    for code in ["AU", "CA", "EU", "NZ", "UK", "US"] {
        for subject in ["fire", "body", "work", "waste", "product", "food", "post", "insurer"] {
            assert!(authority(subject, at(code)).is_some(), "{subject} in {code}");
        }
    }
    assert_eq!(authority("body", at("FR")), authority("body", at("EU")));
    assert!(authority("body", at("NZ")).unwrap().contains("111"));
    assert!(authority("body", at("UK")).unwrap().contains("NHS 111"));
}

#[test]
fn codes_are_read_in_any_case_and_others_are_refused_with_what_is_known() {
    assert_eq!("usa".parse::<Jurisdiction>().unwrap(), at("US"));
    assert_eq!(" germany ".parse::<Jurisdiction>().unwrap(), at("DE"));
    let refused = "Atlantis".parse::<Jurisdiction>().unwrap_err().to_string();
    assert!(refused.contains("Atlantis") && refused.contains("NZ"), "{refused}");
}
