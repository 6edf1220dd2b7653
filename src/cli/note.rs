//! `note`: something worth keeping about a batch, a lot, a can, a shipment or the shop.

use crate::cli::{At, Context, Error};
use crate::shop::fact::Noted;
use crate::shop::line::typed;
use crate::shop::rule::unknown;
use crate::shop::{EntryId, LotName, Refusal, Shop, Subject, SubjectKind};
use crate::store::Scope;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// A batch, a lot, a can, a shipment's number, or shop
    about: String,
    /// What to keep
    #[arg(value_parser = typed)]
    text: String,
    #[command(flatten)]
    at: At,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    context.record_and_show(&args.at, &args.scope(), |journal, at| {
        let about = args.subject(&journal.shop)?;
        let text = args.text.clone();
        Ok(journal.record(at, Noted { about, text })?)
    })
}

impl Args {
    /// Whatever bears that name, over or not.
    fn scope(&self) -> Scope {
        let kinds =
            [SubjectKind::Batch, SubjectKind::Can, SubjectKind::Shipment, SubjectKind::Shop];
        let mut subjects: Vec<Subject> =
            kinds.into_iter().map(|kind| Subject::new(kind, &self.about)).collect();
        let lot: Option<LotName> = self.about.parse().ok();
        subjects.extend(lot.map(|lot| Subject::new(SubjectKind::Batch, lot.batch)));
        Scope::With(subjects)
    }

    fn subject(&self, shop: &Shop) -> Result<Subject, Refusal> {
        let name = self.about.as_str();
        let lot = name.parse().ok().filter(|lot: &LotName| shop.lots.contains_key(lot));
        let shipment =
            name.parse().ok().filter(|number: &EntryId| shop.shipments.contains_key(number));
        let kinds = [
            (lot.is_some(), SubjectKind::Lot),
            (shop.batches.contains_key(name), SubjectKind::Batch),
            (shop.cans.contains_key(name), SubjectKind::Can),
            (shipment.is_some(), SubjectKind::Shipment),
            (name == "shop", SubjectKind::Shop),
        ];
        let kind = kinds.into_iter().find_map(|(is, kind)| is.then_some(kind));
        let known = shop.batches.keys().chain(shop.cans.keys()).map(String::as_str);
        kind.map(|kind| Subject::new(kind, name))
            .ok_or_else(|| unknown("batch, lot, can or shipment", name, known))
    }
}
