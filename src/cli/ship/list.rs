//! `ship list`: the shipments.

use crate::cli::{Context, Error, Now};
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
    context.screen.show(&ShipmentList::new(&loaded.shop, view))
}
