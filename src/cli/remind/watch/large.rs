//! `remind watch --large`: the next thing in large letters, and single keys that answer it.

use std::sync::mpsc::{Receiver, TryRecvError};
use std::time::Duration;

use crossterm::event::{Event, KeyCode, KeyEvent, KeyEventKind, poll, read};

use crate::cli::remind::watch::{Reply, TICK};
use crate::cli::terminal::{Raw, given_up};
use crate::cli::{Context, Error};
use crate::remind::notice::Button;
use crate::report::large::Large;
use crate::report::watch::{View, cut};
use crate::time::clock::Stopwatch;

/// After a key that answered, none is heard for so long: a foot stays on a pedal, and a held key repeats itself.
const ONE_PRESS: Duration = Duration::from_secs(1);

const KEYS: &str = "any key: wiped  l: in 2 min  u: undo  q: end";

/// What has happened meanwhile.
pub(super) enum Wake {
    Tick,
    Stop,
    Answer(Reply),
}

pub(super) struct Panel {
    raw: Raw,
    /// What came of the last answer.
    pub(super) said: String,
    /// Since when no key has answered.
    answered: Option<Stopwatch>,
}

impl Panel {
    /// Takes the whole screen, and gives it back when it is closed.
    pub(super) fn open(context: &mut Context<'_>) -> Result<Self, Error> {
        let raw = Raw::on()?;
        context.screen.write("\u{1b}[?1049h\u{1b}[?25l")?;
        Ok(Self { raw, said: String::new(), answered: None })
    }

    pub(super) fn close(self, context: &mut Context<'_>) -> Result<(), Error> {
        context.screen.write("\u{1b}[?25h\u{1b}[?1049l")?;
        drop(self.raw);
        Ok(())
    }

    /// Waits for a key that means something, a second at most.
    pub(super) fn wait(&mut self, stop: &Receiver<()>) -> Result<Wake, Error> {
        let waited = Stopwatch::start();
        loop {
            if !matches!(stop.try_recv(), Err(TryRecvError::Empty)) {
                return Ok(Wake::Stop);
            }
            let left = TICK.saturating_sub(Duration::from_secs_f64(waited.seconds()));
            if left.is_zero() || !poll(left)? {
                return Ok(Wake::Tick);
            }
            match read()? {
                Event::Key(key) if key.kind == KeyEventKind::Press => {
                    if given_up(key) {
                        return Ok(Wake::Stop);
                    }
                    let rests =
                        self.answered.is_some_and(|at| at.seconds() < ONE_PRESS.as_secs_f64());
                    if !rests {
                        self.answered = Some(Stopwatch::start());
                        return Ok(meant(key));
                    }
                }
                Event::Resize(..) => return Ok(Wake::Tick),
                _ => {}
            }
        }
    }

    pub(super) fn draw(&mut self, view: &View, context: &mut Context<'_>) -> Result<(), Error> {
        let (width, height) = context.environment.terminal_size();
        let large = Large::new(view);
        let (start, end) = if large.loud && context.environment.colour {
            ("\u{1b}[1;7m", "\u{1b}[0m")
        } else {
            ("", "")
        };
        let mut lines: Vec<String> = large.drawn(width, height.saturating_sub(2));
        for line in &mut lines {
            *line = format!("{start}{line}{end}");
        }
        for line in [self.said.as_str(), KEYS] {
            lines.push(cut(line, width.saturating_sub(1)));
        }
        // Each line is drawn over the one before and its rest is cleared, so that nothing flickers.
        let screen = format!("\u{1b}[H{}\u{1b}[K\u{1b}[J", lines.join("\u{1b}[K\r\n"));
        context.screen.write(&screen)
    }
}

const fn meant(key: KeyEvent) -> Wake {
    match key.code {
        KeyCode::Char('q') => Wake::Stop,
        KeyCode::Char('u') => Wake::Answer(Reply::Undo),
        KeyCode::Char('l') => Wake::Answer(Reply::Button(Button::Later)),
        _ => Wake::Answer(Reply::Button(Button::Wiped)),
    }
}
