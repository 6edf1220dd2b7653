//! The problem as the construction works on it: everything is an activity, an arc or a hold.
//!
//! Shortest and longest waits are both arcs "this point is no earlier than that point plus so much",
//! so one least-fixed-point construction serves them all, and time reversed is a model of the same kind.

use super::calendar::Calendar;
use super::problem::Minute;
use super::profile::FAR;

/// No activity, item or resource.
pub(super) const NONE: usize = usize::MAX;

/// An activity; those from [`Model::real`] on are the extras of overrun lags.
#[derive(Debug, Clone)]
pub(super) struct Act {
    pub(super) length: Minute,
    pub(super) calendar: Option<usize>,
    pub(super) unbroken: bool,
    pub(super) needs: Vec<(usize, i64)>,
    /// Earliest start.
    pub(super) floor: Minute,
    /// Latest start.
    pub(super) ceiling: Minute,
}

/// `to`'s point is no earlier than `from`'s point plus `gap`.
#[derive(Debug, Clone, Copy)]
pub(super) struct Arc {
    pub(super) from: usize,
    pub(super) from_end: bool,
    pub(super) to: usize,
    pub(super) to_end: bool,
    pub(super) gap: Minute,
    /// Compared in open minutes of this calendar (an extra lies straight before its activity).
    pub(super) open: Option<usize>,
    pub(super) guard: Guard,
}

/// When an arc counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Guard {
    Always,
    /// While this soft lag is kept.
    Kept(usize),
    /// While this activity, an extra, takes place.
    Extra(usize),
    /// While this change of place is to follow at once.
    AtOnce(usize),
}

/// One end of a hold: a moment, or a point of an activity with a distance.
#[derive(Debug, Clone, Copy)]
pub(super) enum Edge {
    At(Minute),
    Point(usize, Minute),
}

/// A resource taken from `start(from) - lead` to `end(to) + plus`.
#[derive(Debug, Clone)]
pub(super) struct Held {
    pub(super) units: i64,
    /// Those large enough, the smallest first.
    pub(super) any_of: Vec<usize>,
    pub(super) from: Edge,
    pub(super) to: Edge,
}

/// A longest wait that may be overrun.
#[derive(Debug, Clone, Copy)]
pub(super) struct Window {
    pub(super) lag: usize,
    pub(super) after: usize,
    /// Start of the longest wait, for those counted from a moment: latest start while kept.
    pub(super) ceiling: Option<Minute>,
    pub(super) extra: Minute,
    /// The activity that stands for the extras before `after`.
    pub(super) act: usize,
}

/// Activities that have to be placed together, since longest waits or holds tie them.
#[derive(Debug, Clone, Default)]
pub(super) struct Item {
    /// In an order in which each comes after those it waits for.
    pub(super) acts: Vec<usize>,
    pub(super) holds: Vec<usize>,
    pub(super) windows: Vec<usize>,
    /// Two of its activities may compete for a resource.
    pub(super) tangled: bool,
    /// Nothing about it is open: it has begun at a given minute.
    pub(super) given: bool,
    /// How many other items it waits for, and which wait for it.
    pub(super) waits_for: usize,
    pub(super) next: Vec<usize>,
    /// The activities a search may order.
    pub(super) entries: Vec<usize>,
}

#[derive(Debug, Clone, Default)]
pub(super) struct Model {
    /// How many activities the problem has; extras come after them.
    pub(super) real: usize,
    pub(super) horizon: Minute,
    pub(super) calendars: Vec<Calendar>,
    pub(super) capacity: Vec<i64>,
    pub(super) acts: Vec<Act>,
    pub(super) holds: Vec<Held>,
    pub(super) windows: Vec<Window>,
    pub(super) items: Vec<Item>,
    pub(super) item_of: Vec<usize>,
    /// Arcs into each activity, from its own item and from others.
    pub(super) inner: Vec<Vec<Arc>>,
    pub(super) outer: Vec<Vec<Arc>>,
    /// Changes of place, which a search may want at once.
    pub(super) changes: Vec<usize>,
    /// Windows counted from a moment, for each activity.
    pub(super) limits: Vec<Vec<usize>>,
    /// The activity that stands for the extras before each, or `NONE`.
    pub(super) extra_of: Vec<usize>,
}

impl Model {
    /// Whether the activity is an extra.
    pub(super) fn is_extra(&self, act: usize) -> bool {
        act >= self.real
    }

    /// The first start at or after `t` that the activity's hours allow, and its end.
    pub(super) fn first(&self, act: usize, t: Minute, length: Minute) -> Option<(Minute, Minute)> {
        let a = &self.acts[act];
        match a.calendar {
            Some(calendar) => self.calendars[calendar].first(t, length, a.unbroken),
            None => Some((t, t + length)),
        }
    }

    /// A start before which the activity does not reach `end`.
    pub(super) fn start_for_end(&self, act: usize, end: Minute, length: Minute) -> Minute {
        match self.acts[act].calendar {
            Some(calendar) => self.calendars[calendar].start_for_end(end, length),
            None => end - length,
        }
    }

    /// The start of `arc.to` that the arc asks for, given the minute of its other point.
    pub(super) fn asks(&self, arc: &Arc, point: Minute, length: Minute) -> Minute {
        let bound = match arc.open {
            Some(calendar) => {
                let hours = &self.calendars[calendar];
                hours.closing(hours.open_before(point)).unwrap_or(point).min(point)
            }
            None => point + arc.gap,
        };
        if arc.to_end { self.start_for_end(arc.to, bound, length) } else { bound }
    }

    /// Every arc.
    pub(super) fn arcs(&self) -> impl Iterator<Item = &Arc> {
        self.inner.iter().chain(&self.outer).flatten()
    }

    /// The latest start while the windows that are not in `missed` are kept.
    pub(super) fn ceiling(&self, act: usize, missed: &[bool]) -> Minute {
        let mut ceiling = self.acts[act].ceiling;
        for &window in &self.limits[act] {
            if !missed[window] {
                ceiling = ceiling.min(self.windows[window].ceiling.unwrap_or(FAR));
            }
        }
        ceiling
    }
}
