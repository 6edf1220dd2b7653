//! `quote`: what an order costs to make.

use crate::cli::{Context, Error, Now, number};
use crate::report::quote::Quote;
use crate::shop::{Batch, Entry, Shop, Subject, SubjectKind};
use crate::store::Scope;
use crate::units::Sureness;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The recipe it is made by
    #[arg(long, value_name = "RECIPE")]
    recipe: String,
    /// Good pieces ordered
    #[arg(long, value_name = "N", value_parser = number::pieces, allow_negative_numbers = true)]
    pieces: u32,
    #[command(flatten)]
    now: Now,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let recipe = Subject::new(SubjectKind::Recipe, &args.recipe);
    let (loaded, view) = context.look(&args.now, &Scope::WithPast(vec![recipe]))?;
    let shop = &loaded.shop;
    shop.known_recipe(&args.recipe)?;
    let order = Batch::order("", &args.recipe, args.pieces, view.now);
    let quote = of(shop, &order, &loaded.entries).ok_or_else(|| {
        let next = "ask for fewer pieces, or see what spoils them: tackfree spares BATCH";
        Error::usage("the spares for it can't be reckoned", next)
    })?;
    context.screen.show(&quote)
}

/// What a batch costs, spares included; nothing where they can't be reckoned.
pub(crate) fn of(shop: &Shop, batch: &Batch, entries: &[Entry]) -> Option<Quote> {
    let recipe = shop.recipe_of(batch)?;
    let prospect = shop.prospect(batch, entries, None)?.ok()?;
    let start = batch.started.saturating_add(prospect.start.pieces);
    let sure = format!(" to be {} % sure of {}", Sureness::USUAL.get(), batch.pieces);
    Some(Quote::new(shop, recipe, batch.pieces, start, &sure))
}
