//! `ship`: pieces leave the shop.

mod back;
mod cancel;
mod list;
mod show;

use clap::Subcommand;

use crate::cli::{At, Context, Error, Lots, number};
use crate::report::ship::Shipped;
use crate::shop::line::typed;
use crate::shop::{EntryId, Subject, SubjectKind, fact};
use crate::store::Scope;

/// `ship`: lots, or what becomes of a shipment.
#[derive(Debug, clap::Args)]
#[command(args_conflicts_with_subcommands = true, subcommand_negates_reqs = true)]
pub(crate) struct Args {
    #[command(subcommand)]
    command: Option<Command>,
    #[command(flatten)]
    ship: Ship,
}

/// What becomes of a shipment.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// List the shipments, newest first
    List(list::Args),
    /// Show a shipment's slip again: what is in it and its finish record
    Show(show::Args),
    /// Record that a shipment did not go: its pieces are in hand again
    Cancel(cancel::Args),
    /// Take pieces of a shipment back: a lot of their own that waits for you
    Return(back::Args),
}

#[derive(Debug, clap::Args)]
struct Ship {
    #[command(flatten)]
    lots: Lots,
    /// All lots that stand on that rack
    #[arg(long)]
    rack: Option<String>,
    /// How many pieces, of one lot; all of it where left out
    #[arg(long, value_name = "N", value_parser = number::pieces, allow_negative_numbers = true)]
    pieces: Option<u32>,
    /// To whom
    #[arg(long, required = true, value_parser = typed)]
    to: Option<String>,
    #[command(flatten)]
    at: At,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    match &args.command {
        None => ship(&args.ship, context),
        Some(Command::List(args)) => list::run(args, context),
        Some(Command::Show(args)) => show::run(args, context),
        Some(Command::Cancel(args)) => cancel::run(args, context),
        Some(Command::Return(args)) => back::run(args, context),
    }
}

/// What is open, and the shipment with the batches of its lots.
pub(super) fn about(shipment: EntryId, context: &Context<'_>) -> Result<Scope, Error> {
    let shipment = Subject::new(SubjectKind::Shipment, shipment);
    let shop = context.store()?.load(&Scope::With(vec![shipment.clone()]))?.shop;
    let lots = shop.shipments.values().flat_map(|sent| &sent.lots);
    let batches = lots.map(|(lot, _)| Subject::new(SubjectKind::Batch, &lot.batch));
    Ok(Scope::With(batches.chain([shipment]).collect()))
}

fn ship(args: &Ship, context: &mut Context<'_>) -> Result<(), Error> {
    let (entry, journal, view) = context.record(&args.at, &args.lots.scope(), |journal, at| {
        let names = args.lots.choose(args.rack.as_deref(), &journal.shop)?;
        if args.pieces.is_some() && names.len() > 1 {
            let next = "ship the part by itself, then the other lots whole";
            return Err(Error::usage("--pieces is for one lot", next));
        }
        let mut lots = Vec::new();
        for name in names {
            let lot = journal.shop.known_lot(&name)?;
            lots.push((name, args.pieces.unwrap_or(lot.pieces)));
        }
        let fact = fact::Shipped { to: args.to.clone().unwrap_or_default(), lots };
        Ok(journal.record(at, fact)?)
    })?;
    let shipped = Shipped::new(&journal.shop, entry, view);
    context.screen.show(&shipped)
}
