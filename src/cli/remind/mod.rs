//! `remind`: reminders that arrive.

mod install;
mod later;
mod send;
mod test;
mod watch;

use clap::Subcommand;

use crate::cli::{Context, Error};
use crate::remind::send::silent_since;
use crate::store::Scope;
use crate::time::words;

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Send what is due now and was not told yet
    Send(send::Args),
    /// Stay in the foreground: soak timers counting down, what comes next, reminders as they fall due
    Watch(watch::Args),
    /// Have the operating system send reminders each minute
    Install(install::Args),
    /// Undo the install
    Remove,
    /// Send one reminder to see whether it arrives, and is heard
    Test(test::Args),
    /// Put off what is due of a lot for a while
    Later(later::Later),
    /// Dismiss what is due of a lot until something changes
    Clear(later::Clear),
}

/// Says where reminders have stopped: who relies on them must hear of it.
pub(crate) fn hold_against(context: &mut Context<'_>) -> Result<(), Error> {
    let mut store = context.store()?;
    let told = store.told(context.now)?;
    if let Some(last) = silent_since(&told, context.now) {
        let zone = store.load(&Scope::Setup)?.shop.zone();
        let last = words::moment(last, context.now, zone);
        context.notes.push(format!("no reminder has run since {last}: tackfree remind install"));
    }
    Ok(())
}

pub(crate) fn run(command: Command, context: &mut Context<'_>) -> Result<(), Error> {
    match command {
        Command::Send(args) => send::run(&args, context),
        Command::Watch(args) => watch::run(&args, context),
        Command::Install(args) => install::run(&args, context),
        Command::Remove => install::remove(context),
        Command::Test(args) => test::run(&args, context),
        Command::Later(args) => later::later(&args, context),
        Command::Clear(args) => later::clear(&args, context),
    }
}
