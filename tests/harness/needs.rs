//! What a test needs beyond Rust.

use std::io::Write as _;
use std::path::Path;

/// Whether those programs, or files, are on this machine. Where one isn't, says so past the test runner's own catching of
/// output; `tests/run` brings them all and lets nothing be skipped.
#[track_caller]
pub(crate) fn here(needed: &[&str]) -> bool {
    let path = std::env::var_os("PATH").unwrap_or_default();
    let there = |name: &&&str| {
        Path::new(name).components().count() > 1 && Path::new(name).exists()
            || std::env::split_paths(&path).any(|folder| folder.join(name).is_file())
    };
    let missing: Vec<_> = needed.iter().filter(|name| !there(name)).collect();
    if missing.is_empty() {
        return true;
    }
    assert!(std::env::var_os("TACKFREE_TESTS").is_none(), "{missing:?} should be here");
    let test = std::thread::current().name().unwrap_or("a test").to_owned();
    writeln!(
        std::io::stderr(),
        "SKIPPED {test}: no {missing:?} here; tests/run brings all and skips nothing"
    )
    .unwrap_or_default();
    false
}
