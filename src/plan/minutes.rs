//! The shop's instants and open hours as the engine's whole minutes.

use chrono::TimeDelta;

use crate::plan::engine::{Minute, OpenHours};
use crate::shop::setup::Workshop;
use crate::time::{Instant, Span};

/// Minute 0 of a plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Origin(Instant);

impl Origin {
    /// The first whole minute not before an instant.
    pub(crate) fn at(now: Instant) -> Self {
        let over = now.timestamp().rem_euclid(60);
        let up = if over == 0 { 0 } else { 60 - over };
        Self(Span::seconds(up).after(now))
    }

    /// The instant of minute 0.
    pub(crate) const fn instant(self) -> Instant {
        self.0
    }

    /// The first whole minute not before an instant.
    pub(crate) fn no_sooner(self, at: Instant) -> Minute {
        let seconds = at.signed_duration_since(self.0).num_seconds();
        seconds.div_euclid(60) + Minute::from(seconds.rem_euclid(60) > 0)
    }

    /// The last whole minute not after an instant.
    pub(crate) fn no_later(self, at: Instant) -> Minute {
        at.signed_duration_since(self.0).num_seconds().div_euclid(60)
    }

    /// The instant of a minute; the calendar's end for one beyond it.
    pub(crate) fn of(self, minute: Minute) -> Instant {
        let span = TimeDelta::try_minutes(minute);
        span.and_then(|span| self.0.checked_add_signed(span)).unwrap_or(Instant::MAX_UTC)
    }

    /// The shop's open hours from minute 0 to a horizon.
    pub(crate) fn open_hours(self, workshop: &Workshop, horizon: Minute) -> OpenHours {
        let until = self.of(horizon);
        let stretches = workshop.hours.stretches(workshop.zone, self.0, until);
        let mut open: Vec<(Minute, Minute)> = Vec::new();
        for (from, to) in stretches {
            let (from, to) = (self.no_sooner(from), self.no_later(to));
            match open.last_mut() {
                Some(last) if last.1 >= from => last.1 = last.1.max(to),
                _ if from < to => open.push((from, to)),
                _ => {}
            }
        }
        OpenHours { name: workshop.name.clone(), open }
    }
}

/// A span in whole minutes, rounded up: no sooner.
pub(crate) fn up(span: Span) -> Minute {
    span.minutes_up()
}

/// A span in whole minutes, rounded down: no later.
pub(crate) fn down(span: Span) -> Minute {
    span.as_seconds().div_euclid(60)
}
