//! `lot start`: pieces of a batch set out together.

use crate::cli::{At, Context, Error, number};
use crate::shop::fact::{Did, LotStarted};
use crate::shop::{Journal, Refusal, Subject, SubjectKind};
use crate::store::Scope;
use crate::time::read_moment;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The batch
    batch: String,
    /// How many pieces
    #[arg(long, value_name = "N", value_parser = number::pieces, allow_negative_numbers = true)]
    pieces: u32,
    /// The rack they stand on; may wait until the first coat
    #[arg(long)]
    rack: Option<String>,
    /// The first step still to do, by its number: the ones before it were done and not recorded
    #[arg(long, value_name = "STEP", default_value_t = 1, value_parser = number::whole("a step", 1..=1_000), allow_negative_numbers = true)]
    from: u32,
    /// With --from, what is known of a step before it: "4=2026-03-04 10:20", or for a coat with its can, "6=yesterday 16:00 K7"
    #[arg(long, value_name = "STEP=TIME [CAN]", requires = "from")]
    did: Vec<String>,
    #[command(flatten)]
    at: At,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let scope = Scope::With(vec![Subject::new(SubjectKind::Batch, &args.batch)]);
    context.record_and_show(&args.at, &scope, |journal, at| {
        let fact = args.fact(journal)?;
        Ok(journal.record(at, fact)?)
    })
}

impl Args {
    fn fact(&self, journal: &Journal) -> Result<LotStarted, Error> {
        let shop = &journal.shop;
        shop.needs_setup()?;
        let batch = shop.known_batch(&self.batch)?;
        if batch.closed.is_some() {
            let name = self.batch.clone();
            return Err(Refusal::Over { what: SubjectKind::Batch, name }.into());
        }
        let recipe = shop.known_recipe(&batch.recipe)?;
        if recipe.step(self.from).is_none_or(crate::shop::setup::recipe::Step::is_cure) {
            let steps: Vec<String> = recipe
                .numbered()
                .filter(|(_, step)| !step.is_cure())
                .map(|(number, _)| format!("{number} {}", recipe.words(number)))
                .collect();
            return Err(Error::usage(
                format!("{} has no step {} to begin with", recipe.name, self.from),
                format!("its steps are: {}", steps.join(", ")),
            ));
        }
        let mut known: Vec<Did> =
            self.did.iter().map(|text| did(text, journal)).collect::<Result<_, _>>()?;
        known.sort_by_key(|did| did.step);
        Ok(LotStarted {
            lot: shop.next_lot(&self.batch)?,
            recipe: recipe.clone(),
            revision: shop.revisions.get(&recipe.name).copied().unwrap_or(1),
            pieces: self.pieces,
            rack: self.rack.clone(),
            from_step: self.from,
            did: known,
        })
    }
}

/// Reads "6=yesterday 16:00 K7": the last word is a can where the rest alone is a time.
fn did(text: &str, journal: &Journal) -> Result<Did, Error> {
    let wrong = || {
        Error::usage(
            format!("--did {text:?} isn't a step with a time"),
            "write the step's number, =, and when it was done; for a coat its can may follow: \
             --did \"6=2026-03-04 10:20 K7\""
                .to_owned(),
        )
    };
    let (step, rest) = text.split_once('=').ok_or_else(wrong)?;
    let step = step.trim().parse().map_err(|_| wrong())?;
    let read = |text: &str| read_moment(text, journal.now(), journal.shop.zone()).ok();
    if let Some(at) = read(rest.trim()) {
        return Ok(Did { step, at, can: None });
    }
    let (time, can) = rest.trim().rsplit_once(' ').ok_or_else(wrong)?;
    let at = read(time.trim()).ok_or_else(wrong)?;
    Ok(Did { step, at, can: Some(can.to_owned()) })
}
