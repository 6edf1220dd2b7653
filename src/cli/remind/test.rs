//! `remind test`: one notice, to see whether it arrives.

use crate::cli::{Context, Error};
use crate::remind::command::Commands;
use crate::remind::desktop::{Desktop, Job};
use crate::remind::notice::{Kind, Notice};
use crate::remind::send::{Run, Told};
use crate::report::remind::Sent;
use crate::store::Scope;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// As loud as that kind of reminder: wipe, rags, closing, ready, cured, slipping, room, opening
    #[arg(default_value = "ready", value_parser = kind)]
    kind: Kind,
}

pub(super) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let shop = context.store()?.load(&Scope::Open)?.shop;
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
        asks_which_can: false,
    };
    let job = Job::Show { notice: Box::new(notice.clone()), replaces: None };
    let mut desktop = Desktop::default();
    let outcomes = desktop.send(vec![job]);
    let told = |by, outcome| Told { notice: notice.clone(), by, outcome };
    let mut notices: Vec<Told> = outcomes.into_iter().map(|outcome| told(None, outcome)).collect();
    let mut time = Commands::default();
    if let Some(setup) = &shop.setup {
        if notice.sound.is_some() && !desktop.found().sounds {
            time.tell(&setup.remind.sound, &notice);
        }
        for run in setup.remind.run.iter().filter(|run| run.takes(kind.word())) {
            let outcome = time.tell(&run.command, &notice);
            notices.push(told(run.command.first().cloned(), outcome));
        }
    }
    let view = shop.viewpoint(context.now);
    let report = Sent::new(Run { notices, quiet: 0, opens: None, view }, view);
    context.notes.extend(report.pending());
    context.screen.show(&report)
}

fn kind(word: &str) -> Result<Kind, String> {
    Kind::of_word(word).ok_or_else(|| {
        let known = Kind::ALL.map(Kind::word).join(", ");
        format!("the kinds are {known}")
    })
}
