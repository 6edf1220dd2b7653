//! `done`: a step is done.

use crate::cli::begin::StepMeant;
use crate::cli::{Context, Error, Lots, number};
use crate::shop::fact::{CoatLaid, LotSplit, StepDone};
use crate::shop::{Journal, LotName, Refusal, Subject, SubjectKind};
use crate::store::Scope;
use crate::time::Instant;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    #[command(flatten)]
    lots: Lots,
    /// The can a coat came from; may be left out where one open can of that finish alone is within its time
    #[arg(long, value_name = "CAN")]
    can: Option<String>,
    /// Hands' time it took, for all the lots named together
    #[arg(long, value_name = "MINUTES", value_parser = number::whole("minutes", 1..=6_000), allow_negative_numbers = true)]
    minutes: Option<u32>,
    /// How many pieces, of one lot: the rest goes on as a lot of its own
    #[arg(long, value_name = "N", value_parser = number::pieces, allow_negative_numbers = true)]
    pieces: Option<u32>,
    #[command(flatten)]
    step: StepMeant,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let scope = args.scope();
    context.record_and_show(&args.step.at, &scope, |journal, at| {
        let lots = args.lots.choose(args.step.rack.as_deref(), &journal.shop)?;
        if let Some(pieces) = args.pieces {
            split_off_the_rest(&lots, pieces, journal, at)?;
        }
        let minutes = shares(args.minutes, &lots, journal);
        for (name, minutes) in lots.into_iter().zip(minutes) {
            let fact = args.fact(name, minutes, journal, at)?;
            journal.record_anyway(at, fact, args.step.anyway.as_deref())?;
        }
        Ok(())
    })
}

impl Args {
    /// What is open, and what is named though it may be over: a closed batch's lot, an empty can.
    fn scope(&self) -> Scope {
        let lots = self.lots.lots.iter().map(|lot| Subject::new(SubjectKind::Batch, &lot.batch));
        let can = self.can.iter().map(|can| Subject::new(SubjectKind::Can, can));
        Scope::With(lots.chain(can).collect())
    }

    fn fact(
        &self,
        name: LotName,
        minutes: Option<u32>,
        journal: &Journal,
        at: Instant,
    ) -> Result<StepDone, Error> {
        let shop = &journal.shop;
        let lot = shop.known_lot(&name)?;
        let step = lot.step_meant(self.step.step);
        let drawn = shop.drawn(&lot.recipe, step, lot.pieces);
        let timed = minutes.and_then(|_| shop.timed(lot, step));
        let finish = lot.recipe.step(step).and_then(|step| step.coat());
        let coat = match (finish, &self.can) {
            (Some(finish), can) => {
                let can = match can {
                    Some(can) => Some(can.clone()),
                    None => shop.only_can(finish, at)?.map(|can| can.name.clone()),
                };
                Some(CoatLaid { finish: finish.to_owned(), can, drawn })
            }
            (None, Some(_)) => {
                let what = lot.recipe.words(step);
                return Err(Refusal::NoCoat { lot: name, step: what }.into());
            }
            (None, None) => None,
        };
        let rack = self.lots.put_on(self.step.rack.as_deref()).map(str::to_owned);
        Ok(StepDone { step, pieces: lot.pieces, coat, minutes, rack, timed, lot: name })
    }
}

/// Lets what is left of a lot go on by itself, the step not yet begun for it.
fn split_off_the_rest(
    lots: &[LotName],
    pieces: u32,
    journal: &mut Journal,
    at: Instant,
) -> Result<(), Error> {
    let [name] = lots else {
        let next = "record the part by itself, then the other lots whole";
        return Err(Error::usage("--pieces is for one lot", next));
    };
    let lot = journal.shop.known_lot(name)?;
    if pieces == lot.pieces {
        return Ok(());
    }
    if pieces == 0 || pieces > lot.pieces {
        let (lot, in_hand) = (name.clone(), lot.pieces);
        let refusal = if pieces == 0 {
            Refusal::NoPieces
        } else {
            Refusal::TooFew { lot, pieces: in_hand, asked: pieces }
        };
        return Err(refusal.into());
    }
    let rest = LotSplit {
        lot: name.clone(),
        into: journal.shop.next_lot(&name.batch)?,
        pieces: lot.pieces - pieces,
        rack: None,
        not_begun: true,
    };
    journal.record(at, rest)?;
    Ok(())
}

/// Each lot's share of the minutes, by its pieces; what does not divide goes to the last.
fn shares(minutes: Option<u32>, lots: &[LotName], journal: &Journal) -> Vec<Option<u32>> {
    let Some(minutes) = minutes else { return vec![None; lots.len()] };
    let pieces = |lot: &LotName| u64::from(journal.shop.lots.get(lot).map_or(0, |lot| lot.pieces));
    let all = lots.iter().map(pieces).sum::<u64>().max(1);
    let (mut behind, mut given) = (0, 0);
    let share = |lot| {
        behind += pieces(lot);
        let upto = u64::from(minutes) * behind / all;
        let share = upto - given;
        given = upto;
        u32::try_from(share).ok()
    };
    lots.iter().map(share).collect()
}
