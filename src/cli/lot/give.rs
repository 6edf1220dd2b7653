//! `lot give`: a lot goes on in another batch.

use crate::cli::{At, Context, Error};
use crate::shop::fact::LotGiven;
use crate::shop::{LotName, Subject, SubjectKind};
use crate::store::Scope;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The lot
    lot: LotName,
    /// The batch it goes on in, under that batch's next lot name
    #[arg(long, value_name = "BATCH")]
    to: String,
    #[command(flatten)]
    at: At,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let batches = [&args.lot.batch, &args.to].map(|name| Subject::new(SubjectKind::Batch, name));
    context.record_and_show(&args.at, &Scope::With(batches.to_vec()), |journal, at| {
        let into = journal.shop.next_lot(&args.to)?;
        let fact = LotGiven { lot: args.lot.clone(), into };
        Ok(journal.record(at, fact)?)
    })
}
