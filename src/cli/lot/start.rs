//! `lot start`: pieces of a batch set out together.

use crate::cli::context::{Context, refused};
use crate::cli::error::Error;
use crate::cli::when::At;
use crate::shop::entry::{Subject, SubjectKind};
use crate::shop::fact::LotStarted;
use crate::shop::journal::Journal;
use crate::shop::name::LotName;
use crate::shop::refusal::Refusal;
use crate::shop::rule::unknown;
use crate::store::Scope;

/// `lot start`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The batch
    batch: String,
    /// How many pieces
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=100_000))]
    pieces: u32,
    /// The rack they stand on; may wait until the first coat
    #[arg(long)]
    rack: Option<String>,
    /// The first step still to do, by its number: the ones before it count as done, the last of them just now
    #[arg(long, value_name = "STEP", default_value_t = 1)]
    from: u32,
    #[command(flatten)]
    at: At,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let scope = Scope::With(vec![Subject::new(SubjectKind::Batch, &args.batch)]);
    context.record_and_show(&args.at, &scope, |journal, at| {
        let fact = args.fact(journal)?;
        journal.record(at, fact).map_err(refused(journal))?;
        Ok(())
    })
}

impl Args {
    fn fact(&self, journal: &Journal) -> Result<LotStarted, Error> {
        let shop = &journal.shop;
        let setup = shop.needs_setup().map_err(refused(journal))?;
        let batch = shop.known_batch(&self.batch).map_err(refused(journal))?;
        if batch.closed.is_some() {
            let name = self.batch.clone();
            return Err(refused(journal)(Refusal::Over { what: SubjectKind::Batch, name }));
        }
        let recipe = setup.recipe(&batch.recipe).ok_or_else(|| {
            refused(journal)(unknown(
                "recipe",
                &batch.recipe,
                setup.recipes.iter().map(|r| r.name.as_str()),
            ))
        })?;
        if recipe.step(self.from).is_none_or(crate::shop::setup::recipe::Step::is_cure) {
            let steps: Vec<String> = recipe
                .numbered()
                .filter(|(_, step)| !step.is_cure())
                .map(|(number, step)| format!("{number} {}", step.name()))
                .collect();
            return Err(Error::Usage(
                format!("{} has no step {} to begin with", recipe.name, self.from),
                format!("its steps are: {}", steps.join(", ")),
            ));
        }
        Ok(LotStarted {
            lot: LotName { batch: self.batch.clone(), number: batch.lots + 1 },
            recipe: recipe.clone(),
            revision: shop.revisions.get(&recipe.name).copied().unwrap_or(1),
            pieces: self.pieces,
            rack: self.rack.clone(),
            from_step: self.from,
        })
    }
}
