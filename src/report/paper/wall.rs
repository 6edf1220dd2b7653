//! `wall`: the wall chart. Racks and hands by the plan, what cures, the rooms' air, what is promised, what to do next; a
//! table behind each picture for who doesn't see it.

mod chart;
mod next;
mod rooms;

use chrono::NaiveDate;
use maud::{Markup, html};
use schemars::JsonSchema;
use serde::Serialize;

use super::{page, typed};
use crate::report::cure::CureShown;
use crate::report::due::DueItem;
use crate::report::rags::OpenRags;
use crate::report::today::{Move, Today};
use crate::report::{Page, Report};
use crate::shop::plan::{ShopPlan, StayPlan, StepPlan};
use crate::shop::{Count, Shop};
use crate::time::{Instant, Span, Stamp, Viewpoint, first_instant_of, local_date};
use rooms::WallRoom;

const RULES: [&str; 3] =
    [include_str!("paper.css"), include_str!("wall.css"), "@page{size:420mm 297mm;margin:6mm}"];

/// A page that the timer writes loads itself again so often, in seconds.
const RELOAD: u32 = 60;

/// `wall`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Wall {
    /// The moment it speaks of.
    pub(crate) now: Stamp,
    pub(crate) shop: String,
    /// Where it was written.
    pub(crate) file: Option<String>,
    /// Whether the timer goes on writing it.
    pub(crate) keep: bool,
    /// The last moment drawn.
    pub(crate) until: Stamp,
    pub(crate) open: Vec<Stretch>,
    /// What comes before all else: what is late, begun, or to be wiped.
    pub(crate) first: Vec<DueItem>,
    /// Lots to move to another rack today.
    pub(crate) moves: Vec<Move>,
    /// Rags not yet dealt with.
    pub(crate) rags: Vec<OpenRags>,
    /// What hands do, in order of time.
    pub(crate) steps: Vec<WallStep>,
    /// Where lots stand.
    pub(crate) stays: Vec<StayPlan<Stamp>>,
    pub(crate) curing: Vec<WallCure>,
    pub(crate) rooms: Vec<WallRoom>,
    pub(crate) promised: Vec<Promised>,
    /// Every rack of the setup.
    pub(crate) racks: Vec<String>,
    /// The first moment drawn.
    pub(crate) from: Stamp,
}

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Stretch {
    pub(crate) from: Stamp,
    pub(crate) until: Stamp,
}

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct WallStep {
    #[serde(flatten)]
    pub(crate) step: StepPlan<Stamp>,
    /// What a person is told.
    pub(crate) words: String,
}

/// A lot after its last coat.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct WallCure {
    pub(crate) lot: String,
    pub(crate) pieces: u32,
    pub(crate) rack: Option<String>,
    pub(crate) age_hours: f64,
    pub(crate) needs_hours: f64,
    /// When it is there; null where the room never lets it come.
    pub(crate) ready_at: Option<Stamp>,
    /// Whether something of it was not read.
    pub(crate) assumed: bool,
}

/// A batch and the date promised for it.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Promised {
    pub(crate) batch: String,
    #[serde(rename = "for")]
    pub(crate) customer: Option<String>,
    pub(crate) due: NaiveDate,
    pub(crate) ready_at: Option<Stamp>,
    /// Whole local days to spare; negative is late.
    pub(crate) days_to_spare: Option<i64>,
}

impl Wall {
    /// The chart of so many days from the first moment of today.
    pub(crate) fn new(shop: &Shop, plan: &ShopPlan, days: u32, view: Viewpoint) -> Self {
        let first = first_instant_of(local_date(view.now, view.zone), view.zone);
        let last = local_date(first, view.zone)
            .checked_add_days(chrono::Days::new(days.into()))
            .map_or(first, |date| first_instant_of(date, view.zone));
        let setup = shop.setup.as_ref();
        let open = setup.map(|setup| setup.shop.hours.stretches(view.zone, first, last));
        let open = open
            .into_iter()
            .flatten()
            .map(|(from, until)| Stretch { from: view.stamp(from), until: view.stamp(until) });
        let shown = |from: Instant, until: Instant| from < last && until > first;
        let steps = plan.steps.iter().filter(|step| shown(step.start, step.end));
        let stays = plan.stays.iter().filter(|stay| shown(stay.from, stay.until));
        let today = Today::new(shop, plan, None, local_date(view.now, view.zone), view);
        let promised = shop.batches.values().filter(|batch| batch.closed.is_none());
        Self {
            now: view.stamp(view.now),
            shop: setup.map_or_else(|| "tackfree".to_owned(), |setup| setup.shop.name.clone()),
            file: None,
            keep: false,
            until: view.stamp(last),
            open: open.collect(),
            first: today.first.into_iter().chain(today.soaking).collect(),
            moves: today.carries,
            rags: today.rags,
            steps: steps
                .map(|step| WallStep { step: step.seen(view), words: shop.planned_words(step) })
                .collect(),
            stays: stays.map(|stay| stay.seen(view)).collect(),
            curing: shop
                .open_lots()
                .filter_map(|lot| curing(&CureShown::new(shop, lot, view)))
                .collect(),
            rooms: WallRoom::all(shop, view),
            promised: promised
                .filter_map(|batch| {
                    let planned = plan.batches.iter().find(|planned| planned.batch == batch.name);
                    Some(Promised {
                        batch: batch.name.clone(),
                        customer: batch.customer.clone(),
                        due: batch.due?,
                        ready_at: planned.and_then(|b| b.ready_at).map(|at| view.stamp(at)),
                        days_to_spare: planned.and_then(|b| b.days_late).map(|late| -late),
                    })
                })
                .collect(),
            racks: setup
                .iter()
                .flat_map(|setup| &setup.racks)
                .map(|rack| rack.name.clone())
                .collect(),
            from: view.stamp(first),
        }
    }

