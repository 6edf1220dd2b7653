//! `lot split`: some pieces go on by themselves.

use crate::cli::context::{Context, refused};
use crate::cli::error::Error;
use crate::cli::lots::with_lots;
use crate::cli::when::At;
use crate::shop::fact::LotSplit;
use crate::shop::name::LotName;

/// `lot split`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The lot
    lot: LotName,
    /// How many pieces go on by themselves
    #[arg(long, value_name = "N")]
    pieces: u32,
    /// The rack they go on; they stay where they stand without it
    #[arg(long)]
    rack: Option<String>,
    #[command(flatten)]
    at: At,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    context.record_and_show(&args.at, &with_lots(std::slice::from_ref(&args.lot)), |journal, at| {
        journal.shop.known_lot(&args.lot).map_err(refused(journal))?;
        let batch = journal.shop.known_batch(&args.lot.batch).map_err(refused(journal))?;
        let into = LotName { batch: args.lot.batch.clone(), number: batch.lots + 1 };
        let (lot, pieces, rack) = (args.lot.clone(), args.pieces, args.rack.clone());
        journal.record(at, LotSplit { lot, into, pieces, rack }).map_err(refused(journal))?;
        Ok(())
    })
}
