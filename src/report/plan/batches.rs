//! A line a batch, what no plan can better, what would help.

use std::fmt;

use chrono::{NaiveDate, Weekday};
use schemars::JsonSchema;
use serde::{Serialize, Serializer};

use crate::plan::relief::{Help, Relief};
use crate::report::plan::{InWords, PlanReport};
use crate::report::{Page, Tone};
use crate::shop::plan::{
    BatchPlan, BoundBy, LimitedBy, MissedWindow, ReadyPlan, ShopPlan, StepPlan,
};
use crate::shop::setup::Purpose;
use crate::shop::{Count, Shop};
use crate::time::{Stamp, Viewpoint};

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct BatchLine {
    pub(crate) batch: String,
    /// When its last piece is ready; null where it has no lot and nothing to start.
    pub(crate) ready_at: Option<Stamp>,
    /// How many pieces are ready by when, in order of time.
    pub(crate) ready: Vec<ReadyPlan<Stamp>>,
    pub(crate) due: Option<String>,
    /// The date the customer would like.
    pub(crate) wanted: Option<NaiveDate>,
    /// Whole local days past it; negative is early.
    pub(crate) days_late: Option<i64>,
    /// hands, racks, drying, open hours, nothing.
    pub(crate) limited_by: &'static str,
    /// The rack, if it is one.
    pub(crate) limiting_rack: Option<String>,
    /// Pieces still to start.
    pub(crate) to_start: u32,
    /// "60 for Marlow Café, wanted Mon 19 Oct, due Mon 26 Oct".
    #[serde(skip)]
    order: String,
    /// Pieces that no rack will do for.
    #[serde(skip)]
    left_out: u32,
    /// Pieces held while less is planned than was ordered.
    #[serde(skip)]
    held: u32,
}

/// What no plan can better.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct BoundLine {
    /// With these lots no plan is ready before.
    pub(crate) ready_at: Stamp,
    /// How far the plan is from that, % of the time from now; null where a promised date binds.
    pub(crate) gap_percent: Option<f64>,
    /// With these lots no plan has fewer piece-days late.
    pub(crate) lateness: i64,
    /// path, hands, rack, nothing.
    pub(crate) because: &'static str,
    /// The lot or the rack.
    pub(crate) of: Option<String>,
}

impl BatchLine {
    /// The batches of a plan.
    pub(crate) fn of(plan: &ShopPlan, shop: &Shop, view: Viewpoint) -> Vec<Self> {
        plan.batches.iter().map(|batch| Self::new(batch, plan, shop, view)).collect()
    }

    fn new(batch: &BatchPlan, plan: &ShopPlan, shop: &Shop, view: Viewpoint) -> Self {
        let (limited_by, limiting_rack) = match &batch.limited_by {
            LimitedBy::Hands => ("hands", None),
            LimitedBy::Rack(rack) => ("racks", Some(rack.clone())),
            LimitedBy::OpenHours => ("open hours", None),
            LimitedBy::Drying => ("drying", None),
            LimitedBy::Nothing => ("nothing", None),
        };
        let words = |date| crate::time::words::date(date, view.now, view.zone);
        let known = shop.batches.get(&batch.batch);
        let left_out = plan.not_planned.iter().filter(|lot| lot.batch == batch.batch);
        let wanted = known.and_then(|order| order.wanted);
        let order = known.map_or_else(String::new, |order| {
            let customer = order.customer.as_ref();
            let customer = customer.map_or_else(String::new, |who| format!(" for {who}"));
            let wanted =
                wanted.map_or_else(String::new, |date| format!(", wanted {}", words(date)));
            let due = batch.due.map_or_else(String::new, |date| format!(", due {}", words(date)));
            format!("{}{customer}{wanted}{due}", order.pieces)
        });
        Self {
            batch: batch.batch.clone(),
            ready_at: batch.ready_at.map(|at| view.stamp(at)),
            ready: batch.ready.iter().map(|ready| ready.seen(view)).collect(),
            wanted,
            order,
            due: batch.due.map(|due| due.to_string()),
            days_late: batch.days_late,
            limited_by,
            limiting_rack,
            to_start: batch.to_start,
            left_out: left_out.map(|lot| lot.pieces).sum(),
            held: plan.held_back(batch, shop),
        }
    }

    /// "cups Fri 23 Oct, 3 days early"; none where nothing of it is to be done.
    pub(crate) fn in_short(&self) -> Option<String> {
        let late = Some(self.lateness()).filter(|late| !late.is_empty());
        let late = late.map_or_else(String::new, |late| format!(", {late}"));
        Some(format!("{} {}{late}", self.batch, self.ready_at?.date()))
    }

