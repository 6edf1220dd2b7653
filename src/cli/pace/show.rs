//! `pace BATCH`, `pace LOT`: what the times say.

use crate::cli::context::{Context, about};
use crate::cli::error::Error;
use crate::cli::spares::past_of;
use crate::cli::when::Now;
use crate::report::pace::PaceShown;
use crate::shop::left::{Times, Whose};
use crate::shop::name::LotName;
use crate::shop::refusal::Refusal;
use crate::shop::rule::unknown;
use crate::shop::setup::Recipe;
use crate::shop::{Batch, Shop};
use crate::time::Span;

/// `pace BATCH`.
#[derive(Debug, clap::Args)]
#[group(skip)]
pub(crate) struct Args {
    /// A batch, such as salt, or one lot, such as salt-3
    #[arg(value_name = "BATCH|LOT", required = true)]
    of: Option<String>,
    /// Say what this time a piece would save: "5m", "40s"
    #[arg(long, value_name = "TIME")]
    target: Option<Span>,
    /// With --target: of that step alone, such as "sand P180"
    #[arg(long, value_name = "NAME", requires = "target")]
    step: Option<String>,
    #[command(flatten)]
    now: Now,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let name = args.of.as_deref().unwrap_or_default();
    let lot: Option<LotName> = name.parse().ok();
    // A batch may be called like a lot: the batch comes first.
    let scope = past_of(name);
    let (mut loaded, view) = context.look(&args.now, &scope)?;
    let lot = lot.filter(|_| !loaded.shop.batches.contains_key(name));
    if let Some(lot) = &lot {
        loaded = context.look(&args.now, &past_of(&lot.batch))?.0;
    }
    let shop = &loaded.shop;
    let refused = about(shop, view.now);
    let (batch, recipe) = if let Some(name) = &lot {
        let lot = shop.known_lot(name).map_err(&refused)?;
        (shop.known_batch(&name.batch).map_err(&refused)?, &lot.recipe)
    } else {
        let batch = shop.known_batch(name).map_err(&refused)?;
        (batch, recipe_of(shop, batch).map_err(&refused)?)
    };
    let whose = Whose { batch, lot: lot.as_ref() };
    let times = shop.times(whose, recipe).map_err(|error| {
        Error::Usage(error.to_string(), "look at the times: tackfree ledger list".to_owned())
    })?;
    let saving = match args.target {
        None => None,
        Some(target) => Some(args.saving(&times, target, &refused)?),
    };
    let of = (name.to_owned(), recipe.name.clone());
    Ok(context.screen.show(&PaceShown::new(shop, of, &times, saving, view))?)
}

impl Args {
    fn saving(
        &self,
        times: &Times,
        target: Span,
        refused: &impl Fn(Refusal) -> Error,
    ) -> Result<crate::shop::left::Saving, Error> {
        let next = "take some: tackfree pace time LOT, or tackfree done LOT --minutes N";
        if target.is_zero() {
            let next = "give --target as \"5m\" or \"40s\"".to_owned();
            return Err(Error::Usage("a target of no time is not possible".to_owned(), next));
        }
        let names: Vec<String> = times.steps.iter().map(|step| step.step.to_string()).collect();
        if let Some(step) = &self.step
            && !names.iter().any(|name| name.eq_ignore_ascii_case(step))
        {
            return Err(refused(unknown("step", step, names.iter().map(String::as_str))));
        }
        times.saving(target, self.step.as_deref()).ok_or_else(|| {
            let what = self.step.as_deref().unwrap_or("it");
            Error::Usage(format!("{what} has not been timed yet"), next.to_owned())
        })
    }
}

fn recipe_of<'s>(shop: &'s Shop, batch: &Batch) -> Result<&'s Recipe, Refusal> {
    match shop.recipe_of(batch) {
        Some(recipe) => Ok(recipe),
        None => shop.known_recipe(&batch.recipe),
    }
}
