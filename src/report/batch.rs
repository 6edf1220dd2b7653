//! Batches, as they are shown.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use crate::report::lot::{LotLine, LotList};
use crate::report::quote::Quote;
use crate::report::spares::BatchSpares;
use crate::report::{Page, Report, Tone, row};
use crate::shop::due_date::DueRemark;
use crate::shop::{Batch, Count, Shop, Subject, SubjectKind};
use crate::time::{Stamp, Viewpoint, words};

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct BatchLine {
    pub(crate) batch: String,
    pub(crate) recipe: String,
    /// Good pieces promised.
    pub(crate) pieces: u32,
    pub(crate) due: Option<NaiveDate>,
    #[serde(rename = "for")]
    pub(crate) customer: Option<String>,
    /// The date the customer would like.
    pub(crate) wanted: Option<NaiveDate>,
    /// open, closed or cancelled.
    pub(crate) state: &'static str,
    /// When it was opened.
    pub(crate) opened: Stamp,
    /// Pieces started.
    pub(crate) started: u32,
    /// Pieces in hand.
    pub(crate) in_hand: u32,
    /// Pieces thrown out.
    pub(crate) rejected: u32,
    /// Pieces shipped.
    pub(crate) shipped: u32,
    /// Pieces of those that came back.
    pub(crate) returned: u32,
    /// Why it was cancelled.
    pub(crate) cancelled: Option<String>,
    /// Pieces that would have to be started yet to make the number, if none fails.
    pub(crate) to_start: u32,
    #[serde(skip)]
    due_words: String,
}

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct BatchList {
    /// By name.
    pub(crate) batches: Vec<BatchLine>,
}

/// `batch show`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct BatchShown {
    #[serde(flatten)]
    pub(crate) line: BatchLine,
    /// Its lots, those that are over too.
    pub(crate) lots: Vec<LotLine>,
    /// What was written down about it.
    pub(crate) notes: Vec<String>,
    /// How it stands towards its promise; null where that can't be reckoned.
    pub(crate) spares: Option<BatchSpares>,
    /// What it costs to make; left out where the setup says nothing of costs.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) cost: Option<Quote>,
    #[serde(skip)]
    now: Stamp,
}

impl BatchLine {
    pub(crate) fn new(shop: &Shop, batch: &Batch, view: Viewpoint) -> Self {
        let in_hand = shop.in_hand(&batch.name);
        Self {
            batch: batch.name.clone(),
            recipe: batch.recipe.clone(),
            pieces: batch.pieces,
            due: batch.due,
            customer: batch.customer.clone(),
            wanted: batch.wanted,
            state: match (batch.closed, &batch.cancelled) {
                (None, _) => "open",
                (Some(_), None) => "closed",
                (Some(_), Some(_)) => "cancelled",
            },
            opened: view.stamp(batch.opened),
            started: batch.started,
            in_hand,
            rejected: batch.rejected,
            shipped: batch.shipped,
            returned: batch.returned,
            cancelled: batch.cancelled.clone(),
            to_start: batch.pieces.saturating_sub(in_hand.saturating_add(batch.gone())),
            due_words: batch
                .due
                .map_or_else(String::new, |due| words::date(due, view.now, view.zone)),
        }
    }
}

impl BatchShown {
    pub(crate) fn new(
        shop: &Shop,
        batch: &Batch,
        view: Viewpoint,
        spares: Option<BatchSpares>,
        cost: Option<Quote>,
    ) -> Self {
        let lots = shop.lots.values().filter(|lot| lot.name.batch == batch.name);
        Self {
            line: BatchLine::new(shop, batch, view),
            lots: lots.map(|lot| LotLine::new(shop, lot, view)).collect(),
            notes: notes(shop, &Subject::new(SubjectKind::Batch, &batch.name)),
            spares: spares.filter(|_| batch.closed.is_none()),
            cost: cost.filter(Quote::says_anything),
            now: view.stamp(view.now),
        }
    }
}

impl Report for BatchList {
    fn text(&self, page: &mut Page) {
        if self.batches.is_empty() {
            page.say(
                "No open batches. Open one: tackfree batch open NAME --recipe RECIPE --pieces N",
            );
            return;
        }
        let row = |batch: &BatchLine| {
            let BatchLine {
                batch, pieces, in_hand, rejected, shipped, due_words, customer, ..
            } = batch;
            row![batch, pieces, in_hand, rejected, shipped, due_words, customer]
        };
        page.table(
            ["batch", "pieces", "in hand", "rejected", "shipped", "due", "for"],
            self.batches.iter().map(row),
        );
    }
}

impl Report for BatchShown {
    fn text(&self, page: &mut Page) {
        let line = &self.line;
        page.heading(Tone::Strong, &format!("{}  {}", line.batch, line.state));
        let due = if line.due_words.is_empty() {
            String::new()
        } else {
            format!(", due {}", line.due_words)
        };
        let customer = line.customer.as_ref().map_or_else(String::new, |who| format!(" for {who}"));
        let pieces = Count(line.pieces, "piece");
        page.item(format!("{pieces}{customer}{due}; recipe {}", line.recipe));
        let back = match line.returned {
            0 => String::new(),
            back => format!(", {back} of them came back"),
        };
        page.under(format!(
            "{} started: {} in hand, {} rejected, {} shipped{back}",
            line.started, line.in_hand, line.rejected, line.shipped
        ));
        if let Some(why) = &line.cancelled {
            page.item(format!("cancelled: {why}"));
        }
        for note in &self.notes {
            page.item(format!("note: {note}"));
        }
        if line.to_start > 0 && line.state == "open" {
            let spares = self.spares.as_ref().map(|spares| &spares.answer);
            let with = spares.filter(|spares| spares.start > line.to_start).map(|spares| {
                let blanks =
                    spares.blanks.map(|blanks| format!(", from {}", Count(blanks, "blank")));
                let sure = format!("to be {} % sure of enough", spares.sure_percent);
                format!("; start {} {sure}{}", spares.start, blanks.unwrap_or_default())
            });
            let more = with.unwrap_or_else(|| ", more if some fail".to_owned());
            page.item(format!("{} still to start{more}", Count(line.to_start, "piece")));
        }
        if let Some(warning) = self.spares.as_ref().and_then(BatchSpares::warning) {
            page.item(format!("! {warning}"));
        }
        if !self.lots.is_empty() {
            page.gap();
            LotList { now: self.now, lots: self.lots.clone() }.text(page);
        }
        if let Some(cost) = &self.cost {
            page.gap();
            cost.text(page);
        }
    }
}

/// What was written down about something.
pub(crate) fn notes(shop: &Shop, about: &Subject) -> Vec<String> {
    let notes = shop.notes.get(about).into_iter().flatten();
    notes.map(|note| note.text.clone()).collect()
}

/// What is odd about a promised date, in words.
pub(crate) fn due_remark(remark: DueRemark) -> String {
    let day = |day: NaiveDate| day.format("%a %-d %b %Y").to_string();
    match remark {
        DueRemark::Past(due) => format!("! due {} is past", day(due)),
        DueRemark::BeforeWanted(due, wanted) => format!(
            "! due {}, sooner than wanted ({}): are the two swapped?",
            day(due),
            day(wanted)
        ),
        DueRemark::Closed(due) => format!("! the shop is closed on {}, the due date", day(due)),
        DueRemark::SoonerThanRests(due, earliest) => format!(
            "! due {}, but the rests and the cure alone take until {} by the sheet",
            day(due),
            day(earliest)
        ),
    }
}
