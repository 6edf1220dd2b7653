//! `setup load`: a setup is stored, whole or not at all.

use std::path::PathBuf;

use crate::cli::context::{Context, refused};
use crate::cli::error::Error;
use crate::cli::setup::file;
use crate::cli::when::At;
use crate::report::setup::SetupChanges;
use crate::shop::fact::SetupLoaded;
use crate::shop::setup::change::changes;
use crate::store::Scope;

/// `setup load`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The setup file; - reads standard input
    pub(super) file: PathBuf,
    #[command(flatten)]
    pub(super) at: At,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let setup = file::read(&args.file, context.environment)?;
    let made = context.make_database()?;
    let (changed, _, _) = context.record(&args.at, &Scope::Open, |journal, at| {
        let changed = changes(journal.shop.setup.as_ref(), &setup);
        if !changed.is_empty() {
            let revisions = journal.shop.revisions_with(&setup);
            let fact = SetupLoaded { setup: Box::new(setup.clone()), revisions };
            journal.record(at, fact).map_err(refused(journal))?;
        }
        Ok::<_, Error>(changed)
    })?;
    let name = args.file.display().to_string();
    let stored = !changed.is_empty();
    let report = SetupChanges::new(&name, &setup, changed, stored);
    let new = made.then(|| context.database().display().to_string());
    Ok(context.screen.show(&SetupChanges { new_database: new, ..report })?)
}
