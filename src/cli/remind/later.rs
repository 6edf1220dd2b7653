//! `remind later`, `remind clear`: not now.

use crate::cli::{Context, Error};
use crate::remind::send::put_off;
use crate::report::remind::PutOff;
use crate::shop::LotName;
use crate::store::Scope;
use crate::time::{Instant, Span};

#[derive(Debug, clap::Args)]
pub(crate) struct Later {
    /// The lot, such as salt-3
    lot: LotName,
    /// For how long: 20m, 2h
    span: Span,
}

#[derive(Debug, clap::Args)]
pub(crate) struct Clear {
    /// The lot, such as salt-3
    lot: LotName,
}

pub(super) fn later(args: &Later, context: &mut Context<'_>) -> Result<(), Error> {
    let until = args.span.after(context.now);
    run(&args.lot, Some(until), context)
}

pub(super) fn clear(args: &Clear, context: &mut Context<'_>) -> Result<(), Error> {
    run(&args.lot, None, context)
}

fn run(lot: &LotName, until: Option<Instant>, context: &mut Context<'_>) -> Result<(), Error> {
    let now = context.now;
    context.load(&Scope::Open)?.shop.known_lot(lot)?;
    let (mut store, view) = (context.store()?, context.view);
    let put_off = put_off(&mut store, now, until, lot)?;
    context.screen.show(&PutOff::new(lot.to_string(), &put_off, view))
}
