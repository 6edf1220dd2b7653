//! `stock`: what is on hand; `stock count`, `stock add`, `stock moisture`: what was counted, bought, measured.

use clap::Subcommand;

use crate::cli::number::whole;
use crate::cli::{At, Context, Error, Now};
use crate::report::stock::StockShown;
use crate::shop::SubjectKind;
use crate::shop::fact::{StockChange, Stocked};
use crate::store::Scope;
use crate::units::WoodMoisture;

#[derive(Debug, clap::Args)]
#[command(args_conflicts_with_subcommands = true)]
pub(crate) struct Args {
    #[command(subcommand)]
    command: Option<Command>,
    #[command(flatten)]
    now: Now,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Record how many there are: from then on what is done is taken off
    Count(Change),
    /// Record that more came
    Add(Change),
    /// Record how damp blanks are, beside what the room makes of wood
    Moisture(Measured),
}

#[derive(Debug, clap::Args)]
pub(crate) struct Change {
    /// A piece, for its blanks; a grit such as P180, for its strips; cloths; gloves, in pairs
    item: String,
    /// How many
    #[arg(value_name = "N", value_parser = whole("things", 0..=1_000_000), allow_negative_numbers = true)]
    count: u32,
    #[command(flatten)]
    at: At,
}

#[derive(Debug, clap::Args)]
pub(crate) struct Measured {
    /// The piece whose blanks they are
    piece: String,
    /// % of the dry mass, as the meter shows it
    #[arg(value_name = "PERCENT", value_parser = percent, allow_negative_numbers = true)]
    percent: WoodMoisture,
    /// The room they lie in
    #[arg(long)]
    room: String,
    #[command(flatten)]
    at: At,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    match &args.command {
        Some(Command::Count(change)) => record(change, StockChange::Counted, context),
        Some(Command::Add(change)) => record(change, StockChange::Added, context),
        Some(Command::Moisture(measured)) => {
            let Measured { piece, percent, room, at } = measured;
            let change = StockChange::Moisture { percent: *percent, room: room.clone() };
            context.record_and_show(at, &Scope::Open, |journal, at| {
                let fact = Stocked { item: piece.clone(), change };
                Ok(journal.record(at, fact)?)
            })
        }
        None => list(&args.now, context),
    }
}

fn record(
    change: &Change,
    made: fn(u32) -> StockChange,
    context: &mut Context<'_>,
) -> Result<(), Error> {
    context.record_and_show(&change.at, &Scope::Open, |journal, at| {
        let item = journal.shop.stock_item(&change.item)?;
        journal.record(at, Stocked { item, change: made(change.count) })?;
        Ok(())
    })
}

/// The counts first, then everything that happened since the oldest of them.
fn list(now: &Now, context: &mut Context<'_>) -> Result<(), Error> {
    let (counted, view) = context.look(now, &Scope::Every(SubjectKind::Stock))?;
    let since = counted.shop.stock_since().unwrap_or(view.now);
    let (mut loaded, _) = context.look(now, &Scope::Since(since))?;
    loaded.shop.stock = counted.shop.stock;
    // Where nothing can be planned nothing is needed.
    let plan = context.followed(&loaded, view.now).ok();
    let plan = plan.as_ref().map(|followed| &followed.plan);
    context.screen.show(&StockShown::new(&loaded.shop, &loaded.entries, plan, view))
}

fn percent(text: &str) -> Result<WoodMoisture, String> {
    let number = text.trim().trim_end_matches('%').trim().replace(',', ".");
    let number = number.parse().map_err(|_| format!("{text:?} isn't a number of percent"))?;
    WoodMoisture::new(number).map_err(|error| error.to_string())
}
