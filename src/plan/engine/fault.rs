//! What a problem may not contain, found before anything is computed.

use super::problem::{Problem, Since};

/// The largest moment or length, in minutes (about 190 years); sums of many stay far inside an `i64`.
pub(super) const MOST_MINUTES: i64 = 100_000_000;
const MOST_UNITS: i64 = 1_000_000_000;
const MOST_WEIGHT: i64 = 1_000_000;
const MOST_THINGS: usize = 100_000;

/// A part of a problem that makes no sense. The numbers are places in the problem's lists.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Fault {
    /// The format is one this engine does not read.
    #[error("format {found}: expected 1")]
    Format { found: u32 },
    /// More entries than the engine takes.
    #[error("{count} {list}: at most {most}")]
    TooMany {
        list: List,
        /// How many were found.
        count: usize,
        /// How many are taken.
        most: usize,
    },
    /// An entry points at something that is not there.
    #[error("{list} {index}: there's no entry {found} among the {among}")]
    Unknown {
        /// The list of the entry.
        list: List,
        index: usize,
        /// The list it points into.
        among: List,
        /// The place it names.
        found: usize,
    },
    /// A number outside what it can be.
    #[error("{list} {index}: {what} is {found}, expected {least} to {most}")]
    OutOfRange {
        /// The list of the entry (the problem itself: `List::Problem`, place 0).
        list: List,
        index: usize,
        what: &'static str,
        found: i64,
        least: i64,
        most: i64,
    },
    /// Open stretches that are empty, touch, overlap or stand in the wrong order.
    #[error(
        "calendars {index}: stretch {stretch} does not come after the one before it, or is empty"
    )]
    Unordered { index: usize, stretch: usize },
    /// A lag with neither or both of `before` and `at`.
    #[error("lags {index}: exactly one of before and at is wanted")]
    NoStart { index: usize },
    /// A lag between an activity and itself.
    #[error("lags {index}: before and after are the same activity")]
    ToItself { index: usize },
    /// A soft lag without a longest wait.
    #[error("lags {index}: soft without max")]
    SoftWithoutMax { index: usize },
    /// A hold that names no resource, or a job without activities.
    #[error("{list} {index}: empty")]
    Empty { list: List, index: usize },
}

/// A list of a problem.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum List {
    /// The problem's own fields.
    Problem,
    Calendars,
    Resources,
    Activities,
    Lags,
    Holds,
    Jobs,
    Interchangeable,
}

impl std::fmt::Display for List {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Problem => "problem",
            Self::Calendars => "calendars",
            Self::Resources => "resources",
            Self::Activities => "activities",
            Self::Lags => "lags",
            Self::Holds => "holds",
            Self::Jobs => "jobs",
            Self::Interchangeable => "alike",
        })
    }
}

impl Problem {
    /// Everything that is wrong with the problem, in the order of its lists.
    pub(crate) fn faults(&self) -> Vec<Fault> {
        let mut found = Inspection { problem: self, faults: Vec::new() };
        found.whole();
        if found.faults.is_empty() {
            found.calendars();
            found.resources();
            found.activities();
            found.lags();
            found.holds();
            found.jobs();
        }
        found.faults
    }
}

struct Inspection<'p> {
    problem: &'p Problem,
    faults: Vec<Fault>,
}

