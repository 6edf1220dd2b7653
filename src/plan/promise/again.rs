//! The plan run again: its own order, over what might be.

use std::collections::{BTreeMap, BTreeSet};

use super::air::{Slower, Stays};
use super::draws::Draws;
use super::{Readies, Spreads, Wanted};
use crate::plan::draft::{DAY, Draft, Run, ToStart, What};
use crate::plan::engine::{Minute, Plan, Settings, ends};
use crate::plan::headway::{Headway, Watch, side_by_side};
use crate::plan::shop_plan::outcome::ready;
use crate::plan::shop_plan::{Asked, NoPlan, Solved};
use crate::shop::Shop;
use crate::shop::plan::ShopPlan;
use crate::time::local_date;

/// Plans looked at in one run: the base plan's own order leads, a few more mend it.
const EFFORT: u64 = 6;
/// A run that is ready by so much later than the plan has put a coat off until spring, say, since windows come before dates.
/// Whoever is there abrades the film instead (a choice).
const PUT_OFF: Minute = 21 * DAY;
/// Runs of next to nothing new, to see by how much so few plans miss the base plan (a choice).
const IDLE_RUNS: usize = 9;

/// What a run loses of the batch.
struct Scrap {
    lost: u32,
    /// Pieces that have to be started again, and the minute at which that is known; none where enough come out.
    again: Option<(u32, Minute)>,
}

/// What every run starts from.
pub(super) struct Again<'a> {
    shop: &'a Shop,
    asked: &'a Asked<'a>,
    wanted: Wanted<'a>,
    spreads: &'a Spreads,
    plan: &'a ShopPlan,
    to_start: Vec<ToStart>,
    in_hand: Draft,
    template: Draft,
    /// For each open stretch the day it lies on, counted from today as 0.
    days: Vec<usize>,
    /// For each step of the batch the minute at which its last lot has passed it.
    passed: BTreeMap<u32, Minute>,
    largest: u32,
    /// When each batch is ready by the plan.
    planned: BTreeMap<String, Minute>,
    stays: Stays,
}

impl<'a> Again<'a> {
    pub(super) fn new(
        shop: &'a Shop,
        asked: &'a Asked<'a>,
        wanted: Wanted<'a>,
        base: &'a Solved,
        plan: &'a ShopPlan,
        spreads: &'a Spreads,
    ) -> Result<Self, NoPlan> {
        let to_start = base.draft.sizes();
        // What comes slower than planned needs more time than the plan itself was looked for in.
        let twice = base.draft.problem.horizon.unwrap_or(0).saturating_mul(2);
        let in_hand = Draft::new(shop, asked.now, twice, None).ok_or(NoPlan::NoSetup)?;
        let template = in_hand.starting(shop, &to_start);
        let open = template.problem.calendars.first().map_or(&[][..], |calendar| &calendar.open);
        let mut days = Vec::new();
        let (mut day, mut last) = (0, local_date(template.origin.instant(), shop.zone()));
        for (from, _) in open {
            let date = local_date(template.origin.of(*from), shop.zone());
            day += usize::from(date != last);
            last = date;
            days.push(day);
        }
        let of_batch =
            |run: usize| base.draft.runs.get(run).filter(|run| run.lot.batch == wanted.batch);
        let mut passed = BTreeMap::new();
        let mut largest = 1;
        for ((run, what), end) in base.draft.activities.iter().zip(base.found.ends()) {
            if let (Some(run), What::Step(number)) = (of_batch(*run), what) {
                let latest: &mut Minute = passed.entry(*number).or_default();
                *latest = (*latest).max(*end);
                largest = largest.max(run.pieces);
            }
        }
        let stays = Stays::of(shop, plan, base.draft.origin);
        let planned = plan.batches.iter().filter_map(|of| {
            let minute = ready(&base.draft, base.found.ends(), &of.batch)?;
            Some((of.batch.clone(), minute))
        });
        Ok(Self {
            shop,
            asked,
            wanted,
            spreads,
            plan,
            to_start,
            in_hand,
            template,
            days,
            passed,
            largest,
            planned: planned.collect(),
            stays,
        })
    }

