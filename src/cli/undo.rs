//! `undo`: an entry is taken back.

use crate::cli::{At, Context, Error};
use crate::shop::EntryId;
use crate::shop::line::typed;
use crate::store::Scope;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// An entry; all that its command line recorded is taken back. The last one where it is left out
    entry: Option<EntryId>,
    /// Why
    #[arg(long, value_name = "REASON", default_value = "recorded by mistake", value_parser = typed)]
    why: String,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let scope = args.entry.map_or(Scope::Last, Scope::WithEntry);
    context.record_and_show(&At { at: None }, &scope, |journal, _| {
        let entry = match args.entry {
            Some(entry) => entry,
            None => journal.last()?,
        };
        journal.void(entry, &args.why)?;
        Ok(())
    })
}
