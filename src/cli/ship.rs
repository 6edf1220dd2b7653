//! `ship`: pieces leave the shop.

use clap::Subcommand;

use crate::cli::{At, Context, Error, Lots, Now, number};
use crate::report::ship::{Shipment, ShipmentList, Shipped};
use crate::shop::fact::{PiecesReturned, ShipmentCancelled};
use crate::shop::line::typed;
use crate::shop::{EntryId, LotName, Subject, SubjectKind, fact};
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
    List(List),
    /// Show a shipment's slip again: what is in it and its finish record
    Show(Show),
    /// Record that a shipment did not go: its pieces are in hand again
    Cancel(Cancel),
    /// Take pieces of a shipment back: a lot of their own that waits for you
    Return(Return),
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

#[derive(Debug, clap::Args)]
pub(crate) struct List {
    #[command(flatten)]
    now: Now,
}

#[derive(Debug, clap::Args)]
pub(crate) struct Show {
    /// The shipment's number
    shipment: EntryId,
    #[command(flatten)]
    now: Now,
}

#[derive(Debug, clap::Args)]
pub(crate) struct Cancel {
    /// The shipment's number
    shipment: EntryId,
    /// Why
    #[arg(long, value_name = "REASON", value_parser = typed)]
    why: String,
    #[command(flatten)]
    at: At,
}

#[derive(Debug, clap::Args)]
pub(crate) struct Return {
    /// The shipment's number
    shipment: EntryId,
    /// The lot they are of
    lot: LotName,
    /// How many
    #[arg(long, value_name = "N", value_parser = number::pieces, allow_negative_numbers = true)]
    pieces: u32,
    /// Why: "sticky", "cracked in the post"
    #[arg(long, value_name = "REASON", value_parser = typed)]
    why: String,
    #[command(flatten)]
    at: At,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    match &args.command {
        None => ship(&args.ship, context),
        Some(Command::List(args)) => list(args, context),
        Some(Command::Show(args)) => show(args, context),
        Some(Command::Cancel(args)) => cancel(args, context),
        Some(Command::Return(args)) => take_back(args, context),
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

fn list(args: &List, context: &mut Context<'_>) -> Result<(), Error> {
    let (loaded, view) = context.look(&args.now, &Scope::Every(SubjectKind::Shipment))?;
    context.screen.show(&ShipmentList::new(&loaded.shop, view))
}

fn show(args: &Show, context: &mut Context<'_>) -> Result<(), Error> {
    let scope = about(args.shipment, context)?;
    let (loaded, view) = context.look(&args.now, &scope)?;
    loaded.shop.known_shipment(args.shipment)?;
    context.screen.show(&Shipment::new(&loaded.shop, args.shipment, view))
}

fn cancel(args: &Cancel, context: &mut Context<'_>) -> Result<(), Error> {
    let scope = about(args.shipment, context)?;
    context.record_and_show(&args.at, &scope, |journal, at| {
        let sent = journal.shop.known_shipment(args.shipment)?;
        let lots = sent.lots.iter().map(|(lot, _)| lot.clone()).collect();
        let fact = ShipmentCancelled { shipment: args.shipment, lots, why: args.why.clone() };
        Ok(journal.record(at, fact)?)
    })
}

fn take_back(args: &Return, context: &mut Context<'_>) -> Result<(), Error> {
    let scope = about(args.shipment, context)?;
    context.record_and_show(&args.at, &scope, |journal, at| {
        journal.shop.known_shipment(args.shipment)?;
        journal.shop.known_lot(&args.lot)?;
        let fact = PiecesReturned {
            shipment: args.shipment,
            lot: args.lot.clone(),
            into: journal.shop.next_lot(&args.lot.batch)?,
            pieces: args.pieces,
            why: args.why.clone(),
        };
        Ok(journal.record(at, fact)?)
    })
}
