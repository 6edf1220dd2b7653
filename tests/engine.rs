//! The scheduling engine, against problems with known answers, brute force and its own promises.

mod brute;
mod checker;
mod faults;
mod known;
mod lots;
mod made;
mod properties;
mod recorded;
mod rooms;
mod shops;

use tackfree::plan::engine::{Problem, Settings};

/// Reads a problem from the test data.
fn read(name: &str) -> Problem {
    let path = format!("{}/tests/data/plan/{name}", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{path}: {error}"));
    serde_json::from_str(&text).unwrap_or_else(|error| panic!("{path}: {error}"))
}

fn settings(effort: u64, seed: u64) -> Settings<'static> {
    Settings { effort, seed, ..Settings::default() }
}
