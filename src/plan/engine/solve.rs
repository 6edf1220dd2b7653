//! From a problem to an answer.

use super::answer::{Answer, Plan, Refusal};
use super::bounds::Bounds;
use super::fault::Fault;
use super::forbidden::{self, Tried};
use super::found::Found;
use super::known::Known;
use super::neighbourhood::ActivityList;
use super::posed::Posed;
use super::problem::{Minute, Problem};
use super::schedule::Schedule;
use super::search::{Complete, Searched, Task, search};
use super::shifted;
use super::value::Values;

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
    find(problem, settings, watch).map(|found| found.answer())
}

/// The same, with what is proved beside the plan worked out only where it is asked for.
pub(crate) fn find(
    problem: &Problem,
    settings: &Settings<'_>,
    watch: &mut dyn FnMut(&Progress<'_>) -> bool,
) -> Result<Found, Failure> {
    let posed = Posed::of(problem)?;
    let bounds = Bounds::new(&posed)?;
    let effort = if settings.effort == 0 { Settings::effort_for(problem) } else { settings.effort };
    let known = Known::of(&posed.model);
    find_in(posed, bounds, known, &Settings { effort, ..*settings }, watch)
}

impl Found {
    /// Searches again, from the plan found.
    pub(crate) fn again(
        self,
        settings: &Settings<'_>,
        watch: &mut dyn FnMut(&Progress<'_>) -> bool,
    ) -> Result<Self, Failure> {
        let start = self.plan();
        let settings = Settings { start: Some(&start), ..*settings };
        find_in(self.posed, self.bounds, self.known, &settings, watch)
    }
}

fn find_in(
    posed: Posed,
    bounds: Bounds,
    known: Option<Known>,
    settings: &Settings<'_>,
    watch: &mut dyn FnMut(&Progress<'_>) -> bool,
) -> Result<Found, Failure> {
    let Posed { model, aim } = &posed;
    let mut run = Run { posed: &posed, bounds: Some(&bounds), known, settings, watch };
    let gone_on = |known: &mut _| gone_on_with(&posed, settings.start?, known);
    let (found, spent) = run.find(gone_on)?;
    let known = run.known;
    // A given plan that is asked for as it is stays so to the minute.
    let best = if spent == 0 {
        found
    } else {
        let later = shifted::right_shifted(model, aim, found.clone());
        let shifted = shifted::left_shifted(model, aim, later);
        let kept = [shifted, found].iter().find_map(|complete| posed.kept(complete));
        kept.ok_or(Failure::Unsound)?
    };
    Ok(Found { posed, bounds, known, best, spent, seed: settings.seed })
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
    let posed = Posed::of(problem)?;
    let ends = |complete: &Complete| {
        let kept = posed.kept(complete)?;
        Some(kept.schedule(&posed.model).end[..posed.model.real].to_vec())
    };
    let mut known = Known::of(&posed.model);
    let gone_on = settings.start.and_then(|plan| gone_on_with(&posed, plan, &mut known));
    let watch = &mut |_: &Progress<'_>| true;
    let mut run = Run { posed: &posed, bounds: None, known, settings, watch };
    let (best, _) = run.find(|_| gone_on.clone())?;
    let best = ends(&best).ok_or(Failure::Unsound)?;
    Ok(Ends { best, gone_on: gone_on.and_then(|plan| ends(&plan)) })
}

/// A plan gone on with in its order and its modes.
fn gone_on_with(
    Posed { model, aim }: &Posed,
    plan: &Plan,
    known: &mut Option<Known>,
) -> Option<Complete> {
    let mut schedule = Schedule::knowing(model, known.take());
    let order = ActivityList::of(model, plan).in_modes(model, plan);
    let complete = (schedule.follow(&order) == 0).then(|| {
        schedule.shift_left();
        Complete::of(&schedule, aim.values(&schedule))
    });
    *known = schedule.known;
    complete
}

struct Run<'a, 'w> {
    posed: &'a Posed,
    /// Without them the search goes on to its end.
    bounds: Option<&'a Bounds>,
    known: Option<Known>,
    settings: &'a Settings<'a>,
    watch: &'w mut dyn FnMut(&Progress<'_>) -> bool,
}

impl Run<'_, '_> {
    /// The best plan and what was spent on it; the older one gone on with is asked for where that is not possible as it is.
    fn find(
        &mut self,
        gone_on: impl FnOnce(&mut Option<Known>) -> Option<Complete>,
    ) -> Result<(Complete, u64), Refusal> {
        let hint = self.settings.start;
        let effort = self.settings.effort;
        let adopted = hint.and_then(|plan| self.adopt(plan)).map(|plan| (plan, 0));
        let start = adopted.or_else(|| gone_on(&mut self.known).map(|plan| (plan, 1)));
        if let Some(start) = start.clone().filter(|_| effort <= 1) {
            return Ok(start);
        }
        if start.is_some() || !forbidden::applies(&self.posed.model) {
            let start = start.map(|(complete, _)| complete);
            return self.outcome(|run| run.search(effort, start, hint), 0);
        }
        let first = self.search(effort.min(FIRST), None, hint);
        if let Some(best) = first.best {
            let left = effort.saturating_sub(first.spent);
            if left == 0 || self.met(&best.values) {
                return Ok((best, first.spent));
            }
            let hint = Plan { starts: best.start.clone(), ..Plan::default() };
            return self.outcome(|run| run.search(left, Some(best), Some(&hint)), first.spent);
        }
        let start = match forbidden::try_orders(&self.posed.model, CHOICES) {
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
        find: impl FnOnce(&mut Self) -> Searched,
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

    /// Whether a plan of this worth is known to be as good as can be.
    fn met(&self, values: &Values) -> bool {
        self.bounds.is_some_and(|bounds| bounds.met(self.posed, values))
    }

    fn search(&mut self, effort: u64, start: Option<Complete>, hint: Option<&Plan>) -> Searched {
        let (posed, bounds) = (self.posed, self.bounds);
        let Posed { model, aim } = posed;
        let Settings { seed, patience, .. } = *self.settings;
        let met = |values: &Values| bounds.is_some_and(|bounds| bounds.met(posed, values));
        let enough = || bounds.map_or(0, |bounds| bounds.least(posed));
        let (enough, good_enough) = (&enough, &met);
        let task = Task { model, aim, effort, seed, patience, start, hint, enough, good_enough };
        let watch = &mut *self.watch;
        search(&task, &mut self.known, &mut |evaluations, best| {
            watch(&Progress { evaluations, best })
        })
    }

    /// A plan from outside, if it is possible.
    fn adopt(&self, plan: &Plan) -> Option<Complete> {
        let Posed { model, aim } = self.posed;
        let mut schedule = Schedule::new(model);
        schedule.adopt(plan).then(|| Complete::of(&schedule, aim.values(&schedule)))
    }
}
