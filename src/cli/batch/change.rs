//! `batch change`: what an order asks for from now on.

use crate::cli::batch::{date, record_order};
use crate::cli::context::{Context, refused};
use crate::cli::error::Error;
use crate::cli::number;
use crate::cli::when::At;
use crate::shop::fact::BatchChanged;
use crate::shop::line::typed;

/// `batch change`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The batch
    #[arg(value_name = "BATCH")]
    name: String,
    /// Good pieces promised
    #[arg(long, value_name = "N", value_parser = number::pieces, allow_negative_numbers = true)]
    pieces: Option<u32>,
    /// The date promised for, such as 2026-03-27
    #[arg(long, value_name = "DATE")]
    due: Option<String>,
    /// The date the customer would like
    #[arg(long, value_name = "DATE")]
    wanted: Option<String>,
    /// For whom
    #[arg(long = "for", value_name = "WHOM", value_parser = typed)]
    customer: Option<String>,
    #[command(flatten)]
    at: At,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let dates = args.due.as_ref().or(args.wanted.as_ref());
    if args.pieces.is_none() && dates.or(args.customer.as_ref()).is_none() {
        let next = format!("say what: tackfree batch change {} --due 2026-03-27", args.name);
        return Err(Error::Usage("nothing to change was given".to_owned(), next));
    }
    record_order(&args.name, &args.at, &super::about(&args.name), context, |journal, at| {
        let due = date("--due", args.due.as_deref(), journal)?;
        let wanted = date("--wanted", args.wanted.as_deref(), journal)?;
        let batch = journal.shop.known_batch(&args.name).map_err(refused(journal))?;
        let fact = BatchChanged {
            batch: args.name.clone(),
            pieces: args.pieces.unwrap_or(batch.pieces),
            due: due.or(batch.due),
            wanted: wanted.or(batch.wanted),
            customer: args.customer.clone().or_else(|| batch.customer.clone()),
        };
        journal.record(at, fact).map_err(refused(journal))?;
        Ok(())
    })
}
