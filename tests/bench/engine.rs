//! Runs the scheduling engine on problem files and prints one JSON line a file:
//! `cargo bench --bench engine -- FILE… [--effort N] [--seed N]`
//!
//! Without a file it runs the nine shops of `tests/data/plan` with seeds 1 to 20 each and prints a table of how soon the best
//! plan known is reached, beside what CP-SAT needed (not run here: see `best_known.csv`); ends with 1 where a seed misses it.
//!
//! When something was reached is known no finer than the engine tells of its progress: at its first plan, every 64 plans, and
//! at its end with all that belongs to it, bounds included.

use std::error::Error;
use std::fmt;
use std::io::Write as _;
use std::path::Path;
use std::process::ExitCode;

use serde::{Deserialize, Serialize};
use serde_json::{Value, json};
use tackfree::plan::engine::{Answer, Failure, Problem, Settings, Values, solve};

const SEEDS: u64 = 20;

const DATA: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/plan");

fn main() -> Result<ExitCode, Box<dyn Error>> {
    let Some(Typed { files, effort, seed }) = Typed::read(std::env::args().skip(1)) else {
        let words = "usage: cargo bench --bench engine -- [FILE… [--seed N]] [--effort N]";
        writeln!(std::io::stderr(), "{words}")?;
        return Ok(ExitCode::from(2));
    };
    if files.is_empty() {
        return all_shops(effort);
    }
    let settings = Settings { effort, seed: seed.unwrap_or(1), ..Settings::default() };
    for file in files {
        writeln!(std::io::stdout(), "{}", line(&file, &settings))?;
    }
    Ok(ExitCode::SUCCESS)
}

/// What was typed; an effort of 0 is the usual one.
#[derive(Default)]
struct Typed {
    files: Vec<String>,
    effort: u64,
    seed: Option<u64>,
}

impl Typed {
    /// None where it makes no sense.
    fn read(mut arguments: impl Iterator<Item = String>) -> Option<Self> {
        let mut typed = Self::default();
        while let Some(argument) = arguments.next() {
            let mut number = || arguments.next()?.parse().ok();
            match argument.as_str() {
                // Cargo's own.
                "--bench" => {}
                "--effort" => typed.effort = number()?,
                "--seed" => typed.seed = Some(number()?),
                file if !file.starts_with("--") => typed.files.push(argument),
                _ => return None,
            }
        }
        // Without a file all seeds are run.
        (typed.seed.is_none() || !typed.files.is_empty()).then_some(typed)
    }
}

/// What counts before idleness.
type Worth = (i64, i64, i64);

const fn worth(values: &Values) -> Worth {
    (values.violations, values.tardiness, values.makespan)
}

/// A plan better than those before it, and when it was first seen.
#[derive(Clone, Copy, Serialize)]
struct Seen {
    #[serde(skip)]
    worth: Worth,
    evaluations: u64,
    seconds: f64,
}

/// One run of the engine, and what it saw on its way.
struct Timed {
    found: Result<Answer, Failure>,
    seen: Vec<Seen>,
    seconds: f64,
}

impl Timed {
    #[expect(clippy::disallowed_methods, reason = "a bench measures the time it takes")]
    fn run(problem: &Problem, settings: &Settings<'_>) -> Self {
        let began = std::time::Instant::now();
        let mut seen: Vec<Seen> = Vec::new();
        let (mut before, mut last) = (0, 0);
        let found = solve(problem, settings, &mut |progress| {
            // A search that begins again counts from nothing.
            if progress.evaluations < last {
                before += last;
            }
            last = progress.evaluations;
            let best = progress.best.map(worth);
            if let Some(worth) =
                best.filter(|best| seen.last().is_none_or(|seen| *best < seen.worth))
            {
                let (evaluations, seconds) = (before + last, began.elapsed().as_secs_f64());
                seen.push(Seen { worth, evaluations, seconds });
            }
            true
        });
        let seconds = began.elapsed().as_secs_f64();
        if let Ok(answer) = &found {
            let (worth, evaluations) = (worth(&answer.values), answer.spent.evaluations);
            seen.push(Seen { worth, evaluations, seconds });
        }
        Self { found, seen, seconds }
    }

    /// When a plan of that worth, or a better one, was first seen.
    fn reached(&self, worth: Worth) -> Option<Seen> {
        self.seen.iter().find(|seen| seen.worth <= worth).copied()
    }
}

fn read(file: &Path) -> Result<Problem, Box<dyn Error>> {
    Ok(serde_json::from_str(&std::fs::read_to_string(file)?)?)
}

