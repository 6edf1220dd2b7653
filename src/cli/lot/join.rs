//! `lot join`: two lots go on as one.

use crate::cli::{At, Context, Error, with_lots};
use crate::shop::LotName;
use crate::shop::fact::LotJoined;
use crate::shop::line::typed;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The lot whose name they go on under
    lot: LotName,
    /// The lot that joins it, at the same step
    from: LotName,
    /// Record it though a rule stands against it; the lot is flagged for good
    #[arg(long, value_name = "REASON", value_parser = typed)]
    anyway: Option<String>,
    #[command(flatten)]
    at: At,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let lots = [args.lot.clone(), args.from.clone()];
    context.record_and_show(&args.at, &with_lots(&lots), |journal, at| {
        let fact = LotJoined { lot: args.lot.clone(), from: args.from.clone() };
        Ok(journal.record_anyway(at, fact, args.anyway.as_deref())?)
    })
}
