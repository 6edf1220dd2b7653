//! The desktop channel: shows notices through the operating system's own notification service.
//!
//! A notification service can hang without end, and the library that talks to it has no time limit. So it is talked to
//! on a thread of its own, and given up on after a while: the thread is left behind and ends with the program.

use std::io;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{self, RecvTimeoutError, Sender};
use std::thread::{self, JoinHandle};
use std::time::Duration;

use notify_rust::{Notification, Timeout};

use crate::remind::notice::{Notice, Urgency};

/// How long all the notices of one run together may take. A healthy service answers in well under a second; with this a
/// command is back within 4 s on a busy machine too.
pub const PATIENCE: Duration = Duration::from_millis(2500);

/// What became of one notice.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Outcome {
    /// The service took it.
    Sent,
    /// The service, or the way to it, said no.
    Failed(String),
    /// It was handed over and nobody answered in time. A service that wakes up later may still show it.
    NoAnswer,
    /// It was not handed over, because an earlier one had no answer.
    NotTried,
}

/// The way to the desktop.
#[derive(Debug)]
pub struct Desktop {
    patience: Duration,
    /// The thread that an earlier run gave up on.
    stuck: Option<JoinHandle<()>>,
}

/// What the thread that talks to the service says, and what the one that minds the time says.
enum Word {
    Trying(usize),
    Answered(usize, Outcome),
    TimeUp,
}

impl Default for Desktop {
    fn default() -> Self {
        Self::new(PATIENCE)
    }
}

impl Desktop {
    /// A way to the desktop that gives up after `patience`.
    pub const fn new(patience: Duration) -> Self {
        Self { patience, stuck: None }
    }

    /// Shows these notices in order and says what became of each. Takes no longer than the patience, however many there
    /// are and whatever the service does.
    pub fn send(&mut self, notices: &[Notice]) -> Vec<Outcome> {
        let mut outcomes = vec![Outcome::NotTried; notices.len()];
        if notices.is_empty() || self.is_stuck() {
            return outcomes;
        }
        if let Err(why) = self.show_all(notices, &mut outcomes) {
            outcomes.fill(Outcome::Failed(why.to_string()));
        }
        outcomes
    }

    /// Whether the thread given up on earlier still waits: another one would only wait beside it.
    fn is_stuck(&mut self) -> bool {
        self.stuck = self.stuck.take().filter(|thread| !thread.is_finished());
        self.stuck.is_some()
    }

    fn show_all(&mut self, notices: &[Notice], outcomes: &mut [Outcome]) -> io::Result<()> {
        let (say, words) = mpsc::channel();
        let given_up = Arc::new(AtomicBool::new(false));
        let _over = mind_the_time(self.patience, say.clone())?;
        let talker = talk(notices.to_vec(), Arc::clone(&given_up), say)?;
        let mut open = notices.len();
        while open > 0 {
            match words.recv() {
                Ok(Word::Trying(number)) => note(outcomes, number, Outcome::NoAnswer),
                Ok(Word::Answered(number, outcome)) => {
                    note(outcomes, number, outcome);
                    open -= 1;
                }
                Ok(Word::TimeUp) | Err(_) => {
                    given_up.store(true, Ordering::SeqCst);
                    self.stuck = Some(talker);
                    break;
                }
            }
        }
        Ok(())
    }
}

fn note(outcomes: &mut [Outcome], number: usize, outcome: Outcome) {
    if let Some(place) = outcomes.get_mut(number) {
        *place = outcome;
    }
}

/// Says `TimeUp` after the patience; or nothing, once what it gives back is dropped.
fn mind_the_time(patience: Duration, say: Sender<Word>) -> io::Result<Sender<()>> {
    let (over, until) = mpsc::channel();
    thread::Builder::new().name("patience".to_owned()).spawn(move || {
        if until.recv_timeout(patience) == Err(RecvTimeoutError::Timeout) {
            // Nobody listens any more when the last answer came at the same moment.
            say.send(Word::TimeUp).unwrap_or_default();
        }
    })?;
    Ok(over)
}

fn talk(
    notices: Vec<Notice>,
    given_up: Arc<AtomicBool>,
    say: Sender<Word>,
) -> io::Result<JoinHandle<()>> {
    thread::Builder::new().name("notices".to_owned()).spawn(move || {
        let mut markup = None;
        for (number, notice) in notices.iter().enumerate() {
            // Checked before each, so that a service that wakes up is not sent what the next run will send.
            if given_up.load(Ordering::SeqCst) || say.send(Word::Trying(number)).is_err() {
                return;
            }
            let markup = *markup.get_or_insert_with(reads_markup);
            if given_up.load(Ordering::SeqCst) {
                return;
            }
            let outcome = match show(notice, markup) {
                Ok(()) => Outcome::Sent,
                Err(error) => Outcome::Failed(error.to_string()),
            };
            if say.send(Word::Answered(number, outcome)).is_err() {
                return;
            }
        }
    })
}

fn show(notice: &Notice, markup: bool) -> Result<(), notify_rust::error::Error> {
    let body = if markup { escaped(&notice.body) } else { notice.body.clone() };
    let timeout = match notice.urgency {
        Urgency::Critical => Timeout::Never,
        Urgency::Low | Urgency::Normal => Timeout::Default,
    };
    let mut notification = Notification::new();
    notification.appname("tackfree").summary(&notice.summary).body(&body).timeout(timeout);
    dress(&mut notification, notice);
    notification.show().map(|_| ())
}

/// What only the freedesktop services know: urgency, sound, and the tag by which a repeat replaces what still stands.
#[cfg(all(unix, not(target_os = "macos")))]
fn dress(notification: &mut Notification, notice: &Notice) {
    use notify_rust::Hint;
    notification.urgency(match notice.urgency {
        Urgency::Low => notify_rust::Urgency::Low,
        Urgency::Normal => notify_rust::Urgency::Normal,
        Urgency::Critical => notify_rust::Urgency::Critical,
    });
    notification.hint(Hint::Custom("x-dunst-stack-tag".to_owned(), notice.key.clone()));
    if let Some(sound) = notice.sound {
        notification.hint(Hint::SoundName(sound.name().to_owned()));
    }
}

/// On macOS and Windows a notice with a sound plays the system's own.
#[cfg(not(all(unix, not(target_os = "macos"))))]
fn dress(notification: &mut Notification, notice: &Notice) {
    if notice.sound.is_some() {
        notification.sound_name("Default");
    }
}

/// Whether the service reads `<b>` and `&amp;` in a body; one that does not would show the escapes as they are.
#[cfg(all(unix, not(target_os = "macos")))]
fn reads_markup() -> bool {
    notify_rust::get_capabilities()
        .is_ok_and(|can| can.iter().any(|capability| capability == "body-markup"))
}

#[cfg(not(all(unix, not(target_os = "macos"))))]
fn reads_markup() -> bool {
    false
}

/// The body as markup that shows as this very text.
fn escaped(body: &str) -> String {
    body.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn markup_in_a_body_shows_as_typed() {
        assert_eq!(escaped("<b>Tom & Ann</b>"), "&lt;b&gt;Tom &amp; Ann&lt;/b&gt;");
    }

    #[test]
    fn nothing_to_send_talks_to_nobody() {
        assert!(Desktop::new(Duration::ZERO).send(&[]).is_empty());
    }
}
