//! Has the operating system run `remind send` each minute: a systemd user timer, a launchd agent, a scheduled task.
//!
//! Where the files go and how the system's own commands are run is passed in. Installing twice changes nothing.

mod launchd;
mod systemd;
mod task;

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use sha2::{Digest as _, Sha256};

use crate::time::Zone;

/// What is to be run.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Job {
    program: String,
    database: String,
    zone: Zone,
    /// The calendar file that is written again where something is coming otherwise.
    calendar: Option<String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum System {
    /// systemd's user manager, on Linux.
    Systemd,
    /// launchd, on macOS.
    Launchd,
    /// The Task Scheduler, on Windows.
    TaskScheduler,
}

/// The folders of the person whose shop it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Places {
    pub home: PathBuf,
    /// Where programs keep what they are told (`~/.config`, or the platform's own).
    pub config: PathBuf,
    /// The database's own mark: two shops have two timers.
    pub shop: String,
}

impl Places {
    pub fn new(home: PathBuf, config: PathBuf, database: &Path) -> Self {
        let digest = Sha256::digest(database.as_os_str().as_encoded_bytes());
        let mark = digest.iter().take(4).fold(0_u32, |mark, octet| mark << 8 | u32::from(*octet));
        Self { home, config, shop: format!("{mark:08x}") }
    }
}

/// A file that tells the operating system what to run.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct File {
    pub(crate) path: PathBuf,
    pub(crate) text: String,
    /// Whether it is written as UTF-16, as Windows expects of a task.
    utf16: bool,
}

/// A command of the operating system, program first.
pub(crate) type Words = Vec<String>;

/// Runs one such command; why not, where it fails.
pub(crate) type Runner<'a> = &'a mut dyn FnMut(&[String]) -> Result<(), String>;

/// What an install or a removal did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// Files written, or taken away.
    pub changed: Vec<PathBuf>,
    /// Files that were right already, or not there.
    pub unchanged: Vec<PathBuf>,
    /// Commands that failed, each with why: the files are right, but the system was not told.
    pub failed: Vec<(Words, String)>,
}

/// Why a job can't be handed to the operating system.
#[derive(Debug, thiserror::Error)]
pub enum TimerError {
    #[error(
        "{path} is not a whole path from the root: the operating system runs it from elsewhere"
    )]
    Relative { path: PathBuf },
    #[error("{path:?} can't be written into a unit file: {why}")]
    Unwritable { path: PathBuf, why: &'static str },
    #[error("{path}: {source}")]
    Io { path: PathBuf, source: io::Error },
}

impl Job {
    /// `remind send` by this program on this database, with the shop's time zone.
    pub fn new(program: &Path, database: &Path, zone: Zone) -> Result<Self, TimerError> {
        Ok(Self { program: plain(program)?, database: plain(database)?, zone, calendar: None })
    }

    /// The same, which also writes the calendar.
    pub fn with_calendar(self, file: &Path) -> Result<Self, TimerError> {
        Ok(Self { calendar: Some(plain(file)?), ..self })
    }

    /// What follows the program on its command line.
    fn arguments(&self) -> Vec<&str> {
        let calendar = self.calendar.iter().flat_map(|file| ["--calendar", file]);
        ["--db", &self.database, "remind", "send"].into_iter().chain(calendar).collect()
    }

    /// The line for a table of cron's, where there is no other scheduler. cron knows no session: the bus is named.
    pub fn cron(&self, bus: Option<&str>) -> String {
        let quoted = |word: &str| format!("'{}'", word.replace('\'', r"'\''"));
        let bus = bus.map(|bus| format!("DBUS_SESSION_BUS_ADDRESS={} ", quoted(bus)));
        let words: Vec<String> =
            [self.program.as_str()].into_iter().chain(self.arguments()).map(quoted).collect();
        // A percent sign would end the command there.
        let line = format!("{}{}", bus.unwrap_or_default(), words.join(" ")).replace('%', r"\%");
        format!("* * * * * {line}")
    }
}

/// A whole path in characters that every system can write.
fn plain(path: &Path) -> Result<String, TimerError> {
    let refuse = |why| TimerError::Unwritable { path: path.to_owned(), why };
    if !path.is_absolute() {
        return Err(TimerError::Relative { path: path.to_owned() });
    }
    let text = path.to_str().ok_or_else(|| refuse("it is not UTF-8"))?;
    if text.chars().any(char::is_control) {
        return Err(refuse("it has a control character"));
    }
    Ok(text.to_owned())
}

impl System {
    /// The one of the machine this program was built for.
    pub(crate) const fn here() -> Self {
        if cfg!(target_os = "macos") {
            Self::Launchd
        } else if cfg!(windows) {
            Self::TaskScheduler
        } else {
            Self::Systemd
        }
    }

