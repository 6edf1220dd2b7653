//! The help: all of it as it reads, and the commands by when they are used.

use std::collections::BTreeSet;
use std::fmt::Write as _;

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
    let lines = help.lines().take_while(|line| !line.starts_with("Options"));
    let lines = lines.filter(|line| line.starts_with("  ") && !line.starts_with("   "));
    let parted = lines.filter_map(|line| line.trim().split_once(' '));
    parted.map(|(name, about)| (name.to_owned(), about.trim().to_owned())).collect()
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
    let snapshot = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/snapshots/help.txt");
    assert_data_eq!(pages, Data::read_from(snapshot.as_ref(), None));
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
    for line in pages.lines().filter(|line| line.starts_with("  ")) {
        assert!(!line.ends_with('.') || line.ends_with("..."), "no full stop: {line}");
    }
}

#[test]
fn the_version_is_the_package_s() {
    let shop = TestShop::bare();
    assert_eq!(shop.run("--version").ok(), format!("tackfree {}\n", env!("CARGO_PKG_VERSION")));
}
