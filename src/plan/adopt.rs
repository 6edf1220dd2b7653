//! A kept plan as the engine's start: what it says of each step and rack, as far as they are still to come.

use std::collections::BTreeMap;

use crate::plan::draft::{Draft, What};
use crate::plan::engine::{Activity, Minute, Plan, Violation};
use crate::shop::plan::{ShopPlan, StayPlan};

/// A kept plan, looked up by lot.
struct Kept<'a> {
    draft: &'a Draft,
    plan: &'a ShopPlan,
    /// Start of each step.
    steps: BTreeMap<(&'a str, u32), Minute>,
    /// End of each lot's last coat, which takes as long as it takes now.
    coated: BTreeMap<String, Minute>,
}

impl Draft {
    /// The kept plan as a plan of this problem; whether it is still possible is the engine's to say.
    pub(crate) fn adopted(&self, kept: &ShopPlan) -> Plan {
        let kept = Kept::new(self, kept);
        let names: Vec<String> = self.runs.iter().map(|run| run.lot.to_string()).collect();
        let name = |run: &usize| names.get(*run).map_or("", String::as_str);
        let starts = self.activities.iter().zip(&self.problem.activities);
        let starts =
            starts.map(|((run, what), activity)| kept.start(name(run), *what, activity)).collect();
        let holds = self.holds.iter().zip(&self.problem.holds).map(|((run, cures), hold)| {
            // What is not carried to cure stays where it dried.
            let stay = kept.stay(name(run), *cures).or_else(|| kept.stay(name(run), !cures));
            let rack = stay.and_then(|stay| self.resource_of(&stay.rack));
            let allowed = rack.filter(|rack| hold.follows.is_some() || hold.any_of.contains(rack));
            allowed.or_else(|| hold.any_of.first().copied()).unwrap_or(1)
        });
        Plan { starts, holds: holds.collect(), violations: kept.misses(&names) }
    }
}

impl<'a> Kept<'a> {
    fn new(draft: &'a Draft, plan: &'a ShopPlan) -> Self {
        let minute = |at| draft.origin.no_sooner(at);
        let step = |step: &'a crate::shop::plan::StepPlan| {
            ((step.lot.as_str(), step.step), minute(step.start))
        };
        let steps: BTreeMap<(&'a str, u32), Minute> = plan.steps.iter().map(step).collect();
        let coats = draft.activities.iter().zip(&draft.problem.activities);
        let coated = coats.filter_map(|((run, what), activity)| {
            let run = draft.runs.get(*run)?;
            let What::Step(number) = *what else { return None };
            run.recipe.step(number)?.coat()?;
            let lot = run.lot.to_string();
            let start = *steps.get(&(lot.as_str(), number))?.max(&0);
            Some((lot, draft.open_from(start) + activity.duration))
        });
        // In order of time: the last coat's end stays.
        let coated = coated.collect();
        Self { draft, plan, steps, coated }
    }

    fn stay(&self, lot: &str, cures: bool) -> Option<&'a StayPlan> {
        self.plan.stays.iter().find(|stay| stay.lot == lot && stay.cures == cures)
    }

    fn start(&self, lot: &str, what: What, activity: &Activity) -> Minute {
        let earliest = activity.earliest.unwrap_or(0);
        if activity.latest.is_some() {
            return earliest;
        }
        let kept = match what {
            What::Step(number) => self.steps.get(&(lot, number)).copied(),
            What::Move => self.stay(lot, true).map(|stay| self.draft.origin.no_sooner(stay.from)),
            What::Cure => self.coated.get(lot).copied(),
            What::Touch => None,
        };
        let start = kept.unwrap_or(earliest).max(earliest);
        if activity.calendar.is_some() { self.draft.open_from(start) } else { start }
    }

    fn misses(&self, names: &[String]) -> Vec<Violation> {
        let lags = &self.draft.problem.lags;
        let of = |lot: &str, step: u32| {
            lags.iter().position(|lag| {
                let after = self.draft.activities.get(lag.after);
                lag.soft.is_some()
                    && after.is_some_and(|(run, what)| {
                        *what == What::Step(step) && names.get(*run).is_some_and(|name| name == lot)
                    })
            })
        };
        let miss = |missed: &crate::shop::plan::MissedWindow| {
            let start = self.draft.origin.no_sooner(missed.abrade_from);
            let end = self.draft.origin.no_sooner(missed.abrade_until);
            Some(Violation { lag: of(&missed.lot, missed.step)?, start, end })
        };
        self.plan.missed.iter().filter_map(miss).collect()
    }
}
