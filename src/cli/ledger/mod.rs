//! `ledger`: the entries, and the proof that the history is whole.

mod backup;
mod daily;
mod export;
mod restore;

use clap::{Args, Subcommand};

use crate::cli::{Context, Error};
use crate::report::ledger::{CheckReport, EntryLine, EntryList};
use crate::store::Scope;
pub(crate) use daily::{daily, kept};

#[derive(Debug, Subcommand)]
#[command(arg_required_else_help = true)]
pub(crate) enum Command {
    /// List the entries, oldest first
    List(List),
    /// Prove the history whole: every hash, every number, every index, every reading
    Check(Check),
    /// Write a copy of this moment, proved whole, where nothing is
    Backup(backup::Args),
    /// Make a database out of a backup, beside what is there and never over it
    Restore(restore::Args),
    /// Write every entry as text, one JSON object a line, or a table of one noun
    Export(export::Export),
    /// Make a database out of an export, where nothing is
    Import(export::Import),
}

#[derive(Debug, Args)]
pub(crate) struct Check {
    /// A hash noted down earlier, or its first eight signs or more: some entry must still have it
    #[arg(long, value_name = "HASH", value_parser = hash)]
    last: Option<String>,
}

fn hash(text: &str) -> Result<String, String> {
    let text = text.trim().to_ascii_lowercase();
    if (8..=64).contains(&text.len()) && text.chars().all(|sign| sign.is_ascii_hexdigit()) {
        return Ok(text);
    }
    Err("expected the hash as it was printed, or its first eight signs or more".to_owned())
}

#[derive(Debug, Args)]
pub(crate) struct List {
    /// Only the last so many
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u64).range(1..))]
    last: Option<u64>,
}

pub(crate) fn run(command: Command, context: &mut Context<'_>) -> Result<(), Error> {
    match command {
        Command::List(args) => list(&args, context),
        Command::Check(args) => check(&args, context),
        Command::Backup(args) => backup::run(&args, context),
        Command::Restore(args) => restore::run(&args, context),
        Command::Export(args) => export::export(&args, context),
        Command::Import(args) => export::import(&args, context),
    }
}

fn list(args: &List, context: &mut Context<'_>) -> Result<(), Error> {
    let mut store = context.store()?;
    let newest = store.last_recorded()?.map_or(0, |(_, id)| id);
    let last = args.last.map(|last| i64::try_from(last).unwrap_or(i64::MAX));
    let first = last.filter(|last| *last < newest).map(|last| newest - last + 1);
    let loaded = store.load(&first.map_or(Scope::All, Scope::WithEntry))?;
    let view = loaded.shop.viewpoint(context.now);
    let chosen = loaded.entries.iter().filter(|entry| first.is_none_or(|first| first <= entry.id));
    let entries = EntryLine::all(chosen, &loaded.entries, &loaded.shop, view);
    context.screen.show(&EntryList { entries })
}

fn check(args: &Check, context: &mut Context<'_>) -> Result<(), Error> {
    let mut store = context.store()?;
    let checked = store.check(args.last.as_deref())?;
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
