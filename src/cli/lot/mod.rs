//! `lot`: the pieces that move through the recipe together.

mod give;
mod hold;
mod join;
mod list;
mod r#move;
mod reject;
mod rework;
mod show;
mod split;
mod start;

use clap::Subcommand;

use crate::cli::{Context, Error};

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
    /// Send pieces back to a step, with all that was done to them
    Rework(rework::Args),
    /// Let two lots at the same step go on as one
    Join(join::Args),
    /// Give a lot to another batch of the same recipe
    Give(give::Args),
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
        Command::Rework(args) => rework::run(&args, context),
        Command::Join(args) => join::run(&args, context),
        Command::Give(args) => give::run(&args, context),
    }
}
