//! Questions as people type them, and what each answer must hold.
//!
//! Columns of `tests/data/questions`: the question; what goes to `--where`; the topic it belongs to, for the reader;
//! patterns joined by ` && `, each to be found in the first four lines of the answer (in the first two where `why` begins
//! with EMERGENCY); patterns that may not stand in the first six (`A before B`: A not ahead of the first B); why. Blank lines
//! don't count, and a line's end is a blank.

use fancy_regex::Regex;
use tackfree::reference;

use crate::reference::never::never_printed;
use tackfree::report::caution::answer::Answer;
use tackfree::report::{Page, Report as _};

/// Given, and a second set written down before any answer to it was seen.
const SETS: [&str; 2] =
    [include_str!("../data/questions/given.csv"), include_str!("../data/questions/own.csv")];

/// Such words are no answer whatever stands beside them.
const VERDICTS: &str = r"(?i)\b(un)?safe(ly)?\b|harmless|\btoxic|no risk|risk-free|\b(perfectly|completely) fine\b|\bis (fine|ok|okay)\b";

struct Question {
    text: String,
    place: Option<reference::Jurisdiction>,
    must: String,
    must_not: String,
    emergency: bool,
}

fn questions() -> Vec<Question> {
    let rows = SETS.iter().flat_map(|set| {
        let reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(set.as_bytes());
        reader.into_records().map(|row| row.unwrap()).collect::<Vec<_>>()
    });
    rows.map(|row| Question {
        text: row[0].to_owned(),
        place: (!row[1].is_empty()).then(|| row[1].parse().unwrap()),
        must: row[3].to_owned(),
        must_not: row[4].to_owned(),
        emergency: row[5].starts_with("EMERGENCY"),
    })
    .collect()
}

fn answer(question: &Question, columns: usize) -> Vec<String> {
    let mut page = Page::new(columns, false);
    Answer::new(&question.text, question.place, None).text(&mut page);
    let text = page.into_text();
    text.lines().filter(|line| !line.is_empty()).map(str::to_owned).collect()
}

fn found(pattern: &str, lines: &[String]) -> Option<usize> {
    let pattern = Regex::new(&format!("(?i){pattern}")).unwrap();
    let lines: Vec<&str> = lines.iter().map(|line| line.trim()).collect();
    pattern.find(&lines.join(" ")).unwrap().map(|found| found.start())
}

/// What is wrong with an answer.
fn faults(question: &Question) -> Vec<String> {
    let lines = answer(question, 80);
    let first = |count: usize| &lines[..count.min(lines.len())];
    let head = first(if question.emergency { 2 } else { 4 });
    let missing = question.must.split(" && ").filter(|must| found(must, head).is_none());
    let stray =
        question.must_not.split(" && ").filter(|pattern| match pattern.split_once(" before ") {
            Some((one, other)) => {
                let (one, other) = (found(one, first(6)), found(other, first(6)));
                one.is_some_and(|one| other.is_none_or(|other| one < other))
            }
            None => !pattern.is_empty() && found(pattern, first(6)).is_some(),
        });
    let missing = missing.map(|must| format!("lacks {must}"));
    missing.chain(stray.map(|stray| format!("holds {stray}"))).collect()
}

#[test]
fn every_question_is_answered() {
    let questions = questions();
    assert!(questions.len() >= 150, "{}", questions.len());
    let mut wrong = Vec::new();
    for question in &questions {
        let faults = faults(question);
        if !faults.is_empty() {
            wrong.push(format!(
                "{}: {faults:#?}\n{}",
                question.text,
                answer(question, 80).join("\n")
            ));
        }
    }
    assert!(wrong.is_empty(), "{} of {}:\n{}", wrong.len(), questions.len(), wrong.join("\n\n"));
}

#[test]
fn no_answer_is_long_or_holds_a_verdict() {
    let verdict = Regex::new(VERDICTS).unwrap();
    for question in questions() {
        for columns in [60, 80] {
            let lines = answer(&question, columns);
            assert!(columns < 80 || lines.len() <= 12, "{}: {lines:#?}", question.text);
            let text = lines.join(" ");
            assert_eq!(never_printed(&text), None, "{}: {text}", question.text);
            assert!(!verdict.is_match(&text).unwrap(), "{}: {text}", question.text);
        }
    }
}

