//! The shop as a problem for the engine: what is half done, what is still to start, what stands where.

mod run;
mod touch;

use std::collections::BTreeMap;

use crate::plan::engine::{Activity, Hold, Job, Lag, Minute, Objective, Problem, Resource};
use crate::plan::minutes::Origin;
use crate::shop::Shop;
use crate::shop::lot::Lot;
use crate::shop::name::LotName;
use crate::shop::setup::{Recipe, Setup};
use crate::time::{Instant, first_instant_of};

/// Resource 0: people who can work at once.
pub(crate) const HANDS: usize = 0;

/// What counts, the weightiest first: windows are kept; then promised dates; then the last good piece; then pieces idle.
const OBJECTIVE: [Objective; 5] = [
    Objective::Misses,
    Objective::Overrun,
    Objective::Lateness,
    Objective::Makespan,
    Objective::Idle,
];

/// Pieces that move together in the plan: a lot there is, or one still to start.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Run {
    /// Its name; a lot still to start bears the name it will get if nothing comes between.
    pub(crate) lot: LotName,
    pub(crate) pieces: u32,
    /// Whether it is still to start.
    pub(crate) to_start: bool,
    /// The step that is begun.
    pub(crate) begun: Option<u32>,
    /// The recipe it goes by.
    pub(crate) recipe: Recipe,
}

/// What an activity of the problem is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum What {
    /// A labour step, by its number.
    Step(u32),
    /// Pieces are carried to a curing rack.
    Move,
    Cure,
    /// The next touch test.
    Touch,
}

/// A problem, and what its parts are in the shop.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Draft {
    /// Minute 0.
    pub(crate) origin: Origin,
    pub(crate) problem: Problem,
    /// What moves through it.
    pub(crate) runs: Vec<Run>,
    /// For each activity the run it belongs to, and what it is.
    pub(crate) activities: Vec<(usize, What)>,
    /// For each hold its run, and whether it is for curing.
    pub(crate) holds: Vec<(usize, bool)>,
    /// For each job its run.
    pub(crate) jobs: Vec<usize>,
    /// Names of the racks, in the order of resources 1, 2, ….
    pub(crate) racks: Vec<String>,
    /// Lots that wait for a decision and so are in no plan.
    pub(crate) held: Vec<LotName>,
    /// Lots that never get through their rests in the rooms as they are, and so are in no plan either.
    pub(crate) unfit: Vec<LotName>,
}

/// Why the shop can't be put as a problem.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoDraft {
    NoSetup,
    /// The room as it is never lets a rest end.
    NeverDry {
        lot: LotName,
    },
    /// More pieces than any rack of that use has slots.
    FitsNowhere {
        lot: LotName,
        pieces: u32,
        /// "dry" or "cure".
        wanted: &'static str,
    },
}

/// What is to be planned.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct ToStart {
    pub(crate) batch: String,
    /// Pieces of each lot still to start.
    pub(crate) sizes: Vec<u32>,
}

impl Draft {
    /// Puts the shop as a problem, with the lots still to start in the sizes given.
    pub(crate) fn new(
        shop: &Shop,
        to_start: &[ToStart],
        now: Instant,
        horizon: Minute,
    ) -> Result<Self, NoDraft> {
        let setup = shop.setup.as_ref().ok_or(NoDraft::NoSetup)?;
        let origin = Origin::at(now);
        let mut draft = Self::empty(setup, origin, horizon);
        for lot in shop.open_lots().filter(|lot| lot.held.is_some()) {
            draft.held.push(lot.name.clone());
            draft.keeps_its_slots(lot);
        }
        let in_hand = shop.open_lots().filter(|lot| lot.held.is_none());
        for lot in in_hand.filter(|lot| !lot.finished() || waits_yet(shop, lot, now)) {
            let run = Run {
                lot: lot.name.clone(),
                pieces: lot.pieces,
                to_start: false,
                begun: lot.begun.and(lot.next_step()).map(|(number, _)| number),
                recipe: lot.recipe.clone(),
            };
            if !draft.add_fit(shop, setup, &run, Some(lot), now)? {
                draft.keeps_its_slots(lot);
            }
        }
        for batch in to_start {
            draft.add_to_start(shop, setup, batch, now)?;
        }
        Ok(draft)
    }

    fn empty(setup: &Setup, origin: Origin, horizon: Minute) -> Self {
        let hands = Resource { name: "hands".to_owned(), capacity: i64::from(setup.shop.hands) };
        let racks = setup
            .racks
            .iter()
            .map(|rack| Resource { name: rack.name.clone(), capacity: i64::from(rack.slots) });
        let problem = Problem {
            format: 1,
            now: Some(0),
            horizon: Some(horizon),
            calendars: vec![origin.open_hours(&setup.shop, horizon)],
            resources: std::iter::once(hands).chain(racks).collect(),
            objective: OBJECTIVE.to_vec(),
            ..Problem::default()
        };
        Self {
            origin,
            problem,
            runs: Vec::new(),
            activities: Vec::new(),
            holds: Vec::new(),
            jobs: Vec::new(),
            racks: setup.racks.iter().map(|rack| rack.name.clone()).collect(),
            held: Vec::new(),
            unfit: Vec::new(),
        }
    }

    /// Puts a run down if it can get through its rests at all, and says so.
    fn add_fit(
        &mut self,
        shop: &Shop,
        setup: &Setup,
        run: &Run,
        lot: Option<&Lot>,
        now: Instant,
    ) -> Result<bool, NoDraft> {
        let (runs, activities) = (self.runs.len(), self.activities.len());
        let (lags, holds) = (self.problem.lags.len(), self.holds.len());
        match self.add(shop, setup, run, lot, now) {
            Ok(()) => Ok(true),
            Err(NoDraft::NeverDry { lot }) => {
                // A run is only ever put down behind the others; its job comes last of all.
                self.runs.truncate(runs);
                self.activities.truncate(activities);
                self.problem.activities.truncate(activities);
                self.problem.lags.truncate(lags);
                self.holds.truncate(holds);
                self.problem.holds.truncate(holds);
                self.unfit.push(lot);
                Ok(false)
            }
            Err(none) => Err(none),
        }
    }

