//! How a command's time grows with years of use: a long history against a fresh shop with the same open lots, in one run.
//!
//! The history goes through the real fold: each entry is held against the rules. 33,000 closed batches make a million
//! entries, with 40 lots open, a can that is never emptied, and five years of ten-minute readings of three rooms;
//! `cargo bench --bench history -- 2000` makes a smaller one. Each command is a process of its own, the quickest of its runs
//! counts, and its memory is the most it ever held. Ends with 1 where a figure is beyond its limit.

use std::error::Error;
use std::fmt::Write as _;
use std::fs;
use std::path::Path;
use std::process::{Command, ExitCode, Stdio};
use std::time::Duration;

use chrono::{DateTime, TimeDelta};
use tackfree::shop::climate::RoomReading;
use tackfree::shop::entry::{Fact, Subject, SubjectKind};
use tackfree::shop::fact::{
    BatchClosed, BatchOpened, CanEmptied, CanOpened, CoatLaid, LotStarted, Noted, RagsDealtWith,
    RagsOf, SetupLoaded, Shipped, StepDone,
};
use tackfree::shop::journal::Journal;
use tackfree::shop::name::LotName;
use tackfree::shop::pace::{Timed, TimedStep};
use tackfree::shop::refusal::Refusal;
use tackfree::shop::setup::read::read;
use tackfree::store::{self, Scope, Store};
use tackfree::time::Instant;
use tackfree::units::{Celsius, Humidity};

const SETUP: &str = include_str!("../data/sorrel_lane.toml");
const ROOMS: [&str; 3] = ["oil room", "loft room", "shed"];
const OPEN: i64 = 40;
const BATCHES: i64 = 33_000;
/// Batches recorded in one transaction.
const AT_ONCE: i64 = 500;
const LOTS: u32 = 3;
/// How many times the shell's look-ups a trace may take, and one for whom little was ever sent.
const TRACE: f64 = 8.0;
const RARE: &str = "trace --to rare";

/// A command, how long it may take at most, as so many times the fresh shop's or in milliseconds, and how much memory, in MB.
const LOOKS: [(&str, Limit, u64); 12] = [
    ("today", Limit::Times(1.3), 30),
    ("due", Limit::Times(1.3), 30),
    ("racks", Limit::Times(1.3), 30),
    ("rags", Limit::Times(1.3), 30),
    ("", Limit::Times(1.3), 30),
    ("batch show b100", Limit::Millis(100), 200),
    ("lot show b100-1", Limit::Millis(100), 200),
    ("spares open1", Limit::Millis(100), 200),
    ("pace open1", Limit::Millis(100), 200),
    ("ledger list --last 10", Limit::Millis(100), 200),
    ("due --now yesterday", Limit::Millis(100), 200),
    ("promise open1", Limit::Millis(5000), 200),
];

#[derive(Clone, Copy)]
enum Limit {
    Times(f64),
    Millis(u64),
}

#[derive(Debug)]
enum Why {
    Refused(Refusal),
    Store(store::Error),
}

impl From<Refusal> for Why {
    fn from(refusal: Refusal) -> Self {
        Self::Refused(refusal)
    }
}

impl From<store::Error> for Why {
    fn from(error: store::Error) -> Self {
        Self::Store(error)
    }
}

impl std::fmt::Display for Why {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Refused(refusal) => write!(f, "{refusal:?}"),
            Self::Store(error) => write!(f, "{error}"),
        }
    }
}

impl Error for Why {}

fn now() -> Instant {
    DateTime::UNIX_EPOCH + TimeDelta::days(20_514) + TimeDelta::hours(9)
}

fn setup() -> String {
    let rooms = "[[room]]\nname = \"loft room\"\n\n[[room]]\nname = \"shed\"\n\n[[rack]]";
    SETUP
        .replacen("[[rack]]", rooms, 1)
        .replace("slots = 12\n", "slots = 9000\n")
        .replace("3 months", "1200 months")
}

