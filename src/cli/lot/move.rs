//! `lot move`: lots are carried to another rack, or off the racks.

use clap::ArgGroup;

use crate::cli::{At, Context, Error, Lots};
use crate::shop::LotName;
use crate::shop::fact::LotMoved;
use crate::shop::line::typed;

#[derive(Debug, clap::Args)]
#[command(group = ArgGroup::new("where").required(true))]
pub(crate) struct Args {
    /// Lots, such as salt-3
    #[arg(value_name = "LOT", required_unless_present = "from")]
    lots: Vec<LotName>,
    /// All lots that stand on that rack
    #[arg(long, value_name = "RACK", conflicts_with = "lots")]
    from: Option<String>,
    /// The rack to carry them to
    #[arg(long, visible_alias = "to", group = "where")]
    rack: Option<String>,
    /// Off the racks
    #[arg(long, group = "where")]
    off: bool,
    /// Record it though a rule stands against it; the lot is flagged for good
    #[arg(long, value_name = "REASON", value_parser = typed)]
    anyway: Option<String>,
    #[command(flatten)]
    at: At,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let lots = Lots { lots: args.lots.clone() };
    context.record_and_show(&args.at, &lots.scope(), |journal, at| {
        for lot in lots.choose(args.from.as_deref(), &journal.shop)? {
            let fact = LotMoved { lot, rack: args.rack.clone() };
            journal.record_anyway(at, fact, args.anyway.as_deref())?;
        }
        Ok(())
    })
}
