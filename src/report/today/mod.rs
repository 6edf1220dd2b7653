//! The day sheet: what is late, what comes now, the day's steps with clock times, what waits, what to lay out.

mod checks;
mod kit;
mod moves;
mod steps;

use chrono::{NaiveDate, Timelike as _};
use schemars::JsonSchema;
use serde::Serialize;

use crate::plan::carry_off::{CarryOff, carried_off};
use crate::plan::drift::Drift;
use crate::report::due::DueItem;
use crate::report::kit::KitShown;
use crate::report::ledger::Kept;
use crate::report::plan::{BatchLine, NotPlannedLine};
use crate::report::rags::{self, OpenRags};
use crate::report::rooms::RoomTaken;
use crate::report::{Page, Report, Tone};
use crate::shop::Shop;
use crate::shop::check::Check;
use crate::shop::due::{Action, Item, Urgency};
use crate::shop::join::ToJoin;
use crate::shop::plan::ShopPlan;
use crate::time::local::wall;
use crate::time::{Instant, Span, Stamp, Viewpoint, first_instant_of, local_date};

use kit::kit;
pub(crate) use moves::Move;
pub use steps::{Abrading, DayStep};

/// Open from then on a day is an evening.
const EVENING: u32 = 17;

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub struct Today {
    /// The moment it is made at.
    pub(crate) now: Stamp,
    /// The day it is for.
    pub(crate) date: String,
    /// When the shop is open that day.
    pub(crate) open: Vec<OpenLine>,
    /// What each room is taken to be.
    pub(crate) rooms: Vec<RoomTaken>,
    /// Whether it follows a kept plan.
    pub(crate) kept: bool,
    /// What comes before all else: what is late, what is begun, what is to be wiped now, what closes before its planned start.
    pub first: Vec<DueItem>,
    /// Coats that soak, to be wiped soon.
    pub soaking: Vec<DueItem>,
    /// The day's steps in order.
    pub steps: Vec<DayStep>,
    /// Films to abrade since their recoat window closes first.
    pub(crate) abrading: Vec<Abrading>,
    /// What to touch or read now, on the day itself.
    pub(crate) checks: Vec<Check>,
    /// Lots of a few pieces that may join another one now, on the day itself.
    pub(crate) joins: Vec<ToJoin>,
    /// What is moved to another rack; until it is recorded.
    pub(crate) carries: Vec<Move>,
    /// What has to be moved off a rack, so that others find their slots there.
    pub(crate) carries_off: Vec<CarryOff>,
    /// Lots that never get through their rests in the rooms as they are taken to be, and so are in no plan.
    pub(crate) not_planned: Vec<NotPlannedLine>,
    /// What waits all day, and until when.
    pub waits: Vec<DueItem>,
    /// What to lay out; null where nothing is needed.
    pub(crate) kit: Option<KitShown>,
    /// Rags not yet dealt with.
    pub(crate) rags: Vec<OpenRags>,
    /// What moved since the plan was kept.
    pub(crate) drift: Option<Drift>,
    /// Whether planning was cut short: it follows the best plan so far.
    pub(crate) cut_short: bool,
    /// When the history was last checked and backed up, where it ever was.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) history: Option<Kept>,
    /// Coats planned for the day in a room that is not fit for them.
    pub room_unfit: Vec<UnfitLine>,
    #[serde(skip)]
    batches: Vec<String>,
    #[serde(skip)]
    day: Day,
}

/// A coat that waits for its room.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub struct UnfitLine {
    pub lot: String,
    /// The step, from 1.
    pub(crate) step: u32,
    #[serde(skip)]
    words: String,
    /// The room and its air.
    pub(crate) room_unfit: String,
}

/// Open from when until when.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct OpenLine {
    pub(crate) from: Stamp,
    pub(crate) until: Stamp,
}

/// A local day as hands have it.
#[derive(Debug, Clone)]
struct Day {
    date: NaiveDate,
    from: Instant,
    /// The first moment of the next.
    until: Instant,
    open: Vec<(Instant, Instant)>,
    /// Whether it is the day on which the sheet is made.
    is_today: bool,
}

impl Day {
    fn new(shop: &Shop, date: NaiveDate, view: Viewpoint) -> Self {
        let from = first_instant_of(date, view.zone);
        let until = first_instant_of(date.succ_opt().unwrap_or(date), view.zone);
        let hours = shop.setup.as_ref().map(|setup| &setup.shop.hours);
        let open = hours.map_or_else(Vec::new, |hours| hours.stretches(view.zone, from, until));
        Self { date, from, until, open, is_today: local_date(view.now, view.zone) == date }
    }

