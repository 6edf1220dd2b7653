//! `lot reject`: pieces are thrown out.

use crate::cli::context::{Context, refused};
use crate::cli::error::Error;
use crate::cli::lots::with_lots;
use crate::cli::when::At;
use crate::shop::entry::Fact;
use crate::shop::name::LotName;

/// `lot reject`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The lot
    lot: LotName,
    /// How many pieces
    #[arg(long, value_name = "N")]
    pieces: u32,
    /// Why: "cracked", "tool mark"
    #[arg(long, value_name = "REASON")]
    why: String,
    #[command(flatten)]
    at: At,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    context.record_and_show(&args.at, &with_lots(std::slice::from_ref(&args.lot)), |journal, at| {
        let lot = journal.shop.known_lot(&args.lot).map_err(refused(journal))?;
        let fact = Fact::PiecesRejected {
            step: lot.next_step().map_or(lot.recipe.count(), |(step, _)| step),
            lot: args.lot.clone(),
            pieces: args.pieces,
            why: args.why.clone(),
        };
        journal.record(at, fact).map_err(refused(journal))?;
        Ok(())
    })
}
