//! `remind send`: tells what is due now.

use crate::cli::context::Context;
use crate::cli::error::Error;
use crate::remind::desktop::Desktop;
use crate::remind::send::send;
use crate::report::remind::Sent;
use crate::time::Viewpoint;

pub(super) fn run(context: &mut Context<'_>) -> Result<(), Error> {
    let mut store = context.store()?;
    let run = send(&mut store, &mut Desktop::default(), context.now)?;
    let view = Viewpoint { now: context.now, zone: run.zone };
    let report = Sent::new(run, view);
    context.notes.extend(report.pending());
    Ok(context.screen.show(&report)?)
}
