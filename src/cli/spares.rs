//! `spares`: pieces to start so that enough good ones come out.

use crate::cli::{Context, Error, Now, number};
use crate::craft::spares::{Seen, SparesError};
use crate::report::spares::{BatchSpares, SparesShown};
use crate::shop::{Batch, Entry, Shop, Subject, SubjectKind};
use crate::store::Scope;
use crate::units::Sureness;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// A batch, such as salt
    #[arg(required_unless_present = "good", conflicts_with = "good")]
    batch: Option<String>,
    /// No batch: so many good pieces are needed
    #[arg(long, value_name = "N", requires = "scrap", value_parser = number::pieces, allow_negative_numbers = true)]
    good: Option<u32>,
    /// With --good: scrap seen so far, as 3/40
    #[arg(long, value_name = "K/N", requires = "good", value_parser = scrap)]
    scrap: Option<Seen>,
    /// With --good: pieces from one blank
    #[arg(long, alias = "per-blank", value_name = "N", requires = "good", default_value_t = 1, value_parser = number::whole("pieces a blank", 1..=1_000), allow_negative_numbers = true)]
    pieces_per_blank: u32,
    /// How sure to be.
    #[arg(long, value_name = "PERCENT", help = sure_help("How sure to be"), value_parser = sureness)]
    sure: Option<Sureness>,
    #[command(flatten)]
    now: Now,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let Some(name) = &args.batch else {
        let (good, seen) = (args.good.unwrap_or(0), args.scrap.unwrap_or_default());
        let sure = args.sure.unwrap_or(Sureness::USUAL);
        let shown = SparesShown::new(good, seen, sure, args.pieces_per_blank);
        return context.screen.show(&shown?);
    };
    let (loaded, _) = context.look(&args.now, &past_of(name))?;
    let batch = loaded.shop.known_batch(name)?;
    let shown = of_batch(&loaded.shop, batch, &loaded.entries, args.sure);
    let shown = shown.ok_or_else(|| unknown_recipe(&loaded.shop, batch))?;
    context.screen.show(&shown?)
}

/// What is open, that batch, and the batches before it by the same recipe.
pub(crate) fn past_of(batch: &str) -> Scope {
    Scope::WithPast(vec![Subject::new(SubjectKind::Batch, batch)])
}

/// How a batch stands towards its promise; nothing where nobody knows its recipe any more.
pub(crate) fn of_batch(
    shop: &Shop,
    batch: &Batch,
    entries: &[Entry],
    sure: Option<Sureness>,
) -> Option<Result<BatchSpares, SparesError>> {
    let seen_in = shop.batches_by(&batch.recipe).into_iter().map(str::to_owned).collect();
    let prospect = shop.prospect(batch, entries, sure)?;
    Some(prospect.map(|prospect| {
        BatchSpares::new(batch, &prospect, sure.unwrap_or(Sureness::USUAL), seen_in)
    }))
}

/// The same as sure as usual, for commands that speak of other things first: where it can't be reckoned they say nothing.
pub(crate) fn usual(shop: &Shop, batch: &Batch, entries: &[Entry]) -> Option<BatchSpares> {
    of_batch(shop, batch, entries, None)?.ok()
}

fn unknown_recipe(shop: &Shop, batch: &Batch) -> crate::shop::refusal::Refusal {
    let recipes = shop.setup.iter().flat_map(|setup| &setup.recipes);
    let names = recipes.map(|recipe| recipe.name.as_str());
    crate::shop::rule::unknown("recipe", &batch.recipe, names)
}

impl From<SparesError> for Error {
    fn from(error: SparesError) -> Self {
        let next = match &error {
            SparesError::MoreScrapThanSeen { .. } => {
                "give --scrap as scrap/of so many, such as 3/40"
            }
            SparesError::TooManySpares { .. } => {
                "ask to be less sure, or find what spoils the pieces"
            }
            _ => "give --good, --scrap and --sure as tackfree spares --help says",
        };
        Self::usage(error.to_string(), next)
    }
}

/// The help for `--sure`: what shall be so sure, and what it is where nobody says.
pub(crate) fn sure_help(what: &str) -> String {
    format!("{what}, % [default: {}]", Sureness::USUAL.get())
}

pub(crate) fn sureness(text: &str) -> Result<Sureness, String> {
    let number = text.trim().trim_end_matches('%').trim();
    let number: f64 =
        number.parse().map_err(|_| format!("{text:?} isn't a number of percent, such as 95"))?;
    Sureness::new(number).map_err(|error| error.to_string())
}

fn scrap(text: &str) -> Result<Seen, String> {
    let parts = text
        .split_once('/')
        .and_then(|(scrap, of)| Some((scrap.trim().parse().ok()?, of.trim().parse().ok()?)));
    let (scrap, of) =
        parts.ok_or_else(|| format!("{text:?}: expected scrap of pieces, as 3/40"))?;
    Seen::new(scrap, of).map_err(|error| error.to_string())
}
