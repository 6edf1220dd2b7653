//! A shop in a folder of its own, run by the program itself, on a clock that moves only when the test says so.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_json::Value;
use tackfree::shop::entry::Fact;
use tackfree::shop::journal::Journal;
use tackfree::shop::refusal::Refusal;
use tackfree::store::{self, Scope, Store};
use tackfree::time::Instant;
use tempfile::TempDir;

/// One hand, one rack of each use, an oil that soaks ten to twenty minutes, a recipe of two coats, open on weekdays.
const SETUP: &str = r#"
[shop]
name = "Sorrel Lane Turnery"
timezone = "Europe/Dublin"
hands = 1
[shop.hours]
mon = ["08:30-12:30", "13:15-17:30"]
tue = ["08:30-12:30", "13:15-17:30"]
wed = ["08:30-12:30", "13:15-17:30"]
thu = ["08:30-12:30", "13:15-17:30"]
fri = ["08:30-12:30", "13:15-17:30"]

[[room]]
name = "oil room"

[[rack]]
name = "drip-1"
room = "oil room"
slots = 2000
use = ["dry", "cure"]

[[finish]]
name = "house oil"
soak = "10m..20m"
recoat = "24h..7d"
cure = "21d"
self_heating = true

[[finish]]
name = "oil & wax <fine>"
soak = "10m..20m"
recoat = "4h..24h"
cure = "21d"
self_heating = false

[[piece]]
name = "pinch bowl"
wood = "beech"
per_blank = 1
area_cm2 = 90

[[recipe]]
name = "two coats"
piece = "pinch bowl"
steps = [
  { coat = "house oil", each = "20s", wipe = "18s" },
  { coat = "house oil", each = "20s", wipe = "18s" },
  { cure = "house oil" },
  { work = "inspect", each = "20s" },
]

[[recipe]]
name = "waxed"
piece = "pinch bowl"
steps = [
  { coat = "oil & wax <fine>", each = "20s", wipe = "18s" },
  { coat = "oil & wax <fine>", each = "20s", wipe = "18s" },
  { cure = "oil & wax <fine>" },
]
"#;

pub(super) struct TestShop {
    pub(super) folder: TempDir,
    pub(super) now: String,
    pub(super) bus: String,
}

/// What a command printed, and its exit code.
#[derive(Debug)]
#[must_use]
pub(super) struct Run {
    pub(super) out: String,
    pub(super) err: String,
    pub(super) code: i32,
}

impl TestShop {
    /// A shop with its setup, at a moment, on no desktop.
    pub(super) fn at(now: &str) -> Self {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("shop.toml"), SETUP).unwrap();
        let bus = format!("unix:path={}", folder.path().join("no-bus").display());
        let mut shop = Self { folder, now: "2026-01-01T09:00:00Z".to_owned(), bus };
        shop.done(&["setup", "load", "shop.toml"]);
        shop.now = now.to_owned();
        shop
    }

    pub(super) fn database(&self) -> PathBuf {
        self.folder.path().join("shop.tackfree")
    }

    pub(super) fn moment(&self) -> Instant {
        self.now.parse().unwrap()
    }

    /// The program, ready to be run in this shop and in nothing of whoever runs the test.
    pub(super) fn command(&self, program: &str) -> Command {
        let home = self.folder.path().join("home");
        let mut command = Command::new(program);
        command
            .env_clear()
            .env("PATH", "/usr/bin:/bin")
            .env("HOME", &home)
            .env("XDG_CONFIG_HOME", home.join(".config"))
            .env("XDG_DATA_HOME", home.join(".local/share"))
            .env("TZ", "UTC")
            .env("LANG", "C.UTF-8")
            .env("COLUMNS", "100")
            .env("TACKFREE_DB", self.database())
            .env("TACKFREE_NOW", &self.now)
            .env("DBUS_SESSION_BUS_ADDRESS", &self.bus)
            .current_dir(self.folder.path());
        command
    }

    pub(super) fn run(&self, words: &[&str]) -> Run {
        Run::of(self.command(env!("CARGO_BIN_EXE_tackfree")).args(words).output().unwrap())
    }

    /// Runs a command that has to be back within four seconds.
    pub(super) fn run_in_time(&self, words: &[&str]) -> Run {
        let mut command = self.command("timeout");
        let run = Run::of(
            command.args(["4", env!("CARGO_BIN_EXE_tackfree")]).args(words).output().unwrap(),
        );
        assert_ne!(run.code, 124, "not back within 4 s: {run:?}");
        run
    }

    /// Runs a command that has to succeed without a word on standard error.
    #[track_caller]
    pub(super) fn done(&self, words: &[&str]) -> String {
        let run = self.run(words);
        assert_eq!((run.code, run.err.as_str()), (0, ""), "{words:?}: {}", run.out);
        run.out
    }

    #[track_caller]
    pub(super) fn json(&self, words: &[&str]) -> Value {
        serde_json::from_str(&self.done(&[words, &["--json"]].concat())).unwrap()
    }

    /// Writes facts straight into the ledger, as the shop stands at `now`.
    pub(super) fn record(&self, write: impl FnOnce(&mut Journal) -> Result<(), Refusal>) {
        #[derive(Debug)]
        enum Trouble {
            Refused(#[allow(dead_code, reason = "shown by Debug")] Refusal),
            Store(#[allow(dead_code, reason = "shown by Debug")] store::Error),
        }
        impl From<store::Error> for Trouble {
            fn from(error: store::Error) -> Self {
                Self::Store(error)
            }
        }
        let mut store = Store::open(&self.database()).unwrap();
        store
            .record(&Scope::Open, self.moment(), |journal| write(journal).map_err(Trouble::Refused))
            .unwrap();
    }

    /// The fact that a lot was started with so many pieces on the rack, the steps before one taken as done.
    pub(super) fn lot_started(
        journal: &Journal,
        lot: &str,
        recipe: &str,
        pieces: u32,
        from_step: u32,
    ) -> Fact {
        let setup = journal.shop.setup.as_ref().unwrap();
        Fact::LotStarted {
            lot: lot.parse().unwrap(),
            recipe: setup.recipe(recipe).unwrap().clone(),
            revision: 1,
            pieces,
            rack: Some("drip-1".to_owned()),
            from_step,
        }
    }
}

impl Run {
    fn of(output: Output) -> Self {
        let text = |octets| String::from_utf8(octets).unwrap();
        Self {
            out: text(output.stdout),
            err: text(output.stderr),
            code: output.status.code().unwrap_or(-1),
        }
    }
}

/// A path in the project.
pub(super) fn project(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}
