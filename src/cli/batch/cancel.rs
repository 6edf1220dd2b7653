//! `batch cancel`: an order is not wanted any more.

use crate::cli::batch::about;
use crate::cli::{At, Context, Error};
use crate::report::receipt::Receipt;
use crate::shop::fact::BatchCancelled;
use crate::shop::line::typed;
use crate::shop::{LotName, all_of};

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The batch
    #[arg(value_name = "BATCH")]
    name: String,
    /// Why
    #[arg(long, value_name = "REASON", value_parser = typed)]
    why: String,
    #[command(flatten)]
    at: At,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let (_, journal, view) = context.record(&args.at, &about(&args.name), |journal, at| {
        let fact = BatchCancelled { batch: args.name.clone(), why: args.why.clone() };
        Ok(journal.record(at, fact)?)
    })?;
    let waiting = journal.shop.open_lots().filter(|lot| lot.name.batch == args.name);
    let waiting: Vec<&LotName> = waiting.map(|lot| &lot.name).collect();
    let note = waiting.first().map(|lot| {
        format!(
            "Still in hand: {}. Give a lot to another batch: tackfree lot give {lot} --to BATCH",
            all_of(&waiting)
        )
    });
    context.screen.show(&Receipt::new(&journal, view).with_note(note))
}
