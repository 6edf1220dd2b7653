//! `remind install`: the operating system runs `remind send` each minute.

use std::process::{Command, Stdio};

use crate::cli::context::Context;
use crate::cli::error::Error;
use crate::remind::timer::{Change, Job, Places, System, TimerError};
use crate::report::remind::{Installed, Plan};
use crate::store::Scope;

/// `remind install`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Show the files and commands, install nothing
    #[arg(long)]
    print: bool,
}

pub(super) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let places = places(context)?;
    let job = job(context)?;
    let system = System::here();
    if args.print {
        let files = system.files(&job, &places).map_err(|error| refused(&error))?;
        return Ok(context.screen.show(&Plan::new(&files, &system.switch_on(&places)))?);
    }
    let change = system.install(&job, &places, &mut tell).map_err(|error| refused(&error))?;
    context.screen.show(&Installed::new(&change, true))?;
    told(&change)
}

/// `remind send` by this very program on this very database.
fn job(context: &Context<'_>) -> Result<Job, Error> {
    let zone = context.store()?.load(&Scope::Open)?.shop.zone();
    let no_program = || {
        let next = "run it by its whole path".to_owned();
        Error::System("the operating system does not say where this program is".to_owned(), next)
    };
    let program = context.environment.program.as_ref().ok_or_else(no_program)?;
    let database = std::path::absolute(context.database())?;
    Job::new(program, &database, zone).map_err(|error| refused(&error))
}

/// The folders of the person whose shop it is.
pub(super) fn places(context: &Context<'_>) -> Result<Places, Error> {
    match (&context.environment.home, &context.environment.config_folder) {
        (Some(home), Some(config)) => Ok(Places { home: home.clone(), config: config.clone() }),
        _ => Err(Error::System("there is no home folder".to_owned(), "set HOME".to_owned())),
    }
}

/// Runs a command of the operating system; why not is what it said itself.
pub(super) fn tell(words: &[String]) -> Result<(), String> {
    let Some((program, arguments)) = words.split_first() else { return Ok(()) };
    let output = Command::new(program).args(arguments).stdin(Stdio::null()).output();
    match output {
        Ok(output) if output.status.success() => Ok(()),
        Ok(output) => {
            let said = String::from_utf8_lossy(&output.stderr).trim().replace('\n', "; ");
            Err(if said.is_empty() { output.status.to_string() } else { said })
        }
        Err(error) => Err(format!("{program}: {error}")),
    }
}

pub(super) fn refused(error: &TimerError) -> Error {
    let next = match error {
        TimerError::Relative { .. } | TimerError::Unwritable { .. } => {
            "put the program or the database elsewhere, or run `tackfree remind send` by other means"
        }
        TimerError::Io { .. } => "look whether that folder can be written to",
    };
    Error::System(error.to_string(), next.to_owned())
}

/// Whether the operating system was told of the change.
pub(super) fn told(change: &Change) -> Result<(), Error> {
    let Some((words, why)) = change.failed.first() else { return Ok(()) };
    let command = words.join(" ");
    let next = format!("once that is mended run the same again, or by hand: {command}");
    Err(Error::System(format!("the operating system was not told: {command}: {why}"), next))
}
