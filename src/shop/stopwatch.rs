//! A stopwatch with splits: keys and their times in, seconds by split and piece out. It asks no clock; each key brings its time.

use crate::time::{Instant, Span};

/// A key of the stopwatch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Key {
    /// This split is over. While it waits: a piece begins.
    Split,
    /// This piece is over, and the next begins at once. While it waits: a piece begins.
    Next,
    /// This piece does not count; it waits for the next.
    Drop,
    /// That was all; a piece that is not over does not count.
    Finish,
}

/// What a key did.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pressed {
    Began,
    /// A split is over.
    Split,
    /// A piece is over.
    Piece,
    /// A piece was dropped.
    Dropped,
    /// Nothing ran that could be dropped.
    Nothing,
    Finished,
}

/// Why a key does not count.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum WatchError {
    #[error("a split takes at least a second")]
    NoTime,
    #[error("that time lies before the one of the key before it")]
    Backwards,
    #[error("a split of more than a day is not possible")]
    TooLong,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stopwatch {
    splits: usize,
    /// Since when the split that runs has run.
    running: Option<Instant>,
    last: Option<Instant>,
    piece: Vec<u32>,
    pieces: Vec<Vec<u32>>,
    dropped: u32,
}

impl Stopwatch {
    /// A stopwatch for that many splits a piece.
    pub const fn new(splits: usize) -> Self {
        Self {
            splits,
            running: None,
            last: None,
            piece: Vec::new(),
            pieces: Vec::new(),
            dropped: 0,
        }
    }

    /// A key at that time.
    pub fn press(&mut self, key: Key, at: Instant) -> Result<Pressed, WatchError> {
        if self.last.is_some_and(|last| at < last) {
            return Err(WatchError::Backwards);
        }
        let Some(since) = self.running else { return Ok(self.press_waiting(key, at)) };
        let pressed = match key {
            Key::Split | Key::Next => {
                self.piece.push(seconds(since, at)?);
                self.running = Some(at);
                if key == Key::Next || self.piece.len() >= self.splits {
                    self.pieces.push(std::mem::take(&mut self.piece));
                    self.running = (key == Key::Next).then_some(at);
                    Pressed::Piece
                } else {
                    Pressed::Split
                }
            }
            Key::Drop => {
                self.drop_piece();
                Pressed::Dropped
            }
            Key::Finish => {
                // A piece that has just begun with the end of the one before it is none that was dropped.
                if !self.piece.is_empty() {
                    self.drop_piece();
                }
                self.running = None;
                Pressed::Finished
            }
        };
        self.last = Some(at);
        Ok(pressed)
    }

    fn press_waiting(&mut self, key: Key, at: Instant) -> Pressed {
        self.last = Some(at);
        match key {
            Key::Split | Key::Next => {
                self.running = Some(at);
                Pressed::Began
            }
            Key::Drop => Pressed::Nothing,
            Key::Finish => Pressed::Finished,
        }
    }

    fn drop_piece(&mut self) {
        self.piece.clear();
        self.running = None;
        self.dropped = self.dropped.saturating_add(1);
    }

    /// The split that runs, from 0, and since when; none while it waits.
    pub fn running(&self) -> Option<(usize, Instant)> {
        Some((self.piece.len(), self.running?))
    }

    /// The last key's time.
    pub(crate) const fn last(&self) -> Option<Instant> {
        self.last
    }

    /// Pieces that were dropped.
    pub const fn dropped(&self) -> u32 {
        self.dropped
    }

    /// Pieces that are over.
    pub fn pieces(&self) -> usize {
        self.pieces.len()
    }

    /// Seconds of a split, piece by piece; a piece that ended before it came to that split is left out.
    pub fn of_split(&self, split: usize) -> Vec<u32> {
        self.pieces.iter().filter_map(|piece| piece.get(split)).copied().collect()
    }
}

fn seconds(since: Instant, at: Instant) -> Result<u32, WatchError> {
    const LONGEST: u32 = 86_400;
    match u32::try_from(Span::between(since, at).as_seconds()) {
        Ok(0) => Err(WatchError::NoTime),
        Ok(seconds) if seconds <= LONGEST => Ok(seconds),
        _ => Err(WatchError::TooLong),
    }
}
