//! `lot hold` and `lot release`: lots wait for a decision, and go on.

use crate::cli::{At, Context, Error, Lots};
use crate::shop::fact::{LotHeld, LotReleased};
use crate::shop::line::typed;
use crate::shop::{Fact, LotName};

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    lots: Lots,
    /// All lots that stand on that rack
    #[arg(long)]
    rack: Option<String>,
    /// Why
    #[arg(long, value_name = "REASON", value_parser = typed)]
    why: String,
    #[command(flatten)]
    at: At,
}

#[derive(Debug, clap::Args)]
pub(crate) struct Release {
    #[command(flatten)]
    lots: Lots,
    /// All lots that stand on that rack
    #[arg(long)]
    rack: Option<String>,
    #[command(flatten)]
    at: At,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let hold = |lot| LotHeld { lot, why: args.why.clone() };
    each(&args.lots, args.rack.as_deref(), &args.at, context, hold)
}

pub(crate) fn release(args: &Release, context: &mut Context<'_>) -> Result<(), Error> {
    let release = |lot| LotReleased { lot };
    each(&args.lots, args.rack.as_deref(), &args.at, context, release)
}

fn each<F: Into<Fact>>(
    lots: &Lots,
    rack: Option<&str>,
    when: &At,
    context: &mut Context<'_>,
    fact: impl Fn(LotName) -> F,
) -> Result<(), Error> {
    context.record_and_show(when, &lots.scope(), |journal, at| {
        for lot in lots.choose(rack, &journal.shop)? {
            journal.record(at, fact(lot))?;
        }
        Ok(())
    })
}