    /// The files that make it run the job.
    pub fn files(self, job: &Job, places: &Places) -> Result<Vec<File>, TimerError> {
        match self {
            Self::Systemd => Ok(systemd::files(job, places)),
            Self::Launchd => Ok(vec![launchd::file(job, places)]),
            Self::TaskScheduler => Ok(vec![task::file(job, places)?]),
        }
    }

    /// Where those files are.
    pub fn paths(self, places: &Places) -> Vec<PathBuf> {
        match self {
            Self::Systemd => systemd::paths(places).to_vec(),
            Self::Launchd => vec![launchd::path(places)],
            Self::TaskScheduler => vec![task::path(places)],
        }
    }

    /// The commands that switch it on once the files are there.
    pub(crate) fn switch_on(self, places: &Places) -> Vec<Words> {
        match self {
            Self::Systemd => systemd::switch_on(places),
            Self::Launchd => launchd::switch_on(places),
            Self::TaskScheduler => task::switch_on(places),
        }
    }

    /// The commands that switch it off, before the files are taken away.
    pub(crate) fn switch_off(self, places: &Places) -> Vec<Words> {
        match self {
            Self::Systemd => systemd::switch_off(places),
            Self::Launchd => launchd::switch_off(places),
            Self::TaskScheduler => task::switch_off(places),
        }
    }

    /// Writes the files that are not yet as they should be, and tells the operating system. Where that can't be told, the files
    /// written are taken away again: what does nothing isn't left lying.
    pub fn install(
        self,
        job: &Job,
        places: &Places,
        run: Runner<'_>,
    ) -> Result<Change, TimerError> {
        let mut change = Change::none();
        for file in self.files(job, places)? {
            let written = file.write()?;
            if written { &mut change.changed } else { &mut change.unchanged }.push(file.path);
        }
        change.run(self.switch_on(places), run);
        if !change.failed.is_empty() {
            for path in change.changed.drain(..) {
                fs::remove_file(&path).map_err(|source| TimerError::Io { path, source })?;
            }
        }
        Ok(change)
    }

    /// Tells the operating system to stop, and takes the files away; nothing at all where there are none.
    pub fn remove(self, places: &Places, run: Runner<'_>) -> Result<Change, TimerError> {
        let mut change = Change::none();
        let (there, gone): (Vec<_>, Vec<_>) =
            self.paths(places).into_iter().partition(|path| path.exists());
        change.unchanged = gone;
        if there.is_empty() {
            return Ok(change);
        }
        change.run(self.switch_off(places), run);
        for path in there {
            fs::remove_file(&path)
                .map_err(|source| TimerError::Io { path: path.clone(), source })?;
            change.changed.push(path);
        }
        if self == Self::Systemd {
            change.run(vec![systemd::reload()], run);
            // Having nothing to forget isn't a fault.
            run(&systemd::forget(places)).unwrap_or_default();
        }
        Ok(change)
    }
}

impl Change {
    const fn none() -> Self {
        Self { changed: Vec::new(), unchanged: Vec::new(), failed: Vec::new() }
    }

    /// Runs the commands in order; once one fails the rest would only fail for the same reason.
    fn run(&mut self, commands: Vec<Words>, run: Runner<'_>) {
        for command in commands {
            if let Err(why) = run(&command) {
                self.failed.push((command, why));
                return;
            }
        }
    }
}

impl File {
    fn octets(&self) -> Vec<u8> {
        if self.utf16 {
            // A byte order mark first: the Task Scheduler reads UTF-16 by it.
            "\u{feff}"
                .encode_utf16()
                .chain(self.text.encode_utf16())
                .flat_map(u16::to_le_bytes)
                .collect()
        } else {
            self.text.clone().into_bytes()
        }
    }

    /// Writes it where it is not there or differs; whether it had to. A half-written file is never seen.
    fn write(&self) -> Result<bool, TimerError> {
        let refuse = |source| TimerError::Io { path: self.path.clone(), source };
        let octets = self.octets();
        match fs::read(&self.path) {
            Ok(there) if there == octets => return Ok(false),
            Ok(_) => {}
            Err(error) if error.kind() == io::ErrorKind::NotFound => {}
            Err(error) => return Err(refuse(error)),
        }
        if let Some(folder) = self.path.parent() {
            fs::create_dir_all(folder).map_err(refuse)?;
        }
        let mut draft = self.path.clone().into_os_string();
        draft.push(".new");
        fs::write(&draft, octets).map_err(refuse)?;
        fs::rename(&draft, &self.path).map_err(refuse)?;
        Ok(true)
    }
}

fn words<const N: usize>(command: [&str; N]) -> Words {
    command.map(str::to_owned).to_vec()
}

/// Text inside an XML element.
fn xml(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}
