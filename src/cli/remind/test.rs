//! `remind test`: one notice, to see whether it arrives.

use crate::cli::context::Context;
use crate::cli::error::Error;
use crate::remind::desktop::{Desktop, Job};
use crate::remind::notice::{Kind, Notice};
use crate::remind::send::Run;
use crate::report::remind::Sent;
use crate::store::Scope;
use crate::time::Viewpoint;

/// `remind test`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// As loud as that kind of reminder: wipe, rags, closing, ready, cured, slipping, room, opening
    #[arg(default_value = "ready", value_parser = kind)]
    kind: Kind,
}

pub(super) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let zone = context.store()?.load(&Scope::Open)?.shop.zone();
    let kind = args.kind;
    let notice = Notice {
        key: "tackfree-test".to_owned(),
        kind,
        summary: "A test of tackfree's reminders".to_owned(),
        body: format!(
            "Nothing is due because of it. A reminder of \"{}\" comes like this.",
            kind.word()
        ),
        urgency: kind.urgency(),
        sound: kind.sound(),
        lots: Vec::new(),
        answers: &[],
    };
    let job = Job::Show { notice: Box::new(notice.clone()), replaces: None };
    let outcomes = Desktop::default().send(vec![job]);
    let notices = outcomes.into_iter().map(|outcome| (notice.clone(), outcome)).collect();
    let run = Run { notices, quiet: 0, opens: None, zone };
    let report = Sent::new(run, Viewpoint { now: context.now, zone });
    context.notes.extend(report.pending());
    Ok(context.screen.show(&report)?)
}

fn kind(word: &str) -> Result<Kind, String> {
    Kind::of_word(word).ok_or_else(|| {
        let known = Kind::ALL.map(Kind::word).join(", ");
        format!("the kinds are {known}")
    })
}
