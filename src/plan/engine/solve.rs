//! From a problem to an answer.

use std::cell::OnceCell;

use super::answer::{Answer, Bound, Plan, Refusal, Spent};
use super::bound::{bound, raise, tenable};
use super::compile::compile;
use super::fault::Fault;
use super::forbidden::{self, Tried};
use super::limits::limits;
use super::model::Model;
use super::neighbourhood::ActivityList;
use super::problem::{Minute, Objective, Problem};
use super::schedule::Schedule;
use super::search::{Complete, Found, Task, search};
use super::shifted;
use super::value::{Aim, Values};

/// Evaluations before it is asked whether there is a plan at all.
const FIRST: u64 = 200;
/// Choices looked into to answer that.
const CHOICES: u64 = 40_000;

/// How an answer is looked for.
#[derive(Debug, Clone, Copy)]
pub struct Settings<'a> {
    /// Plans to build; the search ends sooner where the bound is met. 0: as many as
    /// `Settings::effort_for` says.
    pub effort: u64,
    pub seed: u64,
    /// The search ends once so many plans, beyond twice those that it took to find the last that was well better, were none.
    pub patience: Option<u64>,
    /// An older plan: while it is still possible, or can be gone on with in its order and its modes, the answer is never worse
    /// than that; with an effort of 1 it is that.
    pub start: Option<&'a Plan>,
}

impl Settings<'_> {
    /// Enough for a dozen jobs of a dozen steps, and well under a second.
    pub(crate) const EFFORT: u64 = 12_000;
    /// Activities up to which [`Self::EFFORT`] is the default; of more, less, since each plan takes longer.
    const ACTIVITIES: u64 = 200;
    /// Where time counts at rates of its own an activity counts for so many.
    const RATED: u64 = 6;
    /// However large a problem, so many plans are tried.
    const LEAST: u64 = 50;

    /// The effort for a problem when none is named: it depends on the problem's size alone.
    pub(crate) fn effort_for(problem: &Problem) -> u64 {
        let activities = u64::try_from(problem.activities.len()).unwrap_or(u64::MAX);
        let rated = if problem.rates.is_empty() { 1 } else { Self::RATED };
        // A plan takes the longer the more there is to place, and each placing looks at more.
        let size = activities.saturating_mul(rated).clamp(Self::ACTIVITIES, 1 << 20);
        (Self::EFFORT * Self::ACTIVITIES * Self::ACTIVITIES / (size * size)).max(Self::LEAST)
    }
}

impl Default for Settings<'_> {
    fn default() -> Self {
        Self { effort: 0, seed: 1, patience: None, start: None }
    }
}

