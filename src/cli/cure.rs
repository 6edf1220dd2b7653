//! `cure`: why lots are or are not cured.

use crate::cli::{Context, Error, Lots, Now};
use crate::report::cure::{CureShown, Cures};
use crate::shop::{Refusal, SubjectKind};

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    lots: Lots,
    /// All lots that stand on that rack
    #[arg(long, conflicts_with = "lots")]
    rack: Option<String>,
    /// Show what the answer rests on: the sheet, the readings, what was assumed
    #[arg(long)]
    why: bool,
    #[command(flatten)]
    now: Now,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let (loaded, view) = context.look(&args.now, &args.lots.scope())?;
    let shop = loaded.shop;
    let names = args.lots.choose(args.rack.as_deref(), &shop)?;
    let mut lots = Vec::new();
    for name in &names {
        let lot = shop.known_lot(name)?;
        if lot.pieces == 0 {
            let name = name.to_string();
            return Err(Refusal::Over { what: SubjectKind::Lot, name }.into());
        }
        lots.push(CureShown::new(&shop, lot, view));
    }
    let single = args.rack.is_none() && lots.len() == 1;
    context.screen.show(&Cures::new(lots, single, args.why, view.stamp(view.now)))
}
