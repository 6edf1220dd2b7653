//! Every statement on a screen is traced to its source line: the screen is read, the file opened, and the two compared.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use tackfree::reference::{self, Jurisdiction};

use crate::caution::flat;
use crate::harness::TestShop;

/// A statement as a screen shows it: "R1 (anywhere): …", its source, its check, and the line it is traced to.
#[derive(Debug, Default, PartialEq, Eq)]
struct Shown {
    head: String,
    source: String,
    checked: String,
    second: String,
    trace: String,
}

/// Reads the statements off a screen, by the words their lines begin with.
fn on_screen(text: &str) -> BTreeMap<String, Shown> {
    let mut all = BTreeMap::new();
    let mut open: Option<(String, Shown, usize)> = None;
    for line in text.lines() {
        let head = line.split_once(" (").map(|(id, _)| id).filter(|id| is_id(id));
        if let Some(id) = head {
            assert!(open.is_none(), "{id} begins before another is traced:\n{text}");
            let shown = Shown { head: line.to_owned(), ..Shown::default() };
            open = Some((id.to_owned(), shown, 0));
            continue;
        }
        let Some((id, mut shown, mut part)) = open.take() else { continue };
        let line = line.trim();
        let parts = ["source: ", "checked: ", "second source: ", "reference/"];
        part = parts.iter().position(|word| line.starts_with(word)).map_or(part, |at| at + 1);
        let field = [
            &mut shown.head,
            &mut shown.source,
            &mut shown.checked,
            &mut shown.second,
            &mut shown.trace,
        ]
        .into_iter()
        .nth(part)
        .unwrap();
        *field = flat(&format!("{field} {line}"));
        if part == 4 {
            assert!(all.insert(id.clone(), shown).is_none(), "{id} is shown twice");
        } else {
            open = Some((id, shown, part));
        }
    }
    assert!(open.is_none(), "never traced: {open:?}");
    all
}

fn is_id(word: &str) -> bool {
    let letters = word.chars().take_while(char::is_ascii_uppercase).count();
    letters > 0 && word[letters..].starts_with(|c: char| c.is_ascii_digit()) && word.len() < 6
}

/// The fields of the block that begins on a line of a file, read here and not by the program.
fn block(trace: &str) -> BTreeMap<String, String> {
    let (file, line) = trace.rsplit_once(':').unwrap();
    let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(file)).unwrap();
    let line: usize = line.parse().unwrap();
    let mut fields: BTreeMap<String, String> = BTreeMap::new();
    let mut last = String::new();
    for line in text.lines().skip(line - 1).take_while(|line| !line.is_empty()) {
        if line.starts_with(' ') {
            let field = fields.get_mut(&last).unwrap();
            field.push(' ');
            field.push_str(line.trim());
        } else {
            let (key, value) = line.split_once(':').unwrap();
            key.clone_into(&mut last);
            fields.insert(last.clone(), value.trim().to_owned());
        }
    }
    fields
}

/// What the file says must be what the screen says, word for word.
fn compare(id: &str, shown: &Shown) {
    let file = block(&shown.trace);
    assert_eq!(file["id"], id, "{shown:?}");
    assert_eq!(shown.head, flat(&format!("{id} ({}): {}", file["where"], file["says"])));
    let clause = match file["clause"].as_str() {
        "none" => String::new(),
        clause => format!("; {clause}"),
    };
    assert_eq!(
        shown.source,
        flat(&format!("source: {}{clause}; {}", file["source"], file["year"]))
    );
    let checked = &file["checked"];
    let memory = checked.contains("from memory");
    assert!(shown.checked.starts_with(&format!("checked: {}", flat(checked))), "{shown:?}");
    assert_eq!(shown.checked.contains("look it up"), memory, "{id}: {}", shown.checked);
    let second = file.get("second").map(|says| flat(&format!("second source: {says}")));
    assert_eq!(shown.second, second.unwrap_or_default(), "{id}");
}

fn ids_in(file: &str) -> Vec<String> {
    let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(file)).unwrap();
    let mut ids: Vec<String> =
        text.lines().filter_map(|line| line.strip_prefix("id: ")).map(str::to_owned).collect();
    ids.sort();
    ids
}

#[test]
fn every_statement_of_every_topic_is_shown_as_its_file_has_it() {
    let mut shop = TestShop::bare();
    println!("{:<10} {:>4} {:>9} {:>11} {:>10}", "topic", "read", "part", "memory", "worked out");
    for topic in reference::topics() {
        for columns in [100, 80, 60] {
            shop.columns(columns);
            let screen = shop.run(&format!("caution {}", topic.name)).fits().ok();
            let shown = on_screen(&screen);
            let ids: Vec<String> = shown.keys().cloned().collect();
            assert_eq!(ids, ids_in(&format!("reference/{}.txt", topic.name)));
            for (id, shown) in &shown {
                compare(id, shown);
            }
            let count = |how: &str| {
                shown.values().filter(|s| s.checked.starts_with(&format!("checked: {how}"))).count()
            };
            let (read, part) = (count("read in"), count("part read"));
            let (memory, worked) = (count("from memory"), count("worked out"));
            assert_eq!(read + part + memory + worked, shown.len());
            let told = format!(
                "Statements: {read} read, {part} part read, {memory} from memory, {worked} worked out here."
            );
            assert!(flat(&screen).ends_with(&told), "{told}\n{screen}");
            if columns == 80 {
                println!("{:<10} {read:>4} {part:>9} {memory:>11} {worked:>10}", topic.name);
            }
        }
    }
}

