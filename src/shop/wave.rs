//! Soak waves of a lot: how its coat is worked so that every piece is wiped within the sheet's soak.

use crate::craft::soak::{Soak, SoakError, WaveTimes, Waves};
use crate::shop::Shop;
use crate::shop::lot::Lot;
use crate::shop::setup::{Step, StepWork};
use crate::time::{Instant, Span};

/// How a coat is worked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CoatWork {
    /// Applying, the soak and wiping.
    pub soak: Soak,
    /// The waves that the pieces make.
    pub waves: Waves,
}

/// One wave of a coat that is begun.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wave {
    /// Which, from 1.
    pub number: u32,
    /// Of how many.
    pub of: u32,
    pub pieces: u32,
    /// When it begins, if the waves before it were worked without a pause.
    pub begins: Instant,
    /// When its pieces are to be wiped.
    pub times: WaveTimes,
}

impl CoatWork {
    /// Every wave of a coat begun then, each straight after the one before it.
    pub fn schedule(&self, begun: Instant) -> Vec<Wave> {
        let mut begins = begun;
        let mut schedule = Vec::new();
        for (number, pieces) in (1..).zip(self.waves.sizes()) {
            let Some(times) = self.soak.times(begins, pieces) else { break };
            schedule.push(Wave { number, of: self.waves.count, pieces, begins, times });
            let wall = self
                .soak
                .waves(pieces)
                .map_or(Span::ZERO, |wave| Span::seconds(wave.wall().num_seconds()));
            begins = wall.after(begins);
        }
        schedule
    }
}

impl Shop {
    /// How a coat on so many pieces is worked; `None` for a step that is no coat, a finish that is not wiped, or one that
    /// the setup has no longer.
    pub fn coat_work(&self, step: &Step, pieces: u32) -> Option<Result<CoatWork, SoakError>> {
        let StepWork::Coat { finish, each, wipe } = &step.work else { return None };
        if wipe.is_zero() || pieces == 0 {
            return None;
        }
        let sheet = self.setup.as_ref()?.finish(finish)?.soak;
        let spans = [*each, *wipe, sheet.min, sheet.max].map(Span::as_delta);
        let [each, wipe, shortest, longest] = spans;
        match Soak::careful(each, wipe, shortest, longest) {
            Ok(soak) => Some(Ok(CoatWork { soak, waves: soak.waves(pieces)? })),
            Err(error) => Some(Err(error)),
        }
    }

    /// Hands' minutes by the recipe for a step on so many pieces, rounded up: for a coat with its waves, the waiting in
    /// them included.
    pub fn worked_minutes(&self, step: &Step, pieces: u32) -> u32 {
        match self.coat_work(step, pieces) {
            Some(Ok(work)) => u32::try_from(work.waves.minutes()).unwrap_or(u32::MAX),
            Some(Err(_)) | None => step.minutes(pieces),
        }
    }

    /// The waves of a lot's coat that is begun, if it can be worked in waves.
    pub fn waves_begun(&self, lot: &Lot) -> Option<Vec<Wave>> {
        let (_, step) = lot.next_step()?;
        Some(self.coat_work(step, lot.pieces)?.ok()?.schedule(lot.begun?))
    }
}
