//! What the engine is asked: activities, calendars, resources, lags, holds and jobs, as plain data.
//!
//! The structure is the JSON document field by field; what a document may not contain is found by
//! [`Problem::faults`]. Every time is a whole minute counted from the problem's origin.

use serde::{Deserialize, Serialize};

/// A moment or a length in whole minutes.
pub type Minute = i64;

#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Problem {
    /// Version of the format; 1.
    pub format: u32,
    /// What the problem is called; not used.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// The instant of minute 0 in RFC 3339; not used by the engine.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub origin: Option<String>,
    /// The minute before which nothing new starts (0 when left out).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub now: Option<Minute>,
    /// The last minute: everything ends by then. Left out, the engine makes it large enough.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub horizon: Option<Minute>,
    /// Open hours.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub calendars: Vec<OpenHours>,
    /// Hands, places, machines alike.
    #[serde(default)]
    pub resources: Vec<Resource>,
    /// Rates at which time counts, for what takes longer in one mode than in another.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rates: Vec<Rate>,
    /// What is to be done.
    pub activities: Vec<Activity>,
    /// The shortest and longest waits between activities.
    #[serde(default)]
    pub lags: Vec<Lag>,
    /// Resources taken over several activities.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub holds: Vec<Hold>,
    /// Activities that belong together, with the date they are due.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub jobs: Vec<Job>,
    /// Jobs that are wanted together, of which some may be spare.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub demands: Vec<Demand>,
    /// Lists of jobs that are interchangeable.
    #[serde(rename = "alike", default, skip_serializing_if = "Vec::is_empty")]
    pub interchangeable: Vec<Vec<usize>>,
    /// What counts, the weightiest first; [`Objective::DEFAULT`] when empty.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub objective: Vec<Objective>,
    /// What a test expects; not used by the engine.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub expect: Option<Expect>,
}

/// When a calendar is open.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct OpenHours {
    /// What it is called; not used.
    #[serde(default)]
    pub name: String,
    /// Half-open stretches `[from, to)`, in order and not touching.
    pub open: Vec<(Minute, Minute)>,
}

/// Something of which only so many units can be in use at once.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Resource {
    /// What it is called; not used.
    #[serde(default)]
    pub name: String,
    /// The most units in use at once.
    pub capacity: i64,
}

/// How much a minute counts for, from each minute named on; before the first of them as from it on.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Rate {
    /// What it is called; not used.
    #[serde(default)]
    pub name: String,
    /// Minute and billionths of a minute, in order of time.
    pub steps: Vec<(Minute, i64)>,
}

/// What makes a length depend on the mode: it is counted at the rate of the resource on which a hold lasts.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Modal {
    /// One hold, or two of which the second follows the first: then at the rate of each while it lasts.
    pub holds: Vec<usize>,
    /// Resource and rate; on any other resource nothing counts.
    pub rates: Vec<(usize, usize)>,
    /// Billionths of a minute of the length that have passed before.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub passed: i64,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks for a reference")]
const fn is_zero(number: &i64) -> bool {
    *number == 0
}

/// Something that takes time.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Activity {
    /// What it is called; not used.
    #[serde(default)]
    pub name: String,
    /// Minutes; with a calendar only open minutes count.
    pub duration: Minute,
    /// The calendar it keeps to; without one it runs through.
    #[serde(default)]
    pub calendar: Option<usize>,
    /// May run on across a closing time; otherwise it lies in one open stretch.
    #[serde(default = "yes")]
    pub pausable: bool,
    /// Resource and units, taken from start to end.
    #[serde(default)]
    pub needs: Vec<(usize, i64)>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub earliest: Option<Minute>,
    /// The latest start. Before `now`, it says that the activity has begun.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub latest: Option<Minute>,
    /// Makes the duration depend on the mode; only without a calendar.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub modal: Option<Modal>,
}

const fn yes() -> bool {
    true
}

