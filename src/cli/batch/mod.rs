//! `batch`: an order's run.

mod cancel;
mod change;

use chrono::NaiveDate;
use clap::{Args, Subcommand};

use crate::cli::spares::{past_of, usual};
use crate::cli::{At, Context, Error, Now, date, number, quote};
use crate::report::batch::{BatchLine, BatchList, BatchShown, due_remark};
use crate::report::receipt::Receipt;
use crate::shop::fact::{BatchClosed, BatchOpened};
use crate::shop::line::typed;
use crate::shop::name::word;
use crate::shop::{Journal, Subject, SubjectKind};
use crate::store::Scope;
use crate::time::Instant;

#[derive(Debug, Subcommand)]
#[command(arg_required_else_help = true)]
pub(crate) enum Command {
    /// Take on an order: so many good pieces by a recipe
    Open(Open),
    /// Change what an order asks for: its date, pieces or customer
    Change(change::Args),
    /// Cancel an order: its lots wait, and can be given to another batch
    Cancel(cancel::Args),
    /// List the open batches
    List(List),
    /// Show a batch with its lots
    Show(Show),
    /// Record a batch as over; refused while pieces are in hand
    Close(Close),
}

#[derive(Debug, Args)]
pub(crate) struct Open {
    /// Its name, such as salt
    #[arg(value_parser = word)]
    name: String,
    /// The recipe, as the setup calls it
    #[arg(long)]
    recipe: String,
    /// Good pieces promised
    #[arg(long, value_name = "N", value_parser = number::pieces, allow_negative_numbers = true)]
    pieces: u32,
    #[command(flatten)]
    terms: Terms,
    #[command(flatten)]
    at: At,
}

/// For whom an order is, and by when.
#[derive(Debug, Args)]
pub(crate) struct Terms {
    /// The date promised for, such as 2026-03-27
    #[arg(long, value_name = "DATE")]
    due: Option<String>,
    /// The date the customer would like, where it is sooner than the one promised
    #[arg(long, value_name = "DATE")]
    wanted: Option<String>,
    /// For whom
    #[arg(long = "for", value_name = "WHOM", value_parser = typed)]
    customer: Option<String>,
}

#[derive(Debug, Args)]
pub(crate) struct List {
    /// Closed ones too
    #[arg(long)]
    all: bool,
    #[command(flatten)]
    now: Now,
}

#[derive(Debug, Args)]
pub(crate) struct Show {
    /// The batch
    #[arg(value_name = "BATCH")]
    name: String,
    #[command(flatten)]
    now: Now,
}

#[derive(Debug, Args)]
pub(crate) struct Close {
    /// The batch
    #[arg(value_name = "BATCH")]
    name: String,
    #[command(flatten)]
    at: At,
}

pub(crate) fn run(command: Command, context: &mut Context<'_>) -> Result<(), Error> {
    match command {
        Command::Open(args) => open(args, context),
        Command::Change(args) => change::run(&args, context),
        Command::Cancel(args) => cancel::run(&args, context),
        Command::List(args) => list(&args, context),
        Command::Show(args) => show(&args, context),
        Command::Close(args) => close(args, context),
    }
}

fn about(name: &str) -> Scope {
    Scope::With(vec![Subject::new(SubjectKind::Batch, name)])
}

fn open(args: Open, context: &mut Context<'_>) -> Result<(), Error> {
    let name = args.name.clone();
    let scope = context.named_like(SubjectKind::Batch, &name)?;
    record_order(&name, &args.at.clone(), &scope, context, |journal, at| {
        let Open { name: batch, recipe, pieces, terms, .. } = args;
        let (due, wanted) = terms.dates(journal)?;
        let customer = terms.customer;
        let fact = BatchOpened { batch, recipe, pieces, due, customer, wanted };
        Ok(journal.record(at, fact)?)
    })
}

/// Records what an order asks for, and says what is odd about its date.
fn record_order<T>(
    batch: &str,
    when: &At,
    scope: &Scope,
    context: &mut Context<'_>,
    write: impl FnOnce(&mut Journal, Instant) -> Result<T, Error>,
) -> Result<(), Error> {
    let (_, journal, view) = context.record(when, scope, write)?;
    let remarks =
        journal.shop.batches.get(batch).map(|batch| journal.shop.due_remarks(batch, view.now));
    let mut receipt = Receipt::new(&journal, view);
    receipt.notes.extend(remarks.into_iter().flatten().map(due_remark));
    context.screen.show(&receipt)
}

impl Terms {
    /// The date promised, and the one the customer would like.
    fn dates(&self, journal: &Journal) -> Result<(Option<NaiveDate>, Option<NaiveDate>), Error> {
        let view = journal.shop.viewpoint(journal.now());
        let read = |(option, text): (&str, &Option<String>)| {
            text.as_deref().map(|text| date(option, text, view)).transpose()
        };
        Ok((read(("--due", &self.due))?, read(("--wanted", &self.wanted))?))
    }
}

fn list(args: &List, context: &mut Context<'_>) -> Result<(), Error> {
    let scope = if args.all { Scope::All } else { Scope::Open };
    let (loaded, view) = context.look(&args.now, &scope)?;
    let shown = loaded.shop.batches.values().filter(|batch| args.all || batch.closed.is_none());
    let batches = shown.map(|batch| BatchLine::new(&loaded.shop, batch, view)).collect();
    context.screen.show(&BatchList { batches })
}

fn show(args: &Show, context: &mut Context<'_>) -> Result<(), Error> {
    // The plan of the minute is made of what other screens make it of.
    let (mut open, _) = context.look(&args.now, &Scope::Open)?;
    let (mut loaded, view) = context.look(&args.now, &past_of(&args.name))?;
    context.move_by_the_minute(&mut open, view.now);
    loaded.shop.kept = open.shop.kept;
    let batch = loaded.shop.known_batch(&args.name)?;
    context.screen.show(&BatchShown::new(
        &loaded.shop,
        batch,
        view,
        usual(&loaded.shop, batch, &loaded.entries),
        quote::of(&loaded.shop, batch, &loaded.entries),
    ))
}

fn close(args: Close, context: &mut Context<'_>) -> Result<(), Error> {
    let scope = about(&args.name);
    context.record_and_show(&args.at, &scope, |journal, at| {
        Ok(journal.record(at, BatchClosed { batch: args.name })?)
    })
}
