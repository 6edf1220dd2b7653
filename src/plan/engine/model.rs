//! The problem as the construction works on it: everything is an activity, an arc or a hold.
//!
//! Shortest and longest waits are both arcs "this point is no earlier than that point plus so much",
//! so one least-fixed-point construction serves them all, and time reversed is a model of the same kind.

use super::calendar::Calendar;
use super::problem::Minute;
use super::profile::FAR;
use super::rate::Count;
use super::wait::Wait;

/// No activity, component or resource.
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
    /// Its length depends on the mode; `length` is then the least there is.
    pub(super) modal: Option<usize>,
}

/// A length that depends on the mode.
#[derive(Debug, Clone)]
pub(super) struct Mode {
    /// In order of time.
    pub(super) holds: Vec<usize>,
    /// The rate of each resource, or `NONE` where nothing counts.
    pub(super) rates: Vec<usize>,
    /// Billionths of a minute.
    pub(super) amount: i64,
    /// The rate while no resource is chosen: nothing is sooner on any, or no window longer.
    pub(super) relaxed: usize,
    /// A longest wait, not a shortest one.
    pub(super) window: bool,
}

/// How long a lag is.
#[derive(Debug, Clone, Copy)]
pub(super) enum Length {
    /// As long as the problem says.
    AsSaid,
    /// So long in every mode.
    Always(Minute),
    /// As long as this mode says.
    InMode(usize),
}

/// `to`'s point is no earlier than `from`'s point plus `gap`.
#[derive(Debug, Clone, Copy)]
pub(super) struct Arc {
    pub(super) from: usize,
    pub(super) from_end: bool,
    pub(super) to: usize,
    pub(super) to_end: bool,
    pub(super) gap: Minute,
    /// The gap depends on the mode; `gap` is then the least there is.
    pub(super) modal: Option<usize>,
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
    /// The hold before, whose resource may be kept.
    pub(super) follows: Option<usize>,
}

/// A longest wait that may be overrun.
#[derive(Debug, Clone, Copy)]
pub(super) struct Window {
    pub(super) lag: usize,
    pub(super) after: usize,
    /// Start of the longest wait, for those counted from a moment: latest start while kept.
    pub(super) ceiling: Option<Minute>,
    pub(super) extra: Minute,
    pub(super) wait: Wait,
    /// The activity that stands for the extras before `after`.
    pub(super) act: usize,
}

/// Activities that have to be placed together, since longest waits or holds tie them.
#[derive(Debug, Clone, Default)]
pub(super) struct Component {
    /// In an order in which each comes after those it waits for.
    pub(super) acts: Vec<usize>,
    pub(super) holds: Vec<usize>,
    pub(super) windows: Vec<usize>,
    /// Two of its activities may compete for a resource.
    pub(super) contended: bool,
    /// Nothing about it is open: it has begun at a given minute.
    pub(super) given: bool,
    /// It holds something that takes as long as the modes say and has begun.
    pub(super) begun: bool,
    /// How many other components it waits for, and which wait for it.
    pub(super) waits_for: usize,
    pub(super) next: Vec<usize>,
    /// The activities a search may order.
    pub(super) entries: Vec<usize>,
}

impl Component {
    /// Whether it stays where a plan has put it: it has begun, and read backwards would not end where it began.
    pub(super) const fn fixed(&self) -> bool {
        self.given || self.begun
    }
}

#[derive(Debug, Clone, Default)]
pub(super) struct Model {
    /// How many activities the problem has; extras come after them.
    pub(super) real: usize,
    pub(super) horizon: Minute,
    pub(super) calendars: Vec<Calendar>,
    pub(super) capacity: Vec<i64>,
    pub(super) counts: Vec<Count>,
    pub(super) modes: Vec<Mode>,
    /// For each hold its resources, each with the first on which time counts as it does there.
    pub(super) first_alike: Vec<Vec<(usize, usize)>>,
    pub(super) lag_lengths: Vec<Length>,
    pub(super) acts: Vec<Act>,
    pub(super) holds: Vec<Held>,
    pub(super) windows: Vec<Window>,
    pub(super) components: Vec<Component>,
    pub(super) component_of: Vec<usize>,
    /// For each component whether it has a transfer between resources on which time counts differently.
    pub(super) puts_off: Vec<bool>,
    /// Arcs into each activity, from its own component and from others.
    pub(super) inner: Vec<Vec<Arc>>,
    pub(super) outer: Vec<Vec<Arc>>,
    /// For each activity those of its component to look at again when it moves.
    pub(super) wakes: Vec<Vec<usize>>,
    /// The least way from each activity's start to the last end of its component.
    pub(super) ways: Vec<Minute>,
    /// Changes of place, which a search may want at once.
    pub(super) changes: Vec<usize>,
    /// For each activity the hold that follows another with it, or `NONE`; for each hold the one that follows it.
    pub(super) transfers: Vec<usize>,
    pub(super) follower: Vec<usize>,
    /// Windows counted from a moment, for each activity.
    pub(super) limits: Vec<Vec<usize>>,
    /// The activity that stands for the extras before each, or `NONE`.
    pub(super) extra_of: Vec<usize>,
}

