//! `can`: containers of finish.

use clap::{Args, Subcommand};

use crate::cli::{At, Context, Error, Now};
use crate::report::can::{CanLine, CanList};
use crate::shop::fact::{CanEmptied, CanOpened};
use crate::shop::line::typed;
use crate::shop::name::{NameError, word};
use crate::shop::{Subject, SubjectKind};
use crate::store::Scope;
use crate::units::{Litres, System, Typed, TypedError};

#[derive(Debug, Subcommand)]
#[command(arg_required_else_help = true)]
pub(crate) enum Command {
    /// Record a container opened, or a two-part finish mixed
    Open(Open),
    /// List the open cans
    List(List),
    /// Record a can as empty or thrown away
    Empty(Empty),
}

#[derive(Debug, Args)]
pub(crate) struct Open {
    /// The finish in it, as the setup calls it
    finish: String,
    /// Its name, such as K7
    #[arg(long, value_parser = name)]
    name: String,
    /// How much is in it, with its unit: 500ml, 1qt, "16 fl oz"
    #[arg(long, value_name = "SIZE", value_parser = size, allow_negative_numbers = true)]
    size: Option<Litres>,
    /// The same in litres
    #[arg(long, hide = true, conflicts_with = "size", value_parser = litres, allow_negative_numbers = true)]
    litres: Option<Litres>,
    /// The maker's lot number on it
    #[arg(long, value_name = "NUMBER", value_parser = typed)]
    maker_lot: Option<String>,
    #[command(flatten)]
    at: At,
}

#[derive(Debug, Args)]
pub(crate) struct List {
    /// Empty ones too
    #[arg(long)]
    all: bool,
    #[command(flatten)]
    now: Now,
}

#[derive(Debug, Args)]
pub(crate) struct Empty {
    /// The can
    #[arg(value_name = "CAN")]
    name: String,
    #[command(flatten)]
    at: At,
}

pub(crate) fn run(command: Command, context: &mut Context<'_>) -> Result<(), Error> {
    match command {
        Command::Open(args) => open(args, context),
        Command::List(args) => list(&args, context),
        Command::Empty(args) => empty(args, context),
    }
}

fn open(args: Open, context: &mut Context<'_>) -> Result<(), Error> {
    let scope = context.named_like(SubjectKind::Can, &args.name)?;
    context.record_and_show(&args.at, &scope, |journal, at| {
        let Open { finish, name: can, size, litres, maker_lot, .. } = args;
        let litres = size.or(litres);
        let fact = CanOpened { can, finish, litres, maker_lot };
        Ok(journal.record(at, fact)?)
    })
}

fn list(args: &List, context: &mut Context<'_>) -> Result<(), Error> {
    let scope = if args.all { Scope::All } else { Scope::Cans };
    let (loaded, view) = context.look(&args.now, &scope)?;
    let shown = loaded.shop.cans.values().filter(|can| args.all || can.emptied.is_none());
    let cans = shown.map(|can| CanLine::new(&loaded.shop, can, view)).collect();
    context.screen.show(&CanList { cans })
}

fn empty(args: Empty, context: &mut Context<'_>) -> Result<(), Error> {
    let scope = Scope::With(vec![Subject::new(SubjectKind::Can, &args.name)]);
    context.record_and_show(&args.at, &scope, |journal, at| {
        Ok(journal.record(at, CanEmptied { can: args.name })?)
    })
}

fn name(text: &str) -> Result<String, NameError> {
    word(text)
}

/// Without a unit nobody knows whether "500" is a small can or a shop's whole store.
pub(crate) fn size(text: &str) -> Result<Litres, String> {
    let typed: Typed<Litres> = text.parse().map_err(|error: TypedError| error.to_string())?;
    some(typed.unmistakable(System::Us))
}

fn litres(text: &str) -> Result<Litres, String> {
    let typed: Typed<Litres> = text.parse().map_err(|error: TypedError| error.to_string())?;
    some(typed.in_shop(System::Metric))
}

/// No can holds more: it's a typing slip (our choice).
const MOST_LITRES: f64 = 1000.0;

fn some(litres: Result<Litres, TypedError>) -> Result<Litres, String> {
    match litres {
        Ok(litres) if litres.get() > 0.0 && litres.get() <= MOST_LITRES => Ok(litres),
        Ok(_) => Err(format!("a can holds more than nothing, and at most {MOST_LITRES} litres")),
        Err(error) => Err(error.to_string()),
    }
}
