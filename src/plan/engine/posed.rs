//! A problem as the search works on it.

use super::answer::Refusal;
use super::compile::compile;
use super::model::Model;
use super::problem::Problem;
use super::schedule::Schedule;
use super::search::Complete;
use super::solve::Failure;
use super::value::Aim;

/// The model, and what is aimed at.
pub(super) struct Posed {
    pub(super) model: Model,
    pub(super) aim: Aim,
}

impl Posed {
    /// A problem that makes sense.
    pub(super) fn of(problem: &Problem) -> Result<Self, Failure> {
        let faults = problem.faults();
        if !faults.is_empty() {
            return Err(Failure::Faulty(faults));
        }
        let model = compile(problem);
        refuse(&model)?;
        let aim = Aim::new(problem, &model);
        Ok(Self { model, aim })
    }

    /// The check through which every plan leaves: all constraints looked at anew, and its ends and its worth reckoned from its
    /// starts and modes alone.
    pub(super) fn kept(&self, complete: &Complete) -> Option<Complete> {
        let mut schedule = Schedule::new(&self.model);
        let keeps = schedule.adopt(&complete.plan(&self.model));
        keeps.then(|| Complete::of(&schedule, self.aim.values(&schedule)))
    }
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
