//! How much of the reference was read, part read, or is from memory: counted twice, once by the program and once from the
//! plain text.

use tackfree::reference::{self, Agreement, TOPIC_FILES, Tally};

/// Counts from the text alone: lines that begin with `checked:`.
fn counted(text: &str) -> Tally {
    let mut tally = Tally::default();
    for how in text.lines().filter_map(|line| line.strip_prefix("checked: ")) {
        if how.starts_with("part read") {
            tally.part_read += 1;
        } else if how.starts_with("read") {
            tally.read += 1;
        } else if how.starts_with("from memory") {
            tally.from_memory += 1;
        } else if how.starts_with("worked out") {
            tally.worked_out += 1;
        }
    }
    tally
}

#[test]
fn the_counts_by_topic_are_those_of_the_files() {
    let mut all = Tally::default();
    println!(
        "{:<10} {:>4} {:>9} {:>11} {:>10}",
        "topic", "read", "part read", "from memory", "worked out"
    );
    for (file, text) in TOPIC_FILES {
        let topic = reference::topic(file.trim_end_matches(".txt")).unwrap();
        let tally = topic.tally();
        assert_eq!(tally, counted(text), "{file}");
        let sum = tally.read + tally.part_read + tally.from_memory + tally.worked_out;
        assert_eq!(sum, text.lines().filter(|line| line.starts_with("id: ")).count(), "{file}");
        println!(
            "{:<10} {:>4} {:>9} {:>11} {:>10}",
            topic.name, tally.read, tally.part_read, tally.from_memory, tally.worked_out
        );
        all.read += tally.read;
        all.part_read += tally.part_read;
        all.from_memory += tally.from_memory;
        all.worked_out += tally.worked_out;
    }
    println!(
        "{:<10} {:>4} {:>9} {:>11} {:>10}",
        "all", all.read, all.part_read, all.from_memory, all.worked_out
    );
}

/// What a second source said, counted, and that every exposure limit was put to one.
#[test]
fn exposure_limits_were_put_to_a_second_source() {
    let (mut agree, mut differ, mut none) = (0, 0, 0);
    for statement in reference::topics().iter().flat_map(|topic| &topic.statements) {
        match statement.second.as_ref().map(|second| second.agreement) {
            Some(Agreement::Agrees) => agree += 1,
            Some(Agreement::Differs | Agreement::Both) => differ += 1,
            Some(Agreement::NoneFound) => none += 1,
            None => {}
        }
    }
    println!("second source: agrees {agree}, differs in something {differ}, none found {none}");
    for id in [
        "S0", "S0b", "S0c", "D1", "D4", "D5", "D6", "D7", "D15", "T2", "T5", "M5", "M7", "A3", "A4",
    ] {
        let (_, statement) = reference::statement(id).unwrap();
        let second =
            statement.second.as_ref().unwrap_or_else(|| panic!("{id} has no second source"));
        assert_ne!(second.agreement, Agreement::NoneFound, "{id}");
    }
}

/// Nothing is shown as read that says of itself that it is from memory.
#[test]
fn a_statement_that_owns_up_to_memory_is_counted_as_memory() {
    for statement in reference::topics().iter().flat_map(|topic| &topic.statements) {
        if statement.says.to_lowercase().contains("from memory") {
            let shown = statement.check.to_string();
            assert!(shown.contains("from memory"), "{}: {shown}", statement.id);
        }
    }
}