fn line(file: &str, settings: &Settings<'_>) -> Value {
    let problem = match read(Path::new(file)) {
        Ok(problem) => problem,
        Err(error) => return json!({ "file": file, "status": "unread", "why": error.to_string() }),
    };
    let timed = Timed::run(&problem, settings);
    let seconds = timed.seconds;
    match &timed.found {
        Err(Failure::Unsound) => json!({ "file": file, "status": "unsound", "seconds": seconds }),
        Ok(answer) => done(file, answer, &timed),
        Err(Failure::Faulty(faults)) => {
            let faults: Vec<String> = faults.iter().map(ToString::to_string).collect();
            json!({ "file": file, "status": "faulty", "why": faults, "seconds": seconds })
        }
        Err(Failure::Refused(refusal)) => {
            let status = if refusal.is_proved() { "infeasible" } else { "unsolved" };
            json!({ "file": file, "status": status, "why": refusal.to_string(), "seconds": seconds })
        }
    }
}

fn done(file: &str, answer: &Answer, timed: &Timed) -> Value {
    json!({
        "file": file,
        "status": "done",
        "starts": answer.plan.starts,
        "ends": answer.ends,
        "holds": answer.plan.holds,
        "misses": answer.plan.violations,
        "values": answer.values,
        "bound": { "makespan": answer.bound.makespan, "lateness": answer.bound.tardiness },
        "evaluations": answer.spent.evaluations,
        "seconds": timed.seconds,
        "reached": timed.reached(worth(&answer.values)),
    })
}

/// A line of `best_known.csv`.
#[derive(Deserialize)]
struct Best {
    scenario: String,
    misses: i64,
    lateness: i64,
    makespan: i64,
    cp_sat_finds: f64,
    cp_sat_proves: Option<f64>,
}

/// How the seeds fared on one shop.
struct Fared {
    best: Best,
    /// Seconds to the best known, of the seeds that reached it.
    seconds: Vec<f64>,
    /// The widest between a plan and its bound: of the last minute in %, and in late piece-days.
    gaps: (f64, i64),
}

fn all_shops(effort: u64) -> Result<ExitCode, Box<dyn Error>> {
    let mut out = std::io::stdout().lock();
    writeln!(out, "{}", HEADING.join("\n"))?;
    let table = format!("{DATA}/best_known.csv");
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(table)?;
    let mut missed = 0;
    for best in reader.deserialize() {
        let fared = Fared::new(best?, effort)?;
        writeln!(out, "{fared}")?;
        missed += SEEDS - u64::try_from(fared.seconds.len())?;
    }
    writeln!(
        out,
        "CP-SAT: OR-Tools CP-SAT 9.15, 2 workers, measured once on 2 cores; not run here"
    )?;
    Ok(if missed == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

const HEADING: [&str; 2] = [
    "            best known             best known reached, s           CP-SAT, s    widest gap",
    "scenario    missed late  minute    seeds   median greatest       finds   proves  minute   late",
];

impl Fared {
    #[expect(clippy::cast_precision_loss, reason = "minutes of a few years are exact in a f64")]
    fn new(best: Best, effort: u64) -> Result<Self, Box<dyn Error>> {
        let problem = read(Path::new(&format!("{DATA}/{}.json", best.scenario)))?;
        let mut fared = Self { best, seconds: Vec::new(), gaps: (0.0, 0) };
        let Best { misses, lateness, makespan, .. } = fared.best;
        for seed in 1..=SEEDS {
            let timed = Timed::run(&problem, &Settings { effort, seed, ..Settings::default() });
            let answer = timed.found.as_ref().map_err(ToString::to_string)?;
            let (values, bound) = (answer.values, &answer.bound);
            let minutes = (values.makespan - bound.makespan) as f64 / values.makespan as f64;
            let gaps = (minutes * 100.0, values.tardiness - bound.tardiness);
            fared.gaps = (fared.gaps.0.max(gaps.0), fared.gaps.1.max(gaps.1));
            let reached = timed.reached((misses, lateness, makespan));
            fared.seconds.extend(reached.map(|seen| seen.seconds));
        }
        fared.seconds.sort_by(f64::total_cmp);
        Ok(fared)
    }
}

impl fmt::Display for Fared {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { best, seconds, gaps } = self;
        let shown = |seconds: Option<f64>, places: usize| {
            seconds.map_or_else(|| "-".to_owned(), |seconds| format!("{seconds:.places$}"))
        };
        let median = shown(seconds.get(seconds.len() / 2).copied(), 4);
        let greatest = shown(seconds.last().copied(), 4);
        let (finds, proves) = (shown(Some(best.cp_sat_finds), 1), shown(best.cp_sat_proves, 1));
        let seeds = format!("{}/{SEEDS}", seconds.len());
        write!(
            f,
            "{:<10} {:>7} {:>4} {:>7}",
            best.scenario, best.misses, best.lateness, best.makespan
        )?;
        write!(f, "    {seeds:>5} {median:>8} {greatest:>8}    {finds:>8} {proves:>8}")?;
        write!(f, "  {:>4.2} % {:>6}", gaps.0, gaps.1)
    }
}
