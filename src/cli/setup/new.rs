//! `setup new`: a commented starting file.

use std::path::PathBuf;

use crate::cli::context::Context;
use crate::cli::error::Error;
use crate::report::setup::SetupWritten;
use crate::shop::setup::start::starting_file;
use crate::store::files::Over;

/// `setup new`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The file to write; standard output where it is left out
    file: Option<PathBuf>,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let Some(path) = &args.file else {
        return Ok(context.screen.write(starting_file())?);
    };
    context.write_file(path, starting_file().as_bytes(), Over::Nothing)?;
    Ok(context.screen.show(&SetupWritten { file: path.display().to_string() })?)
}
