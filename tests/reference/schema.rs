//! What must hold of the reference as a whole: it is all embedded, every statement says who says so and how that was checked,
//! every answer stands on statements, and nothing is printed that never is.

use std::collections::BTreeSet;
use std::path::Path;

use tackfree::reference::{
    self, Answer, FINISH_FILE, OTHER_WORDS, PLACE_FILE, Statement, TOPIC_FILES, Tally, WORD_FILE,
};

use crate::reference::never::{NEVER_PRINTED, never_printed};

fn statements() -> impl Iterator<Item = &'static Statement> {
    reference::topics().flat_map(|topic| &topic.statements)
}

fn answers() -> impl Iterator<Item = &'static Answer> {
    reference::topics().flat_map(|topic| topic.emergencies.iter().chain(&topic.answers))
}

#[test]
fn every_file_of_the_folder_is_embedded_as_it_stands() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("reference");
    let on_disk: BTreeSet<String> = std::fs::read_dir(&folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    let others = [FINISH_FILE, WORD_FILE, OTHER_WORDS, PLACE_FILE];
    let listed: Vec<(&str, &str)> = TOPIC_FILES.iter().copied().chain(others).collect();
    let names: BTreeSet<String> = listed.iter().map(|(name, _)| (*name).to_owned()).collect();
    assert_eq!(on_disk, names);
    for (name, text) in listed {
        assert_eq!(std::fs::read_to_string(folder.join(name)).unwrap(), text, "{name}");
    }
    for ((file, _), topic) in TOPIC_FILES.iter().zip(reference::topics()) {
        assert_eq!(*file, format!("{}.toml", topic.name));
    }
}

#[test]
fn names_and_ids_are_given_once_and_what_is_referred_to_is_there() {
    let mut names = BTreeSet::new();
    for topic in reference::topics() {
        for name in topic.also.iter().chain([&topic.name]) {
            assert!(names.insert(name) && *name == name.to_lowercase(), "{name}");
        }
        for id in topic.heard.iter().flat_map(|heard| &heard.see) {
            assert!(reference::statement(id).is_some(), "{}: {id}", topic.name);
        }
    }
    let mut ids = BTreeSet::new();
    for statement in statements() {
        assert!(ids.insert(&statement.id), "{}", statement.id);
        assert_eq!(reference::statement(&statement.id).unwrap().1, statement);
    }
    assert!(reference::statement("no such id").is_none());
}

/// A number or a clause that nobody looked up says so where it is read.
#[test]
fn every_statement_says_how_it_was_checked_and_memory_owns_up_to_it() {
    let digit = |text: &str| text.chars().any(|c| c.is_ascii_digit());
    for statement in statements() {
        let Statement { id, says, places, source, read, memory, worked_out, second, .. } =
            statement;
        assert!(!says.is_empty() && !source.is_empty() && !places.is_empty(), "{id}");
        assert!(
            read.is_some() || memory.is_some() || worked_out.is_some(),
            "{id}: how was it checked?"
        );
        assert!(worked_out.is_none() || memory.is_none(), "{id}");
        let unread = memory.as_ref().is_some_and(|memory| {
            digit(memory) || (read.is_none() && (digit(says) || digit(source)))
        });
        assert!(!unread || says.to_lowercase().contains("look it up"), "{id}: {says}");
        let known = ["agrees", "differs", "none found"];
        let second =
            second.as_ref().is_none_or(|text| known.iter().any(|word| text.starts_with(word)));
        assert!(second, "{id}");
        if says.to_lowercase().contains("from memory") {
            assert!(memory.is_some(), "{id}");
        }
    }
}

/// What was read once goes stale: each statement says when it was last held against its source, and what had none.
#[test]
fn every_statement_was_held_against_its_source() {
    for Statement { id, read, worked_out, checked, .. } in statements() {
        let (when, how) = checked.split_once(' ').unwrap_or_else(|| panic!("{id}: {checked}"));
        assert!("2026-11" <= when && when.len() == 7, "{id}: {when}");
        let sourced = read.is_some() || worked_out.is_some();
        let known: &[&str] = if sourced { &["page", "notes"] } else { &["none"] };
        assert!(known.contains(&how), "{id}: {how}");
    }
}

#[test]
fn fewer_than_twenty_statements_are_from_memory() {
    let mut all = Tally::default();
    for topic in reference::topics() {
        let tally = topic.tally();
        println!("{:<10} {tally:?}", topic.name);
        all.read += tally.read;
        all.part_read += tally.part_read;
        all.from_memory += tally.from_memory;
        all.worked_out += tally.worked_out;
    }
    println!("{:<10} {all:?}", "all");
    assert_eq!(all.read + all.part_read + all.from_memory + all.worked_out, statements().count());
    assert!(all.from_memory < 20, "{all:?}");
}

/// An answer stands on statements, defers, and fits; what to do now is two lines.
#[test]
fn answers_stand_on_statements_and_are_short() {
    for answer in answers() {
        let first = answer.says.iter().chain(answer.by_place.values()).next().unwrap();
        assert!(!answer.see.is_empty(), "{first}");
        for id in &answer.see {
            assert!(reference::statement(id).is_some(), "{first}: {id}");
        }
        let authority = answer.authority.as_deref().unwrap_or("fire");
        let uk = reference::authority(authority, "UK".parse().unwrap());
        assert!(uk.is_some() || authority == "vet", "{authority}");
    }
    for topic in reference::topics() {
        for emergency in &topic.emergencies {
            assert!(
                emergency.says.len() == 2 && emergency.says[0].starts_with("NOW: "),
                "{emergency:?}"
            );
            assert!(emergency.says.iter().all(|line| line.len() <= 80), "{emergency:?}");
        }
        assert!((1..=3).contains(&topic.short.len()), "{}", topic.name);
        assert!(topic.short.iter().all(|line| line.chars().count() <= 76), "{}", topic.name);
        assert_eq!(reference::short(&topic.name), topic.short.as_slice());
        assert!(topic.no_verdict.len() > 40 && !topic.who_decides.is_empty(), "{}", topic.name);
        assert!(
            reference::authority(&topic.authority, "DE".parse().unwrap()).is_some(),
            "{}",
            topic.name
        );
    }
}

#[test]
fn no_embedded_text_that_is_printed_holds_words_never_printed() {
    for (name, text) in TOPIC_FILES.iter().chain([&FINISH_FILE, &PLACE_FILE]) {
        assert_eq!(never_printed(text), None, "{name}");
    }
    for phrase in NEVER_PRINTED {
        for said in [phrase.to_uppercase(), phrase.replace(' ', "-"), phrase.replace(' ', "\n")] {
            assert_eq!(never_printed(&format!("It is {said}.")), Some(*phrase));
        }
    }
    assert_eq!(never_printed("made for food; safety glasses"), None);
}

#[test]
fn what_governs_is_said() {
    let governs = reference::GOVERNS.to_lowercase();
    for needed in
        ["local rules", "authority having jurisdiction", "licensed practice", "maker's data sheet"]
    {
        assert!(governs.contains(needed), "{needed}");
    }
}