    /// The slots of a lot that is in no plan are nobody else's.
    fn keeps_its_slots(&mut self, lot: &Lot) {
        let stands = lot.rack().and_then(|rack| self.resource_of(rack));
        if let Some(resource) = stands.and_then(|rack| self.problem.resources.get_mut(rack)) {
            resource.capacity = (resource.capacity - i64::from(lot.pieces)).max(0);
        }
    }

    fn add_to_start(
        &mut self,
        shop: &Shop,
        setup: &Setup,
        batch: &ToStart,
        now: Instant,
    ) -> Result<(), NoDraft> {
        let Some(known) = shop.batches.get(&batch.batch) else { return Ok(()) };
        let Some(recipe) = setup.recipe(&known.recipe) else { return Ok(()) };
        let mut of_size: BTreeMap<u32, Vec<usize>> = BTreeMap::new();
        for (number, pieces) in (known.lots + 1..).zip(&batch.sizes) {
            let run = Run {
                lot: LotName { batch: batch.batch.clone(), number },
                pieces: *pieces,
                to_start: true,
                begun: None,
                recipe: recipe.clone(),
            };
            let first = self.jobs.len();
            self.add_fit(shop, setup, &run, None, now)?;
            of_size.entry(*pieces).or_default().extend(first..self.jobs.len());
        }
        // Lots of one size are interchangeable.
        self.problem.alike.extend(of_size.into_values().filter(|same| same.len() > 1));
        Ok(())
    }

    /// The resource of a rack.
    pub(super) fn resource_of(&self, rack: &str) -> Option<usize> {
        self.racks.iter().position(|name| name == rack).map(|place| place + 1)
    }

    /// The first open minute from `minute` on; `minute` itself where the hours end before.
    pub(super) fn open_from(&self, minute: Minute) -> Minute {
        let open = self.problem.calendars.first().map_or(&[][..], |calendar| &calendar.open);
        let next = open.partition_point(|(_, to)| *to <= minute);
        open.get(next).map_or(minute, |(from, _)| minute.max(*from))
    }

    /// The sizes of the lots still to start, in the order of their numbers.
    pub(super) fn sizes(&self) -> Vec<ToStart> {
        let mut runs: Vec<&Run> = self.runs.iter().filter(|run| run.to_start).collect();
        runs.sort_by(|a, b| a.lot.cmp(&b.lot));
        let mut sizes: Vec<ToStart> = Vec::new();
        for run in runs {
            match sizes.last_mut().filter(|last| last.batch == run.lot.batch) {
                Some(last) => last.sizes.push(run.pieces),
                None => {
                    sizes.push(ToStart { batch: run.lot.batch.clone(), sizes: vec![run.pieces] });
                }
            }
        }
        sizes
    }

    /// Lots still to start are numbered in the order in which they will be started: that is the name each will get.
    pub(super) fn number_by_start(&mut self, starts: &[Minute]) {
        let start = |run: usize| {
            let of_run = self.activities.iter().zip(starts).filter(|((of, _), _)| *of == run);
            of_run.map(|(_, start)| *start).min().unwrap_or(Minute::MAX)
        };
        let mut new: Vec<(String, Minute, u32, usize)> = Vec::new();
        for (place, run) in self.runs.iter().enumerate().filter(|(_, run)| run.to_start) {
            new.push((run.lot.batch.clone(), start(place), run.lot.number, place));
        }
        let mut numbers: Vec<(String, u32)> =
            new.iter().map(|(batch, _, number, _)| (batch.clone(), *number)).collect();
        numbers.sort();
        new.sort();
        for ((.., place), (_, number)) in new.into_iter().zip(numbers) {
            if let Some(run) = self.runs.get_mut(place) {
                run.lot.number = number;
            }
        }
    }

    fn push(&mut self, run: usize, what: What, activity: Activity) -> usize {
        self.problem.activities.push(activity);
        self.activities.push((run, what));
        self.problem.activities.len() - 1
    }

    fn lag(&mut self, lag: Lag) {
        self.problem.lags.push(lag);
    }

    fn hold(&mut self, run: usize, cures: bool, hold: Hold) {
        self.problem.holds.push(hold);
        self.holds.push((run, cures));
    }

    /// The first minute that counts as late: the day after the date promised.
    fn due_minute(&self, shop: &Shop, batch: &str) -> Option<Minute> {
        let due = shop.batches.get(batch)?.due?.succ_opt()?;
        Some(self.origin.no_sooner(first_instant_of(due, shop.zone())))
    }

    fn job(&mut self, shop: &Shop, run: usize, activities: Vec<usize>) {
        let Some(of) = self.runs.get(run) else { return };
        let job = Job {
            name: of.lot.to_string(),
            due: self.due_minute(shop, &of.lot.batch),
            weight: Some(i64::from(of.pieces)),
            activities,
        };
        self.problem.jobs.push(job);
        self.jobs.push(run);
    }
}

/// Whether pieces with every step behind them still cure, since a recipe may end with it, or wait for a touch test.
fn waits_yet(shop: &Shop, lot: &Lot, now: Instant) -> bool {
    let ages = shop.cure(lot, now).is_some_and(|cure| cure.at.is_none_or(|at| now < at));
    ages || lot.barred_from_shipping().is_some()
}
