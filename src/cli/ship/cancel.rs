//! `ship cancel`: a shipment did not go.

use crate::cli::ship::about;
use crate::cli::{At, Context, Error};
use crate::shop::EntryId;
use crate::shop::fact::ShipmentCancelled;
use crate::shop::line::typed;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The shipment's number
    shipment: EntryId,
    /// Why
    #[arg(long, value_name = "REASON", value_parser = typed)]
    why: String,
    #[command(flatten)]
    at: At,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let scope = about(args.shipment, context)?;
    context.record_and_show(&args.at, &scope, |journal, at| {
        let sent = journal.shop.known_shipment(args.shipment)?;
        let lots = sent.lots.iter().map(|(lot, _)| lot.clone()).collect();
        let fact = ShipmentCancelled { shipment: args.shipment, lots, why: args.why.clone() };
        Ok(journal.record(at, fact)?)
    })
}
