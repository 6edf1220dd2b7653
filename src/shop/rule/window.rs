//! When a step may be begun or done: the right step, not too soon, not too late.

use crate::shop::cure::Ground;
use crate::shop::refusal::Wait;
use crate::shop::rest::Window;
use crate::shop::rule::{When, free};
use crate::shop::setup::{Step, StepWork};
use crate::shop::{Lot, LotName, Refusal, Shop};
use crate::time::{Instant, Span};

/// A step that is to be recorded.
pub(in crate::shop) struct StepAsked<'a> {
    pub(in crate::shop) lot: &'a Lot,
    /// Its number, from 1.
    pub(in crate::shop) number: u32,
    pub(in crate::shop) step: &'a Step,
    /// The number of the one whose turn it is.
    pub(in crate::shop) next: u32,
    /// Where those two are not the same: the rule that a reason overrules.
    pub(in crate::shop) wrong: Option<Refusal>,
}

impl Shop {
    /// The step asked for, beside the one that is next.
    pub(in crate::shop) fn step_asked(
        &self,
        name: &LotName,
        number: u32,
        at: Instant,
    ) -> Result<StepAsked<'_>, Refusal> {
        let lot = self.lot_at(name, at)?;
        free(lot)?;
        let none_left = || Refusal::NoStepLeft { lot: name.clone() };
        let (next, _) = lot.next_step().ok_or_else(none_left)?;
        let wrong = (number != next).then(|| wrong_step(lot, number, next));
        let wrong = wrong.transpose()?;
        let step = lot.recipe.step(number).ok_or_else(none_left)?;
        Ok(StepAsked { lot, number, step, next, wrong })
    }

    pub(in crate::shop) fn soak_not_over(
        &self,
        StepAsked { lot, number, step: asked, .. }: &StepAsked<'_>,
        at: Instant,
    ) -> Option<Refusal> {
        let wipe = self.soak_window(lot)?;
        let wiped = matches!(asked.work, StepWork::Coat { wipe, .. } if wipe > Span::ZERO);
        (wiped && !wipe.open_at(at)).then(|| Refusal::TooSoon {
            lot: lot.name.clone(),
            step: format!("wipe {}", lot.recipe.words(*number)),
            earliest: wipe.from,
            at,
            wait: Wait::Soak,
            ground: Ground::Readings,
            origin: Box::new(self.origin(lot, Wait::Soak)),
        })
    }

    /// What stands against beginning a step then, on the rack it is put on or stands on.
    pub(in crate::shop) fn outside_window(
        &self,
        StepAsked { lot, number, step: asked, .. }: &StepAsked<'_>,
        rack: Option<&str>,
        When { at, now }: When,
    ) -> Vec<Refusal> {
        let mut window = self.window(lot, *number, now);
        let inside = |window: &Window| window.open_at(at) && !window.shut(at);
        if at < now && !inside(&window) {
            // By what had been read when it was begun: a reading after that may tell of another air, and nobody knew.
            let then = self.as_read_by(at).window(lot, *number, at);
            window = if inside(&then) { then } else { window };
        }
        let mut objections = Vec::new();
        if !window.open_at(at) {
            let wait = window.wait.unwrap_or(Wait::Rest);
            objections.push(Refusal::TooSoon {
                lot: lot.name.clone(),
                step: lot.recipe.words(*number),
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
                step: lot.recipe.words(*number),
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
        let unfit = self.unfit_for(asked, rack.or(lot.rack()), at);
        objections.extend(unfit.map(|unfit| {
            let (lot, step) = (lot.name.clone(), lot.recipe.words(*number));
            Refusal::RoomUnfit { lot, step, unfit }
        }));
        objections
    }
}

/// A later step may be recorded all the same, as one that skips; an earlier one, or a cure, may not.
fn wrong_step(lot: &Lot, step: u32, next: u32) -> Result<Refusal, Refusal> {
    let name = match lot.recipe.step(step) {
        Some(_) => lot.recipe.words(step),
        None => "no such step".to_owned(),
    };
    let wrong = Refusal::WrongStep {
        lot: lot.name.clone(),
        asked: (step, name),
        next: (next, lot.recipe.words(next)),
    };
    let skips = lot.recipe.step(step).is_some_and(|asked| !asked.is_cure()) && step > next;
    if skips { Ok(wrong) } else { Err(wrong) }
}

/// The grit the recipe rubs with between coats.
fn rubbed_with(lot: &Lot) -> Option<String> {
    lot.recipe.steps.iter().find_map(|step| match &step.work {
        StepWork::Rub { grit, .. } => Some(grit.clone()),
        _ => None,
    })
}
