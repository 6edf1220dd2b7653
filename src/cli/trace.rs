//! `trace`: from a can to every piece it touched and where it went; from a lot, a shipment or a customer back to the cans.

use clap::ArgGroup;

use crate::cli::{At, Context, Error, Now};
use crate::report::trace::{About, Trace};
use crate::shop::fact::LotHeld;
use crate::shop::line::typed;
use crate::shop::name::same;
use crate::shop::rule::unknown;
use crate::shop::{EntryId, Journal, LotName, Shop, Subject, SubjectKind};
use crate::store::{Loaded, Scope, Store};
use crate::time::Viewpoint;

#[derive(Debug, clap::Args)]
#[command(group = ArgGroup::new("from").required(true))]
pub(crate) struct Args {
    /// Lots, such as salt-3
    #[arg(value_name = "LOT", group = "from")]
    lots: Vec<LotName>,
    /// A can: every piece it touched, and where it is or went
    #[arg(long, value_name = "CAN", group = "from")]
    can: Option<String>,
    /// A shipment's number: back to the cans, rooms and readings
    #[arg(long, value_name = "N", group = "from")]
    shipment: Option<EntryId>,
    /// A customer: everything shipped to them
    #[arg(long, value_name = "NAME", group = "from", value_parser = typed)]
    to: Option<String>,
    /// Hold every lot of it that is still here; one undo lets all go on
    #[arg(long)]
    hold: bool,
    /// Why they are held
    #[arg(long, value_name = "REASON", requires = "hold", value_parser = typed)]
    why: Option<String>,
    #[command(flatten)]
    at: At,
    #[command(flatten)]
    now: Now,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    if !args.hold && args.at.at.is_some() || args.hold && args.now.now.is_some() {
        let next = "leave it out, or give --now without --hold and --at with it";
        let wrong = if args.hold { "--now is for looking" } else { "--at is for --hold" };
        return Err(Error::usage(wrong.to_owned(), next));
    }
    let (about, scope) = meant(args, context)?;
    let (held, shop, entries, view) = if args.hold {
        let (held, Journal { shop, entries, .. }, view) = hold(args, &about, &scope, context)?;
        (held, shop, entries, view)
    } else {
        let (Loaded { shop, entries }, view) = context.look(&args.now, &scope)?;
        known(&about, &shop)?;
        (Vec::new(), shop, entries, view)
    };
    let store = context.store()?;
    let readings = |room: &str, from, until| store.readings(room, from, until);
    let mut trace = Trace::new(about, &shop, &entries, view, readings)?;
    trace.recorded = held;
    context.screen.show(&trace)
}

/// What is asked about, and all that has to be read to answer: an index leads to the batches.
fn meant(args: &Args, context: &Context<'_>) -> Result<(About, Scope), Error> {
    let mut store = context.store()?;
    let (about, first) = match (&args.can, args.shipment, &args.to) {
        (Some(can), ..) => {
            (About::Can(can.clone()), Scope::With(vec![Subject::new(SubjectKind::Can, can)]))
        }
        (_, Some(shipment), _) => (
            About::Shipment(shipment),
            Scope::With(vec![Subject::new(SubjectKind::Shipment, shipment)]),
        ),
        (.., Some(to)) => (About::Customer(to.clone()), shipments_to(to, &store)?),
        _ => {
            let (batches, lots) = (args.lots.iter().map(batch).collect(), args.lots.clone());
            return Ok((About::Lots(lots), Scope::With(batches)));
        }
    };
    let shop = store.load(&first)?.shop;
    let mut subjects: Vec<Subject> = match &about {
        About::Can(can) => store.batches_of(&Subject::new(SubjectKind::Can, can))?,
        _ => about
            .shipments(&shop)
            .flat_map(|(number, sent)| {
                let number = Subject::new(SubjectKind::Shipment, number);
                sent.lots.iter().map(|(lot, _)| batch(lot)).chain([number])
            })
            .collect(),
    };
    if let Scope::With(first) = first {
        subjects.extend(first);
    }
    Ok((about, Scope::With(subjects)))
}

/// What went to a customer, read without what went to others.
fn shipments_to(to: &str, store: &Store) -> Result<Scope, Error> {
    let all = store.addressees()?;
    let theirs = all.iter().filter(|(_, name)| same(to, name));
    let theirs: Vec<Subject> =
        theirs.map(|(number, _)| Subject::new(SubjectKind::Shipment, number)).collect();
    if theirs.is_empty() {
        let names: std::collections::BTreeSet<&str> =
            all.iter().map(|(_, name)| name.as_str()).collect();
        return Err(unknown("customer", to, names).into());
    }
    Ok(Scope::With(theirs))
}

fn batch(lot: &LotName) -> Subject {
    Subject::new(SubjectKind::Batch, &lot.batch)
}

fn known(about: &About, shop: &Shop) -> Result<(), crate::shop::refusal::Refusal> {
    match about {
        About::Can(can) => shop.known_can(can).map(|_| ()),
        About::Shipment(shipment) => shop.known_shipment(*shipment).map(|_| ()),
        About::Lots(lots) => lots.iter().try_for_each(|lot| shop.known_lot(lot).map(|_| ())),
        About::Customer(_) => Ok(()),
    }
}

/// Holds all that is still here and not held yet, in one act.
fn hold(
    args: &Args,
    about: &About,
    scope: &Scope,
    context: &mut Context<'_>,
) -> Result<(Vec<EntryId>, Journal, Viewpoint), Error> {
    let why = args.why.clone().unwrap_or_else(|| format!("{about} is traced"));
    context.record(&args.at, scope, |journal, at| {
        known(about, &journal.shop)?;
        let mut held = Vec::new();
        for lot in about.lots(&journal.shop) {
            if journal.shop.lots.get(&lot).is_some_and(|lot| lot.pieces > 0 && lot.held.is_none()) {
                let fact = LotHeld { lot, why: why.clone() };
                held.push(journal.record(at, fact)?);
            }
        }
        Ok(held)
    })
}
