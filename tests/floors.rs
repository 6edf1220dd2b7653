//! The floors of the house: a module uses only floors below its own, or the few beside it that it may.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// Each module with what it may use besides itself. `reference` and `craft` share a floor; `store` stands above `plan` and
/// still knows nothing of it.
const FLOORS: [(&str, &[&str]); 10] = [
    ("units", &["time"]),
    ("time", &["units"]),
    ("craft", &["units", "time", "reference"]),
    ("reference", &["units", "time", "craft"]),
    ("shop", &["units", "time", "craft", "reference"]),
    ("plan", &["units", "time", "craft", "reference", "shop"]),
    ("store", &["units", "time", "craft", "reference", "shop"]),
    ("remind", &["units", "time", "craft", "reference", "shop", "plan", "store"]),
    ("report", &["units", "time", "craft", "reference", "shop", "plan", "store", "remind"]),
    ("cli", &["units", "time", "craft", "reference", "shop", "plan", "store", "remind", "report"]),
];

/// The longest source file, in lines.
const LONGEST: usize = 400;

/// A source file: its path below `src`, and its lines with their numbers.
struct Source {
    path: PathBuf,
    text: String,
}

impl Source {
    fn all() -> Vec<Self> {
        let mut sources = Vec::new();
        gather(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), Path::new(""), &mut sources);
        assert!(sources.len() > 50, "the sources are elsewhere");
        sources
    }

    /// The module of the top level it belongs to: "shop" for `shop/rules/coat.rs`, "units" for `units.rs`.
    fn module(&self) -> String {
        self.path.iter().next().unwrap().to_str().unwrap().trim_end_matches(".rs").to_owned()
    }

    /// What stands in the file besides comments and texts in quotes, line by line from 1.
    fn code(&self) -> impl Iterator<Item = (usize, String)> {
        (1..).zip(self.text.lines().map(bare))
    }
}

fn gather(folder: &Path, below: &Path, sources: &mut Vec<Source>) {
    for entry in fs::read_dir(folder).unwrap() {
        let entry = entry.unwrap();
        let (path, below) = (entry.path(), below.join(entry.file_name()));
        if path.is_dir() {
            gather(&path, &below, sources);
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            sources.push(Source { path: below, text: fs::read_to_string(path).unwrap() });
        }
    }
}

/// A line without its comment and without what stands in double quotes.
fn bare(line: &str) -> String {
    let (mut kept, mut quoted, mut before) = (String::new(), false, ' ');
    for letter in line.chars() {
        match letter {
            '"' if before != '\\' && before != '\'' => quoted = !quoted,
            '/' if before == '/' && !quoted => return kept.trim_end_matches('/').to_owned(),
            _ if !quoted => kept.push(letter),
            _ => {}
        }
        before = letter;
    }
    kept
}

/// The modules a line names as `crate::module…` or `crate::{module…, module…}`.
fn named(line: &str) -> Vec<String> {
    let mut modules = Vec::new();
    for (at, _) in line.match_indices("crate::") {
        if line[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_') {
            continue;
        }
        let rest = &line[at + "crate::".len()..];
        let word = |text: &str| -> String {
            text.trim_start().chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect()
        };
        match rest.strip_prefix('{') {
            // One level is enough: rustfmt puts a list that needs more than one line on lines of its own.
            Some(list) => modules.extend(list.trim_end_matches(['}', ';']).split(',').map(word)),
            None => modules.push(word(rest)),
        }
    }
    modules
}

#[test]
fn nothing_uses_a_floor_above_its_own() {
    let known: BTreeSet<&str> = FLOORS.iter().map(|(module, _)| *module).collect();
    let mut uses = 0;
    for source in Source::all() {
        let module = source.module();
        if module == "lib" || module == "main" {
            continue;
        }
        let (_, may) = FLOORS
            .iter()
            .find(|(floor, _)| *floor == module)
            .unwrap_or_else(|| panic!("{module} stands on no floor: list it"));
        for (number, line) in source.code() {
            for used in named(&line).into_iter().filter(|used| known.contains(used.as_str())) {
                uses += 1;
                let allowed = used == module || may.contains(&used.as_str());
                assert!(allowed, "{}:{number}: {module} uses {used}", source.path.display());
            }
        }
    }
    assert!(uses > 200, "only {uses} uses were seen: they are written in another way");
}

#[test]
fn every_use_of_the_crate_is_seen() {
    assert_eq!(named("use crate::{cli, report::Page};"), ["cli", "report"]);
    assert_eq!(named("fn a(shop: &crate::shop::Shop) -> crate::store::Error {"), ["shop", "store"]);
    assert_eq!(named("use other_crate::cli;"), [""; 0]);
    assert_eq!(bare("let a = \"crate::cli // no\"; // crate::cli"), "let a = ; ");
    assert_eq!(bare("let a = '\"'; crate::cli"), "let a = '\"'; crate::cli");
    let many_lines = Source::all().iter().any(|source| source.text.contains("use crate::{\n"));
    assert!(!many_lines, "a `use crate::{{` over several lines is not seen by this test");
}

#[test]
fn nothing_above_is_taken_in_whole() {
    for source in Source::all() {
        let lines: Vec<_> = source.code().collect();
        let tests = lines.iter().position(|(_, line)| line.starts_with("mod tests"));
        for (number, line) in &lines[..tests.unwrap_or(lines.len())] {
            let whole = line.contains("use super::*") || line.contains("use crate::*");
            assert!(!whole, "{}:{number}: name what is used", source.path.display());
        }
    }
}

#[test]
fn no_source_is_too_long() {
    for source in Source::all() {
        let lines = source.text.lines().count();
        assert!(lines <= LONGEST, "{} has {lines} lines: part it", source.path.display());
    }
}
