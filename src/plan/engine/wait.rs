//! A shortest or longest wait as it is counted, from one point of a plan to the minute at which it is over.

use super::model::{Length, NONE};
use super::problem::{Lag, Minute, Of};
use super::schedule::Schedule;

#[derive(Debug, Clone, Copy)]
pub(super) struct Wait {
    /// The activity it is counted from, or `NONE` for minute 0.
    before: usize,
    from_end: bool,
    minutes: Minute,
    /// The mode its length depends on, or `NONE`.
    mode: usize,
}

impl Wait {
    /// One of a lag's two, with the minutes that the lag names.
    pub(super) fn new(lag: &Lag, minutes: Minute, length: Length) -> Self {
        let (minutes, mode) = match length {
            Length::AsSaid => (minutes, NONE),
            Length::Always(fixed) => (fixed, NONE),
            Length::InMode(mode) => (minutes, mode),
        };
        let minutes = minutes + lag.at.unwrap_or(0);
        let (before, from_end) = (lag.before.unwrap_or(NONE), lag.of == Of::End);
        Self { before, from_end, minutes, mode }
    }

    /// The minute it is counted from.
    fn point(&self, plan: &Schedule<'_>) -> Minute {
        match self.before {
            NONE => 0,
            before if self.from_end => plan.end[before],
            before => plan.start[before],
        }
    }

    /// The minute at which it is over.
    pub(super) fn over(&self, plan: &Schedule<'_>) -> Minute {
        let point = self.point(plan);
        match self.mode {
            NONE => point + self.minutes,
            mode => plan.until_in(mode, point),
        }
    }

    /// The minute at which it could be over where time counts fastest: what takes longer elsewhere is waited, too.
    pub(super) fn soonest_over(&self, plan: &Schedule<'_>) -> Minute {
        let point = self.point(plan);
        match self.mode {
            NONE => point + self.minutes,
            mode => plan.model.soonest_in(mode, point),
        }
    }
}