    pub(crate) fn html(&self) -> String {
        let body = html! {
            main {
                header {
                    h1 { (typed(&self.shop)) }
                    p { "As of " b { (full(&self.now)) } }
                }
                (self.next())
                (self.rags())
                section {
                    h2 { "Hands and racks" }
                    div.scroll tabindex="0" role="region" aria-label="Hands and racks" { (chart::plan(self)) }
                    (self.plan_table())
                }
                (self.curing())
                @for room in &self.rooms { (room.html(self.now)) }
                (self.promises())
            }
        };
        // One that nobody writes anew has nothing to load.
        let reload = self.keep.then_some(RELOAD);
        page(&format!("Wall chart: {}", self.shop), &RULES, reload, &body)
    }

    fn plan_table(&self) -> Markup {
        html! {
            details.data {
                summary { "The same as a table" }
                table {
                    thead { tr { th { "Lot" } th { "What" } th { "Pieces" } th { "From" } th { "Until" } } }
                    tbody {
                        @for WallStep { step, words } in &self.steps { tr {
                            td { (typed(&step.lot)) } td { (typed(words)) } td { (step.pieces) }
                            td { (full(&step.start)) } td { (full(&step.end)) }
                        } }
                        @for stay in &self.stays { tr {
                            td { (typed(&stay.lot)) }
                            td { (if stay.cures { "cures on " } else { "dries on " }) (typed(&stay.rack)) }
                            td { (stay.pieces) } td { (full(&stay.from)) } td { (full(&stay.until)) }
                        } }
                    }
                }
            }
        }
    }

    fn curing(&self) -> Markup {
        html! {
            @if !self.curing.is_empty() { section {
                h2 { "Curing" }
                div.scroll tabindex="0" role="region" aria-label="Curing" { (chart::curing(self)) }
                details.data {
                    summary { "The same as a table" }
                    table {
                        thead { tr { th { "Lot" } th { "Pieces" } th { "Age" } th { "Needs" } th { "Reached" } } }
                        tbody { @for lot in &self.curing { tr {
                            td { (typed(&lot.lot)) } td { (lot.pieces) }
                            td { (days(lot.age_hours)) } td { (days(lot.needs_hours)) } td { (lot.reached()) }
                        } } }
                    }
                }
            } }
        }
    }

    fn promises(&self) -> Markup {
        html! {
            @if !self.promised.is_empty() { section {
                h2 { "Promised" }
                table {
                    thead { tr { th { "Batch" } th { "For" } th { "Due" } th { "Ready" } th { "To spare" } } }
                    tbody { @for batch in &self.promised { tr {
                        td { (typed(&batch.batch)) }
                        td { (typed(batch.customer.as_deref().unwrap_or_default())) }
                        td { (batch.due.format("%a %-d %b %Y").to_string()) }
                        td { @if let Some(at) = &batch.ready_at { (full(at)) } }
                        td.late[batch.days_to_spare.is_some_and(|days| days < 0)] {
                            @match batch.days_to_spare {
                                Some(days @ ..0) => { (Count(days.unsigned_abs(), "day")) " LATE" }
                                Some(days) => { (Count(days.unsigned_abs(), "day")) }
                                None => {}
                            }
                        }
                    } } }
                }
            } }
        }
    }
}

fn curing(cure: &CureShown) -> Option<WallCure> {
    use crate::report::cure::Phase;
    if !matches!(cure.phase, Phase::Cure | Phase::Rest) {
        return None;
    }
    Some(WallCure {
        lot: cure.lot.clone(),
        pieces: cure.pieces,
        rack: cure.rack.clone(),
        age_hours: cure.age_hours?,
        needs_hours: cure.needs_hours?,
        ready_at: cure.ready_at,
        assumed: cure.unread.is_some(),
    })
}

impl WallCure {
    fn reached(&self) -> String {
        let assumed = if self.assumed { ", in part assumed" } else { "" };
        match &self.ready_at {
            Some(at) => format!("{}{assumed}", full(at)),
            None => "not while the room stays as it is".to_owned(),
        }
    }
}

/// "day 8.1".
fn days(hours: f64) -> String {
    format!("{:.1} d", hours / 24.0)
}

/// A moment as it reads on any day.
fn full(stamp: &Stamp) -> String {
    format!("{} {}", stamp.day().format("%a %-d %b"), stamp.clock())
}

/// The time alone where it is today's.
fn clock(stamp: &Stamp, now: &Stamp) -> String {
    if stamp.day() == now.day() {
        stamp.clock()
    } else {
        format!("{} {}", stamp.weekday(), stamp.clock())
    }
}

/// Whole minutes from one moment to another.
fn minutes(from: Instant, until: Instant) -> f64 {
    Span::between(from, until).as_hours() * 60.0
}

impl Report for Wall {
    fn text(&self, page: &mut Page) {
        let place = self.file.as_deref().unwrap_or("the screen");
        page.hang(format!("Wrote the wall chart to {place}."));
        if self.keep {
            page.hang("The timer writes it again when something changes: tackfree remind install. Stop: tackfree wall --stop");
            if cfg!(unix) {
                let line = format!(
                    "A new file is yours alone to read. For a tablet that reads it as somebody else: chmod a+r {place}"
                );
                page.hang(&line);
            }
        }
    }
}
