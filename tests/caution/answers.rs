//! Questions in free text.

use serde_json::Value;

use crate::harness::TestShop;
use crate::reference::questions::{GIVEN, MORE};

fn first(shop: &TestShop, question: &str) -> Option<String> {
    let answer = shop.json(&format!("caution \"{question}\""));
    assert!(answer["found"].as_array().unwrap().len() <= 3, "{answer}");
    answer["found"][0]["topic"].as_str().map(str::to_owned)
}

#[test]
fn the_fifteen_given_questions_find_their_topic_first() {
    let shop = TestShop::bare();
    for (question, topic) in GIVEN {
        assert_eq!(first(&shop, question).as_deref(), Some(*topic), "{question}");
    }
    let answer = shop.json("caution \"skin on my oil can, baby rattle finish\"");
    let topics: Vec<&str> = answer["found"]
        .as_array()
        .unwrap()
        .iter()
        .map(|found| found["topic"].as_str().unwrap())
        .collect();
    assert!(topics[..2].contains(&"storage") && topics[..2].contains(&"toys"), "{topics:?}");
}

#[test]
fn of_thirty_more_at_least_27_find_their_topic_first() {
    let shop = TestShop::bare();
    let missed: Vec<&str> = MORE
        .iter()
        .filter(|(question, topic)| first(&shop, question).as_deref() != Some(*topic))
        .map(|(question, _)| *question)
        .collect();
    println!("{} of {}; missed: {missed:?}", MORE.len() - missed.len(), MORE.len());
    assert!(MORE.len() == 30 && missed.len() <= 3, "{missed:?}");
}

#[test]
fn words_without_quotes_are_the_same_question() {
    let shop = TestShop::bare();
    let quoted = shop.run("caution \"can I leave the rags in the bin overnight\"").ok();
    assert_eq!(shop.run("caution can I leave the rags in the bin overnight").ok(), quoted);
    assert!(quoted.starts_with("Oily rags and self-heating\nNOW: "), "{quoted}");
    assert!(quoted.ends_with("All of it: tackfree caution rags\n"), "{quoted}");
}

#[test]
fn a_verdict_asked_for_is_refused_with_why_and_who_gives_it() {
    let shop = TestShop::bare();
    for (question, topic) in [
        ("is it food safe", "food"),
        ("is it safe", "record"),
        ("is walnut oil toxic", "food"),
        ("is 25 percent LEL ok to breathe", "air"),
    ] {
        let line = format!("caution {question}");
        let text = shop.run(&line).ok();
        assert!(text.starts_with("No verdict is given here.\n"), "{question}: {text}");
        assert!(text.contains("\nWho gives it: "), "{question}: {text}");
        let verdict = shop.json(&line)["no_verdict"].clone();
        assert_eq!(verdict["topic"], topic, "{question}");
        assert!(!verdict["who_decides"].as_array().unwrap().is_empty(), "{question}");
    }
    assert_eq!(shop.json("caution wood dust limit in the UK")["no_verdict"], Value::Null);
}

#[test]
fn nothing_found_says_so_and_lists_the_topics() {
    let shop = TestShop::bare();
    let text = shop.run("caution zzzzqqqq xxyyxx").ok();
    assert!(text.starts_with("Nothing in the reference fits that."), "{text}");
    for topic in tackfree::reference::topics() {
        assert!(text.lines().any(|line| line.starts_with(&topic.name)), "{}: {text}", topic.name);
    }
    let answer = shop.json("caution zzzzqqqq xxyyxx");
    assert_eq!(answer["found"].as_array().unwrap().len(), 0);
    assert_eq!(answer["topics"].as_array().unwrap().len(), 10);
    assert_eq!(shop.json("caution rags in bins")["topics"].as_array().unwrap().len(), 0);
}

#[test]
fn a_question_for_a_place_brings_its_statements_first() {
    let shop = TestShop::bare();
    let answer = shop.json("caution \"wood dust limit\" --where UK");
    let first = &answer["found"][0];
    assert_eq!((&first["topic"], &answer["where"]["code"]), (&"dust".into(), &"UK".into()));
    let places = first["statements"][0]["places"].to_string();
    assert!(places.contains("\"UK\""), "{places}");
    let text = shop.run("caution rattle for a baby --where NZ").ok();
    assert!(text.contains("Nothing made for New Zealand itself on toys"), "{text}");
}

#[test]
fn a_place_the_reference_does_not_know_is_wrong_usage() {
    let shop = TestShop::bare();
    let error = shop.run("caution rags --where Atlantis").fails(2);
    assert!(error.contains("Atlantis") && error.contains("NZ"), "{error}");
}