impl Inspection<'_> {
    fn whole(&mut self) {
        let p = self.problem;
        if p.format != 1 {
            self.faults.push(Fault::Format { found: p.format });
        }
        let counts = [
            (List::Calendars, p.calendars.len()),
            (List::Resources, p.resources.len()),
            (List::Activities, p.activities.len()),
            (List::Lags, p.lags.len()),
            (List::Holds, p.holds.len()),
            (List::Jobs, p.jobs.len()),
        ];
        for (list, count) in counts {
            if count > MOST_THINGS {
                self.faults.push(Fault::TooMany { list, count, most: MOST_THINGS });
            }
        }
        self.moment(List::Problem, 0, "now", p.now);
        self.moment(List::Problem, 0, "horizon", p.horizon);
    }

    fn calendars(&mut self) {
        for (index, calendar) in self.problem.calendars.iter().enumerate() {
            let mut last = None;
            for (stretch, &(from, to)) in calendar.open.iter().enumerate() {
                self.moment(List::Calendars, index, "from", Some(from));
                self.moment(List::Calendars, index, "to", Some(to));
                if to <= from || last.is_some_and(|end| from <= end) {
                    self.faults.push(Fault::Unordered { index, stretch });
                }
                last = Some(to);
            }
        }
    }

    fn resources(&mut self) {
        for (index, resource) in self.problem.resources.iter().enumerate() {
            self.range(List::Resources, index, "capacity", resource.capacity, 0, MOST_UNITS);
        }
    }

    fn activities(&mut self) {
        for (index, activity) in self.problem.activities.iter().enumerate() {
            let list = List::Activities;
            self.range(list, index, "duration", activity.duration, 0, MOST_MINUTES);
            self.moment(list, index, "earliest", activity.earliest);
            self.moment(list, index, "latest", activity.latest);
            if let Some(calendar) = activity.calendar {
                self.known(list, index, List::Calendars, calendar);
            }
            for &(resource, units) in &activity.needs {
                self.known(list, index, List::Resources, resource);
                self.range(list, index, "units", units, 0, MOST_UNITS);
            }
        }
    }

    fn lags(&mut self) {
        for (index, lag) in self.problem.lags.iter().enumerate() {
            let list = List::Lags;
            self.known(list, index, List::Activities, lag.after);
            if lag.before.is_some() == lag.at.is_some() {
                self.faults.push(Fault::NoStart { index });
            }
            if let Some(before) = lag.before {
                self.known(list, index, List::Activities, before);
                if before == lag.after {
                    self.faults.push(Fault::ToItself { index });
                }
            }
            self.moment(list, index, "at", lag.at);
            self.moment(list, index, "min", lag.min);
            self.moment(list, index, "max", lag.max);
            if let Some(soft) = lag.soft {
                self.range(list, index, "extra", soft.extra, 0, MOST_MINUTES);
                if lag.max.is_none() {
                    self.faults.push(Fault::SoftWithoutMax { index });
                }
            }
        }
    }

    fn holds(&mut self) {
        for (index, hold) in self.problem.holds.iter().enumerate() {
            let list = List::Holds;
            self.range(list, index, "units", hold.units, 0, MOST_UNITS);
            if hold.any_of.is_empty() {
                self.faults.push(Fault::Empty { list, index });
            }
            for &resource in &hold.any_of {
                self.known(list, index, List::Resources, resource);
            }
            match hold.since {
                Since::Start(activity) => self.known(list, index, List::Activities, activity),
                Since::At(at) => self.moment(list, index, "at", Some(at)),
            }
            self.known(list, index, List::Activities, hold.until.end);
            self.moment(list, index, "plus", Some(hold.until.plus));
        }
    }

    fn jobs(&mut self) {
        for (index, job) in self.problem.jobs.iter().enumerate() {
            if job.activities.is_empty() {
                self.faults.push(Fault::Empty { list: List::Jobs, index });
            }
            for &activity in &job.activities {
                self.known(List::Jobs, index, List::Activities, activity);
            }
            self.moment(List::Jobs, index, "due", job.due);
            self.range(List::Jobs, index, "weight", job.weight.unwrap_or(1), 0, MOST_WEIGHT);
        }
        for (index, group) in self.problem.interchangeable.iter().enumerate() {
            for &job in group {
                self.known(List::Interchangeable, index, List::Jobs, job);
            }
        }
    }

    fn known(&mut self, list: List, index: usize, among: List, found: usize) {
        let count = match among {
            List::Calendars => self.problem.calendars.len(),
            List::Resources => self.problem.resources.len(),
            List::Activities => self.problem.activities.len(),
            _ => self.problem.jobs.len(),
        };
        if found >= count {
            self.faults.push(Fault::Unknown { list, index, among, found });
        }
    }

    fn moment(&mut self, list: List, index: usize, what: &'static str, found: Option<i64>) {
        if let Some(found) = found {
            self.range(list, index, what, found, -MOST_MINUTES, MOST_MINUTES);
        }
    }

    fn range(
        &mut self,
        list: List,
        index: usize,
        what: &'static str,
        found: i64,
        least: i64,
        most: i64,
    ) {
        if !(least..=most).contains(&found) {
            self.faults.push(Fault::OutOfRange { list, index, what, found, least, most });
        }
    }
}
