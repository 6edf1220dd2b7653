//! `setup new`: a commented starting file.

use std::path::PathBuf;

use crate::cli::setup::{ask, load};
use crate::cli::{At, Context, Error};
use crate::report::setup::SetupWritten;
use crate::shop::setup::start::starting_file;
use crate::store::files::Over;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The file to write; standard output where it is left out
    file: Option<PathBuf>,
    /// Ask what the shop is like, write the answers as shop.toml (or FILE), and store them
    #[arg(long)]
    ask: bool,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    if args.ask {
        let path = args.file.clone().unwrap_or_else(|| PathBuf::from("shop.toml"));
        let text = ask::ask(context.environment)?;
        context.screen.write(&format!("\n{text}\n"))?;
        if !ask::agreed(&format!("Write {} and store it?", path.display()))? {
            return Ok(());
        }
        context.write_file(&path, text.as_bytes(), Over::Nothing)?;
        return load::run(&load::Args { file: path, at: At { at: None } }, context);
    }
    let Some(path) = &args.file else {
        return context.screen.write(starting_file());
    };
    context.write_file(path, starting_file().as_bytes(), Over::Nothing)?;
    context.screen.show(&SetupWritten { file: path.display().to_string() })
}
