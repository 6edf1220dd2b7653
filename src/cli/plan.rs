//! `plan`: what will be.

use crate::cli::patience::Patience;
use crate::cli::spares::{sure_help, sureness};
use crate::cli::{At, Context, Error, Now, number};
use crate::plan::day::{followed, plan_to_keep};
use crate::plan::drift::drift;
use crate::plan::effort::Effort;
use crate::plan::engine::Settings;
use crate::plan::relief::reliefs;
use crate::plan::shop_plan::{Asked, plan};
use crate::report::plan::PlanReport;
use crate::shop::EntryId;
use crate::shop::fact::PlanKept;
use crate::shop::plan::ShopPlan;
use crate::store::Scope;
use crate::units::Sureness;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Plan only the lots there are, none still to start
    #[arg(long)]
    started: bool,
    /// Plans to look at.
    #[arg(long, value_name = "N", help = effort_help(), value_parser = number::whole("plans", 1..=100_000_000), allow_negative_numbers = true)]
    effort: Option<u32>,
    /// Where chance begins: the same seed gives the same plan
    #[arg(long, value_name = "N", default_value_t = 1)]
    seed: u64,
    /// How sure the number promised is to be reached.
    #[arg(long, value_name = "PERCENT", help = sure_help("How sure the number promised of each batch is to be reached by the pieces started"), value_parser = sureness)]
    sure: Option<Sureness>,
    /// Look for a better plan and keep it: today and reminders follow it, and plan says what has moved since
    #[arg(long, conflicts_with = "now")]
    keep: bool,
    /// Plan from scratch, not from the kept plan
    #[arg(long)]
    fresh: bool,
    /// Days to show step by step
    #[arg(long, value_name = "N", default_value_t = 5, value_parser = number::whole("days", 0..=366), allow_negative_numbers = true)]
    days: u32,
    #[command(flatten)]
    now: Now,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let (loaded, view) = context.look(&args.now, &Scope::Open)?;
    let shop = &loaded.shop;
    let patience = Patience::new(context.environment, "Planning");
    let usual = Asked::usual(shop, &loaded.entries, view.now);
    let asked = Asked {
        effort: args.effort.map_or(Effort::USUAL, |plans| Effort::Plans(plans.into())),
        seed: args.seed,
        with_new_lots: !args.started,
        sure: args.sure,
        kept: shop.kept.as_ref().filter(|_| !args.fresh),
        ..usual
    };
    let watch = |done, of| patience.goes_on(done, of);
    // Asked for no other, it is the plan that today and the reminders follow.
    let as_it_is =
        args.effort.is_none() && args.sure.is_none() && !args.started && args.seed == usual.seed;
    let planned = if args.keep {
        plan_to_keep(shop, &asked, &watch)?
    } else if as_it_is {
        followed(shop, &asked, &watch)?.plan
    } else {
        plan(shop, &asked, &watch)?
    };
    let mut report = PlanReport::new(shop, &planned, args.days, view);
    if !Patience::enough() {
        report.would_help = reliefs(shop, &asked, &planned, &watch).unwrap_or_default();
    }
    report.drift = shop.kept.as_ref().map(|kept| drift(shop, kept, &planned));
    report.cut_short = Patience::enough();
    report.seconds = patience.over();
    if args.keep {
        report.kept = Some(keep(context, &planned)?);
    }
    context.screen.show(&report)
}

fn effort_help() -> String {
    format!(
        "Plans to look at: {} for a few lots, fewer for more; more takes longer and may find a better one",
        Settings::EFFORT
    )
}

/// Records the plan as the one to follow.
fn keep(context: &mut Context<'_>, plan: &ShopPlan) -> Result<EntryId, Error> {
    let fact = PlanKept { plan: Box::new(plan.clone()) };
    let (entry, ..) = context
        .record(&At { at: None }, &Scope::Open, |journal, at| Ok(journal.record(at, fact)?))?;
    Ok(entry)
}
