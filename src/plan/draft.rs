//! The shop as a problem for the engine: what is half done, what is still to start, what stands where.

mod places;
mod rates;
mod run;
mod touch;

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::plan::engine::{
    Activity, Demand, Found, Hold, Job, Lag, Minute, Objective, Problem, Resource, Since, Values,
};
use crate::plan::minutes::Origin;
use crate::shop::lot::Lot;
use crate::shop::name::LotName;
use crate::shop::plan::NotPlanned;
use crate::shop::setup::{Recipe, Setup};
use crate::shop::{Batch, Shop};
use crate::time::{Instant, first_instant_of};

/// Resource 0: people who can work at once.
pub(crate) const HANDS: usize = 0;

/// Minutes of a day.
pub(super) const DAY: Minute = 1440;

/// How far ahead is looked; the next one where no plan fits.
pub(super) const HORIZONS: [Minute; 3] = [180 * DAY, 540 * DAY, 1100 * DAY];

/// What counts, the weightiest first: windows are kept; then dates promised, then dates wished; then the last piece promised;
/// then pieces that wait.
const OBJECTIVE: [Objective; 6] = [
    Objective::Violations,
    Objective::Overrun,
    Objective::WeightedTardiness,
    Objective::Wishes,
    Objective::Makespan,
    Objective::WaitingTime,
];

/// The same where rooms follow the weather. How late it would be in a month or two nobody knows yet: dates that come first count
/// more, and some time is left for what comes otherwise.
const IN_WEATHER: [Objective; 7] = [
    Objective::Violations,
    Objective::Overrun,
    Objective::Discounted,
    Objective::WeightedTardiness,
    Objective::Wishes,
    Objective::Makespan,
    Objective::WaitingTime,
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
    /// The moment it is made for, and minute 0.
    now: Instant,
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
    /// Lots that can't get through their rests and so are in no plan.
    pub(crate) not_planned: Vec<NotPlanned>,
    /// Finishes and rooms in which the window after a coat may close before it opens.
    unsure: Vec<(String, String)>,
}

/// What is to be planned.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct ToStart {
    pub(crate) batch: String,
    /// Pieces of each lot still to start.
    pub(crate) sizes: Vec<u32>,
}

impl Draft {
    /// Puts what a shop has in hand as a problem; none without a setup. Where another is given, time counts in the rooms as in those
    /// of that one.
    pub(crate) fn new(
        shop: &Shop,
        now: Instant,
        horizon: Minute,
        like: Option<&Self>,
    ) -> Option<Self> {
        let setup = shop.setup.as_ref()?;
        let mut draft = Self::empty(setup, now, horizon);
        match like {
            Some(like) => draft.count_like(like),
            None => draft.know_rates(shop, setup),
        }
        for lot in shop.open_lots().filter(|lot| lot.held.is_some()) {
            draft.held.push(lot.name.clone());
            draft.keep_slots(lot);
        }
        let in_hand = shop.open_lots().filter(|lot| lot.held.is_none());
        let mut planned = Vec::new();
        for lot in in_hand.filter(|lot| !lot.finished() || waits_yet(shop, lot, now)) {
            let run = Run {
                lot: lot.name.clone(),
                pieces: lot.pieces,
                to_start: false,
                begun: lot.begun.and(lot.next_step()).map(|(number, _)| number),
                recipe: lot.recipe.clone(),
            };
            match draft.places(shop, setup, &run, Some(lot), now) {
                Ok(places) => planned.push((run, places, lot)),
                Err(unfit) => {
                    draft.not_planned.push(*unfit);
                    draft.keep_slots(lot);
                }
            }
        }
        for (run, places, lot) in planned {
            draft.add(shop, setup, &run, places, Some(lot), now);
        }
        draft.fit_what_stands();
        if draft.problem.rates.iter().any(rates::varies) {
            draft.problem.objective = IN_WEATHER.to_vec();
        }
        Some(draft)
    }

    /// The same with lots still to start, in the sizes given.
    pub(crate) fn starting(&self, shop: &Shop, to_start: &[ToStart]) -> Self {
        let mut draft = self.clone();
        if let Some(setup) = &shop.setup {
            for batch in to_start {
                draft.add_to_start(shop, setup, batch);
            }
        }
        draft.demands(shop);
        draft
    }