impl Mode {
    /// What an arc of this length asks from a point on, at a rate.
    pub(super) fn counted(&self, count: &Count, point: Minute) -> Minute {
        if self.window { count.back(point, self.amount) } else { count.reach(point, self.amount) }
    }

    /// The rate on a resource; none where nothing counts there.
    pub(super) fn rate_on(&self, resource: usize) -> Option<usize> {
        self.rates.get(resource).copied().filter(|&rate| rate != NONE)
    }
}

impl Model {
    /// The first resource of a hold on which time counts as on this; `NONE` where the hold can't take it.
    pub(super) fn first_alike(&self, hold: usize, resource: usize) -> usize {
        let mut firsts = self.first_alike.get(hold).into_iter().flatten();
        firsts.find(|pair| pair.0 == resource).map_or(NONE, |pair| pair.1)
    }

    /// Whether time counts on the resource of one hold as on that of the next.
    pub(super) fn counts_alike(
        &self,
        (from, on): (usize, usize),
        (to, next): (usize, usize),
    ) -> bool {
        let mut both =
            self.modes.iter().filter(|m| m.holds.contains(&from) && m.holds.contains(&to));
        both.all(|mode| mode.rate_on(on) == mode.rate_on(next))
    }

    /// Whether the activity is an extra.
    pub(super) fn is_extra(&self, act: usize) -> bool {
        act >= self.real
    }

    /// The first start at or after `t` that the activity's hours allow, and its end.
    pub(super) fn first(&self, act: usize, t: Minute, length: Minute) -> Option<(Minute, Minute)> {
        let a = &self.acts[act];
        match (a.calendar, a.modal) {
            // Where it may be no transfer at all, hours say nothing.
            (Some(_), _) if self.transfers[act] != NONE => Some((t, t + length)),
            (Some(calendar), _) => self.calendars[calendar].first(t, length, a.unbroken),
            (None, Some(mode)) => Some((t, self.soonest_in(mode, t))),
            (None, None) => Some((t, t + length)),
        }
    }

    /// The first minute at which what a mode asks for has been counted from `t` on, wherever that is soonest.
    pub(super) fn soonest_in(&self, mode: usize, t: Minute) -> Minute {
        let mode = &self.modes[mode];
        self.counts[mode.relaxed].reach(t, mode.amount)
    }

    /// A start before which the activity does not reach `end`.
    pub(super) fn start_for_end(&self, act: usize, end: Minute, length: Minute) -> Minute {
        let a = &self.acts[act];
        match (a.calendar, a.modal) {
            (Some(_), _) if self.transfers[act] != NONE => end - length,
            (Some(calendar), _) => self.calendars[calendar].start_for_end(end, length),
            // Its length is not known.
            (None, Some(_)) => -FAR,
            (None, None) => end - length,
        }
    }

    /// The start of `arc.to` that the arc asks for, given the minute of its other point.
    pub(super) fn asks(&self, arc: &Arc, point: Minute, length: Minute) -> Minute {
        let bound = match arc.open {
            Some(calendar) => {
                let hours = &self.calendars[calendar];
                hours.closing(hours.open_before(point)).unwrap_or(point).min(point)
            }
            None => match arc.modal {
                Some(mode) => {
                    let mode = &self.modes[mode];
                    mode.counted(&self.counts[mode.relaxed], point)
                }
                None => point + arc.gap,
            },
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