    /// "2 days LATE", "on the day", "1 day early".
    fn lateness(&self) -> String {
        match self.days_late {
            None => String::new(),
            Some(0) => "on the day".to_owned(),
            Some(days) if days > 0 => format!("{} LATE", Count(days, "day")),
            Some(days) => format!("{} early", Count(-days, "day")),
        }
    }

    fn limit(&self) -> String {
        match (&self.limiting_rack, self.limited_by) {
            (Some(rack), _) => format!("rack {rack}"),
            (None, "open hours") => "closed hours".to_owned(),
            (None, limit) => limit.to_owned(),
        }
    }

    /// Two lines a batch: what was ordered, and when it is ready.
    pub(crate) fn all(batches: &[Self], page: &mut Page) {
        let heads = batches.iter().map(|line| [line.batch.clone(), line.order.clone()]);
        let heads: Vec<[String; 2]> = heads.collect();
        let columns = page.columns(0, &heads);
        for (line, head) in batches.iter().zip(&heads) {
            page.row(Tone::Strong, 0, columns, head);
            let late = line.days_late.is_some_and(|days| days > 0);
            let (tone, indent) = (if late { Tone::Late } else { Tone::Plain }, columns.second());
            page.toned(tone, indent, indent + 2, &line.ready());
        }
    }

    /// "37 ready Fri 2 Oct, all Sat 17 Oct 10:30, 9 days early; held up by drying; 27 still to start".
    fn ready(&self) -> String {
        let Some(ready) = self.ready_at else {
            let pieces = |count| Count(count, "piece");
            return match (self.left_out, self.held) {
                (0, 0) => self.ready.last().map_or_else(
                    || "nothing to do".to_owned(),
                    |last| format!("all that was ordered is done; more ready {}", last.at.moment()),
                ),
                (0, held) => format!("no date: {} held", pieces(held)),
                (out, _) => format!("no date: {} not planned", pieces(out)),
            };
        };
        let lateness = match self.lateness() {
            none if none.is_empty() => none,
            some => format!(", {some}"),
        };
        let limit = match self.limit() {
            none if none == "nothing" => String::new(),
            limit => format!("; held up by {limit}"),
        };
        let start = match self.to_start {
            0 => String::new(),
            pieces => format!("; {} still to start, spares included", Count(pieces, "piece")),
        };
        let before = self.ready.iter().filter(|some| some.at.date() != ready.date());
        let before = before.take_while(|some| some.at.at() < ready.at()).collect::<Vec<_>>();
        // The last of a day tells of those before it.
        let days = before.chunk_by(|a, b| a.at.date() == b.at.date()).filter_map(<[_]>::last);
        let some = days.map(|some| format!("{} ready {}, ", some.pieces, some.at.date()));
        let some = some.collect::<Vec<_>>().concat();
        let ready = ready.moment();
        let planned = self.ready.last().filter(|_| self.held > 0);
        let all = match (planned, some.is_empty()) {
            (Some(planned), _) => format!("{} ready", planned.pieces),
            (None, true) => "all ready".to_owned(),
            (None, false) => "all".to_owned(),
        };
        let held =
            planned.map_or_else(String::new, |_| format!("; {} held", Count(self.held, "piece")));
        format!("{some}{all} {ready}{lateness}{limit}{start}{held}")
    }
}

impl BoundLine {
    pub(crate) fn new(plan: &ShopPlan, view: Viewpoint) -> Self {
        let (because, of) = match &plan.bound.by {
            BoundBy::Nothing => ("nothing", None),
            BoundBy::Path(lot) => ("path", Some(lot.clone())),
            BoundBy::Hands => ("hands", None),
            BoundBy::Rack(rack) => ("rack", Some(rack.clone())),
        };
        let hundredths = |gap: f64| (gap * 100.0).round() / 100.0;
        Self {
            ready_at: view.stamp(plan.bound.ready_at),
            gap_percent: plan.bound.gap_percent.map(hundredths),
            lateness: plan.bound.lateness,
            because,
            of,
        }
    }

    fn reason(&self) -> String {
        let of = self.of.as_deref().unwrap_or_default();
        match self.because {
            "path" => {
                format!(": the steps and rests of {of} alone take until then")
            }
            "hands" => ": the hands' work and the rests after it take until then".to_owned(),
            "rack" => format!(": the lots have to take turns on {of}"),
            _ => String::new(),
        }
    }

