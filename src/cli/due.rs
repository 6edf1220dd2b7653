//! `due`: what needs hands.

use std::collections::BTreeSet;

use crate::cli::remind::hold_against;
use crate::cli::{Context, Error, Now};
use crate::report::due::Due;
use crate::shop::Shop;
use crate::shop::due::{Item, Urgency};
use crate::shop::refusal::Wait;
use crate::store::Scope;
use crate::time::Instant;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    now: Now,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    hold_against(context)?;
    let (loaded, view) = context.look(&args.now, &Scope::Open)?;
    let followed = moved_for_its_cure(&loaded.shop, view.now)
        .then(|| context.followed(&loaded, view.now).ok())
        .flatten();
    let plan = followed.as_ref().map(|followed| &followed.plan).or(loaded.shop.kept.as_ref());
    context.screen.show(&Due::new(&loaded.shop, plan, view))
}

/// Whether pieces that cure may be carried to another room first: the plan of that minute says then when they are cured, as it
/// does on the day sheet.
fn moved_for_its_cure(shop: &Shop, now: Instant) -> bool {
    let racks = shop.setup.iter().flat_map(|setup| &setup.racks);
    let rooms: BTreeSet<&String> = racks.map(|rack| &rack.room).collect();
    let cures = |item: &Item| item.urgency == Urgency::Next && item.wait == Some(Wait::Cure);
    shop.kept.is_some() && rooms.len() > 1 && shop.due(now).iter().any(cures)
}
