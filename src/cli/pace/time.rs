//! `pace time`: a stopwatch with splits, at the bench or from lines of text.

use std::io::IsTerminal as _;

use crate::cli::pace::{keyboard, lines};
use crate::cli::{At, Context, Error, with_lots};
use crate::report::receipt::Receipt;
use crate::shop::fact::PaceTimed;
use crate::shop::nearest::nearest;
use crate::shop::pace::{TimedSplit, TimedStep};
use crate::shop::rule::unknown;
use crate::shop::setup::in_words;
use crate::shop::stopwatch::Stopwatch;
use crate::shop::{Count, Lot, LotName, Refusal, Shop};
use crate::time::{Instant, Zone, clock};

#[derive(Debug, clap::Args)]
#[command(after_help = "\
Keys: Enter, space or s  this split is done; after the last one the watch waits
      p                  this piece is done, the next begins right away
      d                  drop this piece
      q                  done: record what was timed
The first key starts the watch.

Without a terminal each line of standard input is a key, with its own time
before it if it has one: \"09:40:12 s\", \"09:41:03 p\", \"09:55:00 q\".")]
pub(crate) struct Args {
    /// The lot, such as salt-3
    lot: LotName,
    /// What to time, with commas between; the steps up to the first coat where left out
    #[arg(long, value_name = "NAMES", value_delimiter = ',')]
    splits: Vec<String>,
}

/// What the keys are read with.
#[derive(Debug, Clone, Copy)]
pub(super) struct Clock<'a> {
    /// What stands in for the clock in tests.
    pub(super) overridden: Option<&'a str>,
    pub(super) zone: Zone,
}

impl Clock<'_> {
    pub(super) fn now(self) -> Result<Instant, Error> {
        clock::now(self.overridden)
            .map_err(|error| Error::usage(error.to_string(), "set the clock right"))
    }
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let scope = with_lots(std::slice::from_ref(&args.lot));
    let shop = context.load(&scope)?.shop;
    let lot = shop.known_lot(&args.lot)?;
    let splits = args.splits(lot)?;
    let names: Vec<String> = splits.iter().map(TimedStep::to_string).collect();
    let clock = Clock { overridden: context.environment.now.as_deref(), zone: shop.zone() };
    let mut watch = Stopwatch::new(splits.len());
    if std::io::stdin().is_terminal() {
        keyboard::run(&mut watch, &names, clock)?;
    } else {
        lines::run(&mut watch, clock)?;
    }
    // Time went by while the watch ran.
    context.now = clock.now()?;
    let (Some(ended), 1..) = (watch.last(), watch.pieces()) else {
        let next = "end a split or a piece with its key before q: tackfree pace time --help";
        return Err(Error::usage("no piece was timed: nothing is recorded", next.to_owned()));
    };
    let at = At { at: Some(ended.to_rfc3339()) };
    let (_, journal, view) = context.record(&at, &scope, |journal, at| {
        let lot = journal.shop.known_lot(&args.lot)?;
        let fact = PaceTimed {
            lot: lot.name.clone(),
            recipe: lot.recipe.name.clone(),
            splits: timed(&journal.shop, lot, &splits, &watch),
        };
        Ok(journal.record(at, fact)?)
    })?;
    let dropped = match watch.dropped() {
        0 => String::new(),
        dropped => format!(", {dropped} dropped"),
    };
    let note = format!(
        "{} timed{dropped}; see: tackfree pace {}",
        Count(watch.pieces() as u64, "piece"),
        args.lot
    );
    context.screen.show(&Receipt::new(&journal, view).with_note(Some(note)))
}

fn timed(shop: &Shop, lot: &Lot, splits: &[TimedStep], watch: &Stopwatch) -> Vec<TimedSplit> {
    let split = |(place, step): (usize, &TimedStep)| TimedSplit {
        step: step.clone(),
        before: shop.before(lot, step),
        seconds: watch.of_split(place),
    };
    splits.iter().enumerate().map(split).filter(|split| !split.seconds.is_empty()).collect()
}

impl Args {
    /// What is timed: what was named, else the lot's steps still to do up to its first coat, else its next step.
    fn splits(&self, lot: &Lot) -> Result<Vec<TimedStep>, Refusal> {
        if !self.splits.is_empty() {
            let named = self.splits.iter().map(|name| name.trim()).filter(|name| !name.is_empty());
            return named.map(|name| split_named(name, lot)).collect();
        }
        let first_coat = lot.recipe.first_coat().unwrap_or(u32::MAX);
        let by_hand = lot.recipe.numbered().filter(|(_, step)| !step.is_cure());
        let ahead: Vec<u32> =
            by_hand.map(|(number, _)| number).filter(|number| *number >= lot.next).collect();
        let mut numbers = ahead.clone();
        numbers.retain(|number| *number < first_coat);
        if numbers.is_empty() {
            numbers.extend(ahead.first());
        }
        if numbers.is_empty() {
            return Err(Refusal::NoStepLeft { lot: lot.name.clone() });
        }
        Ok(numbers.into_iter().filter_map(|number| lot.recipe.timed_step(number)).collect())
    }
}

/// A step of the recipe by its name, the first still to do; else a split of its own, unless it is nearly a step's name.
fn split_named(name: &str, lot: &Lot) -> Result<TimedStep, Refusal> {
    let steps: Vec<(u32, String)> =
        lot.recipe.numbered().map(|(number, step)| (number, step.name())).collect();
    let is = |step: &str| step.eq_ignore_ascii_case(name);
    let mut same = steps.iter().filter(|(_, step)| is(step) || is(&in_words(step)));
    let chosen = same.clone().find(|(number, _)| *number >= lot.next).or_else(|| same.next());
    if let Some(step) = chosen.and_then(|(number, _)| lot.recipe.timed_step(*number)) {
        return Ok(step);
    }
    match nearest(name, steps.iter().map(|(_, step)| step.as_str())) {
        Some(_) => Err(unknown("step", name, steps.iter().map(|(_, step)| step.as_str()))),
        None => Ok(TimedStep { name: name.to_owned(), nth: 1 }),
    }
}
