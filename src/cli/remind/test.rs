//! `remind test`: one notice, to see whether it arrives.

use crate::cli::context::Context;
use crate::cli::error::Error;
use crate::remind::desktop::Desktop;
use crate::remind::notice::{Kind, Notice};
use crate::remind::send::Run;
use crate::report::remind::Sent;
use crate::store::Scope;
use crate::time::Viewpoint;

pub(super) fn run(context: &mut Context<'_>) -> Result<(), Error> {
    let zone = context.store()?.load(&Scope::Open)?.shop.zone();
    let kind = Kind::Ready;
    let notice = Notice {
        key: "tackfree-test".to_owned(),
        kind,
        summary: "A test of tackfree's reminders".to_owned(),
        body: "Nothing is due because of it. If you read this on the desktop, reminders arrive."
            .to_owned(),
        urgency: kind.urgency(),
        sound: kind.sound(),
        lots: Vec::new(),
    };
    let outcomes = Desktop::default().send(std::slice::from_ref(&notice));
    let notices = outcomes.into_iter().map(|outcome| (notice.clone(), outcome)).collect();
    let run = Run { notices, quiet: 0, opens: None, zone };
    let report = Sent::new(run, Viewpoint { now: context.now, zone });
    context.notes.extend(report.pending());
    Ok(context.screen.show(&report)?)
}