/// How far the search is.
#[derive(Debug, Clone, Copy)]
pub struct Progress<'a> {
    /// Plans built.
    pub evaluations: u64,
    /// The best plan so far.
    pub best: Option<&'a Values>,
}

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Failure {
    /// The problem makes no sense.
    #[error("the problem has {} faults", .0.len())]
    Faulty(Vec<Fault>),
    /// There is no plan, or none was found.
    #[error(transparent)]
    Refused(#[from] Refusal),
    /// A plan was found that breaks a constraint: a fault of the engine.
    #[error("a plan was found that breaks a constraint")]
    Unsound,
}

/// Looks for the best plan. `watch` is told of the progress and says whether to go on; when it says no,
/// the answer is the best plan so far.
pub fn solve(
    problem: &Problem,
    settings: &Settings<'_>,
    watch: &mut dyn FnMut(&Progress<'_>) -> bool,
) -> Result<Answer, Failure> {
    let model = modelled(problem)?;
    let aim = Aim::new(problem, &model);
    let bounds = Bounds::new(&model, &aim)?;
    let effort = if settings.effort == 0 { Settings::effort_for(problem) } else { settings.effort };
    let mut run = Run { model: &model, aim: &aim, bounds: Some(&bounds), settings, effort, watch };
    let gone_on = || gone_on_with(&model, &aim, settings.start?);
    let (found, spent) = run.find(gone_on)?;
    // A given plan that is asked for as it is stays so to the minute.
    let best = if spent == 0 {
        found
    } else {
        let later = shifted::right_shifted(&model, &aim, found.clone());
        let shifted = shifted::left_shifted(&model, &aim, later);
        let kept = [shifted, found].iter().find_map(|complete| kept(&model, &aim, complete));
        kept.ok_or(Failure::Unsound)?
    };
    Ok(answer(&model, &aim, &bounds, &best, spent, settings.seed))
}

/// When activities end by a plan that an older one was the start for.
pub(crate) struct Ends {
    /// By the best that was found.
    pub(crate) best: Vec<Minute>,
    /// By the older plan gone on with, in its order and its modes; none where that is not possible.
    pub(crate) gone_on: Option<Vec<Minute>>,
}

/// When each activity ends, without bound and shifts: for whoever asks for dates alone.
pub(crate) fn ends(problem: &Problem, settings: &Settings<'_>) -> Result<Ends, Failure> {
    let model = modelled(problem)?;
    let aim = Aim::new(problem, &model);
    let ends = |complete: &Complete| {
        let kept = kept(&model, &aim, complete)?;
        Some(kept.schedule(&model).end[..model.real].to_vec())
    };
    let gone_on = settings.start.and_then(|plan| gone_on_with(&model, &aim, plan));
    let (effort, watch) = (settings.effort, &mut |_: &Progress<'_>| true);
    let mut run = Run { model: &model, aim: &aim, bounds: None, settings, effort, watch };
    let (best, _) = run.find(|| gone_on.clone())?;
    let best = ends(&best).ok_or(Failure::Unsound)?;
    Ok(Ends { best, gone_on: gone_on.and_then(|plan| ends(&plan)) })
}

/// A plan gone on with in its order and its modes.
fn gone_on_with(model: &Model, aim: &Aim, plan: &Plan) -> Option<Complete> {
    let mut schedule = Schedule::new(model);
    if schedule.follow(&ActivityList::of(model, plan).in_modes(model, plan)) > 0 {
        return None;
    }
    schedule.shift_left();
    Some(Complete::of(&schedule, aim.values(&schedule)))
}

/// The model of a problem that makes sense.
fn modelled(problem: &Problem) -> Result<Model, Failure> {
    let faults = problem.faults();
    if !faults.is_empty() {
        return Err(Failure::Faulty(faults));
    }
    let model = compile(problem);
    refuse(&model)?;
    Ok(model)
}

/// The check through which every plan leaves: all constraints looked at anew, and its ends and its worth reckoned from its
/// starts and modes alone.
fn kept(model: &Model, aim: &Aim, complete: &Complete) -> Option<Complete> {
    let mut schedule = Schedule::new(model);
    schedule.adopt(&complete.plan(model)).then(|| Complete::of(&schedule, aim.values(&schedule)))
}

/// What can be said without a plan.
fn refuse(model: &Model) -> Result<(), Refusal> {
    for (activity, act) in model.acts.iter().enumerate().take(model.real) {
        for (resource, &capacity) in model.capacity.iter().enumerate() {
            let needs = act.needs.iter().filter(|need| need.0 == resource);
            if act.length > 0 && needs.map(|need| need.1).sum::<i64>() > capacity {
                return Err(Refusal::TooMuch { activity, resource });
            }
        }
    }
    match model.holds.iter().position(|held| held.any_of.is_empty() && held.follows.is_none()) {
        Some(hold) => Err(Refusal::FitsNowhere { hold }),
        None => Ok(()),
    }
}

/// Bounds for plans that miss no more than they must, and for any plan.
struct Bounds<'a> {
    model: &'a Model,
    aim: &'a Aim,
    keeping: Option<Bound>,
    /// Worked out where it is asked for.
    any: OnceCell<Bound>,
    /// The windows that may be kept, and how many every plan misses.
    tenable: Vec<bool>,
    lost: i64,
}

impl<'a> Bounds<'a> {
    fn new(model: &'a Model, aim: &'a Aim) -> Result<Self, Refusal> {
        let tenable = tenable(model);
        let windows_count =
            !tenable.is_empty() && aim.order.first() == Some(&Objective::Violations);
        let keeping = if windows_count { bound(model, aim, &tenable).ok() } else { None };
        let any = OnceCell::new();
        // Where everything has a place with windows kept, it has one without.
        if keeping.is_none() {
            let none = vec![false; tenable.len()];
            let found =
                bound(model, aim, &none).map_err(|activity| Refusal::NoPlace { activity })?;
            any.get_or_init(|| found);
        }
        let lost = tenable.iter().map(|&kept| i64::from(!kept)).sum();
        Ok(Self { model, aim, keeping, any, tenable, lost })
    }

    /// The bound for any plan.
    fn any(&self) -> &Bound {
        self.any.get_or_init(|| {
            let none = vec![false; self.tenable.len()];
            bound(self.model, self.aim, &none).unwrap_or_else(|_| Bound::nothing())
        })
    }

    /// The bound that stands beside a plan of this worth.
    fn beside(&self, values: &Values) -> &Bound {
        let keeping = self.keeping.as_ref().filter(|_| values.violations <= self.lost);
        keeping.unwrap_or_else(|| self.any())
    }

    /// The bound beside a plan of this worth, raised as far as so many branches allow.
    fn raised(&self, values: &Values, branches: u64) -> Bound {
        let mut bound = self.beside(values).clone();
        let keeps = self.keeping.is_some() && values.violations <= self.lost;
        let none = vec![false; self.tenable.len()];
        let kept = if keeps { &self.tenable } else { &none };
        raise(self.model, self.aim, kept, &mut bound, values, branches);
        bound
    }

    /// Whether a plan of this worth meets the bound in all that counts before idleness.
    fn met(&self, values: &Values) -> bool {
        let bound = self.beside(values);
        self.aim.order.iter().take_while(|&&objective| objective != Objective::WaitingTime).all(
            |objective| match objective {
                Objective::Violations => values.violations <= self.lost,
                Objective::Overrun => values.overrun == 0,
                Objective::Discounted => values.discounted == 0,
                Objective::WeightedTardiness => values.tardiness <= bound.tardiness,
                Objective::Wishes => values.wishes == 0,
                Objective::Makespan => values.makespan <= bound.makespan,
                Objective::WaitingTime => true,
            },
        )
    }
}

struct Run<'a, 'w> {
    model: &'a Model,
    aim: &'a Aim,
    /// Without them the search goes on to its end.
    bounds: Option<&'a Bounds<'a>>,
    settings: &'a Settings<'a>,
    effort: u64,
    watch: &'w mut dyn FnMut(&Progress<'_>) -> bool,
}

impl Run<'_, '_> {
    /// The best plan and what was spent on it; the older one gone on with is asked for where that is not possible as it is.
    fn find(
        &mut self,
        gone_on: impl FnOnce() -> Option<Complete>,
    ) -> Result<(Complete, u64), Refusal> {
        let hint = self.settings.start;
        let effort = self.effort;
        let adopted = hint.and_then(|plan| self.adopt(plan)).map(|plan| (plan, 0));
        let start = adopted.or_else(|| gone_on().map(|plan| (plan, 1)));
        if let Some(start) = start.clone().filter(|_| effort <= 1) {
            return Ok(start);
        }
        if start.is_some() || !forbidden::applies(self.model) {
            let start = start.map(|(complete, _)| complete);
            return self.outcome(|run| run.search(effort, start, hint), 0);
        }
        let first = self.search(effort.min(FIRST), None, hint);
        if let Some(best) = first.best {
            let left = effort.saturating_sub(first.spent);
            if left == 0 || self.bounds.is_some_and(|bounds| bounds.met(&best.values)) {
                return Ok((best, first.spent));
            }
            let hint = Plan { starts: best.start.clone(), ..Plan::default() };
            return self.outcome(|run| run.search(left, Some(best), Some(&hint)), first.spent);
        }
        let start = match forbidden::try_orders(self.model, CHOICES) {
            Tried::Impossible(tried) => return Err(Refusal::EveryOrder { tried }),
            Tried::Possible(starts) => {
                self.adopt(&Plan { starts, holds: Vec::new(), violations: Vec::new() })
            }
            Tried::Unknown => None,
        };
        let hint = start
            .as_ref()
            .map(|complete| Plan { starts: complete.start.clone(), ..Plan::default() });
        self.outcome(|run| run.search(effort, start, hint.as_ref()), first.spent)
    }

    fn outcome(
        &mut self,
        find: impl FnOnce(&mut Self) -> Found,
        before: u64,
    ) -> Result<(Complete, u64), Refusal> {
        let found = find(self);
        let evaluations = found.spent + before;
        let stuck = found.stuck.unwrap_or(0);
        match found.best {
            Some(best) => Ok((best, evaluations)),
            None if found.alone => Err(Refusal::NoPlace { activity: stuck }),
            None => Err(Refusal::NotFound { evaluations, activity: stuck }),
        }
    }

    fn search(&mut self, effort: u64, start: Option<Complete>, hint: Option<&Plan>) -> Found {
        let bounds = self.bounds;
        let met = |values: &Values| bounds.is_some_and(|bounds| bounds.met(values));
        let (model, aim) = (self.model, self.aim);
        let Settings { seed, patience, .. } = *self.settings;
        let enough = bounds.map_or(0, |bounds| bounds.beside(&Values::default()).makespan);
        let good_enough = &met;
        let task = Task { model, aim, effort, seed, patience, start, hint, enough, good_enough };
        let watch = &mut *self.watch;
        search(&task, &mut |evaluations, best| watch(&Progress { evaluations, best }))
    }

    /// A plan from outside, if it is possible.
    fn adopt(&self, plan: &Plan) -> Option<Complete> {
        let mut schedule = Schedule::new(self.model);
        schedule.adopt(plan).then(|| Complete::of(&schedule, self.aim.values(&schedule)))
    }
}

fn answer(
    model: &Model,
    aim: &Aim,
    bounds: &Bounds<'_>,
    best: &Complete,
    evaluations: u64,
    seed: u64,
) -> Answer {
    let mut schedule = best.schedule(model);
    for index in 0..model.components.len() {
        schedule.book(index, 1);
    }
    Answer {
        plan: schedule.plan(),
        ends: schedule.end[..model.real].to_vec(),
        values: best.values,
        bound: bounds.raised(&best.values, evaluations / 2),
        limits: limits(aim, &mut schedule),
        latest: shifted::latest(model, aim, best),
        spent: Spent { evaluations },
        seed,
    }
}
