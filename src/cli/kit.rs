//! `kit`: what to lay out before a session.

use chrono::NaiveDate;

use crate::cli::{Context, Error, Lots, Now, date, number, with_lots};
use crate::report::kit::{KitShown, Task};
use crate::shop::due::Action;
use crate::shop::plan::StepPlan;
use crate::shop::setup::Recipe;
use crate::shop::{Lot, LotName, Shop};
use crate::time::{Viewpoint, local_date};

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Lots, such as salt-3: their next step. Without lots all that is ready today, and what the plan starts
    #[arg(value_name = "LOT", conflicts_with_all = ["rack", "recipe", "day"])]
    lots: Vec<LotName>,
    /// All lots that stand on that rack
    #[arg(long, conflicts_with_all = ["recipe", "day"])]
    rack: Option<String>,
    /// No lots: that recipe, for --pieces
    #[arg(long, value_name = "RECIPE", requires = "pieces", conflicts_with = "day")]
    recipe: Option<String>,
    /// With --recipe: how many pieces
    #[arg(long, value_name = "N", requires = "recipe", value_parser = number::pieces, allow_negative_numbers = true)]
    pieces: Option<u32>,
    /// All that is ready for hands on that day, and what the plan starts by then
    #[arg(long, value_name = "DATE")]
    day: Option<String>,
    /// From the next step up to this one: its number, or "coat" for the next coat
    #[arg(long, value_name = "STEP", conflicts_with = "steps")]
    through: Option<Through>,
    /// These steps by their numbers: "2..4", "2..4,6"
    #[arg(long, value_name = "STEPS")]
    steps: Option<Steps>,
    #[command(flatten)]
    now: Now,
}

/// How far.
#[derive(Debug, Clone, Copy)]
enum Through {
    Coat,
    Step(u32),
}

impl std::str::FromStr for Through {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, String> {
        match text.trim() {
            "coat" => Ok(Self::Coat),
            number => number
                .parse()
                .map(Self::Step)
                .map_err(|_| format!("{number:?}: expected a step's number, or \"coat\"")),
        }
    }
}

/// Steps by their numbers.
#[derive(Debug, Clone)]
struct Steps(Vec<(u32, u32)>);

impl std::str::FromStr for Steps {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, String> {
        let wrong = |part: &str| format!("{part:?}: expected steps as \"2..4\" or \"2..4,6\"");
        let parts = text.split(',').map(|part| {
            let (from, to) = part.split_once("..").unwrap_or((part, part));
            let number = |text: &str| text.trim().parse::<u32>().map_err(|_| wrong(part));
            let (from, to) = (number(from)?, number(to)?);
            if from <= to { Ok((from, to)) } else { Err(wrong(part)) }
        });
        parts.collect::<Result<_, _>>().map(Self)
    }
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let (loaded, view) = context.look(&args.now, &with_lots(&args.lots))?;
    let shop = &loaded.shop;
    let tasks = if let Some(name) = &args.recipe {
        let recipe = shop.known_recipe(name)?;
        let pieces = args.pieces.unwrap_or(0);
        let steps = args.chosen(recipe, 1, recipe.count(), &recipe.name)?;
        let task = |step| Task { lot: None, recipe, step, pieces };
        steps.into_iter().map(task).collect()
    } else {
        let mut tasks = args.of_lots(&args.lots(shop, view)?)?;
        if args.all_ready() {
            // Where nothing can be planned no lot is to start.
            let followed = context.followed(&loaded, view.now).ok();
            let day = args.day(view)?;
            let steps = followed.iter().flat_map(|followed| &followed.plan.steps);
            let on_day = |step: &&StepPlan| local_date(step.start, view.zone) <= day;
            for first in steps.filter(|step| step.starts_lot()).filter(on_day) {
                tasks.extend(args.of_start(first, shop)?);
            }
        }
        tasks
    };
    let shown = KitShown::new(shop, &tasks, view).map_err(|error| {
        Error::usage(error.to_string(), "ask for fewer pieces, or fix the setup")
    })?;
    context.screen.show(&shown)
}