    /// A run looks at so few plans that it may come out late of the base plan even where nothing holds it up. That is no part of
    /// the odds: whole days of it, the median of a few runs whose steps take a minute or three longer, are taken off every run.
    fn too_late(&self) -> BTreeMap<String, Minute> {
        let idle = side_by_side(IDLE_RUNS, |number| {
            // Other streams than those of the runs, which count up from 0.
            let mut draws = Draws::new(self.asked.seed, u64::MAX - number as u64);
            let mut draft = self.template.clone();
            let start = self.order(&mut draft);
            for ((_, what), act) in draft.activities.iter().zip(&mut draft.problem.activities) {
                if let What::Step(_) = what {
                    act.duration += 1 + Minute::from(draws.of(2, 0.5));
                }
            }
            ready_at(&draft, &start, self.asked.seed)
        });
        let late = |(batch, planned): (&String, &Minute)| {
            let mut late: Vec<Minute> =
                idle.iter().flatten().filter_map(|run| Some(run.get(batch)? - planned)).collect();
            late.sort_unstable();
            let median = late.get(late.len() / 2)?;
            Some((batch.clone(), median / DAY * DAY)).filter(|(_, late)| *late > 0)
        };
        self.planned.iter().filter_map(late).collect()
    }

    /// All runs, in their order; those that were cut off are left out.
    pub(super) fn all(&self, watch: Watch<'_>) -> Vec<Readies> {
        let too_late = self.too_late();
        let headway = Headway::new(watch, self.wanted.runs);
        let runs = usize::try_from(self.wanted.runs).unwrap_or(usize::MAX);
        let run = |number: usize| {
            let number = u64::try_from(number).ok().filter(|_| !headway.stopped())?;
            let result = self.run(number, &too_late);
            headway.more(1);
            Some(result)
        };
        side_by_side(runs, run).into_iter().flatten().collect()
    }

    /// One run: what might be, planned from the base plan's order; without that by which it comes out late of its own.
    fn run(&self, number: u64, too_late: &BTreeMap<String, Minute>) -> Readies {
        let mut draws = Draws::new(self.asked.seed, number);
        let all = draws.ranked(Draws::normal) * self.spreads.pace.all;
        let slower = Slower::drawn(self.spreads, &mut draws);
        let (a, b) = self.spreads.lost;
        let lost = draws.ranked(|draws| draws.beta(a, b));
        let scrap = self.scrap(&mut draws);
        let mut draft = match scrap.again {
            Some((extra, known)) => self.with_extra(extra, known),
            None => self.template.clone(),
        };
        self.count_good(&mut draft, &scrap);
        let start = self.order(&mut draft);
        // Lots that one run starts again come after those of the plan, so each lot keeps its draw.
        let pace: Vec<f64> = draft
            .runs
            .iter()
            .map(|_| (all + draws.normal() * self.spreads.pace.lots).exp())
            .collect();
        self.stretch(&mut draft, &pace, &slower);
        self.lose_days(&mut draft, &mut draws, lost);
        let mut ready = ready_at(&draft, &start, self.asked.seed)?;
        if ready.iter().any(|(batch, minute)| self.put_off(batch, *minute)) {
            without_windows(&mut draft);
            for (batch, minute) in ready_at(&draft, &start, self.asked.seed).into_iter().flatten() {
                ready.entry(batch).and_modify(|before| *before = minute.min(*before));
            }
        }
        for (batch, late) in too_late {
            if let Some(minute) = ready.get_mut(batch) {
                *minute = draft.open_from(*minute - late);
            }
        }
        Some(ready)
    }

    /// Whether a batch is ready so long after the plan that it can't be for what came otherwise alone.
    fn put_off(&self, batch: &str, minute: Minute) -> bool {
        let planned = self.planned.get(batch);
        planned.is_some_and(|planned| minute - planned > PUT_OFF)
    }

    /// The base plan as what to begin with, its lots on the racks that it gives them.
    fn order(&self, draft: &mut Draft) -> Plan {
        let start = draft.adopted(self.plan);
        self.keep_racks(draft, &start.holds);
        start
    }

