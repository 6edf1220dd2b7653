//! `pace BATCH`, `pace LOT`: what the times say.

use crate::cli::spares::past_of;
use crate::cli::{Context, Error, Now};
use crate::report::pace::PaceShown;
use crate::shop::LotName;
use crate::shop::left::{Times, Whose};
use crate::shop::rule::unknown;
use crate::time::Span;

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
    let (batch, recipe) = if let Some(name) = &lot {
        let lot = shop.known_lot(name)?;
        (shop.known_batch(&name.batch)?, &lot.recipe)
    } else {
        let batch = shop.known_batch(name)?;
        (batch, shop.recipe_of(batch).map_or_else(|| shop.known_recipe(&batch.recipe), Ok)?)
    };
    let whose = Whose { batch, lot: lot.as_ref() };
    let times = shop.times(whose, recipe).map_err(|error| {
        Error::usage(error.to_string(), "look at the times: tackfree ledger list")
    })?;
    let saving = args.target.map(|target| args.saving(&times, target)).transpose()?;
    let of = (name.to_owned(), recipe.name.clone());
    context.screen.show(&PaceShown::new(shop, of, &times, saving, view))
}

impl Args {
    fn saving(&self, times: &Times, target: Span) -> Result<crate::shop::left::Saving, Error> {
        let next = "take some: tackfree pace time LOT, or tackfree done LOT --minutes N";
        if target.is_zero() {
            let next = "give --target as \"5m\" or \"40s\"".to_owned();
            return Err(Error::usage("a target of no time is not possible", next));
        }
        let names: Vec<String> = times.steps.iter().map(|step| step.name.clone()).collect();
        if let Some(step) = &self.step
            && !names.iter().any(|name| name.eq_ignore_ascii_case(step))
        {
            return Err(unknown("step", step, names.iter().map(String::as_str)).into());
        }
        times.saving(target, self.step.as_deref()).ok_or_else(|| {
            let what = self.step.as_deref().unwrap_or("it");
            Error::usage(format!("{what} has not been timed yet"), next)
        })
    }
}
