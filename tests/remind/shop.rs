//! The shop in which reminders are tried, and runs of the program that have to be back in time or are killed.

use std::path::{Path, PathBuf};
use std::process::Command;

use tackfree::shop::Shop;
use tackfree::shop::entry::Fact;
use tackfree::shop::fact::LotStarted;
use tackfree::shop::journal::Journal;
use tackfree::store::{self, Scope, Store};
use tackfree::time::Instant;

use crate::harness::TestShop;

/// One hand, one rack of each use, an oil that soaks ten to twenty minutes, a recipe of two coats, open on weekdays.
const SETUP: &str = r#"[shop]
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
pieces_per_blank = 1
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

/// That shop, its setup loaded before, at a moment; on no desktop.
pub(super) fn at(now: &str) -> TestShop {
    let mut shop = TestShop::bare();
    shop.at("2026-01-01T09:00:00Z").write("shop.toml", SETUP);
    shop.run("setup load shop.toml").ok();
    shop.at(now);
    shop
}

/// That shop with lines of its own at the end of its setup file.
pub(super) fn with(now: &str, lines: &str) -> TestShop {
    let mut shop = at(now);
    shop.write("more.toml", &format!("{SETUP}\n{lines}"));
    shop.at("2026-01-02T09:00:00Z").run("setup load more.toml").ok();
    shop.at(now);
    shop
}

/// What a run that had to be back within four seconds said.
#[derive(Debug)]
#[must_use]
pub(super) struct InTime {
    pub(super) out: String,
    pub(super) err: String,
    pub(super) code: i32,
}

/// Runs a command that has to be back within four seconds.
pub(super) fn in_time(shop: &TestShop, line: &str) -> InTime {
    let output = under(&["timeout", "4"], &shop.command(line)).output().unwrap();
    let text = |octets| String::from_utf8(octets).unwrap();
    let code = output.status.code().unwrap();
    let run = InTime { out: text(output.stdout), err: text(output.stderr), code };
    assert_ne!(code, 124, "not back within 4 s: {run:?}");
    run
}

/// The same command, run by another program.
pub(super) fn under(program: &[&str], command: &Command) -> Command {
    let mut wrapped = Command::new(program[0]);
    wrapped.args(&program[1..]).arg(command.get_program()).args(command.get_args()).env_clear();
    wrapped.envs(command.get_envs().filter_map(|(name, value)| Some((name, value?))));
    wrapped.current_dir(command.get_current_dir().unwrap());
    wrapped
}

/// Runs a command on a terminal that types what the script says, each once the text before it has been shown. Gives all that
/// was shown.
#[track_caller]
pub(super) fn on_a_terminal(shop: &TestShop, line: &str, script: &serde_json::Value) -> String {
    let keys = project("tests/harness/keys.py");
    // Should what is waited for never come, it ends all the same.
    let python = ["timeout", "60", "/usr/bin/python3", keys.to_str().unwrap(), &script.to_string()];
    let output =
        under(&python, &shop.command(line)).env("TERM", "xterm-256color").output().unwrap();
    let shown = String::from_utf8(output.stdout).unwrap();
    let err = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(0), "{shown}{err}");
    shown
}

/// Writes facts straight into the ledger, as the shop stands at `now`.
pub(super) fn record(shop: &TestShop, now: Instant, write: impl FnOnce(&mut Journal)) {
    let mut store = Store::open(&shop.database()).unwrap();
    let written = store.record(&Scope::Open, now, |journal| {
        write(journal);
        Ok::<(), store::Error>(())
    });
    written.unwrap();
}

/// Starts a lot with so many pieces on the rack, the steps before one taken as done.
pub(super) fn start(journal: &mut Journal, lot: &str, recipe: &str, from_step: u32, at: Instant) {
    let setup = journal.shop.setup.as_ref().unwrap();
    let fact = Fact::LotStarted(LotStarted {
        lot: lot.parse().unwrap(),
        recipe: setup.recipe(recipe).unwrap().clone(),
        revision: 1,
        pieces: 1,
        rack: Some("drip-1".to_owned()),
        from_step,
        did: Vec::new(),
    });
    journal.record(at, fact).unwrap();
}

/// The shop as it is stored.
pub(super) fn loaded(shop: &TestShop) -> Shop {
    Store::open(&shop.database()).unwrap().load(&Scope::Open).unwrap().shop
}

/// A path in the project.
pub(super) fn project(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}
