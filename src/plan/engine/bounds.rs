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
    keeping: Option<OnceLock<Bound>>,
    any: OnceLock<Bound>,
    /// The windows that may be kept, and how many every plan misses.
    tenable: Vec<bool>,
    lost: i64,
}

impl Bounds {
    pub(super) fn new(Posed { model, aim }: &Posed) -> Result<Self, Refusal> {
        let tenable = tenable(model);
        let windows_count =
            !tenable.is_empty() && aim.order.first() == Some(&Objective::Violations);
        let keep = windows_count && has_place(model, &tenable).is_ok();
        // Where everything has a place with windows kept, it has one without.
        if !keep {
            let none = vec![false; tenable.len()];
            has_place(model, &none).map_err(|activity| Refusal::NoPlace { activity })?;
        }
        let lost = tenable.iter().map(|&kept| i64::from(!kept)).sum();
        let keeping = keep.then(OnceLock::new);
        Ok(Self { keeping, any: OnceLock::new(), tenable, lost })
    }

    /// The bound that stands beside a plan that misses so many windows, and the windows it takes to be kept.
    fn beside(&self, Posed { model, aim }: &Posed, violations: i64) -> (&Bound, Vec<bool>) {
        let keeping = self.keeping.as_ref().filter(|_| violations <= self.lost);
        let (cell, kept) = match keeping {
            Some(keeping) => (keeping, self.tenable.clone()),
            None => (&self.any, vec![false; self.tenable.len()]),
        };
        (cell.get_or_init(|| bound(model, aim, &kept).unwrap_or_else(|_| Bound::nothing())), kept)
    }

    /// A last end that nothing betters.
    pub(super) fn least(&self, posed: &Posed) -> Minute {
        self.beside(posed, 0).0.makespan
    }

    /// The bound beside a plan of this worth, raised as far as so many branches allow.
    pub(super) fn raised(&self, posed: &Posed, values: &Values, branches: u64) -> Bound {
        let (bound, kept) = self.beside(posed, values.violations);
        let mut bound = bound.clone();
        raise(&posed.model, &posed.aim, &kept, &mut bound, values, branches);
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
        let bound = || self.beside(posed, values.violations).0;
        seen && counts().all(|objective| match objective {
            Objective::WeightedTardiness => {
                values.tardiness == 0 || values.tardiness <= bound().tardiness
            }
            Objective::Makespan => values.makespan <= bound().makespan,
            _ => true,
        })
    }
}
