//! `batch change`: what an order asks for from now on.

use crate::cli::batch::{Terms, record_order};
use crate::cli::{At, Context, Error, number};
use crate::shop::fact::BatchChanged;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The batch
    #[arg(value_name = "BATCH")]
    name: String,
    /// Good pieces promised
    #[arg(long, value_name = "N", value_parser = number::pieces, allow_negative_numbers = true)]
    pieces: Option<u32>,
    #[command(flatten)]
    terms: Terms,
    #[command(flatten)]
    at: At,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let Terms { due, wanted, customer } = &args.terms;
    if args.pieces.is_none() && [due, wanted, customer].iter().all(|given| given.is_none()) {
        let next = format!("say what: tackfree batch change {} --due 2026-03-27", args.name);
        return Err(Error::usage("nothing to change was given", next));
    }
    record_order(&args.name, &args.at, &super::about(&args.name), context, |journal, at| {
        let (due, wanted) = args.terms.dates(journal)?;
        let batch = journal.shop.known_batch(&args.name)?;
        let fact = BatchChanged {
            batch: args.name.clone(),
            pieces: args.pieces.unwrap_or(batch.pieces),
            due: due.or(batch.due),
            wanted: wanted.or(batch.wanted),
            customer: customer.clone().or_else(|| batch.customer.clone()),
        };
        Ok(journal.record(at, fact)?)
    })
}
