//! `lot rework`: pieces go back to a step.

use crate::cli::{At, Context, Error, number, with_lots};
use crate::shop::LotName;
use crate::shop::fact::LotReworked;
use crate::shop::line::typed;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The lot
    lot: LotName,
    /// How many pieces; all of it where left out
    #[arg(long, value_name = "N", value_parser = number::pieces, allow_negative_numbers = true)]
    pieces: Option<u32>,
    /// The step they go back to, by its number
    #[arg(long, value_name = "N")]
    from_step: u32,
    /// Why: "streaks", "sticky", "dropped"
    #[arg(long, value_name = "REASON", value_parser = typed)]
    why: String,
    #[command(flatten)]
    at: At,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    context.record_and_show(&args.at, &with_lots(std::slice::from_ref(&args.lot)), |journal, at| {
        let lot = journal.shop.known_lot(&args.lot)?;
        let pieces = args.pieces.unwrap_or(lot.pieces);
        let into = if pieces == lot.pieces {
            args.lot.clone()
        } else {
            journal.shop.next_lot(&args.lot.batch)?
        };
        let (lot, why) = (args.lot.clone(), args.why.clone());
        let fact = LotReworked { lot, into, pieces, from_step: args.from_step, why };
        Ok(journal.record(at, fact)?)
    })
}