    /// What is lost of the batch, stage by stage.
    fn scrap(&self, draws: &mut Draws) -> Scrap {
        let started: u32 = self
            .to_start
            .iter()
            .filter(|batch| batch.batch == self.wanted.batch)
            .flat_map(|batch| &batch.sizes)
            .sum();
        let mut left: u32 = self.spreads.stages.iter().map(|(stage, ..)| stage.waiting).sum();
        left = left.saturating_add(started);
        let mut here = started;
        let (mut good, mut lost) = (1.0, 0_u32);
        let mut known = None;
        for (stage, a, b) in &self.spreads.stages {
            let rate = draws.beta(*a, *b);
            here = here.saturating_add(stage.waiting);
            let scrap = draws.of(here, rate);
            here -= scrap;
            lost = lost.saturating_add(scrap);
            left = left.saturating_sub(scrap);
            good *= 1.0 - rate;
            if left < self.spreads.need && known.is_none() {
                known = Some(self.passed.get(&stage.number).copied().unwrap_or(0));
            }
        }
        let missing = self.spreads.need.saturating_sub(left);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "pieces; a cast that does not fit saturates"
        )]
        let again = (f64::from(missing) / good.max(0.05)).ceil() as u32;
        Scrap { lost, again: known.filter(|_| missing > 0).map(|known| (again, known)) }
    }

    /// Pieces lost are in the problem's lots all the same: so many more have to come out of it before enough are good.
    fn count_good(&self, draft: &mut Draft, scrap: &Scrap) {
        let Draft { problem, jobs, runs, .. } = draft;
        let of_batch = |job: &usize| {
            let run = jobs.get(*job).and_then(|run| runs.get(*run));
            run.is_some_and(|run| run.lot.batch == self.wanted.batch)
        };
        let mut demands = problem.demands.iter_mut();
        if let Some(demand) = demands.find(|demand| demand.jobs.iter().any(of_batch)) {
            let weight = |job: &usize| problem.jobs.get(*job).and_then(|job| job.weight);
            let all: i64 = demand.jobs.iter().filter_map(weight).sum();
            let good = demand.wanted.saturating_add(i64::from(scrap.lost));
            demand.wanted = if scrap.again.is_some() { all } else { good.min(all) };
        }
    }

    /// The problem with further lots, which can't start before it is known that they are needed.
    fn with_extra(&self, extra: u32, known: Minute) -> Draft {
        let mut to_start = self.to_start.clone();
        let sizes = || {
            let whole = std::iter::repeat_n(self.largest, (extra / self.largest) as usize);
            whole.chain(Some(extra % self.largest).filter(|rest| *rest > 0))
        };
        if let Some(batch) = to_start.iter_mut().find(|batch| batch.batch == self.wanted.batch) {
            batch.sizes.extend(sizes());
        } else {
            let batch = self.wanted.batch.to_owned();
            to_start.push(ToStart { batch, sizes: sizes().collect() });
        }
        let mut draft = self.in_hand.starting(self.shop, &to_start);
        let planned: u32 = self
            .template
            .runs
            .iter()
            .filter(|run| run.lot.batch == self.wanted.batch)
            .map(|run| run.lot.number)
            .max()
            .unwrap_or(0);
        for ((run, what), act) in draft.activities.iter().zip(&mut draft.problem.activities) {
            let late = draft.runs.get(*run).is_some_and(|run| {
                run.to_start && run.lot.batch == self.wanted.batch && run.lot.number > planned
            });
            if late && *what == What::Step(1) {
                act.earliest = Some(known.max(0));
            }
        }
        // They are not like the others any more.
        draft.problem.interchangeable.clear();
        draft
    }

    /// Lots of the plan go on the racks it gives them; others cure where nothing dries.
    fn keep_racks(&self, draft: &mut Draft, racks: &[usize]) {
        let Draft { problem, holds, runs, .. } = draft;
        for ((hold, (run, cures)), rack) in problem.holds.iter_mut().zip(holds).zip(racks) {
            let lot = runs.get(*run).map(|run| run.lot.to_string());
            let planned = self
                .plan
                .stays
                .iter()
                .any(|stay| Some(&stay.lot) == lot.as_ref() && stay.cures == *cures);
            if planned {
                hold.any_of = vec![*rack];
            }
        }
    }

    fn lose_days(&self, draft: &mut Draft, draws: &mut Draws, lost: f64) {
        let count = self.days.last().map_or(0, |last| last + 1);
        let gone: Vec<bool> = (0..count).map(|day| day > 0 && draws.uniform() < lost).collect();
        let kept = |day: &usize| !gone.get(*day).copied().unwrap_or(false);
        if let Some(calendar) = draft.problem.calendars.first_mut() {
            let open = calendar.open.iter().zip(&self.days);
            calendar.open = open.filter(|(_, day)| kept(day)).map(|(open, _)| *open).collect();
        }
    }

    /// Hands' time and rests so much longer.
    fn stretch(&self, draft: &mut Draft, pace: &[f64], slower: &Slower) {
        let Draft { problem, activities, runs, .. } = draft;
        let rest = |run: &Run| slower.rest(self.stays.drying(&run.lot));
        let cure = |run: &Run| slower.rest(self.stays.curing(&run.lot)) * slower.cure(&run.recipe);
        for ((run, what), act) in activities.iter().zip(&mut problem.activities) {
            match what {
                What::Step(_) => {
                    let pace = pace.get(*run).copied().unwrap_or(1.0);
                    act.duration = longer(act.duration, pace).max(1);
                }
                What::Cure => {
                    let began = act.earliest.filter(|_| act.latest.is_some());
                    let behind = began.map_or(0, |at| -at);
                    let rest = runs.get(*run).map_or(1.0, cure);
                    act.duration = behind + longer(act.duration - behind, rest);
                    if let Some(modal) = &mut act.modal {
                        modal.passed = longer(modal.passed, rest);
                    }
                }
                What::Move | What::Touch => {}
            }
        }
        for lag in &mut problem.lags {
            let before = lag.before.and_then(|before| activities.get(before));
            let coated = before.and_then(|(run, what)| {
                let (What::Step(number), Some(run)) = (*what, runs.get(*run)) else { return None };
                Some(run).filter(|run| run.recipe.step(number).is_some_and(|s| s.coat().is_some()))
            });
            if let (Some(min), Some(run)) = (lag.min, coated) {
                let rested = longer(min, rest(run));
                lag.min = Some(lag.max.map_or(rested, |max| rested.min(max)));
            }
        }
    }
}