    fn holds(&self, at: Instant) -> bool {
        self.from <= at && at < self.until
    }
}

impl Today {
    pub fn new(
        shop: &Shop,
        plan: &ShopPlan,
        drift: Option<&Drift>,
        date: NaiveDate,
        view: Viewpoint,
    ) -> Self {
        let day = Day::new(shop, date, view);
        let items = shop.due_by(Some(plan), view.now);
        let room_unfit = UnfitLine::all(shop, plan, &day, view);
        let steps = DayStep::all(shop, plan, &items, &room_unfit, &day, view);
        let planned_for = |item: &Item| {
            let of_item = |step: &&DayStep| {
                step.step.plan.lot == item.lot.to_string() && step.step.plan.step == item.step
            };
            steps.iter().find(of_item).map(|step| step.step.plan.start.at())
        };
        let checks = if day.is_today { shop.checks(view) } else { Vec::new() };
        let air_to_read = |item: &Item| {
            checks.iter().any(|check| matches!(check, Check::Air { lot, .. } if *lot == item.lot))
        };
        let first = |item: &Item| match (item.urgency, item.action) {
            (Urgency::Overdue, Action::Do) => item.unfit.is_none() && !air_to_read(item),
            (Urgency::Overdue, _) => true,
            (urgency, Action::Wipe | Action::Finish) => urgency != Urgency::Next,
            (Urgency::Closing, _) => planned_for(item) >= item.until || planned_for(item).is_none(),
            _ => false,
        };
        let (mut at_once, mut soaking, mut waits) = (Vec::new(), Vec::new(), Vec::new());
        for item in &items {
            let lot = item.lot.to_string();
            if day.is_today && first(item) {
                at_once.push(DueItem::new(item, view));
            } else if day.is_today && item.action == Action::Wipe {
                soaking.push(DueItem::new(item, view));
            } else if matches!(item.action, Action::Wipe | Action::Finish) {
                // Over by the day the sheet is for.
            } else if !steps.iter().any(|step| step.step.plan.lot == lot) {
                let mut all = plan.steps.iter();
                let planned = all.find(|step| step.lot == lot && step.step == item.step);
                let planned = planned.map(|step| view.stamp(step.start));
                waits.push(DueItem::planned(item, planned, view));
            }
        }
        // Said once.
        waits.retain(|item| !room_unfit.iter().any(|unfit| unfit.lot == item.lot));
        let abrading = Abrading::all(shop, plan, &day, view);
        let mut carries_off = carried_off(shop, plan, view);
        carries_off.retain(|off| off.by.day() == date);
        Self {
            now: view.stamp(view.now),
            date: date.to_string(),
            open: day
                .open
                .iter()
                .map(|(from, until)| OpenLine {
                    from: view.stamp(*from),
                    until: view.stamp(*until),
                })
                .collect(),
            rooms: RoomTaken::all(shop, view),
            kept: drift.is_some(),
            kit: kit(shop, plan, &abrading, &day, view),
            first: at_once,
            soaking,
            abrading,
            checks,
            joins: if day.is_today { shop.to_join(view.now) } else { Vec::new() },
            carries: Move::all(shop, plan, &day, view),
            carries_off,
            waits,
            room_unfit,
            not_planned: NotPlannedLine::all(plan),
            steps,
            rags: OpenRags::all(shop, view),
            drift: drift.cloned().filter(|drift| drift.dates_moved() || !drift.why.is_empty()),
            cut_short: false,
            history: None,
            batches: BatchLine::of(plan, shop, view)
                .iter()
                .filter_map(BatchLine::in_short)
                .collect(),
            day,
        }
    }

    /// "open 18:00-21:30, 2 h 10 m left".
    fn hours(&self) -> String {
        let hours: Vec<String> = self
            .open
            .iter()
            .map(|open| format!("{}-{}", open.from.clock(), open.until.clock()))
            .collect();
        if hours.is_empty() {
            return "closed".to_owned();
        }
        let now = self.now.at();
        let left = |(from, until): &(Instant, Instant)| {
            Span::between(now.max(*from), *until).as_seconds().max(0)
        };
        let left = Span::seconds(self.day.open.iter().map(left).sum());
        let left = match (self.day.is_today, left.is_zero()) {
            (false, _) => String::new(),
            (true, true) => ", over".to_owned(),
            (true, false) => format!(", {left} left"),
        };
        format!("open {}{left}", hours.join(", "))
    }

