//! `remind install` and `remind remove`: the operating system runs `remind send` each minute, or no longer.

use std::path::PathBuf;
use std::process::{Command, Stdio};

use crate::cli::{Context, Error};
use crate::remind::send::INSTALLED;
use crate::remind::timer::{Change, Job, Places, System, TimerError};
use crate::report::remind::{Installed, Plan};
use crate::store::Scope;
use crate::time::Zone;
use crate::time::words::rfc3339;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Show the files and commands, install nothing
    #[arg(long)]
    print: bool,
    /// Also write this calendar file again when something in it changes
    #[arg(long, value_name = "PATH")]
    calendar: Option<PathBuf>,
}

pub(super) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let places = places(context)?;
    let job = job(args, context)?;
    let system = System::here();
    if args.print {
        let files = system.files(&job, &places)?;
        return context.screen.show(&Plan::new(&files, &system.switch_on(&places)));
    }
    let change = system.install(&job, &places, &mut tell)?;
    if let Some((words, why)) = change.failed.first() {
        let cron = job.cron(context.environment.bus.as_deref());
        return Err(Error::system(
            format!("nothing was installed: {}: {why}", words.join(" ")),
            format!("run it each minute by another scheduler; for cron, in crontab -e: {cron}"),
        ));
    }
    context.store()?.keep_memo(INSTALLED, &rfc3339(context.now, Zone::UTC))?;
    context.screen.show(&Installed::new(&change, true))
}

pub(super) fn remove(context: &mut Context<'_>) -> Result<(), Error> {
    let change = System::here().remove(&places(context)?, &mut tell)?;
    if context.database().exists() {
        context.store()?.drop_memo(INSTALLED)?;
    }
    context.screen.show(&Installed::new(&change, false))?;
    told(&change)
}

/// `remind send` by this very program on this very database.
fn job(args: &Args, context: &Context<'_>) -> Result<Job, Error> {
    // To be looked at there need be no shop yet.
    let there = context.database().exists() || !args.print;
    let zone = if there { context.store()?.load(&Scope::Setup)?.shop.zone() } else { Zone::UTC };
    let no_program = || {
        let next = "run it by its whole path".to_owned();
        Error::system("the operating system does not say where this program is", next)
    };
    let program = context.environment.program.as_ref().ok_or_else(no_program)?;
    let database = std::path::absolute(context.database())?;
    let job = Job::new(program, &database, zone)?;
    match &args.calendar {
        Some(file) => Ok(job.with_calendar(&std::path::absolute(file)?)?),
        None => Ok(job),
    }
}

/// The folders of the person whose shop it is.
fn places(context: &Context<'_>) -> Result<Places, Error> {
    match (&context.environment.home, &context.environment.config_folder) {
        (Some(home), Some(config)) => {
            let database = std::path::absolute(context.database())?;
            Ok(Places::new(home.clone(), config.clone(), &database))
        }
        _ => Err(Error::system("there's no home folder", "set HOME")),
    }
}

/// Runs a command of the operating system; why not is what it said itself.
fn tell(words: &[String]) -> Result<(), String> {
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

impl From<TimerError> for Error {
    fn from(error: TimerError) -> Self {
        let next = match &error {
            TimerError::Relative { .. } | TimerError::Unwritable { .. } => {
                "put the program or the database elsewhere, or run `tackfree remind send` by other means"
            }
            TimerError::Io { .. } => "look whether that folder can be written to",
        };
        Self::system(error.to_string(), next)
    }
}

/// Whether the operating system was told of the change.
fn told(change: &Change) -> Result<(), Error> {
    let Some((words, why)) = change.failed.first() else { return Ok(()) };
    let command = words.join(" ");
    let next = format!("once that is mended run the same again, or by hand: {command}");
    Err(Error::system(format!("the operating system was not told: {command}: {why}"), next))
}
