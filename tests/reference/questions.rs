//! What a question in free text finds.

use tackfree::reference;

/// The fifteen questions of the material, with the topic that must come first.
pub(crate) const GIVEN: &[(&str, &str)] = &[
    ("can I leave the rags in a bin overnight", "rags"),
    ("paper towels with oil in the trash bag", "rags"),
    ("oily sawdust in the dust extractor", "rags"),
    ("mail oily rags to a friend / UN number", "rags"),
    ("is it food safe", "food"),
    ("when can I drink from the cup", "food"),
    ("mineral oil and beeswax FDA", "food"),
    ("walnut oil allergy", "allergens"),
    ("is tung oil a nut", "allergens"),
    ("how much fan for mineral spirits", "air"),
    ("is 25 percent LEL ok to breathe", "air"),
    ("wood dust limit in the UK", "dust"),
    ("cobalt drier or hardener isocyanate", "driers"),
    ("cloth or paper on the spinning lathe", "skin"),
];

/// Thirty more, as people type them, misspelt ones among them.
pub(crate) const MORE: &[(&str, &str)] = &[
    ("where do I throw the wipers after oiling", "rags"),
    ("spontanious combustoin", "rags"),
    ("my BLO cloths feel warm", "rags"),
    ("washing oily aprons in the machine", "rags"),
    ("can lindseed rags cach fire", "rags"),
    ("old tea towel soaked with danish oil, dustbin ok?", "rags"),
    ("tissues with tung oil in the waste basket", "rags"),
    ("can my kids eat cereal from the bowl", "food"),
    ("how long before hot soup", "food"),
    ("foodsafe finish for a salad bowl", "food"),
    ("is beech allowed for tableware in France", "food"),
    ("customer has a peanut alergy", "allergens"),
    ("hazlenut oil and epipen", "allergens"),
    ("do I have to tell buyers about walnuts", "allergens"),
    ("turpintine fumes give me a headache", "air"),
    ("do I need a resperator for thinner", "air"),
    ("white spirit exposure limit", "air"),
    ("pilot light near naptha", "air"),
    ("cocobolo makes me sneeze", "dust"),
    ("which mask for sanding", "dust"),
    ("how much beech dust is allowed in Germany", "dust"),
    ("two part oil without training", "driers"),
    ("what is MEKO", "driers"),
    ("mangenese siccative", "driers"),
    ("gloves while polishing on the lathe", "skin"),
    ("got thinners in my eye", "skin"),
    ("oil gone thick and stringy in the jar", "storage"),
    ("does an opened tin expire", "storage"),
    ("teething ring for a newborn", "toys"),
    ("what goes on the label for an online shop in Europe", "record"),
];

/// A second set, asked once the first had passed. One of them, `EN71`, taught the word list; nothing else was tuned to it.
const LATER: &[(&str, &str)] = &[
    ("Do I need to worry about used kitchen paper?", "rags"),
    ("greasy shop towels left on the bench over the weekend", "rags"),
    ("will steel wool with oil on it ignite", "rags"),
    ("how do I get rid of oily stuff", "rags"),
    ("rag can lid", "rags"),
    ("somebody put the oil cloths in the tumble dryer", "rags"),
    ("self combusting rags myth?", "rags"),
    ("cutting board for raw meat", "food"),
    ("does the EU have a wood rule for plates", "food"),
    ("beewax and mineral oil spoon", "food"),
    ("30 days cure really needed?", "food"),
    ("migration testing", "food"),
    ("cashew", "allergens"),
    ("my friend is allergic to soy", "allergens"),
    ("nut free workshop", "allergens"),
    ("open the window while using turps?", "air"),
    ("getting dizy from the varnish", "air"),
    ("lower explosive limit", "air"),
    ("ventilation formula", "air"),
    ("nosebleed after sanding oak", "dust"),
    ("is rosewood a sensitizer", "dust"),
    ("P3 filter for spalted beech", "dust"),
    ("part B training certificate", "driers"),
    ("cobolt", "driers"),
    ("hair caught in the chuck", "skin"),
    ("wash oil off hands", "skin"),
    ("lumps in old oil", "storage"),
    ("how long does a can keep after opening", "storage"),
    ("wooden blocks for a toddler", "toys"),
    ("customs declaration and care leaflet", "record"),
    ("EN71", "toys"),
    ("dishwasher", "record"),
];

fn first(question: &str) -> Option<&'static str> {
    reference::find(question).hits.first().map(|hit| hit.topic.name.as_str())
}

fn missed(questions: &[(&str, &str)]) -> Vec<String> {
    questions
        .iter()
        .filter(|(question, topic)| first(question) != Some(topic))
        .map(|(question, topic)| format!("{question}: wanted {topic}, got {:?}", order(question)))
        .collect()
}

fn order(question: &str) -> Vec<&'static str> {
    reference::find(question).hits.iter().map(|hit| hit.topic.name.as_str()).collect()
}