    /// The bound in a sentence or two.
    pub(super) fn text(&self, plan: &PlanReport, page: &mut Page) {
        if self.because == "nothing" {
            if !plan.not_planned.is_empty() {
                return;
            }
            let spares = "All that was ordered is done; what is left to do are spares.";
            page.say(if plan.steps.is_empty() { "Nothing to do." } else { spares });
            return;
        }
        let (bound, ready) = (self.ready_at.moment(), plan.ready_at.moment());
        let said = match self.gap_percent {
            Some(gap) if gap <= 0.0 => {
                format!("Nothing gets these lots ready sooner{}.", self.reason())
            }
            Some(gap) => format!(
                "Nothing gets these lots ready before {bound}{}. This plan is within {gap:.2} % of that.",
                self.reason()
            ),
            None if plan.lateness > 0 => {
                let least = match self.lateness {
                    0 => "A plan that's on time may exist: none was found, and none ruled out",
                    least if least == plan.lateness => "Nothing gets these lots less late",
                    _ => "Some of it is late whatever the plan",
                };
                format!("{least}. The last piece is ready {ready}.")
            }
            None => return page.hang(format!("The last piece is ready {ready}.")),
        };
        page.hang(as_taken(plan, &said));
    }
}

/// What is proved holds for the rooms as they are taken to be, where any is.
fn as_taken(plan: &PlanReport, said: &str) -> String {
    let mut letters = said.chars();
    match letters.next().filter(|_| !plan.rooms.is_empty()) {
        Some(first) => {
            let rest = letters.as_str();
            format!("As the rooms are taken to be, {}{rest}", first.to_lowercase())
        }
        None => said.to_owned(),
    }
}

impl InWords<MissedWindow<Stamp>> {
    /// The step that comes too late is planned too, and has its words from there.
    pub(crate) fn late(
        missed: &MissedWindow,
        steps: &[InWords<StepPlan<Stamp>>],
        view: Viewpoint,
    ) -> Self {
        let step = |step: &&InWords<StepPlan<Stamp>>| {
            step.plan.lot == missed.lot && step.plan.step == missed.step
        };
        let step = steps.iter().find(step);
        Self {
            plan: missed.seen(view),
            coat: step.and_then(|step| step.coat),
            words: step.map_or_else(|| missed.name.clone(), |step| step.words.clone()),
        }
    }

    /// All of them, before anything else.
    pub(crate) fn all(missed: &[Self], page: &mut Page) {
        if missed.is_empty() {
            return;
        }
        page.heading(Tone::Late, "NO PLAN KEEPS THESE WINDOWS");
        for line in missed {
            let text = if line.plan.coat {
                format!(
                    "{}  {}: abrade the film first, {} to {}",
                    line.plan.lot,
                    line.words,
                    line.plan.abrade_from.moment(),
                    line.plan.abrade_until.moment()
                )
            } else {
                format!(
                    "{}  {}: later than the recipe's rest allows, {}",
                    line.plan.lot,
                    line.words,
                    line.plan.abrade_until.moment()
                )
            };
            page.hanging(2, 6, &text);
        }
        page.gap();
    }
}

/// How much of what would help is said.
const HELPS: usize = 4;

impl fmt::Display for Help {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Rack { slots, purpose } => {
                let kind = if *purpose == Purpose::Cure { "curing" } else { "drying" };
                write!(f, "one more {kind} rack of {}", Count(*slots, "slot"))
            }
            Self::Saturday => f.write_str("one more hour on Saturdays"),
            Self::Morning(day, stretch) => write!(f, "open on {} {stretch}", weekdays(*day)),
            Self::Hand => f.write_str("one more hand"),
            Self::Warm { room, temp, instead } => {
                write!(f, "{room} at {temp:.0} instead of {instead:.0}")
            }
            Self::Fewer { batch, pieces, ordered } => {
                write!(f, "{pieces} of {batch} instead of {ordered}")
            }
            Self::Carried { lot, rack } => write!(f, "{lot} moved to {rack} now"),
            Self::Anew => f.write_str("another plan: tackfree plan --keep"),
        }
    }
}

impl Serialize for Help {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl Relief {
    pub(crate) fn all(reliefs: &[Self], page: &mut Page) {
        if reliefs.is_empty() {
            return;
        }
        page.section(Tone::Strong, "What would help");
        let row = |line: &Self| {
            let won = Count(line.days_won, "day");
            [
                line.what.to_string(),
                format!("{} {}, {won} sooner", line.batch, line.ready_at.date()),
            ]
        };
        let rows: Vec<[String; 2]> = reliefs.iter().take(HELPS).map(row).collect();
        page.rows(2, &rows);
    }
}

/// "Sundays".
const fn weekdays(day: Weekday) -> &'static str {
    match day {
        Weekday::Mon => "Mondays",
        Weekday::Tue => "Tuesdays",
        Weekday::Wed => "Wednesdays",
        Weekday::Thu => "Thursdays",
        Weekday::Fri => "Fridays",
        Weekday::Sat => "Saturdays",
        Weekday::Sun => "Sundays",
    }
}
