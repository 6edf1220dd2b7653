//! The bounds that stand beside a plan, each worked out where it is asked for.

use std::sync::OnceLock;

use super::answer::{Bound, Refusal};
use super::bound::{bound, has_place, raise, tenable};
use super::posed::Posed;
use super::problem::{Minute, Objective};
use super::value::Values;

/// Bounds for plans that miss no more windows than they must, and for any plan.
pub(super) struct Bounds {
    /// The first; there is none where windows don't count first, or not all of them can be kept together.
    keeping: Option<Keeping>,
    any: Keeping,
    /// How many windows every plan misses.
    lost: i64,
}

/// The bound for plans that keep these windows.
struct Keeping {
    windows: Vec<bool>,
    bound: OnceLock<Bound>,
}

impl Keeping {
    const fn these(windows: Vec<bool>) -> Self {
        Self { windows, bound: OnceLock::new() }
    }

    fn bound(&self, Posed { model, aim }: &Posed) -> &Bound {
        self.bound
            .get_or_init(|| bound(model, aim, &self.windows).unwrap_or_else(|_| Bound::nothing()))
    }
}

impl Bounds {
    pub(super) fn new(Posed { model, aim }: &Posed) -> Result<Self, Refusal> {
        let tenable = tenable(model);
        let lost = tenable.iter().map(|&kept| i64::from(!kept)).sum();
        let any = Keeping::these(vec![false; tenable.len()]);
        let windows_count =
            !tenable.is_empty() && aim.order.first() == Some(&Objective::Violations);
        let keeping = Some(tenable).filter(|kept| windows_count && has_place(model, kept).is_ok());
        // Where everything has a place with windows kept, it has one without.
        if keeping.is_none() {
            has_place(model, &any.windows).map_err(|activity| Refusal::NoPlace { activity })?;
        }
        Ok(Self { keeping: keeping.map(Keeping::these), any, lost })
    }

    /// What stands beside a plan that misses so many windows.
    fn beside(&self, violations: i64) -> &Keeping {
        self.keeping.as_ref().filter(|_| violations <= self.lost).unwrap_or(&self.any)
    }

    /// A last end that nothing betters.
    pub(super) fn least(&self, posed: &Posed) -> Minute {
        self.beside(0).bound(posed).makespan
    }

    /// The bound beside a plan of this worth, raised as far as so many branches allow.
    pub(super) fn raised(&self, posed: &Posed, values: &Values, branches: u64) -> Bound {
        let beside = self.beside(values.violations);
        let mut bound = beside.bound(posed).clone();
        raise(&posed.model, &posed.aim, &beside.windows, &mut bound, values, branches);
        bound
    }

    /// Whether a plan of this worth meets the bound in all that counts before idleness. What takes no bound to see is looked at
    /// first.
    pub(super) fn met(&self, posed: &Posed, values: &Values) -> bool {
        let counts = || {
            let order = posed.aim.order.iter();
            order.take_while(|&&objective| objective != Objective::WaitingTime)
        };
        let seen = counts().all(|objective| match objective {
            Objective::Violations => values.violations <= self.lost,
            Objective::Overrun => values.overrun == 0,
            Objective::Discounted => values.discounted == 0,
            Objective::Wishes => values.wishes == 0,
            Objective::WeightedTardiness | Objective::Makespan | Objective::WaitingTime => true,
        });
        let bound = || self.beside(values.violations).bound(posed);
        seen && counts().all(|objective| match objective {
            Objective::WeightedTardiness => {
                values.tardiness == 0 || values.tardiness <= bound().tardiness
            }
            Objective::Makespan => values.makespan <= bound().makespan,
            _ => true,
        })
    }
}
