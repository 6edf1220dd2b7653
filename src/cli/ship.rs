//! `ship`: pieces leave the shop.

use crate::cli::context::{Context, refused};
use crate::cli::error::Error;
use crate::cli::lots::Lots;
use crate::cli::when::At;
use crate::report::ship::Shipment;
use crate::shop::fact::Shipped;

/// `ship`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    lots: Lots,
    /// All lots that stand on that rack
    #[arg(long)]
    rack: Option<String>,
    /// How many pieces, of one lot; all of it where left out
    #[arg(long, value_name = "N")]
    pieces: Option<u32>,
    /// To whom
    #[arg(long)]
    to: String,
    #[command(flatten)]
    at: At,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let (entry, journal, view) = context.record(&args.at, &args.lots.scope(), |journal, at| {
        let names = args.lots.choose(args.rack.as_deref(), journal)?;
        if args.pieces.is_some() && names.len() > 1 {
            let next = "ship the part by itself, then the other lots whole";
            return Err(Error::Usage("--pieces is for one lot".to_owned(), next.to_owned()));
        }
        let mut lots = Vec::new();
        for name in names {
            let lot = journal.shop.known_lot(&name).map_err(refused(journal))?;
            lots.push((name, args.pieces.unwrap_or(lot.pieces)));
        }
        let fact = Shipped { to: args.to.clone(), lots };
        journal.record(at, fact).map_err(refused(journal))
    })?;
    let shipment = Shipment::new(&journal, entry, view);
    Ok(context.screen.show(&shipment)?)
}
