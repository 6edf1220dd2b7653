//! `remind send`: tells what is due now.

use std::path::PathBuf;

use crate::cli::ledger::daily;
use crate::cli::{Context, Error, calendar, wall};
use crate::remind::desktop::Desktop;
use crate::remind::send::send;
use crate::report::remind::Sent;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Also write this calendar file again when something in it has changed
    #[arg(long, value_name = "PATH")]
    calendar: Option<PathBuf>,
}

pub(super) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let mut store = context.store()?;
    let last = store.last_recorded()?;
    let run = send(&mut store, &mut Desktop::default(), context.now)?;
    let view = run.view;
    context.hold_clock_against(last, &[], view);
    let report = Sent::new(run, view);
    context.notes.extend(report.pending());
    if let Some(file) = &args.calendar {
        calendar::rewrite(file, context)?;
    }
    context.screen.show(&report)?;
    // What was to be told is told first: the proof of a long history takes its time.
    drop(store);
    if let Err(error) = wall::rewrite(context) {
        context
            .notes
            .push(format!("the wall chart wasn't written: {}", error.message(context.view)));
    }
    daily(context)
}
