//! What a person does with good advice: begins later than told, forgets to record until the evening, runs out of a can.

use chrono::{TimeDelta, Timelike as _};

use super::world::{Moment, World, day_of, draw};

/// The share of steps that are recorded in the evening.
const FORGOTTEN: f64 = 0.04;
/// The share of open hours at which he begins later than told.
const LATE: f64 = 0.12;
/// The share of coats at which the can turns out to be empty.
const EMPTY: f64 = 0.04;
/// The share of moments between steps at which he looks at all screens, besides each morning.
const CURIOUS: f64 = 0.04;
/// What is still to be recorded is recorded at this hour, or on the next morning.
const EVENING: u32 = 17;

/// Command lines that are to be recorded still, each with when it happened.
#[derive(Debug, Clone, Default)]
pub(crate) struct Unrecorded {
    lots: Vec<(String, Moment)>,
    lines: Vec<Vec<String>>,
}

impl Unrecorded {
    pub(crate) fn holds(&self, lot: &str) -> bool {
        self.lots.iter().any(|(name, _)| name == lot)
    }

    pub(crate) const fn is_empty(&self) -> bool {
        self.lots.is_empty()
    }

    /// Whether that step of a lot is one that he forgets to record.
    pub(crate) fn forgets(world: &World, lot: &str, step: u32) -> bool {
        draw(world.seed, &format!("forgets/{lot}"), u64::from(step)) < FORGOTTEN
    }

    pub(crate) fn keep(&mut self, lot: &str, at: Moment, lines: Vec<Vec<String>>) {
        self.lots.push((lot.to_owned(), at));
        self.lines.extend(lines);
    }

    /// The lines to record by then, in the order in which it happened.
    pub(crate) fn due(&mut self, at: Moment) -> Vec<Vec<String>> {
        let evening = at.hour() >= EVENING;
        if !self.lots.iter().any(|(_, then)| evening || day_of(*then) < day_of(at)) {
            return Vec::new();
        }
        self.all()
    }

    /// All lines, in the order in which it happened.
    pub(crate) fn all(&mut self) -> Vec<Vec<String>> {
        self.lots.clear();
        std::mem::take(&mut self.lines)
    }
}

/// By how much he begins later than told in that hour.
pub(crate) fn delay(world: &World, at: Moment) -> Option<TimeDelta> {
    let hour = at.timestamp().unsigned_abs() / 3600;
    let late = draw(world.seed, "late", hour) < LATE;
    late.then(|| TimeDelta::minutes(3 + (37.0 * draw(world.seed, "late by", hour)) as i64))
}

/// Whether the can is empty before that coat of a lot.
pub(crate) fn runs_out(world: &World, lot: &str, step: u32) -> bool {
    draw(world.seed, &format!("empty/{lot}"), u64::from(step)) < EMPTY
}

/// Whether he looks at all screens at that moment.
pub(crate) fn looks_round(world: &World, at: Moment) -> bool {
    draw(world.seed, "looks round", at.timestamp().unsigned_abs()) < CURIOUS
}
