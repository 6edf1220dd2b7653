//! `ship list`: the shipments.

use crate::cli::context::Context;
use crate::cli::error::Error;
use crate::cli::when::Now;
use crate::report::ship::ShipmentList;
use crate::shop::SubjectKind;
use crate::store::Scope;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    now: Now,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let (loaded, view) = context.look(&args.now, &Scope::Every(SubjectKind::Shipment))?;
    Ok(context.screen.show(&ShipmentList::new(&loaded.shop, view))?)
}
