//! `climate`: what the rooms are like.

mod add;
mod import;
mod show;

use clap::Subcommand;

use crate::cli::{Context, Error};

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Record a reading of a room taken by hand
    Add(add::Args),
    /// Take in a logger's CSV file
    Import(import::Args),
    /// Show rooms: now, the last days, dew point, wood moisture
    Show(show::Args),
}

pub(crate) fn run(command: Command, context: &mut Context<'_>) -> Result<(), Error> {
    match command {
        Command::Add(args) => add::run(&args, context),
        Command::Import(args) => import::run(&args, context),
        Command::Show(args) => show::run(&args, context),
    }
}
