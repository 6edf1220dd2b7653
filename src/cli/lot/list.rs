//! `lot list`: the lots in hand.

use crate::cli::{Context, Error, Now};
use crate::report::lot::{LotLine, LotList};
use crate::shop::Lot;
use crate::store::Scope;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Only lots of that batch
    batch: Option<String>,
    #[command(flatten)]
    now: Now,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let (mut loaded, view) = context.look(&args.now, &Scope::Open)?;
    if let Some(batch) = &args.batch {
        loaded.shop.known_batch(batch)?;
    }
    let of_batch = |lot: &Lot| args.batch.as_ref().is_none_or(|batch| *batch == lot.name.batch);
    context.move_by_the_minute(&mut loaded, view.now);
    let lots = loaded.shop.open_lots().filter(|lot| of_batch(lot));
    let lots = lots.map(|lot| LotLine::new(&loaded.shop, lot, view)).collect();
    context.screen.show(&LotList { now: view.stamp(view.now), lots })
}
