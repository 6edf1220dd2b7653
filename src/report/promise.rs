//! A promise, as it is shown: dates with their odds, what they rest on, what it does to what is promised already.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use crate::plan::engine::Minute;
use crate::plan::promise::{Ground, Odds, Promise};
use crate::report::plan::BoundLine;
use crate::report::rooms::RoomTaken;
use crate::report::{Page, Report, Tone, row};
use crate::shop::plan::ShopPlan;
use crate::shop::{Count, Shop};
use crate::time::{Stamp, Viewpoint, words};

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct PromiseReport {
    /// The moment it is made for.
    pub(crate) now: Stamp,
    /// The batch it is for; null for an order not yet taken.
    pub(crate) batch: Option<String>,
    /// Dates by their odds.
    pub(crate) ready_at: Dates,
    /// The share of runs in which it is ready by the end of the day of each date, 0 to 1: as large as its odds, or larger.
    pub(crate) by_that_day: Shares,
    /// When it is ready if all goes as planned.
    pub(crate) planned: Option<Stamp>,
    /// The date asked about or promised.
    pub(crate) due: Option<NaiveDate>,
    /// The share of runs in which that date is kept, 0 to 1.
    pub(crate) kept: Option<f64>,
    pub(crate) pieces_to_start: u32,
    /// What no plan can better, with these lots and if all goes as planned.
    pub(crate) bound: BoundLine,
    /// Batches promised already, with and without it.
    pub(crate) others: Vec<OtherBatch>,
    /// What each room is taken to be.
    pub(crate) rooms: Vec<RoomTaken>,
    /// What the odds rest on.
    pub(crate) rests_on: Vec<RestsOn>,
    /// How often it was planned.
    pub(crate) runs: usize,
    /// Runs that found no plan.
    pub(crate) without: usize,
    pub(crate) seed: u64,
    /// Whether it was cut short.
    pub(crate) cut_short: bool,
    /// How long it took.
    pub(crate) seconds: f64,
    /// "120 pieces by three coats".
    #[serde(skip)]
    asked: String,
}

/// Dates by their odds; null where no run found a plan.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Dates {
    /// In half of the runs it is ready by the end of that day, as nearly as a day can say.
    pub(crate) p50: Option<Stamp>,
    /// In four of five.
    pub(crate) p80: Option<Stamp>,
    /// In nineteen of twenty.
    pub(crate) p95: Option<Stamp>,
}

/// Of each date, as [`Dates`] names them.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Shares {
    pub(crate) p50: Option<f64>,
    pub(crate) p80: Option<f64>,
    pub(crate) p95: Option<f64>,
}

/// A batch promised already.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct OtherBatch {
    pub(crate) batch: String,
    pub(crate) due: Option<NaiveDate>,
    /// When it is ready without the order; null where it was not planned so.
    pub(crate) was: Option<Stamp>,
    /// When it is ready with it; null while it waits for pieces that are held.
    pub(crate) is: Option<Stamp>,
    /// Whole local days late with it; negative is early.
    pub(crate) days_late: Option<i64>,
    /// The share of runs in which it is late, 0 to 1; all of them while a promised one waits for pieces that are held.
    pub(crate) late: f64,
    /// Whether it waits for pieces that are held.
    #[serde(skip)]
    held: bool,
}

/// What a spread rests on.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct RestsOn {
    /// scrap, pace, rooms, lost days.
    pub(crate) what: &'static str,
    /// records, prior.
    pub(crate) ground: &'static str,
    /// How many records there are.
    pub(crate) records: usize,
    /// In words.
    pub(crate) says: String,
}

impl PromiseReport {
    /// Of a batch by its name in the plan, as if it were an order not yet taken; `without` is the plan that leaves it out.
    pub(crate) fn new(
        shop: &Shop,
        promise: &Promise,
        name: &str,
        without: Option<&ShopPlan>,
        view: Viewpoint,
    ) -> Self {
        let moment = |minute: Minute| view.stamp(promise.base.draft.origin.of(minute));
        let none = Odds { batch: String::new(), ready: Vec::new(), without: 0, late: 0 };
        let own = promise.odds.iter().find(|odds| odds.batch == name).unwrap_or(&none);
        let by = |share| own.by(share).map(moment);
        let even = own.even(|minute| moment(minute).day()).map(moment);
        let ready_at = Dates { p50: even, p80: by(0.8), p95: by(0.95) };
        let by_that_day = |date: Option<Stamp>| {
            let day = date?.day();
            let ready = own.ready.iter().filter(|minute| moment(**minute).day() <= day);
            Some(share(ready.count(), own.ready.len() + own.without))
        };
        let planned = promise.plan.batches.iter().find(|batch| batch.batch == name);
        let due = planned.and_then(|batch| batch.due);
        let others = promise.plan.batches.iter().filter(|batch| batch.batch != name);
        Self {
            now: view.stamp(view.now),
            batch: None,
            by_that_day: Shares {
                p50: by_that_day(ready_at.p50),
                p80: by_that_day(ready_at.p80),
                p95: by_that_day(ready_at.p95),
            },
            ready_at,
            planned: planned.and_then(|batch| batch.ready_at).map(|at| view.stamp(at)),
            due,
            kept: due.map(|_| 1.0 - share(own.late, promise.runs)),
            pieces_to_start: planned.map_or(0, |batch| batch.to_start),
            bound: BoundLine::new(&promise.plan, view),
            others: others
                .map(|batch| {
                    let before = without.and_then(|plan| {
                        plan.batches.iter().find(|other| other.batch == batch.batch)?.ready_at
                    });
                    let odds = promise.odds.iter().find(|odds| odds.batch == batch.batch);
                    let held = promise.plan.held_back(batch, shop) > 0;
                    OtherBatch {
                        batch: batch.batch.clone(),
                        due: batch.due,
                        was: before.map(|at| view.stamp(at)),
                        is: batch.ready_at.filter(|_| !held).map(|at| view.stamp(at)),
                        days_late: batch.days_late.filter(|_| !held),
                        late: if held {
                            f64::from(u8::from(batch.due.is_some()))
                        } else {
                            odds.map_or(0.0, |odds| share(odds.late, promise.runs))
                        },
                        held,
                    }
                })
                .collect(),
            rooms: RoomTaken::all(shop, view),
            rests_on: rests_on(promise),
            runs: promise.runs,
            without: own.without,
            seed: promise.plan.seed,
            cut_short: false,
            seconds: 0.0,
            asked: shop.batches.get(name).map_or_else(String::new, |batch| {
                format!("{}, {}", Count(batch.pieces, "piece"), batch.recipe)
            }),
        }
    }

