//! Every file is embedded and reads; a file that lacks something, or says what it may not, is refused with file and line.

use std::collections::BTreeSet;
use std::path::Path;

use tackfree::reference::{
    self, FINISH_FILE, Fault, FaultKind, NEVER_PRINTED, TOPIC_FILES, WORD_FILE, never_printed,
};

/// A topic that is right, to be broken in one place at a time.
const GOOD: &str = "\
topic: trial
title: A trial topic
when: never
also: try
governs: Local rules, the authority having jurisdiction, licensed practice and the maker's data sheet govern.

== short
Do this now.

== do
- Do this, and
  go on with it.

== why
Because.

== no verdict
Nobody measured it.

== who decides
- the authority

== search
trial, error

== statements

id: Z1
says: A figure that was read, 5 mg.
where: US, EU
source: a law
clause: §1
year: 2020
checked: read in \"A page\"

== often heard

claim: It is fine.
right: It is not known.
met: seen
see: Z1
";

fn refused(text: &str) -> Fault {
    match reference::read_topic("trial.txt", text) {
        Ok(topic) => panic!("should have been refused: {topic:?}"),
        Err(fault) => fault,
    }
}

fn with(from: &str, to: &str) -> String {
    assert_eq!(GOOD.matches(from).count(), 1, "`{from}` should stand once in the trial topic");
    GOOD.replace(from, to)
}

#[test]
fn every_file_of_the_folder_is_embedded_as_it_stands() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("reference");
    let on_disk: BTreeSet<String> = std::fs::read_dir(&folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    let listed: Vec<(&str, &str)> =
        TOPIC_FILES.iter().copied().chain([FINISH_FILE, WORD_FILE]).collect();
    let names: BTreeSet<String> = listed.iter().map(|(name, _)| (*name).to_owned()).collect();
    assert_eq!(on_disk, names);
    for (name, text) in listed {
        assert_eq!(std::fs::read_to_string(folder.join(name)).unwrap(), text, "{name}");
    }
}

#[test]
fn every_embedded_file_reads() {
    reference::check().unwrap();
    assert_eq!(reference::topics().len(), TOPIC_FILES.len());
    for (topic, (file, _)) in reference::topics().iter().zip(TOPIC_FILES) {
        assert_eq!(format!("{}.txt", topic.name), *file);
    }
}

#[test]
fn the_trial_topic_reads() {
    let topic = reference::read_topic("trial.txt", GOOD).unwrap();
    assert_eq!(topic.what_to_do, ["Do this, and go on with it."]);
    assert_eq!(topic.statements[0].traced_to(), "reference/trial.txt:28");
}

#[test]
fn a_topic_without_a_field_or_section_is_refused() {
    for gone in [
        "topic: trial\n",
        "title: A trial topic\n",
        "when: never\n",
        "also: try\n",
        "Do this now.\n",
        "- Do this, and\n  go on with it.\n",
        "Because.\n",
        "Nobody measured it.\n",
        "- the authority\n",
        "trial, error\n",
        "== often heard\n\nclaim: It is fine.\nright: It is not known.\nmet: seen\nsee: Z1\n",
    ] {
        let fault = refused(&with(gone, ""));
        assert!(matches!(fault.kind, FaultKind::Missing { .. }), "without {gone:?}: {fault}");
    }
    let line = GOOD.lines().find(|line| line.starts_with("governs")).unwrap();
    assert!(matches!(refused(&with(line, "")).kind, FaultKind::Missing { field: "governs", .. }));
}

#[test]
fn a_statement_without_source_jurisdiction_or_check_is_refused_with_its_line() {
    for (gone, field) in [
        ("source: a law\n", "source"),
        ("where: US, EU\n", "where"),
        ("clause: §1\n", "clause"),
        ("year: 2020\n", "year"),
        ("checked: read in \"A page\"\n", "checked"),
        ("says: A figure that was read, 5 mg.\n", "says"),
    ] {
        let fault = refused(&with(gone, ""));
        assert_eq!((fault.file.as_str(), fault.line), ("trial.txt", 28), "{fault}");
        assert!(
            matches!(&fault.kind, FaultKind::Missing { what, field: f } if what == "statement Z1" && *f == field),
            "{fault}"
        );
    }
    assert!(matches!(refused(&with("source: a law", "source:")).kind, FaultKind::Missing { .. }));
    assert!(matches!(refused(&with("id: Z1\n", "")).kind, FaultKind::Missing { field: "id", .. }));
}

