//! `racks`: what stands where.

use crate::cli::{Context, Error, Now};
use crate::report::racks::Racks;
use crate::store::Scope;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    now: Now,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let (mut loaded, view) = context.look(&args.now, &Scope::Open)?;
    context.move_by_the_minute(&mut loaded, view.now);
    context.screen.show(&Racks::new(&loaded.shop, view))
}
