//! Rules for a step begun or done: the right step, not too soon, not too late.

use crate::shop::Shop;
use crate::shop::cure::Ground;
use crate::shop::entry::Fact;
use crate::shop::lot::Lot;
use crate::shop::refusal::{Refusal, Wait};
use crate::shop::rules::{Objections, When, free};
use crate::shop::setup::{Step, StepWork};
use crate::time::Instant;

impl Shop {
    pub(super) fn may_step(&self, fact: &Fact, when: When) -> Objections {
        let at = when.at;
        let (lot, step, rack, begins) = match fact {
            Fact::StepBegun { lot, step, rack } => (lot, *step, rack, true),
            Fact::StepDone { lot, step, rack, .. } => (lot, *step, rack, false),
            _ => return Ok(Vec::new()),
        };
        let lot = self.lot_at(lot, at)?;
        free(lot)?;
        let (next, what) =
            lot.next_step().ok_or_else(|| Refusal::NoStepLeft { lot: lot.name.clone() })?;
        let mut objections = Vec::new();
        let asked = if step == next {
            what
        } else {
            let wrong = wrong_step(lot, step, (next, what))?;
            objections.push(wrong);
            lot.recipe.step(step).ok_or_else(|| Refusal::NoStepLeft { lot: lot.name.clone() })?
        };
        match lot.begun {
            Some(since) if begins => {
                let (lot, step) = (lot.name.clone(), what.name());
                return Err(Refusal::AlreadyBegun { lot, step, since });
            }
            Some(_) if step == next => objections.extend(self.soak_not_over(lot, asked, at)),
            _ => objections.extend(self.outside_window(lot, step, asked, when)),
        }
        objections.extend(self.coat_objections(lot, step, asked, rack.as_deref(), at)?);
        if let Fact::StepDone { coat, .. } = fact {
            objections.extend(self.can_objections(asked, coat.as_ref(), at)?);
        }
        Ok(objections)
    }

    fn soak_not_over(&self, lot: &Lot, asked: &Step, at: Instant) -> Option<Refusal> {
        let wipe = self.soak_window(lot)?;
        let wiped =
            matches!(asked.work, StepWork::Coat { wipe, .. } if wipe > crate::time::Span::ZERO);
        (wiped && !wipe.open_at(at)).then(|| Refusal::TooSoon {
            lot: lot.name.clone(),
            step: format!("wipe {}", asked.coat().unwrap_or_default()),
            earliest: wipe.from,
            at,
            wait: Wait::Soak,
            ground: Ground::Readings,
            origin: Box::new(self.origin(lot, Wait::Soak)),
        })
    }

    fn outside_window(&self, lot: &Lot, step: u32, asked: &Step, when: When) -> Vec<Refusal> {
        let at = when.at;
        let window = self.window(lot, step, when.now);
        let mut objections = Vec::new();
        if !window.open_at(at) {
            let wait = window.wait.unwrap_or(Wait::Rest);
            objections.push(Refusal::TooSoon {
                lot: lot.name.clone(),
                step: asked.name(),
                earliest: window.from,
                at,
                wait,
                ground: window.ground,
                origin: Box::new(self.origin(lot, wait)),
            });
        }
        // A rub late in the window shuts nothing: it is the coat after it that must be in time.
        if asked.coat().is_some() && window.shut(at) {
            objections.push(Refusal::Shut {
                lot: lot.name.clone(),
                step: asked.name(),
                since: window.until.unwrap_or(at),
                at,
                grit: rubbed_with(lot),
                origin: Box::new(self.origin(lot, Wait::Recoat)),
            });
        }
        if let Some(test) = lot.still_grabs() {
            let (lot, stage, tested) = (lot.name.clone(), test.stage, test.at);
            objections.push(Refusal::Grabs { lot, stage, tested });
        }
        objections
    }
}

/// A later step may be recorded all the same, as one that skips; an earlier one, or a cure, may not.
fn wrong_step(lot: &Lot, step: u32, next: (u32, &Step)) -> Result<Refusal, Refusal> {
    let name = lot.recipe.step(step).map_or_else(|| "no such step".to_owned(), Step::name);
    let wrong = Refusal::WrongStep {
        lot: lot.name.clone(),
        asked: (step, name),
        next: (next.0, next.1.name()),
    };
    let skips = lot.recipe.step(step).is_some_and(|asked| !asked.is_cure()) && step > next.0;
    if skips { Ok(wrong) } else { Err(wrong) }
}

/// The grit the recipe rubs with between coats.
fn rubbed_with(lot: &Lot) -> Option<String> {
    lot.recipe.steps.iter().find_map(|step| match &step.work {
        StepWork::Rub { grit, .. } => Some(grit.clone()),
        _ => None,
    })
}
