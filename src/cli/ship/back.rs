//! `ship return`: pieces of a shipment come back.

use crate::cli::ship::about;
use crate::cli::{At, Context, Error, number};
use crate::shop::fact::PiecesReturned;
use crate::shop::line::typed;
use crate::shop::{EntryId, LotName};

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
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
