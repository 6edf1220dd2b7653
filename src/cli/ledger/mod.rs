//! `ledger`: the entries, and the proof that the history is whole.

use clap::{Args, Subcommand};

use crate::cli::context::Context;
use crate::cli::error::Error;
use crate::report::ledger::{CheckReport, EntryLine, EntryList};
use crate::store::Scope;

/// `ledger`.
#[derive(Debug, Subcommand)]
#[command(arg_required_else_help = true)]
pub(crate) enum Command {
    /// List the entries, oldest first
    List(List),
    /// Prove the history whole: every hash, every number, every index
    Check,
}

/// `ledger list`.
#[derive(Debug, Args)]
pub(crate) struct List {
    /// Only the last so many
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u64).range(1..))]
    last: Option<u64>,
}

pub(crate) fn run(command: Command, context: &mut Context<'_>) -> Result<(), Error> {
    match command {
        Command::List(args) => list(&args, context),
        Command::Check => check(context),
    }
}

fn list(args: &List, context: &mut Context<'_>) -> Result<(), Error> {
    let loaded = context.store()?.load(&Scope::All)?;
    let view = loaded.shop.viewpoint(context.now);
    let skipped = args.last.map_or(0, |last| {
        loaded.entries.len().saturating_sub(usize::try_from(last).unwrap_or(usize::MAX))
    });
    let chosen = loaded.entries.iter().skip(skipped);
    let entries = EntryLine::all(chosen, &loaded.entries, &loaded.shop, view);
    Ok(context.screen.show(&EntryList { entries })?)
}

fn check(context: &mut Context<'_>) -> Result<(), Error> {
    let mut store = context.store()?;
    let checked = store.check()?;
    let report = CheckReport {
        database: store.path().display().to_string(),
        entries: checked.entries,
        whole: checked.faults.is_empty(),
        last_hash: checked.last_hash,
        faults: checked.faults.iter().map(ToString::to_string).collect(),
    };
    context.screen.show(&report)?;
    if report.whole {
        Ok(())
    } else {
        Err(Error::NotWhole(store.path().to_owned(), report.faults.len()))
    }
}
