//! What a person sees and can do while something takes long: how far it is, and Ctrl-C for the best so far.

use std::io::Write as _;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};

use crate::cli::environment::Environment;
use crate::time::clock::Stopwatch;

/// Set by Ctrl-C, in this process once and for all.
static ENOUGH: AtomicBool = AtomicBool::new(false);

/// Nothing is said before so many seconds.
const QUIET: f64 = 0.5;

/// Seconds between two words.
const PAUSE: f64 = 0.2;

/// Columns of the `^C` that a terminal shows where Ctrl-C is pressed.
const KEY_SHOWN: usize = 2;

/// One long piece of work.
#[derive(Debug)]
pub(crate) struct Patience {
    watch: Stopwatch,
    watched: bool,
    /// The terminal's columns.
    width: usize,
    what: &'static str,
    /// When it last said how far it is.
    said_at: Mutex<Option<f64>>,
}

impl Patience {
    /// Begins it. From now on Ctrl-C asks for the best so far instead of ending the program.
    pub(crate) fn new(environment: &Environment, what: &'static str) -> Self {
        // A second handler in one process is refused, and the first still does.
        ctrlc::set_handler(|| ENOUGH.store(true, Ordering::Relaxed)).ok();
        let Environment { watched, width, .. } = *environment;
        Self { watch: Stopwatch::start(), watched, width, what, said_at: Mutex::new(None) }
    }

    /// Says how far it is, and whether to go on.
    pub(crate) fn goes_on(&self, done: u64, of: u64) -> bool {
        let seconds = self.watch.seconds();
        if let Ok(mut said_at) = self.said_at.lock()
            && self.watched
            && seconds > QUIET
            && said_at.is_none_or(|said| seconds - said > PAUSE)
        {
            let percent = done.saturating_mul(100).checked_div(of).unwrap_or(0).min(100);
            self.say(&format!("{} {percent:>3} %, Ctrl-C takes the best so far", self.what));
            *said_at = Some(seconds);
        }
        !Self::enough()
    }

    /// Whether Ctrl-C was pressed.
    pub(crate) fn enough() -> bool {
        ENOUGH.load(Ordering::Relaxed)
    }

    /// Wipes what was said, and gives the seconds it took, to the hundredth.
    pub(crate) fn over(self) -> f64 {
        if self.said_at.lock().is_ok_and(|said| said.is_some()) {
            self.say("");
        }
        (self.watch.seconds() * 100.0).round() / 100.0
    }

    /// Writes over what was said before, and over the `^C` a terminal puts behind it. A line as wide as the terminal would
    /// go on to the next one, where nothing wipes it.
    fn say(&self, text: &str) {
        let room = self.width.saturating_sub(1);
        let shown = room.saturating_sub(KEY_SHOWN);
        let line = format!("\r{text:<room$.shown$}\r{text:.shown$}");
        std::io::stderr().write_all(line.as_bytes()).ok();
    }
}
