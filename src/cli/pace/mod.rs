//! `pace`: minutes a piece, and the stopwatch that takes them.

mod keyboard;
mod lines;
mod show;
mod time;

use clap::Subcommand;

use crate::cli::{Context, Error};

#[derive(Debug, clap::Args)]
#[command(args_conflicts_with_subcommands = true, subcommand_negates_reqs = true)]
pub(crate) struct Args {
    #[command(flatten)]
    show: show::Args,
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Time pieces of a lot at the bench: a key for the next split, one for the next piece
    Time(time::Args),
}

pub(crate) fn run(args: Args, context: &mut Context<'_>) -> Result<(), Error> {
    match args.command {
        Some(Command::Time(args)) => time::run(&args, context),
        None => show::run(&args.show, context),
    }
}