/// The problem with no window to keep. Every wait stays in its place, since waits are known by their number.
fn without_windows(draft: &mut Draft) {
    for lag in draft.problem.lags.iter_mut().filter(|lag| lag.soft.is_some()) {
        (lag.soft, lag.max) = (None, None);
        if lag.min.is_none() {
            (lag.min, lag.at) = (Some(0), lag.at.map(|_| 0));
        }
    }
}

/// When each batch is ready: by the best of few plans, or by that plan gone on with, where that is sooner. Of all that a plan
/// looked for in earnest would better, so few plans better the one or the other.
fn ready_at(draft: &Draft, start: &Plan, seed: u64) -> Readies {
    let settings = Settings { effort: EFFORT, seed, patience: None, start: Some(start) };
    let ends = ends(&draft.problem, &settings).ok()?;
    let batches: BTreeSet<&String> = draft.runs.iter().map(|run| &run.lot.batch).collect();
    let at = |batch: &String| {
        let gone_on = ends.gone_on.iter().filter_map(|ends| ready(draft, ends, batch));
        Some((batch.clone(), gone_on.chain(ready(draft, &ends.best, batch)).min()?))
    };
    Some(batches.into_iter().filter_map(at).collect())
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    reason = "minutes of a few years; a cast that does not fit saturates"
)]
fn longer(minutes: Minute, by: f64) -> Minute {
    (minutes as f64 * by).ceil() as Minute
}
