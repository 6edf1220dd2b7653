//! The stopwatch's keys as lines of text: for times written down on paper, and for tests.

use std::io::BufRead as _;

use serde_json::json;

use crate::cli::Error;
use crate::cli::error::InputFaults;
use crate::cli::pace::time::Clock;
use crate::shop::stopwatch::{Key, Stopwatch};
use crate::time::{Instant, read_moment};

/// Reads keys until the last line, or the one that says it is done.
pub(super) fn run(watch: &mut Stopwatch, clock: Clock<'_>) -> Result<(), Error> {
    for (number, line) in (1..).zip(std::io::stdin().lock().lines()) {
        let line = line.map_err(|error| fault(number, &format!("can't be read: {error}")))?;
        let (key, at) = read(&line, clock).map_err(|what| fault(number, &what))?;
        let at = at.map_or_else(|| clock.now(), Ok)?;
        watch.press(key, at).map_err(|error| fault(number, &error.to_string()))?;
        if key == Key::Finish {
            break;
        }
    }
    Ok(())
}

/// "09:40:12 s": the time may be left out, and so may the key, which then is s.
fn read(line: &str, clock: Clock<'_>) -> Result<(Key, Option<Instant>), String> {
    let line = line.trim();
    let (before, last) = line.rsplit_once(char::is_whitespace).unwrap_or(("", line));
    let (time, key) = match key(last) {
        Some(key) => (before, key),
        None => (line, Key::Split),
    };
    if time.trim().is_empty() {
        return Ok((key, None));
    }
    let now = clock.now().map_err(|_| "there's no time now".to_owned())?;
    let at = read_moment(time, now, clock.zone).map_err(|error| error.to_string())?;
    Ok((key, Some(at)))
}

fn key(word: &str) -> Option<Key> {
    match word {
        "" | "s" => Some(Key::Split),
        "p" => Some(Key::Next),
        "d" => Some(Key::Drop),
        "q" => Some(Key::Finish),
        _ => None,
    }
}

fn fault(line: usize, what: &str) -> Error {
    Error::Input(Box::new(InputFaults {
        message: format!("standard input, line {line}: {what}: nothing is recorded"),
        faults: vec![json!({ "line": line, "found": what })],
        next: "write each line as \"09:40:12 s\": a time, then s, p, d or q".to_owned(),
        ..InputFaults::default()
    }))
}
