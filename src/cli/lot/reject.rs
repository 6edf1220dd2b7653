//! `lot reject`: pieces are thrown out.

use crate::cli::spares::{past_of, usual};
use crate::cli::{At, Context, Error, number};
use crate::report::receipt::Receipt;
use crate::shop::LotName;
use crate::shop::fact::PiecesRejected;
use crate::shop::line::typed;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The lot
    lot: LotName,
    /// How many pieces
    #[arg(long, value_name = "N", value_parser = number::pieces, allow_negative_numbers = true)]
    pieces: u32,
    /// The step they failed at, by its number; the next one, or the last where all are done, if left out
    #[arg(long, value_name = "N")]
    step: Option<u32>,
    /// Why: "cracked", "tool mark"
    #[arg(long, value_name = "REASON", value_parser = typed)]
    why: String,
    #[command(flatten)]
    at: At,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let scope = past_of(&args.lot.batch);
    let (_, journal, view) = context.record(&args.at, &scope, |journal, at| {
        let lot = journal.shop.known_lot(&args.lot)?;
        let fact = PiecesRejected {
            step: args
                .step
                .unwrap_or_else(|| lot.next_step().map_or(lot.recipe.count(), |(step, _)| step)),
            lot: args.lot.clone(),
            pieces: args.pieces,
            why: args.why.clone(),
        };
        Ok(journal.record(at, fact)?)
    })?;
    let batch = journal.shop.batches.get(&args.lot.batch);
    let spares = batch.and_then(|batch| usual(&journal.shop, batch, &journal.entries));
    let note = spares.and_then(|spares| spares.warning());
    context.screen.show(&Receipt::new(&journal, view).with_note(note))
}
