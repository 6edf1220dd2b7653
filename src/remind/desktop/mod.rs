//! The desktop channel: shows notices through the operating system's own notification service.
//!
//! A notification service can hang without end. So it is talked to on a thread of its own, and given up on after a while:
//! the thread is left behind and ends with the program.

#[cfg(all(unix, not(target_os = "macos")))]
mod bus;
#[cfg(not(all(unix, not(target_os = "macos"))))]
mod native;

use std::io;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{self, Receiver, RecvTimeoutError, Sender};
use std::thread::{self, JoinHandle};
use std::time::Duration;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

#[cfg(all(unix, not(target_os = "macos")))]
use crate::remind::desktop::bus::{Ears, Service};
#[cfg(not(all(unix, not(target_os = "macos"))))]
use crate::remind::desktop::native::{Ears, Service};
use crate::remind::notice::{Button, Notice};

/// How long all the notices of one run together may take. A healthy service answers in well under a second; with this a
/// command is back within 4 s on a busy machine too.
pub(crate) const PATIENCE: Duration = Duration::from_millis(2500);

/// Where a notice stands: its number, and whose number that is.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema, Serialize, Deserialize)]
pub(crate) struct Place {
    pub(crate) id: u32,
    /// The service that shows it: one started again knows nothing of it.
    pub(crate) owner: String,
}

/// What the service is asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Job {
    /// Show a notice, in the place of one that stands.
    Show {
        notice: Box<Notice>,
        replaces: Option<Place>,
    },
    Close(Place),
}

/// What became of one job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Outcome {
    /// The service did it.
    Sent(Place),
    /// The command was told.
    Done,
    /// The service, or the way to it, said no.
    Failed(String),
    /// It was handed over and nobody answered in time. A service that wakes up later may still do it.
    NoAnswer,
    /// It was not handed over, because an earlier one had no answer.
    NotTried,
}

/// The service as it was found.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Found {
    /// Who it is; empty where there is none.
    pub(crate) owner: String,
    /// Whether it plays a notice's sound.
    pub(crate) sounds: bool,
    /// Whether it has buttons, and somebody hears them.
    pub(crate) buttons: bool,
}

/// A button that was pressed on a notice.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Press {
    pub(crate) place: Place,
    pub(crate) button: Button,
}

/// The way to the desktop.
#[derive(Debug)]
pub(crate) struct Desktop {
    patience: Duration,
    found: Found,
    /// The thread that an earlier run gave up on.
    stuck: Option<JoinHandle<()>>,
    /// Where presses are heard, for a program that stays.
    heard: Option<Heard>,
}

/// Presses as they come in. A service may tell them to the connection alone that showed the notice, so that the same one does
/// both.
#[derive(Debug)]
struct Heard {
    say: Sender<Press>,
    presses: Receiver<Press>,
    ears: Option<Ears>,
}

/// What the thread that talks to the service says, and what the one that minds the time says.
enum Word {
    Listening(Ears),
    Found(Found),
    Trying(usize),
    Answered(usize, Outcome),
    Over,
    TimeUp,
}

impl Default for Desktop {
    fn default() -> Self {
        Self::new(PATIENCE)
    }
}

impl Desktop {
    /// A way to the desktop that gives up after `patience`.
    pub(crate) fn new(patience: Duration) -> Self {
        Self { patience, found: Found::default(), stuck: None, heard: None }
    }

    /// A way to the desktop on which notices have buttons.
    pub(crate) fn listening() -> Self {
        let (say, presses) = mpsc::channel();
        Self { heard: Some(Heard { say, presses, ears: None }), ..Self::default() }
    }

    /// The buttons pressed since this was last asked.
    pub(crate) fn pressed(&self) -> Vec<Press> {
        self.heard.iter().flat_map(|heard| heard.presses.try_iter()).collect()
    }

    /// Does these jobs in order and says what became of each. Takes no longer than the patience, however many there are and
    /// whatever the service does.
    pub(crate) fn send(&mut self, jobs: Vec<Job>) -> Vec<Outcome> {
        let mut outcomes = vec![Outcome::NotTried; jobs.len()];
        if !jobs.is_empty() {
            self.talk(jobs, &mut outcomes);
        }
        outcomes
    }

