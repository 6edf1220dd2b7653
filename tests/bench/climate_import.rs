//! How long `climate import` takes for 200,000 rows, against the `sqlite3` shell importing the same file into a plain table.
//!
//! Both run as processes, in turn, on new databases; the quickest of the runs counts on each side, since whatever else the
//! machine does only ever adds. Ends with 1 where the import takes over twice as long.

use std::error::Error;
use std::fmt::Write as _;
use std::fs;
use std::path::Path;
use std::process::{Command, ExitCode};
use std::time::Duration;

const ROWS: u32 = 200_000;
const RUNS: u32 = 5;
const LIMIT: f64 = 2.0;

const SETUP: &str = r#"
[shop]
name = "Sorrel Lane Turnery"
timezone = "Europe/Dublin"
hands = 1
[shop.hours]
mon = ["08:30-17:30"]
[[room]]
name = "oil room"
"#;

fn main() -> Result<ExitCode, Box<dyn Error>> {
    let folder = tempfile::tempdir()?;
    let at = |name: &str| folder.path().join(name);
    fs::write(at("log.csv"), log())?;
    fs::write(at("shop.toml"), SETUP)?;
    let (mut ours, mut theirs) = (Duration::MAX, Duration::MAX);
    for run in 0..RUNS {
        ours = ours.min(import(folder.path(), run)?);
        theirs = theirs.min(plain(folder.path(), run)?);
    }
    let ratio = ours.as_secs_f64() / theirs.as_secs_f64();
    let line = format!(
        "climate import of {ROWS} rows: {} ms; the sqlite3 shell: {} ms; {ratio:.2} times as long (limit {LIMIT})\n",
        ours.as_millis(),
        theirs.as_millis()
    );
    std::io::Write::write_all(&mut std::io::stdout(), line.as_bytes())?;
    Ok(if ratio <= LIMIT { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

/// A reading a minute from 1 September 2025 on, with the night on which the clocks go back in it: stamps in UTC.
fn log() -> String {
    let mut text = String::from("time (UTC),temperature (°C),humidity (%)\n");
    let start = chrono::DateTime::UNIX_EPOCH + chrono::TimeDelta::days(20_332);
    for row in 0..ROWS {
        let at = start + chrono::TimeDelta::minutes(i64::from(row));
        let (warm, damp) = (row * 7 % 140, row * 11 % 400);
        let line = format!(
            "{},{}.{},{}.{}",
            at.format("%Y-%m-%d %H:%M:%S"),
            8 + warm / 10,
            warm % 10,
            35 + damp / 10,
            damp % 10
        );
        writeln!(text, "{line}").unwrap_or_default();
    }
    text
}

fn import(folder: &Path, run: u32) -> Result<Duration, Box<dyn Error>> {
    let tackfree = || {
        let mut command = Command::new(env!("CARGO_BIN_EXE_tackfree"));
        command.current_dir(folder).env_clear();
        command.env("TACKFREE_DB", format!("ours-{run}.db"));
        command.env("TACKFREE_NOW", "2026-03-02T08:30:00Z");
        command
    };
    done(tackfree().args(["setup", "load", "shop.toml"]))?;
    done(tackfree().args(["climate", "import", "oil room", "log.csv"]))
}

fn plain(folder: &Path, run: u32) -> Result<Duration, Box<dyn Error>> {
    let mut shell = Command::new("sqlite3");
    shell.current_dir(folder).arg(format!("theirs-{run}.db"));
    done(
        shell
            .arg("CREATE TABLE plain (at, temp, humidity);")
            .arg(".import --csv --skip 1 log.csv plain"),
    )
}

/// Runs it to its end and gives how long that took.
#[expect(clippy::disallowed_methods, reason = "a bench measures")]
fn done(command: &mut Command) -> Result<Duration, Box<dyn Error>> {
    let began = std::time::Instant::now();
    let output = command.output()?;
    let took = began.elapsed();
    if output.status.success() {
        Ok(took)
    } else {
        Err(format!("{command:?}: {}", String::from_utf8_lossy(&output.stderr)).into())
    }
}