#[test]
fn unknown_words_are_refused_where_they_stand() {
    let fault = refused(&with("where: US, EU", "where: US, Atlantis"));
    assert_eq!((fault.line, fault.kind), (30, FaultKind::Place("US, Atlantis".to_owned())));
    let fault = refused(&with("checked: read in \"A page\"", "checked: heard it"));
    assert_eq!((fault.line, fault.kind), (34, FaultKind::Check("heard it".to_owned())));
    let fault = refused(&with("met: seen", "met: perhaps"));
    assert_eq!(fault.kind, FaultKind::Met("perhaps".to_owned()));
    let fault = refused(&with("year: 2020", "yaer: 2020"));
    assert_eq!((fault.line, fault.kind), (33, FaultKind::Unknown("yaer".to_owned())));
    let fault = refused(&with("== why", "== wherefore"));
    assert_eq!(fault.kind, FaultKind::Unknown("wherefore".to_owned()));
    let fault = refused(&with("- the authority", "the authority"));
    assert_eq!(fault.kind, FaultKind::Stray("the authority".to_owned()));
    let fault = refused(&with("year: 2020", "year: 2020\nsecond: perhaps"));
    assert_eq!(fault.kind, FaultKind::Second("perhaps".to_owned()));
}

#[test]
fn a_number_from_memory_says_to_look_it_up() {
    let memory = with("checked: read in \"A page\"", "checked: from memory");
    assert_eq!(refused(&memory).kind, FaultKind::NoLookUp("Z1".to_owned()));
    let said = memory.replace("5 mg.", "5 mg; look it up.");
    assert!(reference::read_topic("trial.txt", &said).is_ok());
    let part =
        with("checked: read in \"A page\"", "checked: part read in \"A page\"; from memory: 5 mg");
    assert_eq!(refused(&part).kind, FaultKind::NoLookUp("Z1".to_owned()));
    let words = part.replace("from memory: 5 mg", "from memory: the rest");
    assert!(reference::read_topic("trial.txt", &words).is_ok());
    // A clause is a number too: nobody may quote one that nobody looked up.
    let clause = memory.replace("read, 5 mg.", "read.");
    assert_eq!(refused(&clause).kind, FaultKind::NoLookUp("Z1".to_owned()));
    let unsplit = with("checked: read in \"A page\"", "checked: part read in \"A page\"");
    assert!(matches!(refused(&unsplit).kind, FaultKind::Check(_)));
}

#[test]
fn the_short_form_fits_three_lines_of_76_columns() {
    let four = with("Do this now.", "One.\nTwo.\nThree.\nFour.");
    assert_eq!(refused(&four).kind, FaultKind::Short { lines: 4, columns: 6 });
    let wide = "x".repeat(77);
    assert_eq!(
        refused(&with("Do this now.", &wide)).kind,
        FaultKind::Short { lines: 1, columns: 77 }
    );
    for topic in reference::topics() {
        assert_eq!(reference::short(&topic.name), topic.short.as_slice());
        assert!((1..=3).contains(&topic.short.len()), "{}", topic.name);
        assert!(topic.short.iter().all(|line| line.chars().count() <= 76), "{}", topic.name);
    }
}

#[test]
fn words_never_printed_are_refused_even_across_a_line_end() {
    for phrase in NEVER_PRINTED {
        for said in [
            (*phrase).to_owned(),
            phrase.to_uppercase(),
            phrase.replace(' ', "-"),
            phrase.replace(' ', "\n"),
        ] {
            let fault = refused(&with("Because.", &format!("It is {said}.")));
            assert_eq!(fault.kind, FaultKind::NeverPrinted(phrase), "{said}");
            assert_eq!(fault.line, 15, "{said}");
        }
    }
    assert_eq!(never_printed("made for food; safety glasses"), None);
}

/// The word file holds what people ask and prints nothing; everything else is printed.
#[test]
fn no_embedded_text_that_is_printed_holds_them() {
    for (name, text) in TOPIC_FILES.iter().chain([&FINISH_FILE]) {
        assert_eq!(never_printed(text), None, "{name}");
    }
}

#[test]
fn every_topic_says_what_governs_above_it() {
    for topic in reference::topics() {
        let governs = topic.governs.to_lowercase();
        for needed in [
            "local rules",
            "authority having jurisdiction",
            "licensed practice",
            "maker's data sheet",
            "govern",
        ] {
            assert!(governs.contains(needed), "{} lacks `{needed}`", topic.name);
        }
        assert!(!topic.who_decides.is_empty(), "{}", topic.name);
    }
}

#[test]
fn every_statement_is_traced_to_the_line_where_its_id_stands() {
    for (file, text) in TOPIC_FILES {
        let topic = reference::topic(file.trim_end_matches(".txt")).unwrap();
        for statement in &topic.statements {
            let line = text.lines().nth(statement.line - 1).unwrap();
            assert_eq!(line, format!("id: {}", statement.id));
            assert_eq!(statement.traced_to(), format!("reference/{file}:{}", statement.line));
            assert_eq!(reference::statement(&statement.id).unwrap().1, statement);
        }
    }
    assert!(reference::statement("no such id").is_none());
}
