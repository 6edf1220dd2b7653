//! Runs the scheduling engine on problem files and prints one JSON line a file.
//!
//! `cargo bench --bench engine -- FILE… [--effort N] [--seed N]`

use std::io::Write as _;
use std::process::ExitCode;

use serde_json::{Value, json};
use tackfree::plan::engine::{Answer, Failure, Problem, Settings, solve};

fn main() -> ExitCode {
    let mut files = Vec::new();
    let mut settings = Settings::default();
    let mut arguments = std::env::args().skip(1);
    while let Some(argument) = arguments.next() {
        let mut number = || arguments.next().and_then(|text| text.parse::<u64>().ok());
        match argument.as_str() {
            // Cargo's own.
            "--bench" => {}
            "--effort" | "--seed" => {
                let Some(number) = number() else {
                    return usage();
                };
                if argument == "--effort" {
                    settings.effort = number;
                } else {
                    settings.seed = number;
                }
            }
            file if !file.starts_with("--") => files.push(file.to_owned()),
            _ => return usage(),
        }
    }
    let mut out = std::io::stdout().lock();
    for file in files {
        if writeln!(out, "{}", line(&file, &settings)).is_err() {
            break;
        }
    }
    ExitCode::SUCCESS
}

fn usage() -> ExitCode {
    let words = "usage: cargo bench --bench engine -- FILE… [--effort N] [--seed N]";
    match writeln!(std::io::stderr(), "{words}") {
        Ok(()) | Err(_) => ExitCode::from(2),
    }
}

#[expect(clippy::disallowed_methods, reason = "a bench measures the time it takes")]
fn line(file: &str, settings: &Settings<'_>) -> Value {
    let problem: Problem = match std::fs::read_to_string(file)
        .map(|text| serde_json::from_str(&text))
    {
        Ok(Ok(problem)) => problem,
        Ok(Err(error)) => {
            return json!({ "file": file, "status": "faulty", "why": error.to_string() });
        }
        Err(error) => return json!({ "file": file, "status": "unread", "why": error.to_string() }),
    };
    let began = std::time::Instant::now();
    let found = solve(&problem, settings, &mut |_| true);
    let seconds = began.elapsed().as_secs_f64();
    match found {
        Ok(answer) => done(file, &answer, seconds),
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

fn done(file: &str, answer: &Answer, seconds: f64) -> Value {
    json!({
        "file": file,
        "status": "done",
        "starts": answer.plan.starts,
        "ends": answer.ends,
        "holds": answer.plan.holds,
        "misses": answer.plan.misses,
        "values": answer.values,
        "bound": { "makespan": answer.bound.makespan, "lateness": answer.bound.lateness },
        "evaluations": answer.spent.evaluations,
        "seconds": seconds,
    })
}