#[test]
fn every_claim_often_heard_is_traced_too() {
    let shop = TestShop::bare();
    for topic in reference::topics() {
        let shown = shop.json(&format!("caution {}", topic.name));
        let heard = shown["often_heard"].as_array().unwrap();
        assert_eq!(heard.len(), topic.heard.len());
        let screen = flat(&shop.run(&format!("caution {}", topic.name)).ok());
        for line in heard {
            let file = block(line["traced_to"].as_str().unwrap());
            assert_eq!(line["claim"], file["claim"].as_str());
            assert!(screen.contains(&flat(&format!("WRONG: \"{}\"", file["claim"]))), "{file:?}");
            assert!(screen.contains(&flat(&format!("right: {}", file["right"]))), "{file:?}");
        }
    }
}

#[test]
fn a_statement_is_shown_by_its_id() {
    let shop = TestShop::bare();
    for line in ["caution R14", "caution r14"] {
        let shown = on_screen(&shop.run(line).ok());
        assert_eq!(shown.keys().collect::<Vec<_>>(), ["R14"]);
        compare("R14", &shown["R14"]);
    }
    assert_eq!(shop.json("caution R14")["statement"]["id"], "R14");
}

#[test]
fn what_a_question_finds_is_traced_as_well() {
    let shop = TestShop::bare();
    for question in ["tung oil a nut", "how much fan for mineral spirits", "wood dust limit"] {
        let shown = on_screen(&shop.run(&format!("caution {question}")).ok());
        assert!(!shown.is_empty(), "{question}");
        for (id, shown) in &shown {
            compare(id, shown);
        }
    }
}

/// With a place nothing is lost, and its own statements stand before the others.
#[test]
fn a_place_puts_its_own_first_and_loses_nothing() {
    let shop = TestShop::bare();
    for topic in reference::topics() {
        for place in ["US", "EU", "UK", "DE", "NZ"] {
            let screen = shop.run(&format!("caution {} --where {place}", topic.name)).ok();
            let shown = on_screen(&screen);
            let ids: Vec<String> = shown.keys().cloned().collect();
            assert_eq!(ids, ids_in(&format!("reference/{}.txt", topic.name)));
            let of_place = |id: &String| {
                let places = block(&shown[id].trace)["where"].clone();
                places.split(',').any(|p| p.split_whitespace().next() == Some(place))
            };
            let order: Vec<String> = screen
                .lines()
                .filter_map(|line| line.split_once(" (").map(|(id, _)| id))
                .filter(|id| is_id(id))
                .map(str::to_owned)
                .collect();
            let own = order.iter().filter(|id| of_place(id)).count();
            assert!(order[..own].iter().all(of_place), "{} for {place}: {order:?}", topic.name);
            let place: Jurisdiction = place.parse().unwrap();
            let nothing = format!("nothing on this that was made for {}", place.name());
            assert_eq!(flat(&screen).contains(&nothing), own == 0, "{} for {place}", topic.name);
        }
    }
}

#[test]
fn the_list_says_what_it_lacks_for_a_place() {
    let shop = TestShop::bare();
    let text = flat(&shop.run("caution --where Finland").ok());
    assert!(text.contains("Nothing made for Finland itself on rags, allergens"), "{text}");
    let listed = shop.json("caution --where FI")["where"]["nothing_on"].to_string();
    assert!(!listed.contains("food"), "Finland has a statement on food contact: {listed}");
}

#[test]
fn the_sources_name_every_statement_and_how_it_was_checked() {
    let mut shop = TestShop::bare();
    let screen = shop.columns(80).run("caution --sources").fits().ok();
    let mut traced = 0;
    for topic in reference::topics() {
        for statement in &topic.statements {
            let line = format!("     {}", statement.traced_to());
            assert!(screen.lines().any(|shown| shown == line), "{line}");
            let head = format!("{} ({})", statement.id, places(statement));
            assert!(screen.lines().any(|shown| shown.starts_with(&head)), "{head}");
            traced += 1;
        }
    }
    assert_eq!(screen.lines().filter(|line| line.starts_with("     checked: ")).count(), traced);
    let rags = shop.json("caution rags --sources");
    assert_eq!(rags["topics"].as_array().unwrap().len(), 1);
    assert_eq!(rags["topics"][0]["topic"], "rags");
    assert_eq!(shop.json("caution oily cloth --sources"), rags);
}

fn places(statement: &reference::Statement) -> String {
    statement.places.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
}
