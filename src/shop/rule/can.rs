//! Which can a coat may come from: one that is open, of that finish, and within its time.

use crate::shop::fact::CoatLaid;
use crate::shop::rule::{Objections, in_order};
use crate::shop::setup::Step;
use crate::shop::{Can, Refusal, Shop, SubjectKind};
use crate::time::Instant;

impl Shop {
    pub(in crate::shop) fn can_objections(
        &self,
        asked: &Step,
        coat: Option<&CoatLaid>,
        at: Instant,
    ) -> Objections {
        let (Some(finish), Some(coat)) = (asked.coat(), coat) else { return Ok(Vec::new()) };
        let Some(name) = &coat.can else {
            return Ok(vec![Refusal::NoCan { finish: finish.to_owned() }]);
        };
        let can = self.known_can(name)?;
        if can.emptied.is_some_and(|emptied| emptied <= at) {
            return Err(Refusal::Over { what: SubjectKind::Can, name: name.clone() });
        }
        in_order(&format!("can {name}"), at, can.opened)?;
        let mut objections = Vec::new();
        if can.finish != finish {
            let (can, holds) = (name.clone(), can.finish.clone());
            objections.push(Refusal::CanOfOther { can, holds, wanted: finish.to_owned() });
        }
        if let Some(kept_until) = self.past_its_time(can, at) {
            objections.push(Refusal::CanPast { can: name.clone(), kept_until });
        }
        Ok(objections)
    }

    /// The moment a can is past its time, if its finish says how long it keeps.
    pub(crate) fn keeps_until(&self, can: &Can) -> Option<Instant> {
        let setup = self.setup.as_ref()?;
        let keeps = setup.finish(&can.finish)?.use_within?;
        Some(keeps.until(can.opened, setup.shop.zone))
    }

    /// Since when a can is past its time, if it is at `at`.
    pub(crate) fn past_its_time(&self, can: &Can, at: Instant) -> Option<Instant> {
        self.keeps_until(can).filter(|until| at > *until)
    }

    /// The open cans of a finish, by name.
    pub(crate) fn open_cans(&self, finish: &str) -> impl Iterator<Item = &Can> {
        self.cans.values().filter(move |can| can.finish == finish && can.emptied.is_none())
    }

    /// The same apart: those within their time then, and those past it.
    pub(crate) fn kept_and_past(&self, finish: &str, at: Instant) -> (Vec<&Can>, Vec<&Can>) {
        self.open_cans(finish).partition(|can| self.past_its_time(can, at).is_none())
    }

    /// Whether `done` must be told which can that step's coat came from.
    pub(crate) fn asks_which_can(&self, step: &Step, at: Instant) -> bool {
        step.coat().is_some_and(|finish| self.only_can(finish, at).is_err())
    }

    /// The can to take for a coat when none is named: the only open one of that finish within its time, else the only one
    /// past it.
    pub(crate) fn only_can(&self, finish: &str, at: Instant) -> Result<Option<&Can>, Refusal> {
        let (kept, past) = self.kept_and_past(finish, at);
        let open = if kept.is_empty() { past } else { kept };
        match open[..] {
            [] => Ok(None),
            [can] => Ok(Some(can)),
            _ => Err(Refusal::WhichCan {
                finish: finish.to_owned(),
                cans: open.iter().map(|can| can.name.clone()).collect(),
            }),
        }
    }
}
