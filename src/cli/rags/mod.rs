//! `rags`: what is open; `rags done`: how they were dealt with.

use clap::Subcommand;

use crate::cli::{At, Context, Error, Now};
use crate::reference;
use crate::report::rags::{OpenRags, RagsList};
use crate::shop::fact::{RagsDealtWith, RagsOf};
use crate::shop::line::typed;
use crate::shop::{EntryId, Refusal};
use crate::store::Scope;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    #[command(subcommand)]
    command: Option<Command>,
    #[command(flatten)]
    now: Now,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Record how open rags were dealt with
    Done(Done),
}

#[derive(Debug, clap::Args)]
pub(crate) struct Done {
    /// The coats' entries, as `rags` lists them; all open ones where none is named
    entries: Vec<EntryId>,
    /// How: "soaked, lidded can, taken outside"
    #[arg(long, value_parser = typed)]
    how: String,
    #[command(flatten)]
    at: At,
}

pub(crate) fn run(args: Args, context: &mut Context<'_>) -> Result<(), Error> {
    match args.command {
        Some(Command::Done(done)) => deal_with(&done, context),
        None => list(&args.now, context),
    }
}

fn list(now: &Now, context: &mut Context<'_>) -> Result<(), Error> {
    let (loaded, view) = context.look(now, &Scope::Open)?;
    let open = OpenRags::all(&loaded.shop, view);
    context.screen.show(&RagsList { now: view.stamp(view.now), open })
}

fn deal_with(args: &Done, context: &mut Context<'_>) -> Result<(), Error> {
    let how = &args.how;
    context.record_and_show(&args.at, &Scope::Open, |journal, at| {
        // Without a list all that were open by then are meant; without a time all, also where the clock was set back.
        let open = journal.shop.rags.iter().filter(|(coat, rags)| match &args.entries[..] {
            [] => rags.since <= at || args.at.at.is_none(),
            named => named.contains(coat),
        });
        let rags: Vec<RagsOf> =
            open.map(|(coat, rags)| RagsOf { coat: *coat, lot: rags.lot.clone() }).collect();
        if rags.len() < args.entries.len() {
            return Err(Refusal::NoRags.into());
        }
        let shop = &journal.shop;
        let open = rags.iter().filter_map(|rags| shop.rags.get(&rags.coat));
        let heat = open.filter(|rags| shop.self_heating(rags) != Some(false)).count() > 0;
        if heat && reference::leaves_rags_to_burn(how) {
            return Err(Refusal::RagsCanBurn.into());
        }
        let fact = RagsDealtWith { rags, how: how.clone() };
        Ok(journal.record(at, fact)?)
    })
}
