//! Lots, as they are shown.

use std::fmt;

use schemars::JsonSchema;
use serde::Serialize;

use crate::report::batch::notes;
use crate::report::due::DueItem;
use crate::report::ledger::EntryLine;
use crate::report::{Page, Report, Tone, row};
use crate::shop::due::{Action, Urgency};
use crate::shop::lot::{Flag, TouchTest};
use crate::shop::refusal::Wait;
use crate::shop::setup::recipe::CoatNumber;
use crate::shop::{Count, Entry, Lot, Shop, Subject, SubjectKind};
use crate::time::{Stamp, Viewpoint, words};

/// One line of `lot list`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct LotLine {
    pub(crate) lot: String,
    pub(crate) batch: String,
    /// Pieces in hand.
    pub(crate) pieces: u32,
    pub(crate) rack: Option<String>,
    /// The next step, from 1.
    pub(crate) step: u32,
    /// What a person calls it.
    pub(crate) name: String,
    #[serde(flatten)]
    pub(crate) coat: Option<CoatNumber>,
    #[serde(skip)]
    pub(crate) words: String,
    /// held, soaking, begun, overdue, ready, resting, curing, to ship, finished.
    pub(crate) state: &'static str,
    /// When the next step may be begun, where the lot stands or where `once_on` says.
    pub(crate) ready_at: Option<Stamp>,
    /// The rack to which the kept plan moves it before, where it would be later without.
    pub(crate) once_on: Option<String>,
    /// By when it must be.
    pub(crate) until: Option<Stamp>,
    /// What was recorded against the rules.
    pub(crate) flags: Vec<Flag>,
}

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct LotList {
    /// The moment it speaks of.
    pub(crate) now: Stamp,
    /// By name.
    pub(crate) lots: Vec<LotLine>,
}

/// `lot show`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct LotShown {
    #[serde(flatten)]
    pub(crate) line: LotLine,
    /// The recipe it keeps.
    pub(crate) recipe: String,
    /// That recipe's revision.
    pub(crate) revision: u32,
    /// The lot it was split from.
    pub(crate) split_from: Option<String>,
    /// Lots that go on in it.
    pub(crate) joined: Vec<String>,
    /// Whether it was sent back to an earlier step.
    pub(crate) worked_again: bool,
    pub(crate) notes: Vec<String>,
    /// Why it is held.
    pub(crate) held: Option<String>,
    /// Every step: done, next, or to come.
    pub(crate) steps: Vec<StepLine>,
    /// Touch tests.
    pub(crate) touches: Vec<TouchLine>,
    /// Its entries, oldest first.
    pub(crate) entries: Vec<EntryLine>,
    #[serde(skip)]
    next: Option<DueItem>,
    /// ", for Marlow Café, due Mon 26 Oct".
    #[serde(skip)]
    order: String,
}

/// One step of a lot.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct StepLine {
    /// From 1.
    pub(crate) step: u32,
    /// What a person calls it.
    pub(crate) name: String,
    #[serde(flatten)]
    pub(crate) coat: Option<CoatNumber>,
    #[serde(skip)]
    words: String,
    /// When it was done.
    pub(crate) done: Option<Stamp>,
    /// Done before the lot was recorded, nobody knows when.
    pub(crate) not_recorded: bool,
    /// The can a coat came from.
    pub(crate) can: Option<String>,
}

/// One touch test.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct TouchLine {
    pub(crate) at: Stamp,
    pub(crate) stage: &'static str,
}

impl TouchLine {
    pub(crate) fn new(test: &TouchTest, view: Viewpoint) -> Self {
        Self { at: view.stamp(test.at), stage: test.stage.word() }
    }
}

/// "tacky today 10:00".
impl fmt::Display for TouchLine {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.stage, self.at.moment())
    }
}

impl LotLine {
    pub(crate) fn new(shop: &Shop, lot: &Lot, view: Viewpoint) -> Self {
        let item = shop.next_item(lot, view.now);
        let state = if lot.pieces == 0 {
            "finished"
        } else if lot.held.is_some() {
            "held"
        } else {
            match (item.action, item.wait) {
                _ if item.urgency == Urgency::Overdue => "overdue",
                (Action::Wipe, _) => "soaking",
                (Action::Finish, _) => "begun",
                (_, Some(Wait::Cure)) if !item.open && item.origin.only_rests.is_none() => "curing",
                _ if !item.open => "resting",
                (Action::Ship, _) => "to ship",
                (Action::Do, _) => "ready",
            }
        };
        let over = lot.pieces == 0;
        Self {
            lot: lot.name.to_string(),
            batch: lot.name.batch.clone(),
            pieces: lot.pieces,
            rack: lot.rack().map(str::to_owned),
            step: item.step,
            name: if over { String::new() } else { item.name },
            coat: item.coat.filter(|_| !over),
            words: if over { String::new() } else { item.words },
            state,
            ready_at: item.from.filter(|_| !over).map(|from| view.stamp(from)),
            once_on: item.once_on.filter(|_| !over),
            until: item.until.filter(|_| !over).map(|until| view.stamp(until)),
            flags: lot.flags.clone(),
        }
    }
}

