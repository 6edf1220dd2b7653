//! The stopwatch's keys at a terminal: raw, so that one press is enough.

use std::io::{self, Write as _};
use std::time::Duration;

use crossterm::event::{Event, KeyCode, KeyEventKind, poll, read};

use crate::cli::Error;
use crate::cli::pace::time::Clock;
use crate::cli::terminal::{Raw, given_up};
use crate::shop::stopwatch::{Key, Pressed, Stopwatch};
use crate::time::Span;

/// Reads keys until done.
pub(super) fn run(watch: &mut Stopwatch, splits: &[String], clock: Clock<'_>) -> Result<(), Error> {
    let mut screen = io::stderr();
    let keys = "Enter: split over   p: next piece   d: drop it   q: done";
    write!(screen, "{keys}\r\nThe first Enter starts the watch.\r\n")?;
    let raw = Raw::on()?;
    let outcome = watch_keys(watch, splits, clock, &mut screen);
    drop(raw);
    writeln!(screen)?;
    outcome
}

fn watch_keys(
    watch: &mut Stopwatch,
    splits: &[String],
    clock: Clock<'_>,
    screen: &mut io::Stderr,
) -> Result<(), Error> {
    loop {
        write!(screen, "\r\x1b[K{}", running(watch, splits, clock)?)?;
        screen.flush()?;
        if !poll(Duration::from_secs(1))? {
            continue;
        }
        let Event::Key(event) = read()? else { continue };
        if event.kind != KeyEventKind::Press {
            continue;
        }
        if given_up(event) {
            let next = "start again, or end with q to record what was timed".to_owned();
            return Err(Error::usage("stopped: nothing is recorded", next));
        }
        let Some(key) = key(event.code) else { continue };
        // A key that bounced, or came within the second, is none.
        let Ok(pressed) = watch.press(key, clock.now()?) else { continue };
        if pressed == Pressed::Finished {
            return Ok(());
        }
    }
}

/// "piece 3  sand P180  12s".
fn running(watch: &Stopwatch, splits: &[String], clock: Clock<'_>) -> Result<String, Error> {
    let piece = watch.pieces().saturating_add(1);
    let Some((split, since)) = watch.running() else {
        return Ok(format!("{} timed; waiting for piece {piece}", watch.pieces()));
    };
    let name = splits.get(split).map_or("", String::as_str);
    Ok(format!("piece {piece}  {name}  {}", Span::between(since, clock.now()?)))
}

const fn key(code: KeyCode) -> Option<Key> {
    match code {
        KeyCode::Enter | KeyCode::Char(' ' | 's') => Some(Key::Split),
        KeyCode::Char('p') => Some(Key::Next),
        KeyCode::Char('d') => Some(Key::Drop),
        KeyCode::Char('q') => Some(Key::Finish),
        _ => None,
    }
}
