//! `promise`: dates with their odds.

use crate::cli::patience::Patience;
use crate::cli::spares::{sure_help, sureness};
use crate::cli::{Context, Error, Now, date, number};
use crate::plan::promise::{LOST_DAYS, Wanted, promise};
use crate::plan::shop_plan::{Asked, plan};
use crate::report::promise::PromiseReport;
use crate::shop::{Batch, Shop, Subject, SubjectKind};
use crate::store::Scope;
use crate::time::{Span, Viewpoint, local_date};
use crate::units::Sureness;

/// Ten weeks: the eight whose spread counts, and the two before from which unread hours of theirs are taken.
const LOG: Span = Span::days(70);

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// A batch that is running
    #[arg(conflicts_with_all = ["recipe", "pieces", "due"], required_unless_present_any = ["recipe", "pieces", "due"])]
    batch: Option<String>,
    /// An order not yet taken: its recipe
    #[arg(long, value_name = "RECIPE", requires = "pieces")]
    recipe: Option<String>,
    /// With --recipe: good pieces ordered
    #[arg(long, value_name = "N", requires = "recipe", value_parser = number::pieces, allow_negative_numbers = true)]
    pieces: Option<u32>,
    /// With --recipe: the date asked for
    #[arg(long, value_name = "DATE", requires = "recipe")]
    due: Option<String>,
    /// How sure the pieces started are to be enough.
    #[arg(long, value_name = "PERCENT", help = sure_help("How sure the pieces started are to be enough"), value_parser = sureness)]
    sure: Option<Sureness>,
    /// How often it is planned
    #[arg(long, value_name = "N", default_value_t = 100, value_parser = number::whole("plans", 1..=1_000_000), allow_negative_numbers = true)]
    runs: u32,
    /// Where chance begins: the same seed gives the same odds
    #[arg(long, value_name = "N", default_value_t = 1)]
    seed: u64,
    #[command(flatten)]
    now: Now,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let (mut loaded, view) = context.look(&args.now, &Scope::WithPast(vec![args.about()]))?;
    read_back(&mut loaded.shop, context, view)?;
    let (shop, batch) = args.shop_with(&loaded.shop, view)?;
    let patience = Patience::new(context.environment, "Planning again and again");
    let asked = Asked {
        seed: args.seed,
        sure: args.sure,
        ..Asked::usual(&shop, &loaded.entries, view.now)
    };
    let days = context.store()?.load(&Scope::Since(LOST_DAYS.before(view.now)))?.entries;
    let wanted = Wanted { batch: &batch, runs: args.runs.into(), days: &days };
    let found = promise(&shop, &asked, wanted, &|done, of| patience.goes_on(done, of))?;
    // What is promised already is held against the plan without the order; where there is none, there is nothing to hold.
    let without = match args.recipe {
        Some(_) => plan(&loaded.shop, &asked, &|_, _| !Patience::enough()).ok(),
        None => None,
    };
    let mut report = PromiseReport::new(&shop, &found, &batch, without.as_ref(), view);
    report.batch.clone_from(&args.batch);
    report.cut_short = Patience::enough();
    report.seconds = patience.over();
    context.screen.show(&report)
}

/// Reads every room's log as far back as its weeks tell of those to come.
fn read_back(shop: &mut Shop, context: &Context<'_>, view: Viewpoint) -> Result<(), Error> {
    let store = context.store()?;
    let first = LOG.before(view.now);
    for (room, log) in &mut shop.climate {
        let from = log.first().map_or(first, |reading| reading.at.min(first));
        *log = store.readings(room, from, view.now)?.into();
    }
    Ok(())
}

impl Args {
    /// What is read besides what is open: the batch, or batches by the recipe. Scrap and pace are the same whether an order is
    /// taken on or only asked about.
    fn about(&self) -> Subject {
        match (&self.batch, &self.recipe) {
            (Some(batch), _) => Subject::new(SubjectKind::Batch, batch),
            (None, recipe) => Subject::new(SubjectKind::Recipe, recipe.as_deref().unwrap_or("")),
        }
    }

    /// The shop with the order in it, and the name it goes by.
    fn shop_with(&self, shop: &Shop, view: Viewpoint) -> Result<(Shop, String), Error> {
        if let Some(batch) = &self.batch {
            shop.known_batch(batch)?;
            shop.may_still_be_open(batch)?;
            return Ok((shop.clone(), batch.clone()));
        }
        let recipe = self.recipe.as_deref().unwrap_or_default();
        shop.known_recipe(recipe)?;
        let mut name = "this-order".to_owned();
        while shop.batches.contains_key(&name) {
            name.push('-');
        }
        let due = self.due.as_deref().map(|text| date("--due", text, view)).transpose()?;
        let pieces = self.pieces.unwrap_or(0);
        // Where others have wishes an order without a date takes its turn among them, not after them all: it is wanted at once.
        let mut others = shop.batches.values().filter(|batch| batch.closed.is_none());
        let wished = due.is_none() && others.any(|batch| batch.wanted.is_some());
        let wanted = wished.then(|| local_date(view.now, view.zone));
        let order = Batch { due, wanted, ..Batch::order(&name, recipe, pieces, view.now) };
        let mut shop = shop.clone();
        shop.batches.insert(name.clone(), order);
        Ok((shop, name))
    }
}
