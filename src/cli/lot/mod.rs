//! `lot`: the pieces that move through the recipe together.

mod hold;
mod list;
mod r#move;
mod reject;
mod show;
mod split;
mod start;

use clap::Subcommand;

use crate::cli::context::Context;
use crate::cli::error::Error;

/// `lot`.
#[derive(Debug, Subcommand)]
#[command(arg_required_else_help = true)]
pub(crate) enum Command {
    /// Start a lot of a batch
    Start(start::Args),
    /// List the lots in hand
    List(list::Args),
    /// Show a lot: its steps, its entries, what comes next
    Show(show::Args),
    /// Let some pieces of a lot go on by themselves
    Split(split::Args),
    /// Carry lots to another rack, or off the racks
    Move(r#move::Args),
    /// Hold lots back until released
    Hold(hold::Args),
    /// Let held lots go on
    Release(hold::Release),
    /// Throw pieces of a lot out
    Reject(reject::Args),
}

pub(crate) fn run(command: Command, context: &mut Context<'_>) -> Result<(), Error> {
    match command {
        Command::Start(args) => start::run(&args, context),
        Command::List(args) => list::run(&args, context),
        Command::Show(args) => show::run(&args, context),
        Command::Split(args) => split::run(&args, context),
        Command::Move(args) => r#move::run(&args, context),
        Command::Hold(args) => hold::run(&args, context),
        Command::Release(args) => hold::release(&args, context),
        Command::Reject(args) => reject::run(&args, context),
    }
}