/// A wait between two activities, or after a moment.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Lag {
    /// The activity that comes first; `at` stands in its place for something already past.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub before: Option<usize>,
    /// The moment from which the wait is counted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<Minute>,
    /// The activity whose start waits.
    pub after: usize,
    /// From which end of `before` the wait is counted.
    #[serde(default, skip_serializing_if = "Of::is_end")]
    pub of: Of,
    /// No sooner than this; may be negative.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub min: Option<Minute>,
    /// No later than this.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub max: Option<Minute>,
    /// At what price the longest wait may be overrun.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub soft: Option<Soft>,
    /// Makes `min` or `max`, whichever the lag has, depend on the mode.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub modal: Option<Modal>,
}

/// The end of an activity from which a wait is counted.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Of {
    #[default]
    End,
    Start,
}

impl Of {
    #[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks for a reference")]
    fn is_end(&self) -> bool {
        *self == Self::End
    }
}

/// The price of an overrun: one miss, and an extra activity straight before the late one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Soft {
    /// Minutes of the extra activity, in the calendar and with the needs of the late one.
    pub extra: Minute,
}

/// One of several resources taken from one activity to another.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Hold {
    pub units: i64,
    /// The resources to choose from; one of them throughout, with room for the units even where the hold
    /// turns out to last no time.
    pub any_of: Vec<usize>,
    pub since: Since,
    pub until: Until,
    /// The hold that ends with the activity with which this one begins. The resource of that one may be kept: then nothing
    /// is transferred, and the activity between them keeps to no hours.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub follows: Option<usize>,
}

/// Where a hold begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Since {
    /// With the start of an activity.
    Start(usize),
    /// At a moment: it is there already.
    At(Minute),
}

/// Where a hold ends: so many minutes after the end of an activity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Until {
    pub end: usize,
    /// Minutes after its end.
    #[serde(default)]
    pub plus: Minute,
}

/// Activities with one date.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Job {
    /// What it is called; not used.
    #[serde(default)]
    pub name: String,
    /// Its activities in order; it is done when the last of them ends.
    pub activities: Vec<usize>,
    /// The first minute that counts as late; each further 1,440 minutes begun are one more day.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub due: Option<Minute>,
    /// The same for the date wished, which counts after the date due.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wish: Option<Minute>,
    /// When it was promised, from where the time until the due minute is counted (0 when left out).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub promised: Option<Minute>,
    /// What a day late costs (1 when left out).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub weight: Option<i64>,
}

/// Jobs of which so much weight is wanted, in the order in which they are done; the rest holds no date.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Demand {
    pub jobs: Vec<usize>,
    pub wanted: i64,
}

/// One thing that counts in a plan; less is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Objective {
    /// How many soft lags are overrun.
    #[serde(rename = "misses")]
    Violations,
    /// By how many minutes in all they are overrun.
    Overrun,
    /// Days late × weight, over all jobs, halved for each month that the due minute lies ahead; with the days past seven eighths
    /// of the time from the promise until then counted a third, and those past three quarters a sixth (choices).
    Discounted,
    /// Days late × weight, over all jobs.
    #[serde(rename = "lateness")]
    WeightedTardiness,
    /// Days past the dates wished × weight, over all jobs.
    Wishes,
    /// The minute at which the last activity ends; with demands, at which all of them are met.
    Makespan,
    /// Minutes between the end of a wait and the start it allows × weight.
    #[serde(rename = "idle")]
    WaitingTime,
}

impl Objective {
    /// The order when a problem names none.
    pub const DEFAULT: [Self; 4] =
        [Self::Violations, Self::WeightedTardiness, Self::Makespan, Self::WaitingTime];
}

/// What is known about a problem, for tests.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Expect {
    /// The least makespan there is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub optimum: Option<Minute>,
    /// A makespan that can be reached.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at_most: Option<Minute>,
    /// There is no plan.
    #[serde(default)]
    pub infeasible: bool,
    /// What a bound has to show.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bound_at_least: Option<Minute>,
}
