//! Soak groups of a lot: how its coat is worked so that every piece is wiped within the sheet's soak.

use chrono::TimeDelta;

use crate::craft::soak::{GroupTimes, Groups, Soak, SoakError};
use crate::shop::setup::{Step, StepWork};
use crate::shop::{Lot, Shop};
use crate::time::{Instant, Span};

/// Between the first start of wiping a group and the last: nobody hits a second (our choice).
const SLACK: TimeDelta = TimeDelta::minutes(1);

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct CoatWork {
    /// Applying, the soak and wiping.
    pub(crate) soak: Soak,
    /// The groups that the pieces make.
    pub(crate) groups: Groups,
}

/// One group of a coat that is begun.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SoakGroup {
    /// Which, from 1.
    pub number: u32,
    /// Of how many.
    pub of: u32,
    pub pieces: u32,
    /// When it begins, if the groups before it were worked without a pause.
    pub(crate) begins: Instant,
    /// When its pieces are to be wiped.
    pub times: GroupTimes,
}

impl CoatWork {
    /// Every group of a coat begun then, each straight after the one before it.
    pub(crate) fn schedule(&self, begun: Instant) -> Vec<SoakGroup> {
        let mut begins = begun;
        let mut schedule = Vec::new();
        for (number, pieces) in (1..).zip(self.groups.sizes()) {
            let Some(times) = self.soak.times(begins, pieces) else { break };
            schedule.push(SoakGroup { number, of: self.groups.count, pieces, begins, times });
            let wall = self
                .soak
                .groups(pieces)
                .map_or(Span::ZERO, |group| Span::seconds(group.wall().num_seconds()));
            begins = wall.after(begins);
        }
        schedule
    }
}

impl Shop {
    /// How a coat on so many pieces is worked; `None` for a step that isn't a coat, a finish that is not wiped, or one that
    /// the setup has no longer.
    pub(crate) fn coat_work(
        &self,
        step: &Step,
        pieces: u32,
    ) -> Option<Result<CoatWork, SoakError>> {
        let StepWork::Coat { finish, each, wipe } = &step.work else { return None };
        if wipe.is_zero() || pieces == 0 {
            return None;
        }
        let sheet = self.setup.as_ref()?.finish(finish)?.soak;
        let spans = [*each, *wipe, sheet.min, sheet.max].map(Span::as_delta);
        let [each, wipe, shortest, longest] = spans;
        match Soak::careful(each, wipe, shortest, longest) {
            Ok(soak) => {
                let soak = soak.leaving(SLACK);
                Some(Ok(CoatWork { soak, groups: soak.groups(pieces)? }))
            }
            Err(error) => Some(Err(error)),
        }
    }

    /// Hands' minutes by the recipe for a step on so many pieces, rounded up: for a coat with its groups, the waiting in
    /// them included.
    pub(crate) fn worked_minutes(&self, step: &Step, pieces: u32) -> u32 {
        match self.coat_work(step, pieces) {
            Some(Ok(work)) => u32::try_from(work.groups.minutes()).unwrap_or(u32::MAX),
            Some(Err(_)) | None => step.minutes(pieces),
        }
    }

    /// Of the groups of a lot's coat that is begun the one under way, if each is worked straight after the one before.
    pub(crate) fn group_under_way(&self, lot: &Lot, now: Instant) -> Option<SoakGroup> {
        let groups = self.groups_begun(lot)?;
        groups.iter().rev().find(|group| group.begins <= now).or(groups.first()).copied()
    }

    /// The groups of a lot's coat that is begun, if it can be worked in groups.
    pub fn groups_begun(&self, lot: &Lot) -> Option<Vec<SoakGroup>> {
        let (_, step) = lot.next_step()?;
        Some(self.coat_work(step, lot.pieces)?.ok()?.schedule(lot.begun?))
    }
}