impl LotLine {
    /// "Mon 16 Nov 09:00, once on shelf".
    fn from(&self) -> Option<String> {
        let from = self.ready_at?;
        let from = if from.is_past() { from } else { from.minute_up() };
        Some(format!("{}{}", from.moment(), self.moved()))
    }

    /// ", once on shelf".
    pub(super) fn moved(&self) -> String {
        self.once_on.as_ref().map_or_else(String::new, |rack| format!(", once on {rack}"))
    }
}

impl LotShown {
    /// A lot with its entries, moved before its next step as the kept plan has it.
    pub(crate) fn new(shop: &Shop, lot: &Lot, entries: &[Entry], view: Viewpoint) -> Self {
        let subject = Subject::new(SubjectKind::Lot, &lot.name);
        let own = entries.iter().filter(|entry| entry.subjects().contains(&subject));
        let done = |step| lot.done.iter().rev().find(|done| done.step == step && step < lot.next);
        let steps = lot.recipe.numbered().map(|(number, step)| StepLine {
            step: number,
            name: step.name(),
            done: done(number).filter(|done| done.recorded).map(|done| view.stamp(done.ended)),
            not_recorded: done(number).is_some_and(|done| !done.recorded),
            coat: lot.recipe.coat_number(number),
            words: lot.recipe.words(number),
            can: done(number).and_then(|done| done.coat.as_ref()?.can.clone()),
        });
        let touches = lot.touches.iter().map(|test| TouchLine::new(test, view));
        let next = (lot.pieces > 0).then(|| DueItem::new(&shop.next_item(lot, view.now), view));
        Self {
            line: LotLine::new(shop, lot, view),
            recipe: lot.recipe.name.clone(),
            revision: lot.revision,
            split_from: lot.split_from.as_ref().map(ToString::to_string),
            joined: lot.joined.iter().map(|part| part.name.to_string()).collect(),
            worked_again: lot.reworked > 0,
            notes: notes(shop, &subject),
            held: lot.held.as_ref().map(|held| held.why.clone()),
            steps: steps.collect(),
            touches: touches.collect(),
            entries: EntryLine::all(own, entries, shop, view),
            next,
            order: shop.batches.get(&lot.name.batch).map_or_else(String::new, |batch| {
                let customer = batch.customer.iter().map(|customer| format!(", for {customer}"));
                let due = batch.due.map(|due| words::date(due, view.now, view.zone));
                customer.chain(due.map(|due| format!(", due {due}"))).collect()
            }),
        }
    }
}

impl Report for LotList {
    fn text(&self, page: &mut Page) {
        if self.lots.is_empty() {
            page.say("No lots in hand. Start one: tackfree lot start BATCH --pieces N");
            return;
        }
        let row = |lot: &LotLine| {
            let flag = if lot.flags.is_empty() { "" } else { " !" };
            let state = if lot.state == "overdue" { "OVERDUE" } else { lot.state };
            let name = format!("{}{flag}", lot.lot);
            row![name, lot.pieces, lot.rack, state, lot.words, lot.from()]
        };
        page.table(["lot", "pieces", "rack", "state", "next", "from"], self.lots.iter().map(row));
    }
}

impl Report for LotShown {
    fn text(&self, page: &mut Page) {
        let line = &self.line;
        let place =
            line.rack.as_ref().map_or_else(|| "on no rack".to_owned(), |rack| format!("on {rack}"));
        let late = line.state == "overdue";
        let state = if late { "OVERDUE" } else { line.state };
        let tone = if late { Tone::Late } else { Tone::Strong };
        page.heading(tone, &format!("{}  {state}", line.lot));
        page.item(format!("{} {place}{}", Count(line.pieces, "piece"), self.order));
        page.under(format!("recipe {}, revision {}", self.recipe, self.revision));
        if let Some(from) = &self.split_from {
            page.under(format!("split from {from}"));
        }
        if !self.joined.is_empty() {
            page.under(format!("joined by {}", self.joined.join(", ")));
        }
        if self.worked_again {
            page.under("sent back to an earlier step: what was done before is in its entries");
        }
        for note in &self.notes {
            page.item(format!("note: {note}"));
        }
        if let Some(why) = &self.held {
            page.under(format!("held: {why}"));
        }
        if let Some(next) = &self.next {
            page.under(format!("next: {}, {}", next.words, next.when()));
        }
        for flag in &line.flags {
            let rules = flag.rules();
            page.item(format!("! step {} against the rules ({rules}): {}", flag.step, flag.reason));
        }
        page.gap();
        let row = |step: &StepLine| {
            let done = match &step.done {
                Some(done) => done.moment(),
                None if step.not_recorded => "not recorded".to_owned(),
                None if step.step == line.step => "next".to_owned(),
                None => String::new(),
            };
            row![step.step, step.words, done, step.can]
        };
        page.table(["step", "name", "done", "can"], self.steps.iter().map(row));
        if !self.touches.is_empty() {
            page.gap();
            for touch in &self.touches {
                page.say(format!("touched {}: {}", touch.at.moment(), touch.stage));
            }
        }
        page.gap();
        EntryLine::table(&self.entries, page);
    }
}