fn main() -> Result<ExitCode, Box<dyn Error>> {
    let batches = std::env::args().find_map(|word| word.parse().ok()).unwrap_or(BATCHES);
    let folder = tempfile::tempdir()?;
    let (fresh, long) = (folder.path().join("fresh.tackfree"), folder.path().join("long.tackfree"));
    make(&fresh, 0, TimeDelta::days(60))?;
    make(&long, batches, TimeDelta::days(5 * 365))?;
    let (mut said, mut beyond) = (String::new(), 0);
    writeln!(
        said,
        "{batches} batches closed, {} MB; fresh: {} kB",
        fs::metadata(&long)?.len() / 1_000_000,
        fs::metadata(&fresh)?.len() / 1000
    )?;
    for (line, limit, memory) in LOOKS {
        let (new, old) = (run(&fresh, &line.replace("b100", "open1"), 7)?, run(&long, line, 7)?);
        let within = match limit {
            Limit::Times(times) => old.took.as_secs_f64() <= times * new.took.as_secs_f64(),
            Limit::Millis(most) => old.took <= Duration::from_millis(most),
        } && old.memory <= memory;
        beyond += u32::from(!within);
        row(&mut said, line, &new, &old, within)?;
    }
    beyond += traces(&mut said, &long)?;
    beyond += writes(&mut said, &fresh, &long)?;
    beyond += check(&mut said, &long)?;
    std::io::Write::write_all(&mut std::io::stdout(), said.as_bytes())?;
    Ok(if beyond == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

fn row(said: &mut String, line: &str, new: &Ran, old: &Ran, within: bool) -> std::fmt::Result {
    let ratio = old.took.as_secs_f64() / new.took.as_secs_f64();
    writeln!(
        said,
        "tackfree {:<22} fresh {:>7.1} ms {:>4} MB   long {:>8.1} ms {:>4} MB   {ratio:>6.2} times{}",
        line,
        new.took.as_secs_f64() * 1000.0,
        new.memory,
        old.took.as_secs_f64() * 1000.0,
        old.memory,
        if within { "" } else { "   BEYOND ITS LIMIT" }
    )
}

/// What a recall asks, against the same rows looked up by the shell: the index's rows about it, and their entries.
fn traces(said: &mut String, long: &Path) -> Result<u32, Box<dyn Error>> {
    let rows = |kind: &str, name: &str| {
        format!(
            "SELECT fact, hash FROM entry WHERE id IN (SELECT entry FROM about WHERE kind = '{kind}' AND name = '{name}');"
        )
    };
    let open = "SELECT fact, hash FROM entry WHERE id IN (SELECT entry FROM about JOIN open_now USING (kind, name));";
    let addressees =
        "SELECT id, fact ->> 'to' FROM about JOIN entry ON id = entry WHERE kind = 'shipment';";
    let mut beyond = 0;
    for (line, first) in [
        ("trace --can b100", rows("can", "b100")),
        ("trace b100-1", String::new()),
        (RARE, addressees.to_owned()),
    ] {
        let ours = run(long, line, 7)?;
        let mut theirs = Duration::MAX;
        for _ in 0..7 {
            let queries = format!("{first}{open}{}", rows("batch", "b100"));
            theirs = theirs.min(measured(Command::new("sqlite3").arg(long).arg(queries))?.took);
        }
        let ratio = ours.took.as_secs_f64() / theirs.as_secs_f64();
        let within = ratio <= TRACE && ours.memory <= 200;
        beyond += u32::from(!within);
        writeln!(
            said,
            "{line}: {:.1} ms {} MB, the sqlite3 shell's queries {:.1} ms: {ratio:.2} times (limit {TRACE}){}",
            ours.took.as_secs_f64() * 1000.0,
            ours.memory,
            theirs.as_secs_f64() * 1000.0,
            if within { "" } else { "   BEYOND ITS LIMIT" }
        )?;
    }
    Ok(beyond)
}

/// A record, against the shell's durable INSERT into a file of its own at the same setting.
fn writes(said: &mut String, fresh: &Path, long: &Path) -> Result<u32, Box<dyn Error>> {
    let (mut ours, mut new, mut theirs) = (Vec::new(), Vec::new(), Vec::new());
    let plain = fresh.with_extension("plain");
    for turn in 0..15 {
        let note = format!("note open1 turn{turn}");
        ours.push(run(long, &note, 1)?.took);
        new.push(run(fresh, &note, 1)?.took);
        let mut shell = Command::new("sqlite3");
        shell.arg(&plain).arg(
            "PRAGMA synchronous=EXTRA; CREATE TABLE IF NOT EXISTS t (x); INSERT INTO t VALUES (1);",
        );
        theirs.push(measured(&mut shell)?.took);
    }
    let mut reject = Duration::MAX;
    for turn in 0..5 {
        let line = format!("lot reject open{turn}-1 --pieces 1 --why cracked");
        reject = reject.min(run(long, &line, 1)?.took);
    }
    writeln!(said, "lot reject: {:.1} ms (limit 100)", reject.as_secs_f64() * 1000.0)?;
    let middle = |mut all: Vec<Duration>| {
        all.sort();
        all.get(all.len() / 2).copied().unwrap_or_default().as_secs_f64() * 1000.0
    };
    let (ours, new, theirs) = (middle(ours), middle(new), middle(theirs));
    writeln!(
        said,
        "a record: {ours:.1} ms, fresh {new:.1} ms, the sqlite3 shell's INSERT {theirs:.1} ms: {:.2} times (limit 2)",
        ours / theirs
    )?;
    Ok(u32::from(ours > 2.0 * theirs) + u32::from(reject > Duration::from_millis(100)))
}

/// The check, against `SQLite`'s own; and how long a record beside it takes.
fn check(said: &mut String, long: &Path) -> Result<u32, Box<dyn Error>> {
    let mut shell = Command::new("sqlite3");
    let theirs = measured(shell.arg(long).arg("PRAGMA integrity_check"))?;
    let mut checking = tackfree(long, "ledger check").stdout(Stdio::null()).spawn()?;
    let mut waited = Duration::ZERO;
    while checking.try_wait()?.is_none() {
        waited = waited.max(run(long, "note open1 beside", 1)?.took);
    }
    let ours = run(long, "ledger check", 1)?;
    let ratio = ours.took.as_secs_f64() / theirs.took.as_secs_f64();
    writeln!(
        said,
        "ledger check: {:.1} s {} MB, PRAGMA integrity_check {:.1} s: {ratio:.2} times (limit 3); a record beside it at most {} ms",
        ours.took.as_secs_f64(),
        ours.memory,
        theirs.took.as_secs_f64(),
        waited.as_millis()
    )?;
    let beyond = ratio > 3.0 || ours.memory > 200 || waited > Duration::from_secs(1);
    Ok(u32::from(beyond))
}

struct Ran {
    took: Duration,
    /// MB.
    memory: u64,
}

fn tackfree(database: &Path, line: &str) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_tackfree"));
    command.env_clear().env("TACKFREE_NOW", now().to_rfc3339()).arg("--db").arg(database);
    command.args(line.split_whitespace());
    command
}

fn run(database: &Path, line: &str, runs: usize) -> Result<Ran, Box<dyn Error>> {
    let mut best = Ran { took: Duration::MAX, memory: 0 };
    for _ in 0..runs {
        let ran = measured(&mut tackfree(database, line))?;
        let slow = ran.took > Duration::from_secs(2);
        best = Ran { took: best.took.min(ran.took), memory: best.memory.max(ran.memory) };
        if slow {
            break;
        }
    }
    Ok(best)
}

/// Runs it to its end: how long that took, and the most memory that it held as far as somebody saw.
#[expect(clippy::disallowed_methods, reason = "a bench measures")]
fn measured(command: &mut Command) -> Result<Ran, Box<dyn Error>> {
    let began = std::time::Instant::now();
    let mut child = command.stdout(Stdio::null()).stderr(Stdio::piped()).spawn()?;
    let status = format!("/proc/{}/status", child.id());
    let mut memory = 0;
    let code = loop {
        if let Some(code) = child.try_wait()? {
            break code;
        }
        let seen = fs::read_to_string(&status).unwrap_or_default();
        let seen = seen.lines().find_map(|line| line.strip_prefix("VmHWM:"));
        let seen = seen.and_then(|seen| seen.trim().trim_end_matches(" kB").parse::<u64>().ok());
        memory = memory.max(seen.unwrap_or(0));
        std::thread::sleep(Duration::from_micros(200));
    };
    let took = began.elapsed();
    if code.success() {
        return Ok(Ran { took, memory: memory / 1000 });
    }
    let mut why = String::new();
    if let Some(mut said) = child.stderr.take() {
        std::io::Read::read_to_string(&mut said, &mut why)?;
    }
    Err(format!("{command:?}: {why}").into())
}

/// Makes a shop with so many batches behind it and readings from so long ago on.
fn make(path: &Path, batches: i64, read_for: TimeDelta) -> Result<(), Box<dyn Error>> {
    Store::make(path)?;
    let mut store = Store::open(path)?;
    let first = now() - TimeDelta::hours(2) * i32::try_from(batches)? - TimeDelta::days(40);
    record(&mut store, |journal| {
        let text = setup();
        let setup = Box::new(read(&text).map_err(|faults| panic_free(&faults))?);
        let revisions = journal.shop.revisions_with(&setup);
        let loaded = SetupLoaded { setup, revisions, text: Some(text) };
        journal.record(first, Fact::SetupLoaded(loaded))?;
        Ok(open_can(journal, first, "forever")?)
    })?;
    let mut done = 0;
    while done < batches {
        let until = (done + AT_ONCE).min(batches);
        record(&mut store, |journal| {
            for number in done..until {
                let at = first + TimeDelta::hours(2) * i32::try_from(number).unwrap_or(i32::MAX);
                batch(journal, &format!("b{number}"), at, number % 10 == 0)?;
            }
            Ok(())
        })?;
        done = until;
    }
    record(&mut store, |journal| {
        for number in 0..OPEN {
            let at = now() - TimeDelta::days(9) + TimeDelta::hours(number);
            let name = format!("open{number}");
            open_can(journal, at, &name)?;
            open_batch(journal, at, &name)?;
            lot(journal, &name, 1, at, &name, false)?;
        }
        Ok(())
    })?;
    let mut from = now() - read_for;
    while from < now() {
        let until = (from + TimeDelta::days(30)).min(now());
        for room in ROOMS {
            let readings = readings(from, until);
            store.add_readings::<Why>(now(), room, &readings, Some("log.csv"))?;
        }
        from = until;
    }
    Ok(())
}

fn panic_free(faults: &impl std::fmt::Debug) -> Why {
    let path = Path::new("the setup").to_owned();
    Why::Store(store::Error::Damaged { path, what: format!("{faults:?}") })
}

fn record(
    store: &mut Store,
    write: impl FnOnce(&mut Journal) -> Result<(), Why>,
) -> Result<(), Why> {
    store.record(&Scope::Open, now(), write).map(|_| ())
}

fn readings(from: Instant, until: Instant) -> Vec<RoomReading> {
    let count = (until - from).num_minutes() / 10;
    let reading = |number: i64| RoomReading {
        at: from + TimeDelta::minutes(10 * number),
        temp: Celsius::new(f64::from(i32::try_from(150 + number % 60).unwrap_or(0)) / 10.0).ok(),
        humidity: Humidity::new(50.0).ok(),
        surface: None,
        extremes: None,
    };
    (0..count).map(reading).collect()
}

fn open_can(journal: &mut Journal, at: Instant, can: &str) -> Result<(), Refusal> {
    let (can, finish) = (can.to_owned(), "hard wax".to_owned());
    let opened = CanOpened { can, finish, litres: None, maker_lot: None };
    journal.record(at, Fact::CanOpened(opened)).map(|_| ())
}

fn open_batch(journal: &mut Journal, at: Instant, batch: &str) -> Result<(), Refusal> {
    let opened = BatchOpened {
        batch: batch.to_owned(),
        recipe: "one coat".to_owned(),
        pieces: 12,
        due: None,
        customer: Some("a shop in town".to_owned()),
        wanted: None,
    };
    journal.record(at, Fact::BatchOpened(opened)).map(|_| ())
}

/// A batch of three lots from its opening to its closing: thirty entries.
fn batch(
    journal: &mut Journal,
    name: &str,
    at: Instant,
    from_the_old_can: bool,
) -> Result<(), Refusal> {
    let can = if from_the_old_can { "forever" } else { name };
    open_can(journal, at, name)?;
    open_batch(journal, at, name)?;
    for number in 1..=LOTS {
        lot(journal, name, number, at, can, true)?;
    }
    for turn in 0..5 {
        let about = Subject::new(SubjectKind::Batch, name);
        let text = format!("the grain was good, piece {turn}");
        journal.record(at, Fact::Noted(Noted { about, text }))?;
    }
    let over = at + TimeDelta::days(16);
    journal.record(over, Fact::BatchClosed(BatchClosed { batch: name.to_owned() }))?;
    journal.record(over, Fact::CanEmptied(CanEmptied { can: name.to_owned() }))?;
    Ok(())
}

/// A lot that is sanded, coated and, where its batch is over, inspected and shipped.
fn lot(
    journal: &mut Journal,
    batch: &str,
    number: u32,
    at: Instant,
    can: &str,
    over: bool,
) -> Result<(), Refusal> {
    let name = LotName { batch: batch.to_owned(), number };
    let recipe = journal.shop.needs_setup()?.recipe("one coat").cloned();
    let Some(recipe) = recipe else { return Err(Refusal::NoSetup) };
    let started = LotStarted {
        lot: name.clone(),
        recipe,
        revision: 1,
        pieces: 4,
        rack: Some("shelf".to_owned()),
        from_step: 1,
        did: Vec::new(),
    };
    journal.record(at, Fact::LotStarted(started))?;
    let done = |step, coat, timed: Option<Timed>| {
        let minutes = timed.as_ref().map(|_| 3);
        Fact::StepDone(StepDone {
            lot: name.clone(),
            step,
            pieces: 4,
            coat,
            minutes,
            timed,
            rack: None,
        })
    };
    let step = TimedStep { name: "sand P240".to_owned(), nth: 1 };
    let timed = Timed { recipe: "one coat".to_owned(), step, before: 4 * (number - 1) };
    journal.record(at, done(1, None, Some(timed)))?;
    let coat = CoatLaid { finish: "hard wax".to_owned(), can: Some(can.to_owned()), drawn: None };
    let coat = journal.record(at, done(2, Some(coat), None))?;
    if over {
        let rags = vec![RagsOf { coat, lot: name.clone() }];
        let rags = RagsDealtWith { rags, how: "under water, lidded can".to_owned() };
        journal.record(at, Fact::RagsDealtWith(rags))?;
        let cured = at + TimeDelta::days(15);
        journal.record(cured, done(4, None, None))?;
        let to = if batch == "b100" { "rare" } else { "a shop in town" }.to_owned();
        let shipped = Shipped { to, lots: vec![(name, 4)] };
        journal.record(cured, Fact::Shipped(shipped))?;
    }
    Ok(())
}
