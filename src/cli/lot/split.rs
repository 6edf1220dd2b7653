//! `lot split`: some pieces go on by themselves.

use crate::cli::{At, Context, Error, number, with_lots};
use crate::shop::LotName;
use crate::shop::fact::LotSplit;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The lot
    lot: LotName,
    /// How many pieces go on by themselves
    #[arg(long, value_name = "N", value_parser = number::pieces, allow_negative_numbers = true)]
    pieces: u32,
    /// The rack they go on; they stay where they stand without it
    #[arg(long)]
    rack: Option<String>,
    #[command(flatten)]
    at: At,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    context.record_and_show(&args.at, &with_lots(std::slice::from_ref(&args.lot)), |journal, at| {
        journal.shop.known_lot(&args.lot)?;
        let into = journal.shop.next_lot(&args.lot.batch)?;
        let (lot, pieces, rack) = (args.lot.clone(), args.pieces, args.rack.clone());
        let split = LotSplit { lot, into, pieces, rack, not_begun: false };
        Ok(journal.record(at, split)?)
    })
}