/// Whoever stands beside it types badly: the words in any order, one letter wrong, in the plural.
#[test]
fn an_emergency_is_found_however_it_is_typed() {
    for (right, typed) in [
        ("smoke", ["smok", "smoek", "smkoe", "ssmoke", "smoking"].as_slice()),
        ("burning", &["burnign", "burnning", "buring"]),
        ("glowing", &["glowwing", "golwing", "gloing"]),
        ("swallowed turps", &["swalowed turps", "turps swallwed", "swollowed turps"]),
        ("eye", &["eyes", "eey", "eyee"]),
        ("dizzy", &["dizy", "dizzzy", "dizyz"]),
        ("faint", &["faintt", "fainted", "fiant"]),
        ("rash", &["rashes", "rassh", "rsah"]),
        ("skin", &["skinn", "sikn"]),
        ("cant breathe", &["cant breathe", "cant breeathe", "breath cant"]),
        ("hot rags", &["rags hot", "hot rgas", "hott rag"]),
    ] {
        let wanted = reference::find(right).emergency.unwrap_or_else(|| panic!("{right}")).answer;
        for typed in typed {
            let found =
                reference::find(typed).emergency.unwrap_or_else(|| panic!("{typed}")).answer;
            assert!(std::ptr::eq(found, wanted), "{typed}: {found:?}");
        }
    }
}

/// No idiom of the word list may swallow the word that matters.
#[test]
fn a_fire_is_a_fire_however_it_is_put() {
    let fire = reference::find("smoke").emergency.unwrap().answer;
    for text in [
        "smoke in the rag bin",
        "the smoke alarm is going off",
        "the rags started to burn",
        "the rag heap gets hot",
        "my towels burst into flames",
        "bin went up in flames near my hand",
        "i can see smoke near the bench",
        "there is smoke while nobody is in the shed",
    ] {
        let found = reference::find(text).emergency.unwrap_or_else(|| panic!("{text}"));
        assert!(std::ptr::eq(found.answer, fire), "{text}: {found:?}");
    }
}

#[test]
fn a_word_that_the_language_has_is_not_bent_to_another() {
    for (question, not) in
        [("vegan", "began"), ("drain", "grain"), ("fair", "air"), ("wife", "wine")]
    {
        let (one, other) = (reference::find(question), reference::find(not));
        assert_ne!(format!("{one:?}"), format!("{other:?}"), "{question} and {not}");
    }
    let grain = reference::find("a stain like grain, wife wants bread");
    assert!(grain.answers.iter().all(|hit| !hit.answer.says[0].contains("sink")), "{grain:?}");
}

#[test]
fn the_place_named_in_a_question_is_heard_and_the_pronoun_is_none() {
    for (question, place) in [
        ("wood dust limit in Britain", Some("UK")),
        ("how much beech dust is allowed in Germany", Some("DE")),
        ("can we post oil in the US", Some("US")),
        ("tell us about dust", None),
    ] {
        let found = reference::find(question).place.map(|place| place.to_string());
        assert_eq!(found.as_deref(), place, "{question}");
    }
}

#[test]
fn nonsense_finds_nothing_and_no_text_breaks_it() {
    for text in ["", "   ", "???", "zzzzqqqq xxyyxx", "is it the"] {
        let found = reference::find(text);
        assert!(found.topic().is_none(), "{text:?}: {found:?}");
    }
    assert_eq!(reference::find(&"rag ".repeat(20_000)).topic().unwrap().name, "rags");
    for text in ["ünïcödé räg 🔥", "\u{0}\u{202e}rags", "''''’’’", "ﬁre İ ß"] {
        drop(reference::find(text));
    }
}

#[test]
fn a_wood_finds_the_statements_that_name_it() {
    let ids = |wood| reference::dust_of(wood).iter().map(|s| s.id.as_str()).collect::<Vec<_>>();
    assert_eq!(ids("iroko"), ["D11"]);
    assert_eq!(ids("European beech"), ["D5"]);
    assert_eq!(ids("Western red cedar"), ["D3", "D5", "D11", "D15"]);
    assert!(ids("cherry").is_empty());
    assert!(ids("").is_empty());
}

proptest::proptest! {
    #![proptest_config(proptest::test_runner::Config { failure_persistence: None, ..Default::default() })]

    /// Any text at all gives an answer, the same one twice.
    #[test]
    fn any_text_is_answered_alike_twice(text in "\\PC{0,60}") {
        let (one, two) = (reference::find(&text), reference::find(&text));
        proptest::prop_assert_eq!(format!("{one:?}"), format!("{two:?}"));
    }
}
