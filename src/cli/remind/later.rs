//! `remind later`, `remind clear`: not now.

use crate::cli::context::Context;
use crate::cli::error::Error;
use crate::remind::due::due;
use crate::remind::notice::Kind;
use crate::remind::send::put_off;
use crate::report::remind::PutOff;
use crate::shop::name::LotName;
use crate::store::Scope;
use crate::time::Viewpoint;
use crate::time::{Instant, Span};

/// `remind later`.
#[derive(Debug, clap::Args)]
pub(crate) struct Later {
    /// The lot, such as salt-3
    lot: LotName,
    /// For how long: 20m, 2h
    span: Span,
}

/// `remind clear`.
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
    let mut store = context.store()?;
    let shop = store.load(&Scope::Open)?.shop;
    let view = Viewpoint { now, zone: shop.zone() };
    shop.known_lot(lot).map_err(|refusal| Error::Refused(Box::new(refusal), view))?;
    // Rags are not put off: only recording how they were dealt with ends that.
    let (shop, things) =
        put_off(&mut store, now, until, |thing| thing.lot == *lot && thing.kind != Kind::Rags)?;
    let rags_go_on =
        due(&shop, now).iter().any(|thing| thing.lot == *lot && thing.kind == Kind::Rags);
    let until = until.map(|until| view.stamp(until));
    Ok(context.screen.show(&PutOff::new(lot.to_string(), until, &things, rags_go_on))?)
}
