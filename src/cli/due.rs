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
    context.move_by_the_minute(&mut loaded, view.now);
    context.screen.show(&Due::new(&loaded.shop, view))
}
