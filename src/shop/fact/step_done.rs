//! A step was done.

use super::{
    Entry, EntryId, Happened, LotName, Objections, Refusal, Shop, Subject, SubjectKind, When, on,
    step_name,
};
use crate::shop::Rags;
use crate::shop::lot::DoneStep;
use crate::shop::pace::{Sample, Timed};
use crate::units::Litres;

#[derive(Debug, Clone, PartialEq)]
pub struct StepDone {
    pub lot: LotName,
    /// The step, from 1.
    pub step: u32,
    /// Pieces at that time.
    pub pieces: u32,
    /// For a coat: what was laid on.
    pub coat: Option<CoatLaid>,
    /// Hands' time it took, if said.
    pub minutes: Option<u32>,
    /// Where it was put, if this is its first coat.
    pub rack: Option<String>,
    /// With the minutes: which step's pace they tell of.
    pub timed: Option<Timed>,
}

/// What a coat was laid with.
#[derive(Debug, Clone, PartialEq)]
pub struct CoatLaid {
    pub finish: String,
    /// The can it came from, if known.
    pub can: Option<String>,
    /// What it took, reckoned from the setup of its time; none where an area or a spread was not known.
    pub drawn: Option<Litres>,
}

impl Happened for StepDone {
    const WORD: &'static str = "done";

    fn subjects(&self, id: EntryId) -> Vec<Subject> {
        let mut subjects = Subject::of_lot(&self.lot, self.rack.as_ref());
        if let Some(coat) = &self.coat {
            subjects.push(Subject::new(SubjectKind::Rags, id));
            subjects.extend(coat.can.as_ref().map(|can| Subject::new(SubjectKind::Can, can)));
        }
        let pace = self.timed.as_ref().map(|timed| Subject::new(SubjectKind::Pace, &timed.recipe));
        subjects.extend(pace);
        subjects
    }

    fn objections(&self, shop: &Shop, when: When) -> Objections {
        let asked = shop.step_asked(&self.lot, self.step, when.at)?;
        let mut objections: Vec<Refusal> = asked.wrong.clone().into_iter().collect();
        if asked.lot.begun.is_some() && asked.wrong.is_none() {
            objections.extend(shop.soak_not_over(&asked, when.at));
        } else {
            objections.extend(shop.outside_window(&asked, self.rack.as_deref(), when));
        }
        objections.extend(shop.place_objections(&asked, self.rack.as_deref(), when.at)?);
        objections.extend(shop.can_objections(asked.step, self.coat.as_ref(), when.at)?);
        Ok(objections)
    }

    fn apply(&self, shop: &mut Shop, entry: &Entry) {
        self.lay_coat(shop, entry);
        self.take_time(shop, entry);
        let Some(lot) = shop.touched(&self.lot, entry) else { return };
        lot.flag(entry, self.step);
        let begun = lot.begun.take().filter(|_| self.step == lot.next);
        lot.next = self.step.saturating_add(1);
        lot.done.push(DoneStep {
            entry: entry.id,
            step: self.step,
            recorded: true,
            begun,
            ended: entry.at,
            pieces: self.pieces,
            coat: self.coat.clone(),
            minutes: self.minutes,
        });
        if self.rack.is_some() {
            lot.stands(entry.at, self.rack.clone());
        }
    }

    fn said(&self, shop: &Shop) -> String {
        let (step, rack) = (step_name(shop, &self.lot, self.step), on(self.rack.as_ref()));
        let can = self.coat.as_ref().and_then(|coat| coat.can.as_ref());
        let can = can.map_or_else(String::new, |can| format!(", can {can}"));
        let minutes = self.minutes.map_or_else(String::new, |minutes| format!(", {minutes} min"));
        format!("{} {step}{rack}{can}{minutes}", self.lot)
    }
}

impl StepDone {
    /// Every coat leaves rags, and draws on its can, whether its batch was read or is long closed.
    fn lay_coat(&self, shop: &mut Shop, entry: &Entry) {
        let Some(coat) = &self.coat else { return };
        let (lot, finish) = (self.lot.clone(), coat.finish.clone());
        shop.rags.insert(entry.id, Rags { lot, finish, since: entry.at });
        if let Some(can) = coat.can.as_ref().and_then(|can| shop.cans.get_mut(can)) {
            can.coats += 1;
            can.draw(coat.drawn);
        }
    }

    fn take_time(&self, shop: &mut Shop, entry: &Entry) {
        let (Some(minutes @ 1..), Some(timed), 1..) = (self.minutes, &self.timed, self.pieces)
        else {
            return;
        };
        let sample = Sample {
            entry: entry.id,
            at: entry.at,
            lot: self.lot.clone(),
            step: timed.step.clone(),
            number: timed.before.saturating_add(self.pieces.div_ceil(2)),
            pieces: self.pieces,
            seconds: f64::from(minutes) * 60.0 / f64::from(self.pieces),
        };
        shop.take_sample(&timed.recipe, sample);
    }
}