impl Args {
    /// Whether it is about all that is ready on a day.
    const fn all_ready(&self) -> bool {
        self.lots.is_empty() && self.rack.is_none()
    }

    fn day(&self, view: Viewpoint) -> Result<NaiveDate, Error> {
        match &self.day {
            None => Ok(local_date(view.now, view.zone)),
            Some(text) => date("--day", text, view),
        }
    }

    /// The lots it is about: those named, those on a rack, or those ready that day.
    fn lots<'s>(&self, shop: &'s Shop, view: Viewpoint) -> Result<Vec<&'s Lot>, Error> {
        if !self.all_ready() {
            let lots = Lots { lots: self.lots.clone() };
            let names = lots.choose(self.rack.as_deref(), shop)?;
            return names.iter().map(|name| Ok(shop.known_lot(name)?)).collect();
        }
        let day = self.day(view)?;
        let items = shop.due(view.now).into_iter().filter(|item| {
            matches!(item.action, Action::Do | Action::Finish)
                && item.from.is_some_and(|from| local_date(from, view.zone) <= day)
        });
        Ok(items.filter_map(|item| shop.lots.get(&item.lot)).collect())
    }

    fn of_lots<'s>(&self, lots: &[&'s Lot]) -> Result<Vec<Task<'s>>, Error> {
        let mut tasks = Vec::new();
        for lot in lots {
            // A lot whose steps are all done, or whose pieces are gone, needs nothing.
            let Some((next, _)) = lot.next_step().filter(|_| lot.pieces > 0) else { continue };
            for step in self.chosen(&lot.recipe, next, next, &lot.name.to_string())? {
                let (name, pieces) = (Some(lot.name.clone()), lot.pieces);
                tasks.push(Task { lot: name, recipe: &lot.recipe, step, pieces });
            }
        }
        Ok(tasks)
    }

    /// What a lot needs that is still to start, from its first step on.
    fn of_start<'s>(&self, first: &StepPlan, shop: &'s Shop) -> Result<Vec<Task<'s>>, Error> {
        let Some(recipe) = shop.recipe_planned(first) else { return Ok(Vec::new()) };
        let steps = self.chosen(recipe, first.step, first.step, &first.lot)?;
        let task = |step| Task { lot: first.lot.parse().ok(), recipe, step, pieces: first.pieces };
        Ok(steps.into_iter().map(task).collect())
    }

    /// The steps hands do from `next` to `usual`, or those asked for.
    fn chosen(
        &self,
        recipe: &Recipe,
        next: u32,
        usual: u32,
        whose: &str,
    ) -> Result<Vec<u32>, Error> {
        let by_hand = |from: u32, to: u32| {
            let steps = recipe.numbered().filter(|(_, step)| !step.is_cure());
            steps.map(|(number, _)| number).filter(move |n| (from..=to).contains(n))
        };
        if let Some(Steps(ranges)) = &self.steps {
            let wanted = |n: &u32| ranges.iter().any(|(from, to)| (*from..=*to).contains(n));
            let beyond = ranges.iter().find(|(from, to)| *from == 0 || *to > recipe.count());
            if let Some((from, to)) = beyond {
                let wrong = if *from == 0 { from } else { to };
                return Err(no_step(*wrong, recipe, whose));
            }
            return Ok(by_hand(1, recipe.count()).filter(wanted).collect());
        }
        let last = match self.through {
            None => usual,
            Some(Through::Step(step)) if step == 0 || step > recipe.count() => {
                return Err(no_step(step, recipe, whose));
            }
            Some(Through::Step(step)) => step,
            Some(Through::Coat) => {
                let coats = recipe.numbered().filter(|(_, step)| step.coat().is_some());
                coats.map(|(number, _)| number).find(|number| *number >= next).unwrap_or(next)
            }
        };
        Ok(by_hand(next, last).collect())
    }
}

fn no_step(step: u32, recipe: &Recipe, whose: &str) -> Error {
    Error::usage(
        format!("{whose} has no step {step}: {} has steps 1 to {}", recipe.name, recipe.count()),
        "see its steps: tackfree lot show LOT, or tackfree setup show",
    )
}
