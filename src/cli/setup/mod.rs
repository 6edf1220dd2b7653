//! `setup`: everything that changes rarely.

mod ask;
mod file;
mod kinds;
mod load;
mod new;
mod shell;
mod show;

use clap::Subcommand;

use crate::cli::{Context, Error};
use crate::shop::setup::starting_file;

#[derive(Debug, Subcommand)]
#[command(arg_required_else_help = true)]
pub(crate) enum Command {
    /// Write a commented starting file, or one from your answers
    New(new::Args),
    /// Print a whole example, with a word on each key
    Example,
    /// List the classes of finish: what a tin calls them, what each supplies
    Kinds(kinds::Args),
    /// Check a setup file and say what loading it would change
    Check(load::Check),
    /// Check a setup file and store it, whole or not at all
    Load(load::Args),
    /// Print the setup in force as a setup file
    Show,
    /// Write completions for bash, zsh, fish and PowerShell, and the man pages
    Shell(shell::Args),
}

pub(crate) fn run(command: Command, context: &mut Context<'_>) -> Result<(), Error> {
    match command {
        Command::New(args) => new::run(&args, context),
        Command::Example => context.screen.write(starting_file()),
        Command::Kinds(args) => kinds::run(&args, context),
        Command::Check(args) => load::check(&args, context),
        Command::Load(args) => load::run(&args, context),
        Command::Show => show::run(context),
        Command::Shell(args) => shell::run(&args, context),
    }
}
