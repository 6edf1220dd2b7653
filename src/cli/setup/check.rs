//! `setup check`: what is wrong with a file, or what loading it would change.

use std::path::PathBuf;

use crate::cli::setup::file;
use crate::cli::{Context, Error};
use crate::report::setup::SetupChanges;
use crate::shop::setup::change::changes;
use crate::store::Scope;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The setup file; - reads standard input
    file: PathBuf,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let (setup, _) = file::read(&args.file, context.environment)?;
    let loaded = context.store()?.load(&Scope::Setup)?;
    let changed = changes(loaded.shop.setup.as_ref(), &setup);
    let name = args.file.display().to_string();
    context.screen.show(&SetupChanges::new(&name, &setup, changed, false))
}
