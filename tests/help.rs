//! The help: all of it as it reads, and the commands by when they are used.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::fs;
use std::io::{BufRead as _, BufReader};

use fancy_regex::Regex;
use snapbox::{Data, assert_data_eq};

use crate::harness::TestShop;

/// The commands of a help page: the first word of each line of its "Commands:" part.
fn commands(help: &str) -> Vec<String> {
    let lines = help.lines().skip_while(|line| *line != "Commands:").skip(1);
    let lines = lines.take_while(|line| line.starts_with("  "));
    let names = lines.filter(|line| !line.starts_with("   "));
    names.map(|line| line.split_whitespace().next().unwrap().to_owned()).collect()
}

/// The commands that the first page names under its headings, with their lines.
fn grouped(help: &str) -> Vec<(String, String)> {
    let lines = help.lines().take_while(|line| !line.starts_with("Help for"));
    let lines = lines.filter(|line| line.starts_with("  ") && !line.starts_with("   "));
    let parted = lines.filter_map(|line| line.trim().split_once(' '));
    parted.map(|(name, about)| (name.to_owned(), about.trim().to_owned())).collect()
}

/// How many lines of an example's output are shown.
const SHOWN: usize = 6;

/// The first lines of what a command of the story prints, as its help shows them, with a person's folders in place of the
/// test's.
fn shown(shop: &TestShop, line: &str) -> String {
    let (line, input) =
        line.split_once(" < ").map_or((line, None), |(line, file)| (line, Some(file)));
    let said = match (line, input) {
        // It stays until it is ended.
        ("remind watch", _) => {
            let mut child = shop.command(line).spawn().unwrap();
            let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
            let first = lines.next().unwrap().unwrap();
            child.kill().unwrap();
            child.wait().unwrap();
            first
        }
        (line, Some(file)) => shop.run_with(line, &shop.read(file)).ok(),
        (line, None) => {
            // Nobody's desktop is there to be told, which standard error says.
            let run = shop.run(line);
            assert_eq!(run.code, 0, "{run}");
            run.stdout
        }
    };
    let home = shop.folder().join("home");
    let said = said
        .replace(&home.join("data").display().to_string(), "~/.local/share")
        .replace(&home.display().to_string(), "~")
        .replace(env!("CARGO_BIN_EXE_tackfree"), "~/.cargo/bin/tackfree");
    let unit = Regex::new("(tackfree-remind-)[0-9a-f]+").unwrap();
    let said = unit.replace_all(&said, "${1}1a2b3c4d");
    let said = said.trim_end();
    let mut lines: Vec<&str> = said.lines().take(SHOWN).collect();
    if said.lines().count() > SHOWN {
        lines.push("…");
    }
    let text = format!("  {}\n", lines.join("\n  "));
    text.replace("  \n", "\n")
}

const PAGES: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/snapshots/help.txt");
const STORY: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/src/cli/examples.txt");

#[test]
fn the_examples_print_what_they_show() {
    let story = fs::read_to_string(STORY).unwrap();
    let mut shop = TestShop::bare();
    let mut played = String::new();
    let mut lines = story.lines().peekable();
    while let Some(line) = lines.next() {
        writeln!(played, "{line}").unwrap();
        let mut below = String::new();
        while let Some(line) = lines.next_if(|line| line.starts_with("  ") || line.is_empty()) {
            writeln!(below, "{line}").unwrap();
        }
        match line.split_once(' ') {
            Some(("@", moment)) => drop(shop.at(moment)),
            Some(("do", command)) => drop(shop.run(command).ok()),
            Some(("file", name)) => shop.write(name, &below.replace("\n  ", "\n")[2..]),
            Some(("$", command)) => {
                // A folder's name is as long as it is on this machine.
                shop.columns(
                    if command.contains("remind install") || command.contains("remind remove") {
                        200
                    } else {
                        78
                    },
                );
                let gap = if below.ends_with("\n\n") { "\n" } else { "" };
                below = shown(&shop, command.strip_prefix("tackfree").unwrap().trim()) + gap;
            }
            _ => assert!(line.starts_with('#'), "{line}"),
        }
        played += &below;
    }
    assert_data_eq!(played, Data::read_from(STORY.as_ref(), None).raw());
}

#[test]
fn every_help_page_has_one_example_out_of_the_story() {
    let story = fs::read_to_string(STORY).unwrap();
    let pages = fs::read_to_string(PAGES).unwrap();
    let pages: Vec<&str> = pages.split("\n$ tackfree ").collect();
    assert!(pages.len() > 70, "{}", pages.len());
    for page in pages {
        let (before, example) =
            page.split_once("\nExample:\n").unwrap_or_else(|| panic!("no example: {page}"));
        // Below the first page's there are its options.
        let example = example.split("\n\nOptions:").next().unwrap();
        let example = example.trim_end().replace("\n  ", "\n");
        assert!(story.contains(&format!("\n{}\n", example.trim_start())), "{example}");
        let command = before.lines().next().unwrap().trim_start_matches("$ tackfree");
        let command = command.trim_end_matches("--help").trim();
        assert!(
            example.trim().starts_with(format!("$ tackfree {command}").trim()),
            "{command}: {example}"
        );
    }
}

fn write_pages(shop: &TestShop, line: &str, pages: &mut String) {
    let help = shop.run(&format!("{line} --help")).fits().ok();
    writeln!(pages, "$ tackfree {}\n{help}", format!("{line} --help").trim()).unwrap();
    for command in commands(&help) {
        write_pages(shop, &format!("{line} {command}"), pages);
    }
}

#[test]
fn all_of_it() {
    let shop = TestShop::bare();
    let first = shop.run("--help").ok();
    let mut pages = format!("$ tackfree --help\n{first}\n");
    for (command, _) in grouped(&first) {
        write_pages(&shop, &command, &mut pages);
    }
    assert!(!shop.database().exists(), "asking for help makes no database");
    assert_data_eq!(pages, Data::read_from(PAGES.as_ref(), None));
}

#[test]
fn every_command_stands_in_one_group() {
    let shop = TestShop::bare();
    let grouped = grouped(&shop.run("--help").ok());
    let names: BTreeSet<_> = grouped.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(names.len(), grouped.len(), "twice: {grouped:?}");
    // What the parser knows it tells when a word is not among it.
    let source = include_str!("../src/cli/args.rs");
    let (_, variants) = source.split_once("pub(crate) enum Command {").unwrap();
    let (variants, _) = variants.split_once("\n}\n").unwrap();
    let variants = variants
        .lines()
        .filter(|line| line.contains('(') && !line.contains("//") && !line.contains('#'));
    let known: BTreeSet<_> =
        variants.map(|line| line.trim().split('(').next().unwrap().to_lowercase()).collect();
    assert!(known.len() > 12, "{known:?}");
    assert_eq!(names, known.iter().map(String::as_str).collect());
    let mut shop = shop;
    shop.columns(80).run("--help").fits().ok();
}

#[test]
fn help_is_written_in_one_way() {
    let pages = include_str!("snapshots/help.txt");
    let pages = pages.split("\n$ ").filter_map(|page| page.split("\nExample:").next());
    for line in pages.flat_map(str::lines).filter(|line| line.starts_with("  ")) {
        assert!(!line.ends_with('.') || line.ends_with("..."), "no full stop: {line}");
    }
}

#[test]
fn the_version_is_the_package_s() {
    let shop = TestShop::bare();
    assert_eq!(shop.run("--version").ok(), format!("tackfree {}\n", env!("CARGO_PKG_VERSION")));
}
