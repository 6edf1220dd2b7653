//! What holds for the tests themselves.

use std::fs;
use std::path::{Path, PathBuf};

use crate::harness::TestShop;

/// A test file that no module names is never run, and nobody notices.
#[test]
fn no_test_file_is_forgotten() {
    let tests = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests");
    let mut forgotten = Vec::new();
    look_through(&tests, &tests.join("all.rs"), &mut forgotten);
    assert!(forgotten.is_empty(), "not named by the module above them: {forgotten:?}");
}

/// Every source in `folder`, and every folder with sources in it, is named in `parent`.
fn look_through(folder: &Path, parent: &Path, forgotten: &mut Vec<PathBuf>) {
    let named = fs::read_to_string(parent).unwrap();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
        let source = path.extension().is_some_and(|extension| extension == "rs");
        if path == parent || !(source || path.is_dir()) {
            continue;
        }
        // Data and snapshots are read by tests that name them; a bench is a target of its own.
        if path.is_dir() && (name == "bench" || !holds_sources(&path)) {
            continue;
        }
        let declared =
            |line: &str| line == format!("mod {name};") || line == format!("mod r#{name};");
        if !named.lines().any(|line| declared(line.trim_start_matches("pub(crate) "))) {
            forgotten.push(path);
        } else if path.is_dir() {
            let beside = path.with_extension("rs");
            let inside = path.join("mod.rs");
            look_through(&path, if beside.exists() { &beside } else { &inside }, forgotten);
        }
    }
}

fn holds_sources(folder: &Path) -> bool {
    fs::read_dir(folder).unwrap().any(|entry| {
        let path = entry.unwrap().path();
        path.extension().is_some_and(|extension| extension == "rs")
            || (path.is_dir() && holds_sources(&path))
    })
}

#[test]
fn a_shop_of_the_tests_has_its_own_clock_folder_and_words() {
    let mut shop = TestShop::open();
    assert!(shop.database().starts_with(shop.folder()) && shop.database().exists());
    assert_eq!(shop.json("due")["now"], "2026-03-02T08:30:00+00:00");
    shop.at("2026-07-01 09:40");
    assert_eq!(shop.json("due")["now"], "2026-07-01T09:40:00+01:00");
    shop.at("2026-07-01T09:40:00Z");
    assert_eq!(shop.json("due")["now"], "2026-07-01T10:40:00+01:00");
    let refused = shop.columns(60).run("lot start slat --pieces 12").fits().refused("unknown-name");
    assert!(refused.starts_with("error: there's no batch \"slat\""), "{refused}");
    shop.run_with("setup check -", "[shop]\nnam = 1\n").fails(3);
    shop.run("setup new mine.toml").ok();
    assert!(shop.read("mine.toml").contains("[shop]"));
    assert!(shop.command("due").output().unwrap().status.success());
}

#[test]
#[should_panic(expected = "expected success")]
fn a_run_that_fails_is_not_taken_for_one_that_does_not() {
    TestShop::bare().run("lot start salt --pieces 12").ok();
}

#[test]
#[should_panic(expected = "expected exit code 1")]
fn a_run_that_does_what_is_asked_is_not_taken_for_a_refusal() {
    TestShop::open().run("due").fails(1);
}