    fn head(&self, page: &mut Page) {
        let head = if self.day.is_today {
            self.now.in_full()
        } else {
            self.day.date.format("%a %-d %b %Y").to_string()
        };
        page.pair(0, &head, &self.hours());
        RoomTaken::text(&self.rooms, page);
        if self.cut_short {
            page.say("Cut short: the best plan so far.");
        }
        if let Some(drift) = self.drift.as_ref().filter(|drift| drift.dates_moved()) {
            page.section(Tone::Late, "DATES HAVE MOVED");
            drift.dates(page);
        }
    }

    /// What comes before all else, and how it is recorded.
    fn first(&self, page: &mut Page) {
        if self.first.is_empty() {
            return;
        }
        page.section(Tone::Strong, "NOW");
        let items: Vec<_> = self.first.iter().collect();
        DueItem::rows(&items, page, DueItem::below);
    }

    fn lines(&self, page: &mut Page) {
        let evening = self
            .open
            .first()
            .is_some_and(|open| wall(open.from.at(), open.from.zone()).hour() >= EVENING);
        let heading = match (self.day.is_today, evening) {
            (true, true) => "TONIGHT",
            (true, false) => "TODAY",
            (false, _) => "THAT DAY",
        };
        let mut lines: Vec<(Instant, u8, Line)> = Vec::new();
        // What a check finds may keep a lot where it is.
        lines.extend(self.checks.iter().map(|check| (self.now.at(), 0, Line::check(check))));
        lines.extend(self.carries_off.iter().map(|off| (off.by.at(), 1, Line::off(off))));
        lines.extend(self.joins.iter().map(|join| (self.now.at(), 1, Line::join(join))));
        lines.extend(self.carries.iter().map(|to| (to.from.at(), 2, to.line())));
        lines.extend(self.abrading.iter().map(|film| (film.from.at(), 3, film.line())));
        lines.extend(self.steps.iter().map(|step| (step.begins(), 4, step.line(&self.day))));
        lines.sort_by_key(|(at, kind, _)| (*at, *kind));
        if lines.is_empty() {
            let ships = self.waits.iter().any(DueItem::may_ship);
            if self.first.is_empty() && self.soaking.is_empty() && !ships {
                page.gap();
                page.say("Nothing to do by hand.");
            }
            return;
        }
        page.section(Tone::Strong, heading);
        let rows: Vec<_> = lines.iter().map(|(_, _, line)| line.parts.clone()).collect();
        let columns = page.columns(2, &rows);
        for (_, _, Line { parts, then }) in &lines {
            page.row(Tone::Plain, 2, columns, parts);
            for then in then.iter().flat_map(|then| then.lines()) {
                page.hanging(15, 17, then);
            }
        }
    }
}

/// One line of the day.
struct Line {
    /// When, which lot, what, how many pieces where, how long it may wait.
    parts: [String; 5],
    /// How it is recorded, where that is not the plain way: a line for each thing that may be found.
    then: Option<String>,
}

impl Report for Today {
    fn text(&self, page: &mut Page) {
        self.head(page);
        self.first(page);
        if !self.soaking.is_empty() {
            page.section(Tone::Strong, "NEXT");
            let items: Vec<_> = self.soaking.iter().collect();
            DueItem::rows(&items, page, |item, page| page.hanging(4, 6, item.when()));
        }
        self.lines(page);
        let (ships, waits): (Vec<_>, Vec<_>) = self.waits.iter().partition(|item| item.may_ship());
        if !ships.is_empty() {
            page.section(Tone::Strong, "MAY SHIP");
            DueItem::rows(&ships, page, DueItem::below);
        }
        NotPlannedLine::text(&self.not_planned, page);
        if !waits.is_empty() || !self.room_unfit.is_empty() {
            page.section(Tone::Strong, "NOT YET");
            for UnfitLine { lot, words, room_unfit, .. } in &self.room_unfit {
                page.hanging(2, 6, format!("{lot}  {words}: not while {room_unfit}"));
            }
            for item in waits {
                page.hanging(2, 6, format!("{}  {}: {}", item.lot, item.words, item.when()));
            }
        }
        if let Some(kit) = &self.kit {
            page.section(Tone::Strong, "GET READY");
            kit.in_short(page);
        }
        rags::remind(&self.rags, page);
        page.gap();
        let dates = self.batches.join("; ");
        match &self.drift {
            _ if !self.kept => {
                page.hang(
                    "No plan is kept: this follows a fresh one. Keep it: tackfree plan --keep",
                );
            }
            Some(drift) if drift.dates_moved() => {}
            _ if dates.is_empty() => page.say("The kept plan holds."),
            _ => page.hang(format!("The kept plan holds: {dates}")),
        }
        if let Some(history) = &self.history {
            page.gap();
            history.text(page);
        }
    }
}
