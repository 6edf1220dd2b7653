//! `caution --sources`: every statement with who says it and how that was checked.

use tackfree::reference::{self, Statement};

use crate::caution::flat;
use crate::harness::TestShop;

/// What a statement must be shown with, its lines joined.
fn whole(statement: &Statement) -> Vec<String> {
    let Statement { id, says, source, read, memory, worked_out, second, .. } = statement;
    let places: Vec<String> = statement.places.iter().map(ToString::to_string).collect();
    let mut parts =
        vec![format!("{id} ({}): {says}", places.join(", ")), format!("source: {source}")];
    parts.extend(read.iter().map(|page| format!("checked: read in {page}")));
    parts.extend(memory.iter().map(|what| format!("from memory, look it up: {what}")));
    parts.extend(worked_out.iter().map(|from| format!("worked out here from {from}")));
    parts.extend(second.iter().map(|says| format!("second source: {says}")));
    parts
}

#[test]
fn every_statement_and_claim_is_shown_as_its_file_has_it() {
    let mut shop = TestShop::bare();
    for topic in reference::topics() {
        for columns in [100, 60] {
            shop.columns(columns);
            let screen = flat(&shop.run(&format!("caution {} --sources", topic.name)).fits().ok());
            for part in topic.statements.iter().flat_map(whole) {
                assert!(screen.contains(&flat(&part)), "{part}\n{screen}");
            }
            for heard in &topic.heard {
                assert!(
                    screen.contains(&flat(&format!("WRONG: \"{}\"", heard.claim))),
                    "{heard:?}"
                );
                assert!(screen.contains(&flat(&format!("right: {}", heard.right))), "{heard:?}");
            }
        }
    }
}

#[test]
fn a_statement_is_shown_by_its_id() {
    let shop = TestShop::bare();
    let (_, statement) = reference::statement("R14").unwrap();
    for line in ["caution R14", "caution r14"] {
        let screen = flat(&shop.run(line).ok());
        for part in whole(statement) {
            assert!(screen.contains(&flat(&part)), "{part}\n{screen}");
        }
    }
    assert_eq!(shop.json("caution R14")["statement"]["id"], "R14");
}

/// With a place nothing is lost, and its own statements stand before the others.
#[test]
fn a_place_puts_its_own_first_and_loses_nothing() {
    let shop = TestShop::bare();
    for topic in reference::topics() {
        for place in ["US", "EU", "UK", "DE", "NZ"] {
            let shown = shop.json(&format!("caution {} --sources --where {place}", topic.name));
            let groups = shown["topics"][0]["statements"].as_array().unwrap().iter();
            let ids = groups.flat_map(|group| group["statements"].as_array().unwrap());
            let ids: Vec<&str> = ids.map(|statement| statement["id"].as_str().unwrap()).collect();
            assert_eq!(ids.len(), topic.statements.len());
            let distance =
                |id: &&str| reference::statement(id).unwrap().1.distance(place.parse().unwrap());
            assert!(ids.is_sorted_by_key(distance), "{} for {place}: {ids:?}", topic.name);
        }
    }
}

#[test]
fn without_a_topic_all_are_shown_and_a_question_finds_its_own() {
    let shop = TestShop::bare();
    let all = shop.json("caution --sources");
    assert_eq!(all["topics"].as_array().unwrap().len(), reference::topics().len());
    let rags = shop.json("caution rags --sources");
    assert_eq!(rags["topics"][0]["topic"], "rags");
    assert_eq!(shop.json("caution oily cloth --sources"), rags);
}
