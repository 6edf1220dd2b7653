//! The command line: arguments in, one file a command (load, compute, render), an exit code out.

mod air;
mod args;
mod bare;
mod batch;
mod begin;
mod calendar;
mod can;
mod card;
mod caution;
mod climate;
mod complete;
mod context;
mod cure;
mod demo;
mod done;
mod due;
pub(crate) mod environment;
mod error;
mod examples;
mod grit;
mod input;
mod kit;
mod ledger;
mod lot;
mod lots;
mod manual;
mod note;
mod number;
mod pace;
mod patience;
mod plan;
mod promise;
mod quote;
mod racks;
mod rags;
mod remind;
mod scan;
mod schema;
mod screen;
mod setup;
mod ship;
mod spares;
mod stock;
mod terminal;
mod today;
mod touch;
mod trace;
mod undo;
mod usage;
mod wall;
mod when;

use std::ffi::OsString;
use std::io::Write;
use std::process::ExitCode;

use crate::cli::args::Command;
use crate::cli::context::nowhere;
use crate::cli::environment::Environment;

// What most commands are written with: they name it from here.
use context::Context;
use error::Error;
use lots::{Lots, with_lots};
use when::{At, Now, date};

/// Runs one command line of this process and gives its exit code.
pub fn run(args: impl IntoIterator<Item = OsString>) -> ExitCode {
    let environment = Environment::of_this_process();
    let code = run_in(args, &environment, &mut std::io::stdout(), &mut std::io::stderr());
    ExitCode::from(code)
}

/// Runs one command line in a given environment: what a person would see goes to `out` and `err`.
pub(crate) fn run_in(
    args: impl IntoIterator<Item = OsString>,
    environment: &Environment,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> u8 {
    let args: Vec<OsString> = args.into_iter().collect();
    if let Some(shell) = &environment.completing {
        return complete::run(shell, args, environment, out);
    }
    let args = args::in_full(args);
    let parsed = match args::parse(&args) {
        Ok(parsed) => parsed,
        Err(error) => {
            let json = args.iter().any(|arg| arg == "--json");
            return args::answer(&error, json, environment, out, err);
        }
    };
    let json = parsed.json;
    let mut context = match Context::new(&parsed, environment, out) {
        Ok(context) => context,
        Err(error) => return error.show(nowhere(), json, environment, out, err),
    };
    let outcome = match parsed.command {
        Some(command) => dispatch(command, &mut context),
        None => bare::run(&mut context),
    };
    let Context { notes, recorded, view, .. } = context;
    for note in notes {
        // Where standard error is closed nobody is left to tell; what was done is done.
        writeln!(err, "{note}").unwrap_or_default();
    }
    match outcome {
        Ok(()) => 0,
        Err(Error::Output(error))
            if !recorded.is_empty() && error.kind() != std::io::ErrorKind::BrokenPipe =>
        {
            Error::Unsaid(error, recorded).show(view, json, environment, out, err)
        }
        Err(error) => error.show(view, json, environment, out, err),
    }
}

fn dispatch(command: Command, context: &mut Context<'_>) -> Result<(), Error> {
    match command {
        Command::Setup(command) => setup::run(command, context),
        Command::Can(command) => can::run(command, context),
        Command::Batch(command) => batch::run(command, context),
        Command::Lot(command) => lot::run(command, context),
        Command::Begin(args) => begin::run(&args, context),
        Command::Done(args) => done::run(&args, context),
        Command::Touch(args) => touch::run(&args, context),
        Command::Card(args) => card::run(&args, context),
        Command::Wall(args) => wall::run(&args, context),
        Command::Trace(args) => trace::run(&args, context),
        Command::Undo(args) => undo::run(&args, context),
        Command::Due(args) => due::run(&args, context),
        Command::Plan(args) => plan::run(&args, context),
        Command::Promise(args) => promise::run(&args, context),
        Command::Quote(args) => quote::run(&args, context),
        Command::Racks(args) => racks::run(&args, context),
        Command::Today(args) => today::run(&args, context),
        Command::Rags(args) => rags::run(args, context),
        Command::Scan(args) => scan::run(&args, context),
        Command::Caution(args) => caution::run(&args, context),
        Command::Ship(args) => ship::run(&args, context),
        Command::Stock(args) => stock::run(&args, context),
        Command::Note(args) => note::run(&args, context),
        Command::Remind(command) => remind::run(command, context),
        Command::Calendar(args) => calendar::run(&args, context),
        Command::Cure(args) => cure::run(&args, context),
        Command::Climate(command) => climate::run(command, context),
        Command::Kit(args) => kit::run(&args, context),
        Command::Grit(args) => grit::run(&args, context),
        Command::Spares(args) => spares::run(&args, context),
        Command::Pace(args) => pace::run(args, context),
        Command::Air(args) => air::run(&args, context),
        Command::Ledger(command) => ledger::run(command, context),
        Command::Schema(args) => schema::run(&args, context),
        Command::Demo(args) => demo::run(&args, context),
    }
}