    fn said(&self, date: NaiveDate) -> String {
        words::date(date, self.now.at(), self.now.zone())
    }

    fn row(&self, other: &OtherBatch) -> [String; 5] {
        let [was, is] = [other.was, other.is].map(|at| at.map(|at| at.date()));
        let late = if other.held {
            "no date: held".to_owned()
        } else {
            format!("{:.0} % of cases", other.late * 100.0)
        };
        row![other.batch, other.due.map(|due| self.said(due)), was, is, late]
    }

    /// The dates that can be said, the surest first.
    fn dates(&self, page: &mut Page) {
        let Dates { p50, p80, p95 } = &self.ready_at;
        let say = |date: &Option<Stamp>| {
            date.map_or_else(|| "no date: no plan was found".to_owned(), |at| at.date())
        };
        let mut rows = vec![
            row!["Say:", say(p95), "almost sure: 19 in 20"],
            row!["", say(p80), "likely: 4 in 5"],
            row!["", say(p50), "even odds"],
        ];
        rows.extend(self.planned.map(|at| row!["", at.date(), "if all goes as planned"]));
        let columns = page.columns(0, &rows);
        for (number, row) in rows.iter().enumerate() {
            page.row(if number == 0 { Tone::Strong } else { Tone::Plain }, 0, columns, row);
        }
        if let (Some(due), Some(kept)) = (self.due, self.kept) {
            let due = self.said(due);
            page.say(format!("{due} is kept in {:.0} % of cases.", kept * 100.0));
        }
    }
}

#[expect(clippy::cast_precision_loss, reason = "counts of runs")]
fn share(some: usize, all: usize) -> f64 {
    if all == 0 { 0.0 } else { (some as f64 / all as f64 * 1000.0).round() / 1000.0 }
}

fn rests_on(promise: &Promise) -> Vec<RestsOn> {
    // Records are only gone by once there are many: the plural is always right.
    let line = |what, ground: Ground, record: &'static str, prior: &str| {
        let (ground, records, says) = match ground {
            Ground::Records(count) => ("records", count, format!("from {count} {record}")),
            Ground::Prior(count) => {
                let guess = format!("{prior}, our guess until you have more history ({count})");
                ("prior", count, guess)
            }
        };
        RestsOn { what, ground, records, says: format!("{what}: {says}") }
    };
    let spreads = &promise.spreads;
    vec![
        line("scrap", spreads.scrap_ground, "pieces judged", "about 1 in 20"),
        line("pace", spreads.pace_ground, "lots timed", "a tenth up or down"),
        line(
            "rooms",
            spreads.rooms_ground,
            if spreads.rooms.follow_a_season() {
                "weeks of the log and the season"
            } else {
                "weeks of the log"
            },
            "perhaps a tenth slower than expected",
        ),
        line("lost days", spreads.lost_ground, "open days with work", "about 1 open day in 20"),
        line(
            "cure",
            spreads.cure_ground,
            "touch tests passed",
            "perhaps a tenth longer than the sheet says",
        ),
    ]
}

impl Report for PromiseReport {
    fn text(&self, page: &mut Page) {
        let what = match &self.batch {
            Some(batch) => format!("{batch}, {}", self.asked),
            None => self.asked.clone(),
        };
        page.heading(Tone::Strong, &format!("{what}, asked {}", self.now.in_full()));
        RoomTaken::text(&self.rooms, page);
        page.gap();
        self.dates(page);
        if self.pieces_to_start > 0 {
            let left = Count(self.pieces_to_start, "piece");
            page.say(format!("Start {left}, so that enough good ones come out."));
        }
        let as_taken = if self.rooms.iter().all(|room| room.read) {
            ""
        } else {
            " as the rooms are taken to be"
        };
        let bound = self.bound.ready_at.date();
        page.hang(format!(
            "Nothing gets all orders ready before {bound} with these lots{as_taken}."
        ));
        if !self.others.is_empty() {
            page.section(Tone::Strong, "Promises already given");
            let without = self.others.iter().any(|other| other.was.is_some());
            let rows = self.others.iter().map(|other| self.row(other));
            if without {
                page.table(["batch", "promised", "without it", "with it", "late in"], rows);
            } else {
                let rows =
                    rows.map(|[batch, promised, _, with, late]| [batch, promised, with, late]);
                page.table(["batch", "promised", "with it", "late in"], rows);
            }
        }
        page.gap();
        page.say(format!("Rests on {} over:", Count(self.runs as u64, "plan")));
        for line in &self.rests_on {
            page.item(&line.says);
        }
        if self.cut_short {
            page.say("Cut short: the odds so far.");
        }
    }
}