#[test]
fn the_fifteen_given_questions_find_their_topic_first() {
    let wrong = missed(GIVEN);
    assert!(wrong.is_empty(), "{wrong:#?}");
    let both = order("skin on my oil can, baby rattle finish");
    assert!(both.len() >= 2, "{both:?}");
    assert!(both[..2].contains(&"storage") && both[..2].contains(&"toys"), "{both:?}");
}

#[test]
fn of_thirty_more_at_least_27_find_their_topic_first() {
    assert_eq!(MORE.len(), 30);
    let wrong = missed(MORE);
    println!("{} of 30; missed: {wrong:#?}", 30 - wrong.len());
    assert!(wrong.len() <= 3, "{wrong:#?}");
}

#[test]
fn nine_in_ten_of_a_second_set_find_their_topic_first() {
    let wrong = missed(LATER);
    println!("{} of {}; missed: {wrong:#?}", LATER.len() - wrong.len(), LATER.len());
    assert!(wrong.len() * 10 <= LATER.len(), "{wrong:#?}");
}

#[test]
fn second_topics_of_a_question_come_too() {
    assert!(order("oily sawdust in the dust extractor").contains(&"dust"));
    assert!(order("mail oily rags to a friend / UN number").contains(&"record"));
}

#[test]
fn the_statement_that_answers_is_among_those_shown() {
    for (question, id) in [
        ("mail oily rags to a friend / UN number", "R31"),
        ("oily sawdust in the dust extractor", "R9"),
        ("walnut oil allergy", "A6"),
        ("is tung oil a nut", "A9"),
        ("wood dust limit in the UK", "D7"),
        ("skin on my oil can", "K5"),
    ] {
        let found = reference::find(question);
        let ids: Vec<&str> =
            found.hits[0].statements.iter().map(|statement| statement.id.as_str()).collect();
        assert!(ids.contains(&id), "{question}: {ids:?}");
    }
    let lel = reference::find("is 25 percent LEL ok to breathe");
    assert!(lel.hits[0].heard.iter().any(|heard| heard.right.starts_with("No, by far")));
}

#[test]
fn a_question_for_a_verdict_is_recognised_and_no_other() {
    for asks in [
        "is it food safe",
        "Is walnut oil toxic?",
        "is 25 percent LEL ok to breathe",
        "is it saffe to leave them",
        "when can I drink from the cup",
        "is this finish non-toxic",
    ] {
        assert!(reference::find(asks).verdict_asked, "{asks}");
    }
    for asks_not in [
        "wood dust limit in the UK",
        "paper towels with oil in the trash bag",
        "how much fan for mineral spirits",
        "safety data sheet section 3",
    ] {
        assert!(!reference::find(asks_not).verdict_asked, "{asks_not}");
    }
}

#[test]
fn why_no_verdict_is_given_and_who_gives_it_is_always_answered() {
    let topic_of = |text| reference::no_verdict(&reference::find(text)).map(|t| t.name.as_str());
    assert_eq!(topic_of("is it food safe"), Some("food"));
    assert_eq!(topic_of("is it safe"), Some("record"));
    assert_eq!(topic_of("wood dust limit in the UK"), None);
    for topic in reference::topics() {
        assert!(topic.no_verdict.len() > 40 && !topic.who_decides.is_empty(), "{}", topic.name);
    }
}

#[test]
fn a_wood_finds_the_statements_that_name_it() {
    let ids = |wood| reference::dust_of(wood).iter().map(|s| s.id.as_str()).collect::<Vec<_>>();
    assert_eq!(ids("iroko"), ["D11"]);
    assert_eq!(ids("European beech"), ["D5"]);
    assert_eq!(ids("beech wood"), ["D5"]);
    assert_eq!(ids("Western red cedar"), ["D3", "D5", "D11", "D15"]);
    assert!(ids("cherry").is_empty());
    assert!(ids("").is_empty());
}

#[test]
fn nonsense_finds_nothing_and_no_text_breaks_it() {
    for text in ["", "   ", "???", "zzzzqqqq xxyyxx", "is it the"] {
        assert!(reference::find(text).hits.is_empty(), "{text:?}: {:?}", order(text));
    }
    let long = "rag ".repeat(20_000);
    assert_eq!(first(&long), Some("rags"));
    for text in ["ünïcödé räg 🔥", "\u{0}\u{202e}rags", "''''’’’", "ﬁre İ ß"] {
        assert!(reference::find(text).hits.len() <= reference::topics().len());
    }
}

proptest::proptest! {
    #![proptest_config(proptest::test_runner::Config { failure_persistence: None, ..Default::default() })]

    /// Any text at all gives an answer, the same one twice, with scores in order.
    #[test]
    fn any_text_is_answered_alike_twice(text in "\\PC{0,60}") {
        let (one, two) = (reference::find(&text), reference::find(&text));
        proptest::prop_assert_eq!(&one, &two);
        proptest::prop_assert!(one.hits.windows(2).all(|pair| pair[0].score >= pair[1].score));
    }
}