    /// Who the service is now; a run that has nothing to send asks only that.
    pub(crate) fn look(&mut self) -> &Found {
        self.found = Found::default();
        self.talk(Vec::new(), &mut []);
        &self.found
    }

    /// The service as it was found last.
    pub(crate) const fn found(&self) -> &Found {
        &self.found
    }

    fn talk(&mut self, jobs: Vec<Job>, outcomes: &mut [Outcome]) {
        // The thread given up on earlier still waits: another one would only wait beside it.
        self.stuck = self.stuck.take().filter(|thread| !thread.is_finished());
        if self.stuck.is_some() {
            return;
        }
        if let Err(why) = self.within_patience(jobs, outcomes) {
            outcomes.fill(Outcome::Failed(why.to_string()));
        }
    }

    fn within_patience(&mut self, jobs: Vec<Job>, outcomes: &mut [Outcome]) -> io::Result<()> {
        let (say, words) = mpsc::channel();
        let given_up = Arc::new(AtomicBool::new(false));
        let _over = mind_the_time(self.patience, say.clone())?;
        let heard = self.heard.as_ref().map(|heard| (heard.say.clone(), heard.ears.clone()));
        let talker = talker(jobs, heard, Arc::clone(&given_up), say)?;
        loop {
            match words.recv() {
                Ok(Word::Listening(ears)) => {
                    if let Some(heard) = &mut self.heard {
                        heard.ears = Some(ears);
                    }
                }
                Ok(Word::Found(found)) => self.found = found,
                Ok(Word::Trying(number)) => note(outcomes, number, Outcome::NoAnswer),
                Ok(Word::Answered(number, outcome)) => note(outcomes, number, outcome),
                Ok(Word::Over) => return Ok(()),
                Ok(Word::TimeUp) | Err(_) => {
                    given_up.store(true, Ordering::SeqCst);
                    self.stuck = Some(talker);
                    return Ok(());
                }
            }
        }
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

fn talker(
    jobs: Vec<Job>,
    heard: Option<(Sender<Press>, Option<Ears>)>,
    given_up: Arc<AtomicBool>,
    say: Sender<Word>,
) -> io::Result<JoinHandle<()>> {
    thread::Builder::new().name("notices".to_owned()).spawn(move || {
        // Once nobody listens any more the program is about to end.
        converse(&jobs, heard, &given_up, &say).unwrap_or_default();
        say.send(Word::Over).unwrap_or_default();
    })
}

fn converse(
    jobs: &[Job],
    heard: Option<(Sender<Press>, Option<Ears>)>,
    given_up: &AtomicBool,
    say: &Sender<Word>,
) -> Result<(), mpsc::SendError<Word>> {
    if !jobs.is_empty() {
        say.send(Word::Trying(0))?;
    }
    // The service may be another than before, or the bus may: then it is listened to again.
    let ears = heard.and_then(|(presses, ears)| {
        ears.filter(|ears| !ears.deaf()).or_else(|| Ears::open(presses).ok())
    });
    if let Some(ears) = &ears {
        say.send(Word::Listening(ears.clone()))?;
    }
    let mut service = match Service::reach(ears) {
        Ok(service) => service,
        Err(why) => {
            let failed = |number| Word::Answered(number, Outcome::Failed(why.clone()));
            return (0..jobs.len()).try_for_each(|number| say.send(failed(number)));
        }
    };
    if jobs.is_empty() {
        return say.send(Word::Found(service.found()));
    }
    for (number, job) in jobs.iter().enumerate() {
        say.send(Word::Trying(number))?;
        // Checked before each, so that a service that wakes up is not sent what the next run will send.
        if given_up.load(Ordering::SeqCst) {
            break;
        }
        let outcome = service.do_job(job).map_or_else(Outcome::Failed, Outcome::Sent);
        say.send(Word::Found(service.found()))?;
        say.send(Word::Answered(number, outcome))?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_to_send_talks_to_nobody() {
        assert!(Desktop::new(Duration::ZERO).send(Vec::new()).is_empty());
    }
}
