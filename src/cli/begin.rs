//! `begin`: a step is begun.

use crate::cli::{At, Context, Error, Lots, number};
use crate::shop::fact::StepBegun;
use crate::shop::line::typed;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    lots: Lots,
    #[command(flatten)]
    step: StepMeant,
}

/// Which step of lots, and how it is recorded: of a beginning as of an end.
#[derive(Debug, clap::Args)]
pub(crate) struct StepMeant {
    /// With lots: the rack they go on, at their first coat. Alone: all lots that stand on it
    #[arg(long)]
    pub(crate) rack: Option<String>,
    /// The step meant, by its number: refused unless it is the next one
    #[arg(long, value_name = "N", value_parser = number::whole("a step", 1..=1_000), allow_negative_numbers = true)]
    pub(crate) step: Option<u32>,
    /// Record it though a rule stands against it; the lot is flagged for good
    #[arg(long, value_name = "REASON", value_parser = typed)]
    pub(crate) anyway: Option<String>,
    #[command(flatten)]
    pub(crate) at: At,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    context.record_and_show(&args.step.at, &args.lots.scope(), |journal, at| {
        for name in args.lots.choose(args.step.rack.as_deref(), &journal.shop)? {
            let lot = journal.shop.known_lot(&name)?;
            let fact = StepBegun {
                step: lot.step_meant(args.step.step),
                rack: args.lots.put_on(args.step.rack.as_deref()).map(str::to_owned),
                lot: name,
            };
            journal.record_anyway(at, fact, args.step.anyway.as_deref())?;
        }
        Ok(())
    })
}
