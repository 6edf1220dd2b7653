//! `setup new`: a commented starting file.

use std::fs::OpenOptions;
use std::io::Write as _;
use std::path::PathBuf;

use crate::cli::context::Context;
use crate::cli::error::Error;
use crate::report::setup::SetupWritten;
use crate::shop::setup::start::starting_file;

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
    let name = path.display().to_string();
    // Never over a file that is there: it may be the shop's own.
    let written = OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(path)
        .and_then(|mut file| file.write_all(starting_file().as_bytes()));
    written.map_err(|error| {
        let next = "name a file that is not there yet, in a folder that is".to_owned();
        Error::Usage(format!("{name} can't be written: {error}"), next)
    })?;
    Ok(context.screen.show(&SetupWritten { file: name })?)
}
