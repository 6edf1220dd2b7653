//! How long `plan` takes in a shop of 2,000 pieces, and `promise` for an order of 210, each beside a plain `plan` of the same run.
//!
//! The real binary on new databases, as processes; the median of the runs counts. Ends with 1 where a plan of 2,000 pieces takes
//! over 2 s, or 100 re-plans over 1 s.

use std::collections::BTreeSet;
use std::error::Error;
use std::fmt;
use std::fs;
use std::io::Write as _;
use std::path::Path;
use std::process::{Command, ExitCode};

use chrono::{DateTime, Utc};
use serde::Deserialize;
use serde_json::Value;

const RUNS: usize = 3;
/// Seconds for a plan of 2,000 pieces.
const PLAN_LIMIT: f64 = 2.0;
/// Seconds for 100 re-plans.
const PROMISE_LIMIT: f64 = 1.0;

const LARGE: &str = include_str!("../data/plan/made/large.toml");
const SORREL_LANE: &str = include_str!("../data/sorrel_lane.toml");

const HEADING: [&str; 2] = [
    "plan in the shop   last minute, over its   piece-days late,          times the",
    "of made/large.toml   lots     ready   bound      late  bound  seconds  one of 132",
];

type Fallible<T> = Result<T, Box<dyn Error>>;

fn main() -> Fallible<ExitCode> {
    let folder = tempfile::tempdir()?;
    let mut out = std::io::stdout().lock();
    writeln!(out, "{}", HEADING.join("\n"))?;
    let orders = Order::all()?;
    let (mut small, mut slow) = (None, false);
    for orders in orders.chunk_by(|a, b| a.shop == b.shop) {
        let Some(Order { shop, .. }) = orders.first() else { continue };
        let plan = Shop::new(folder.path(), shop, LARGE, orders)?.planned()?;
        // The first of the table is what the others are held against.
        let small = *small.get_or_insert(plan.seconds);
        writeln!(out, "{shop:<13} {plan} {:>10.1}", plan.seconds / small)?;
        slow |= plan.seconds > PLAN_LIMIT;
    }
    let again = Again::new(folder.path())?;
    writeln!(out, "\n{again}")?;
    slow |= again.replans() > PROMISE_LIMIT;
    writeln!(
        out,
        "limits: {PLAN_LIMIT} s for a plan of 2,000 pieces, {PROMISE_LIMIT} s for 100 re-plans"
    )?;
    Ok(if slow { ExitCode::FAILURE } else { ExitCode::SUCCESS })
}

/// A batch to open: a line of `large.csv`.
#[derive(Deserialize)]
struct Order {
    shop: String,
    recipe: String,
    pieces: u32,
    due: Option<String>,
}

impl Order {
    fn all() -> Fallible<Vec<Self>> {
        let table = include_bytes!("../data/plan/made/large.csv");
        let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(&table[..]);
        Ok(reader.deserialize().collect::<Result<_, _>>()?)
    }
}

/// A shop in a folder, with its orders taken.
struct Shop<'a> {
    folder: &'a Path,
    database: String,
}

impl<'a> Shop<'a> {
    fn new(folder: &'a Path, name: &str, setup: &str, orders: &[Order]) -> Fallible<Self> {
        let shop = Self { folder, database: format!("{name}.db") };
        fs::write(folder.join("shop.toml"), setup)?;
        shop.run(&["setup", "load", "shop.toml"])?;
        for (number, Order { recipe, pieces, due, .. }) in orders.iter().enumerate() {
            let (batch, pieces) = (format!("order{number}"), pieces.to_string());
            let mut words = vec!["batch", "open", &batch, "--recipe", recipe, "--pieces", &pieces];
            words.extend(due.iter().flat_map(|due| ["--due", due.as_str()]));
            shop.run(&words)?;
        }
        Ok(shop)
    }

    /// Runs a command to its end; gives what it said, and how long that took.
    #[expect(clippy::disallowed_methods, reason = "a bench measures")]
    fn run(&self, words: &[&str]) -> Fallible<(f64, Vec<u8>)> {
        let mut command = Command::new(env!("CARGO_BIN_EXE_tackfree"));
        command.current_dir(self.folder).env_clear().args(words);
        command.env("TACKFREE_DB", &self.database).env("TACKFREE_NOW", "2026-03-02T08:30:00Z");
        let began = std::time::Instant::now();
        let output = command.output()?;
        let seconds = began.elapsed().as_secs_f64();
        if !output.status.success() {
            return Err(format!("{words:?}: {}", String::from_utf8_lossy(&output.stderr)).into());
        }
        Ok((seconds, output.stdout))
    }

