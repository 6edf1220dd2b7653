//! `lot show`: one lot, whole.

use crate::cli::{Context, Error, Now, with_lots};
use crate::report::lot::LotShown;
use crate::shop::LotName;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The lot, such as salt-3
    lot: LotName,
    #[command(flatten)]
    now: Now,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let (mut loaded, view) =
        context.look(&args.now, &with_lots(std::slice::from_ref(&args.lot)))?;
    context.move_by_the_minute(&mut loaded, view.now);
    let lot = loaded.shop.known_lot(&args.lot)?;
    context.screen.show(&LotShown::new(&loaded.shop, lot, &loaded.entries, view))
}
