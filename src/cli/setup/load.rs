//! `setup check` and `setup load`: what is wrong with a file, or what it changes; stored whole or not at all.

use std::path::PathBuf;

use crate::cli::setup::file;
use crate::cli::{At, Context, Error};
use crate::report::setup::SetupChanges;
use crate::shop::fact::SetupLoaded;
use crate::shop::setup::change::changes;
use crate::store::Scope;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The setup file; - reads standard input
    pub(super) file: PathBuf,
    #[command(flatten)]
    pub(super) at: At,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let (setup, text) = file::read(&args.file, context.environment)?;
    let made = context.make_database()?;
    let ((changed, stored), ..) = context.record(&args.at, &Scope::Open, |journal, at| {
        // No shop has a zone before its first setup: the wall that the time is read from is the file's own.
        let first = journal.shop.setup.is_none();
        let at = if first { args.at.read(journal.now(), setup.shop.zone)? } else { at };
        let changed = changes(journal.shop.setup.as_ref(), &setup);
        let stored = !changed.is_empty() || journal.shop.setup_text.as_ref() != Some(&text);
        if stored {
            let revisions = journal.shop.revisions_with(&setup);
            let fact = SetupLoaded { setup: Box::new(setup.clone()), revisions, text: Some(text) };
            journal.record(at, fact)?;
        }
        Ok::<_, Error>((changed, stored))
    })?;
    let name = args.file.display().to_string();
    let report = SetupChanges::new(&name, &setup, changed, stored);
    let new = made.then(|| context.database().display().to_string());
    context.screen.show(&SetupChanges { new_database: new, ..report })
}

#[derive(Debug, clap::Args)]
pub(crate) struct Check {
    /// The setup file; - reads standard input
    file: PathBuf,
}

pub(crate) fn check(args: &Check, context: &mut Context<'_>) -> Result<(), Error> {
    let (setup, _) = file::read(&args.file, context.environment)?;
    let loaded = context.store()?.load(&Scope::Setup)?;
    let changed = changes(loaded.shop.setup.as_ref(), &setup);
    let name = args.file.display().to_string();
    context.screen.show(&SetupChanges::new(&name, &setup, changed, false))
}