    /// The median time of a command, and what it said last.
    fn median(&self, words: &[&str]) -> Fallible<(f64, Vec<u8>)> {
        let mut runs = (0..RUNS).map(|_| self.run(words)).collect::<Fallible<Vec<_>>>()?;
        runs.sort_by(|a, b| a.0.total_cmp(&b.0));
        Ok(runs.swap_remove(RUNS / 2))
    }

    fn planned(&self) -> Fallible<Planned> {
        let (seconds, said) = self.median(&["plan", "--json"])?;
        Planned::read(&serde_json::from_slice(&said)?, seconds)
    }
}

/// What is asked about a plan.
struct Planned {
    lots: usize,
    /// Minutes from now to the last good piece, and to the bound.
    ready: (i64, i64),
    /// Late piece-days, and their bound.
    late: (i64, i64),
    seconds: f64,
}

impl Planned {
    fn read(plan: &Value, seconds: f64) -> Fallible<Self> {
        let at = |value: &Value| -> Fallible<DateTime<Utc>> {
            let text = value.as_str().ok_or("no moment")?;
            Ok(DateTime::parse_from_rfc3339(text)?.to_utc())
        };
        let now = at(&plan["now"])?;
        let minutes = |value| at(value).map(|at| (at - now).num_minutes());
        let bound = &plan["bound"];
        let days = |value: &Value| value.as_i64().ok_or("no lateness");
        let steps = plan["steps"].as_array().ok_or("no steps")?;
        let lots: BTreeSet<_> = steps.iter().map(|step| step["lot"].as_str()).collect();
        Ok(Self {
            lots: lots.len(),
            ready: (minutes(&plan["ready_at"])?, minutes(&bound["ready_at"])?),
            late: (days(&plan["lateness"])?, days(&bound["lateness"])?),
            seconds,
        })
    }
}

impl fmt::Display for Planned {
    #[expect(clippy::cast_precision_loss, reason = "minutes of a few years are exact in a f64")]
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { lots, ready: (ready, bound), late: (late, less), seconds } = self;
        let gap = (ready - bound) as f64 / *ready as f64 * 100.0;
        write!(f, "{lots:>4} {ready:>8} {gap:>8.2} % {late:>9} {less:>6} {seconds:>8.2}")
    }
}

/// What 100 re-plans of an order cost, beside one plan of it.
struct Again {
    plan: f64,
    once: f64,
    often: f64,
}

impl Again {
    fn new(folder: &Path) -> Fallible<Self> {
        let promise = ["promise", "--recipe", "three coats", "--pieces", "210", "--json", "--runs"];
        let asked = Shop::new(folder, "asked", SORREL_LANE, &[])?;
        let runs = |count: u64| -> Fallible<f64> {
            let (seconds, said) =
                asked.median(&[&promise[..], &[count.to_string().as_str()]].concat())?;
            // A run that finds no plan is soon over.
            let said: Value = serde_json::from_slice(&said)?;
            if said["runs"] == count && said["without"] == 0 {
                return Ok(seconds);
            }
            Err(format!("not every run found a plan: {said}").into())
        };
        let (shop, recipe) = ("taken".to_owned(), "three coats".to_owned());
        let order = Order { shop, recipe, pieces: 210, due: None };
        let taken = Shop::new(folder, "taken", SORREL_LANE, &[order])?;
        let (once, often) = (runs(1)?, runs(101)?);
        Ok(Self { plan: taken.median(&["plan", "--json"])?.0, once, often })
    }

    /// Seconds of the 100 re-plans alone.
    fn replans(&self) -> f64 {
        self.often - self.once
    }
}

impl fmt::Display for Again {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (plan, once, often, replans) = (self.plan, self.once, self.often, self.replans());
        writeln!(f, "210 pieces in the shop of sorrel_lane.toml   seconds   × plan")?;
        let mut row = |what: &str, seconds: f64| {
            writeln!(f, "{what:<42} {seconds:>8.2} {:>8.2}", seconds / plan)
        };
        row("plan", plan)?;
        row("promise, 1 run", once)?;
        row("promise, 101 runs", often)?;
        row("100 re-plans alone", replans)
    }
}