    fn empty(setup: &Setup, now: Instant, horizon: Minute) -> Self {
        let origin = Origin::at(now);
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
            now,
            origin,
            problem,
            runs: Vec::new(),
            activities: Vec::new(),
            holds: Vec::new(),
            jobs: Vec::new(),
            racks: setup.racks.iter().map(|rack| rack.name.clone()).collect(),
            held: Vec::new(),
            not_planned: Vec::new(),
            unsure: Vec::new(),
        }
    }

    /// The slots of a lot that is in no plan are nobody else's.
    fn keep_slots(&mut self, lot: &Lot) {
        let stands = lot.rack().and_then(|rack| self.resource_of(rack));
        if let Some(resource) = stands.and_then(|rack| self.problem.resources.get_mut(rack)) {
            resource.capacity = (resource.capacity - i64::from(lot.pieces)).max(0);
        }
    }

    /// A rack takes what stands on it, however few slots the setup gives it.
    fn fit_what_stands(&mut self) {
        let mut standing = vec![0; self.problem.resources.len()];
        for hold in self.problem.holds.iter().filter(|hold| hold.since == Since::At(0)) {
            if let Some(units) = hold.any_of.first().and_then(|rack| standing.get_mut(*rack)) {
                *units += hold.units;
            }
        }
        for (resource, units) in self.problem.resources.iter_mut().zip(standing) {
            resource.capacity = resource.capacity.max(units);
        }
    }

    /// Pieces of a batch that are shipped, or wait for nothing but that.
    pub(crate) fn done(&self, shop: &Shop, batch: &Batch) -> u32 {
        let planned = |lot: &&Lot| self.runs.iter().any(|run| run.lot == lot.name);
        let lots = shop.open_lots().filter(|lot| lot.name.batch == batch.name);
        let done = lots.filter(|lot| lot.held.is_none() && lot.finished() && !planned(lot));
        done.fold(batch.shipped, |done, lot| done.saturating_add(lot.pieces))
    }

    /// Of each batch so many pieces are still promised: those of a lot that is done count, and spares hold no date.
    fn demands(&mut self, shop: &Shop) {
        for batch in shop.batches.values().filter(|batch| batch.closed.is_none()) {
            let of_batch =
                |run: &usize| self.runs.get(*run).is_some_and(|r| r.lot.batch == batch.name);
            let jobs: Vec<usize> = (0..self.jobs.len())
                .filter(|job| self.jobs.get(*job).is_some_and(of_batch))
                .collect();
            let wanted = i64::from(batch.pieces.saturating_sub(self.done(shop, batch)));
            if !jobs.is_empty() {
                self.problem.demands.push(Demand { jobs, wanted });
            }
        }
    }

    /// Pieces that are in no plan since no rack will do.
    pub(crate) fn left_out(&self) -> u32 {
        self.not_planned.iter().map(|lot| lot.pieces).sum()
    }

    /// What a plan is worth, the weightiest first; less is better. Pieces without a place come before its aims.
    pub(super) fn worth(&self, values: &Values) -> Vec<i64> {
        let aims = self.problem.objective.iter().map(|aim| values.get(*aim));
        std::iter::once(i64::from(self.left_out())).chain(aims).collect()
    }

    fn add_to_start(&mut self, shop: &Shop, setup: &Setup, batch: &ToStart) {
        let now = self.now;
        let Some(known) = shop.batches.get(&batch.batch) else { return };
        let Some(recipe) = setup.recipe(&known.recipe) else { return };
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
            match self.places(shop, setup, &run, None, now) {
                Ok(places) => self.add(shop, setup, &run, places, None, now),
                Err(unfit) => self.not_planned.push(*unfit),
            }
            of_size.entry(*pieces).or_default().extend(first..self.jobs.len());
        }
        // Lots of one size are interchangeable.
        self.problem.interchangeable.extend(of_size.into_values().filter(|same| same.len() > 1));
    }

    /// The resource of a rack.
    pub(super) fn resource_of(&self, rack: &str) -> Option<usize> {
        self.racks.iter().position(|name| name == rack).map(|place| place + 1)
    }

    /// The first open minute from `minute` on; `minute` itself where the hours end before.
    pub(in crate::plan) fn open_from(&self, minute: Minute) -> Minute {
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

    /// Lots still to start are numbered in the order in which screens list them, by the start and end of their first step: that
    /// is the name each will get.
    pub(super) fn number_by_start(&mut self, found: &Found) {
        let (plan, ends) = (found.plan(), found.ends());
        let first = |run: usize| {
            let times = plan.starts.iter().zip(ends);
            let of_run = self.activities.iter().zip(times).filter(|((of, _), _)| *of == run);
            of_run.map(|(_, (start, end))| (*start, *end)).min()
        };
        let new = self.runs.iter().enumerate().filter(|(_, run)| run.to_start);
        let mut new: Vec<_> = new
            .map(|(place, run)| (run.lot.batch.clone(), first(place), run.lot.number, place))
            .collect();
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

    /// The first minute that counts as late for a date: the day after it.
    fn late_from(&self, shop: &Shop, date: Option<NaiveDate>) -> Option<Minute> {
        Some(self.origin.no_sooner(first_instant_of(date?.succ_opt()?, shop.zone())))
    }

    fn job(&mut self, shop: &Shop, run: usize, activities: Vec<usize>) {
        let Some(of) = self.runs.get(run) else { return };
        let batch = shop.batches.get(&of.lot.batch);
        let job = Job {
            name: of.lot.to_string(),
            due: self.late_from(shop, batch.and_then(|batch| batch.due)),
            wish: self.late_from(shop, batch.and_then(|batch| batch.wanted)),
            promised: batch.map(|batch| self.origin.no_sooner(batch.opened)),
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
