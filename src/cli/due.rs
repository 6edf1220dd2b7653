//! `due`: what needs hands.

use crate::cli::remind::hold_against;
use crate::cli::{Context, Error, Now};
use crate::report::due::Due;
use crate::store::Scope;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    now: Now,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    hold_against(context)?;
    let (mut loaded, view) = context.look(&args.now, &Scope::Open)?;
    loaded.shop.kept = context.moving(&loaded, loaded.shop.open_lots(), view.now);
    context.screen.show(&Due::new(&loaded.shop, view))
}
