//! `ship show`: a shipment's slip, again.

use crate::cli::ship::about;
use crate::cli::{Context, Error, Now};
use crate::report::ship::Shipment;
use crate::shop::EntryId;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The shipment's number
    shipment: EntryId,
    #[command(flatten)]
    now: Now,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let scope = about(args.shipment, context)?;
    let (loaded, view) = context.look(&args.now, &scope)?;
    loaded.shop.known_shipment(args.shipment)?;
    context.screen.show(&Shipment::new(&loaded.shop, args.shipment, view))
}
