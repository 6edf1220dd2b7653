//! A shop in a folder of its own: the real program on a real database, in an environment where nothing of the
//! developer's machine shows through, by a clock that moves only when the test moves it.

pub(crate) mod answers;
pub(crate) mod forbidden;
mod needs;
mod run;
mod words;

use std::collections::BTreeMap;
use std::ffi::OsString;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use chrono::{DateTime, NaiveDateTime, SecondsFormat};
use chrono_tz::Tz;
use sha2::{Digest as _, Sha256};
use tackfree::time::{OpenHours, Stretch};
use tempfile::TempDir;

pub(crate) use needs::here;
use run::Launch;
pub(crate) use run::Run;

/// The setup of the shop that most tests work in.
pub(crate) const SORREL_LANE: &str = include_str!("data/sorrel_lane.toml");

/// Eight figures that tell one text from another.
pub(crate) fn digest(text: &str) -> String {
    Sha256::digest(text)[..4].iter().fold(String::new(), |all, byte| format!("{all}{byte:02x}"))
}

/// A folder that is gone after the test: in memory where the system has such a place, since there every entry is written
/// through to the disk and a slow disk would be what is tested.
pub(crate) fn folder() -> TempDir {
    let memory = Path::new("/dev/shm");
    let made = if memory.is_dir() { tempfile::tempdir_in(memory).ok() } else { None };
    made.unwrap_or_else(|| tempfile::tempdir().unwrap())
}

/// Open day and night, every day.
pub(crate) fn always_open() -> OpenHours {
    let week = std::array::from_fn(|_| vec![Stretch::new(0, 1440).unwrap()]);
    OpenHours::new(week, Vec::new()).unwrap()
}

/// A shop of the tests.
pub(crate) struct TestShop {
    folder: TempDir,
    zone: Tz,
    environment: BTreeMap<&'static str, OsString>,
}

impl TestShop {
    /// A shop with nothing stored yet, in Dublin, on the morning of Monday 2 March 2026.
    pub(crate) fn bare() -> Self {
        let folder = folder();
        let home = folder.path().join("home");
        fs::create_dir(&home).unwrap();
        let mut environment = BTreeMap::new();
        for (name, place) in [
            ("HOME", ""),
            ("XDG_DATA_HOME", "data"),
            ("XDG_CONFIG_HOME", "config"),
            ("XDG_CACHE_HOME", "cache"),
            ("XDG_STATE_HOME", "state"),
            ("XDG_RUNTIME_DIR", "runtime"),
        ] {
            environment.insert(name, home.join(place).into_os_string());
        }
        // An address at which nobody listens: a test never speaks to the developer's own desktop.
        let no_bus = format!("unix:path={}", folder.path().join("no-bus").display());
        environment.insert("DBUS_SESSION_BUS_ADDRESS", no_bus.into());
        environment.insert("TZ", "UTC".into());
        environment.insert("LANG", "C.UTF-8".into());
        environment.insert("COLUMNS", "100".into());
        let mut shop = Self { folder, zone: Tz::Europe__Dublin, environment };
        shop.at("2026-03-02 08:30");
        shop
    }

    /// Sorrel Lane Turnery, its setup loaded.
    pub(crate) fn open() -> Self {
        Self::with_setup(SORREL_LANE)
    }

    /// A shop with that setup loaded, in the time zone that the setup names.
    pub(crate) fn with_setup(setup: &str) -> Self {
        let mut shop = Self::bare();
        let zone = setup.lines().find_map(|line| line.strip_prefix("timezone = \"")).unwrap();
        shop.zone = zone.trim_end_matches('"').parse().unwrap();
        shop.write("shop.toml", setup);
        shop.run("setup load shop.toml").ok();
        shop
    }

    /// Moves the clock: "2026-03-28 09:40" on the shop's wall, or RFC 3339.
    #[track_caller]
    pub(crate) fn at(&mut self, when: &str) -> &mut Self {
        let moment = DateTime::parse_from_rfc3339(when).map_or_else(
            |_| {
                let local = NaiveDateTime::parse_from_str(when, "%Y-%m-%d %H:%M").unwrap();
                let once = local.and_local_timezone(self.zone).single();
                once.expect("a wall time that comes once that day").to_utc()
            },
            |moment| moment.to_utc(),
        );
        let text = moment.to_rfc3339_opts(SecondsFormat::Secs, true);
        self.set("TACKFREE_NOW", &text)
    }

    /// The terminal's width from now on.
    pub(crate) fn columns(&mut self, columns: usize) -> &mut Self {
        self.set("COLUMNS", &columns.to_string())
    }

    /// Sets one variable of the program's environment.
    pub(crate) fn set(&mut self, name: &'static str, value: &str) -> &mut Self {
        self.environment.insert(name, value.into());
        self
    }

    /// Runs one command line, split into words as a shell splits them: `done salt-3 --anyway "tested a scrap"`.
    #[track_caller]
    pub(crate) fn run(&self, line: &str) -> Run {
        self.launch(line).run()
    }

    /// Runs one command line with that text on standard input.
    #[track_caller]
    pub(crate) fn run_with(&self, line: &str, input: &str) -> Run {
        self.launch(line).run_with(input)
    }

    /// What a command answers in JSON.
    #[track_caller]
    pub(crate) fn json(&self, line: &str) -> serde_json::Value {
        self.run(&format!("{line} --json")).json()
    }

    /// One command line as a process that is not started yet.
    pub(crate) fn command(&self, line: &str) -> Command {
        self.launch(line).command()
    }

    fn launch(&self, line: &str) -> Launch {
        Launch {
            words: words::split(line),
            folder: self.folder().to_owned(),
            environment: self.environment.clone(),
        }
    }

    /// The folder in which commands run.
    pub(crate) fn folder(&self) -> &Path {
        self.folder.path()
    }

    /// The database: in the platform's data folder, as nothing says otherwise.
    pub(crate) fn database(&self) -> PathBuf {
        Path::new(&self.environment["XDG_DATA_HOME"]).join("tackfree").join("shop.tackfree")
    }

    /// Writes a file into the folder.
    pub(crate) fn write(&self, name: &str, text: &str) {
        fs::write(self.folder().join(name), text).unwrap();
    }

    /// Reads a file of the folder.
    #[track_caller]
    pub(crate) fn read(&self, name: &str) -> String {
        fs::read_to_string(self.folder().join(name)).unwrap()
    }
}
