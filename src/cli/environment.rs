//! The one place that reads the environment and the terminal.

use std::ffi::OsString;
use std::io::IsTerminal as _;
use std::path::PathBuf;

use etcetera::BaseStrategy as _;

use crate::cli::Error;
use crate::cli::complete::VARIABLE;
use crate::time::{Instant, clock};

/// What the process was given besides its arguments.
#[derive(Debug, Clone, Default)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a fact about one of two streams, not a state"
)]
pub(crate) struct Environment {
    /// `TACKFREE_DB`.
    pub(crate) database: Option<OsString>,
    /// `TACKFREE_NOW`: an RFC 3339 instant to take for the clock's, for tests and for the demo.
    pub(crate) now: Option<String>,
    /// `TACKFREE_COMPLETE`: the shell that asks what can stand where Tab was pressed.
    pub completing: Option<String>,
    pub(crate) data_folder: Option<PathBuf>,
    /// The folder in which programs keep what they are told.
    pub(crate) config_folder: Option<PathBuf>,
    /// The computer's time zone by its IANA name, where it says.
    pub(crate) zone: Option<String>,
    /// The person's home.
    pub(crate) home: Option<PathBuf>,
    /// `DBUS_SESSION_BUS_ADDRESS`: the session's bus, for a scheduler that knows no session.
    pub(crate) bus: Option<String>,
    /// This program's own file.
    pub(crate) program: Option<PathBuf>,
    /// Whether a person looks at standard output and standard error.
    pub(crate) terminal: bool,
    /// Columns to lay out for.
    pub(crate) width: usize,
    /// Whether standard output takes colour.
    pub(crate) colour: bool,
    /// Whether a person watches standard error.
    pub(crate) watched: bool,
    /// Whether standard error takes colour.
    pub(crate) colour_on_stderr: bool,
}

/// The width for pipes and files.
const WIDTH_UNKNOWN: usize = 80;

/// The lines of a terminal that doesn't say.
const USUAL_LINES: usize = 24;

impl Environment {
    /// The time now, while a command goes on.
    pub(crate) fn clock(&self) -> Result<Instant, Error> {
        clock::now(self.now.as_deref())
            .map_err(|error| Error::system(error.to_string(), "set the clock right"))
    }

    pub(crate) fn of_this_process() -> Self {
        let columns = variable("COLUMNS").and_then(|text| text.to_str()?.parse().ok());
        let terminal = terminal_size::terminal_size().map(|(width, _)| usize::from(width.0));
        Self {
            database: variable("TACKFREE_DB").filter(|path| !path.is_empty()),
            now: variable("TACKFREE_NOW").map(|text| text.to_string_lossy().into_owned()),
            completing: variable(VARIABLE).and_then(|shell| shell.into_string().ok()),
            data_folder: data_folder(),
            config_folder: etcetera::choose_base_strategy().ok().map(|base| base.config_dir()),
            zone: zone(),
            home: etcetera::home_dir().ok(),
            bus: variable("DBUS_SESSION_BUS_ADDRESS").and_then(|bus| bus.into_string().ok()),
            program: std::env::current_exe().ok(),
            terminal: std::io::stdout().is_terminal() && std::io::stderr().is_terminal(),
            width: columns.or(terminal).filter(|width| *width > 0).unwrap_or(WIDTH_UNKNOWN),
            colour: takes_colour(&std::io::stdout()),
            watched: std::io::IsTerminal::is_terminal(&std::io::stderr()),
            colour_on_stderr: takes_colour(&std::io::stderr()),
        }
    }

    /// The terminal's columns and lines as they are now; a person may have made it another size.
    pub(crate) fn terminal_size(&self) -> (usize, usize) {
        terminal_size::terminal_size().map_or((self.width, USUAL_LINES), |(width, height)| {
            (usize::from(width.0), usize::from(height.0))
        })
    }
}

/// Whether the stream is a terminal that takes colour and nothing (`NO_COLOR`, `TERM=dumb`) speaks against it.
fn takes_colour<S: anstream::stream::RawStream>(stream: &S) -> bool {
    anstream::AutoStream::choice(stream) != anstream::ColorChoice::Never
}

fn variable(name: &str) -> Option<OsString> {
    std::env::var_os(name)
}

fn zone() -> Option<String> {
    let told = variable("TZ").map(|zone| zone.to_string_lossy().trim_start_matches(':').to_owned());
    let linked = || {
        let link = std::fs::read_link("/etc/localtime").ok()?;
        Some(link.to_str()?.split_once("zoneinfo/")?.1.to_owned())
    };
    told.filter(|zone| !zone.is_empty()).or_else(linked)
}

fn data_folder() -> Option<PathBuf> {
    etcetera::choose_base_strategy().ok().map(|strategy| strategy.data_dir().join("tackfree"))
}
