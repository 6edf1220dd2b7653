//! What needs hands, as it is shown.

use schemars::JsonSchema;
use serde::Serialize;

use crate::report::lot::TouchLine;
use crate::report::origin::rest_not_cure;
use crate::report::{Page, Report, Tone, rags};
use crate::shop::cure::Ground;
use crate::shop::due::{Action, Item, Urgency};
use crate::shop::refusal::Wait;
use crate::shop::setup::recipe::CoatNumber;
use crate::shop::{Count, Shop};
use crate::time::{Stamp, Viewpoint};

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub struct Due {
    /// The moment it speaks of.
    pub(crate) now: Stamp,
    /// Overdue, ready, next.
    pub items: Vec<DueItem>,
    /// Lots that wait for a decision.
    pub(crate) held: Vec<HeldLot>,
    /// Rags not yet dealt with.
    pub(crate) rags: Vec<rags::OpenRags>,
    #[serde(skip)]
    how_to_begin: &'static str,
}

/// One lot's next step.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub struct DueItem {
    pub lot: String,
    /// The step, from 1.
    pub(crate) step: u32,
    /// What a person calls it.
    pub(crate) name: String,
    #[serde(flatten)]
    pub(crate) coat: Option<CoatNumber>,
    #[serde(skip)]
    pub(crate) words: String,
    /// work, sand, raise, coat, rub, ship.
    pub(crate) kind: &'static str,
    /// overdue, ready, next.
    pub state: &'static str,
    /// Whether its window closes within half a working day, or before the shop opens again.
    pub closing: bool,
    /// The room and its air, where that speaks against the coat.
    pub(crate) room_unfit: Option<String>,
    /// No sooner; null where the room as it is never lets it come.
    pub(crate) from: Option<Stamp>,
    /// The rack to which the plan moves the lot before, where `from` is later without that.
    pub(crate) once_on: Option<String>,
    /// No later.
    pub(crate) until: Option<Stamp>,
    pub(crate) rack: Option<String>,
    pub(crate) pieces: u32,
    /// Hands' minutes.
    pub(crate) minutes: u32,
    /// do, finish, wipe, ship.
    #[schemars(with = "String")]
    pub(crate) action: Action,
    /// What the wait until `from` is for: rest, recoat, soak, cure.
    #[schemars(with = "Option<String>")]
    pub(crate) waits_for: Option<Wait>,
    /// What `from` rests on: readings, part assumed, sheet (its own interval, as nobody read the room).
    #[schemars(with = "String")]
    pub(crate) rests_on: Ground,
    /// Whether any of it is assumed where nobody read the room.
    pub(crate) assumed: bool,
    /// "common practice": how the times are marked where the finish's class supplied them and not its sheet.
    pub(crate) from_class: Option<String>,
    /// The finish, where the wait is a rest and not a cure because nothing in it cures.
    pub(crate) only_rests: Option<String>,
    /// The touch test that holds it whatever its age says: the surface still grabbed.
    pub(crate) grabbed: Option<TouchLine>,
    /// The command that records the step.
    #[serde(skip)]
    done: String,
    /// When a plan has it.
    #[serde(skip)]
    planned: Option<Stamp>,
    /// Whether something was recorded against the rules.
    pub(crate) flagged: bool,
}

/// A lot that waits for a decision.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct HeldLot {
    pub(crate) lot: String,
    pub(crate) pieces: u32,
    pub(crate) why: String,
    pub(crate) since: Stamp,
}

impl Due {
    /// With lots moved as the kept plan has it.
    pub fn new(shop: &Shop, view: Viewpoint) -> Self {
        let held = shop.open_lots().filter_map(|lot| {
            lot.held.as_ref().map(|held| HeldLot {
                lot: lot.name.to_string(),
                pieces: lot.pieces,
                why: held.why.clone(),
                since: view.stamp(held.since),
            })
        });
        Self {
            now: view.stamp(view.now),
            items: shop.due(view.now).iter().map(|item| DueItem::new(item, view)).collect(),
            held: held.collect(),
            rags: rags::OpenRags::all(shop, view),
            how_to_begin: how_to_begin(shop),
        }
    }
}

/// What a newcomer does next where nothing waits.
fn how_to_begin(shop: &Shop) -> &'static str {
    if shop.setup.is_none() {
        "No setup is stored yet. Write one: tackfree setup new shop.toml"
    } else if shop.batches.values().all(|batch| batch.closed.is_some()) {
        "Nothing to do. Add an order: tackfree batch open NAME --recipe RECIPE --pieces N"
    } else {
        "Nothing to do. Start a lot: tackfree lot start BATCH --pieces N"
    }
}

impl DueItem {
    pub(crate) fn new(item: &Item, view: Viewpoint) -> Self {
        Self {
            lot: item.lot.to_string(),
            step: item.step,
            name: item.name.clone(),
            coat: item.coat,
            words: item.words.clone(),
            kind: item.kind,
            state: state(item),
            closing: item.urgency == Urgency::Closing,
            room_unfit: item.unfit.as_ref().map(|unfit| unfit.said(view)),
            from: item.from.map(|from| view.stamp(from)),
            once_on: item.once_on.clone(),
            until: item.until.map(|until| view.stamp(until)),
            rack: item.rack.clone(),
            pieces: item.pieces,
            minutes: item.minutes,
            action: item.action,
            waits_for: item.wait,
            rests_on: item.ground,
            assumed: item.ground != Ground::Readings,
            from_class: item.origin.from_class.clone(),
            only_rests: item.origin.only_rests.clone(),
            grabbed: item.grabbed.as_ref().map(|test| TouchLine::new(test, view)),
            done: item.done_command(),
            planned: None,
            flagged: item.flagged,
        }
    }

    /// The same with when a plan has it.
    pub(crate) fn planned(item: &Item, planned: Option<Stamp>, view: Viewpoint) -> Self {
        Self { planned, ..Self::new(item, view) }
    }

    /// "since today 09:40, until Mon 14:20, in 6 d".
    pub(crate) fn when(&self) -> String {
        // What nothing but a plan puts off.
        let planned = self.planned.as_ref().map(|at| format!("planned for {}", at.moment()));
        let from = match (&self.from, self.state) {
            (Some(_), "ready") if planned.is_some() => planned,
            (None, _) => Some("not while the room stays as cold or damp as it is".to_owned()),
            // Its time has come and it is not ready: what holds it is said below.
            (Some(from), "next") if from.is_past() => None,
            (Some(from), "next") => Some(format!("from {}", from.minute_up().both())),
            (Some(from), "ready") if from.is_now() => Some("ready now".to_owned()),
            (Some(from), _) => Some(format!("since {}", from.moment())),
        };
        let moved = self.once_on.as_ref().map(|rack| format!("once on {rack}"));
        let once = self.grabbed.as_ref().map(|test| format!("once a touch test passes ({test})"));
        let unfit = self.room_unfit.as_ref().map(|unfit| format!("not while {unfit}"));
        let from =
            from.into_iter().chain(moved).chain(once).chain(unfit).collect::<Vec<_>>().join(", ");
        let until = match &self.until {
            Some(until) if self.state == "overdue" => {
                format!("; should have been by {}", until.both())
            }
            Some(until) if self.state == "next" => window_end(self.from, *until),
            Some(until) => format!(", until {}", until.both()),
            None => String::new(),
        };
        format!("{from}{until}{}", self.said_of_it())
    }

    /// " (common practice, assumed)": what the times rest on where that is less than a sheet reckoned from readings.
    fn said_of_it(&self) -> String {
        let next = self.state == "next" && !self.from.is_some_and(|from| from.is_past());
        let mut parts: Vec<String> = self.from_class.iter().cloned().collect();
        match (self.rests_on, &self.only_rests) {
            (_, Some(finish)) if next => parts.push(rest_not_cure(finish)),
            (Ground::Sheet, None) if next && parts.is_empty() => {
                parts.push("the sheet's time, assumed".to_owned());
            }
            (Ground::Sheet, None) if next => parts.push("assumed".to_owned()),
            (Ground::PartAssumed, None) if next => parts.push("part assumed".to_owned()),
            _ => {}
        }
        if parts.is_empty() { String::new() } else { format!(" ({})", parts.join(", ")) }
    }

    /// "36 pieces on drip-1, 25 min".
    fn where_and_how_much(&self) -> String {
        let mut text = Count(self.pieces, "piece").to_string();
        if let Some(rack) = &self.rack {
            text = format!("{text} on {rack}");
        }
        if self.minutes > 0 {
            text = format!("{text}, {} min", self.minutes);
        }
        text
    }

    /// "about 9 min of wiping; then: tackfree done spoons-1"; none where nothing can be recorded now.
    pub(crate) fn then(&self) -> Option<String> {
        let Self { lot, done, minutes, .. } = self;
        match self.action {
            Action::Wipe => Some(format!("about {minutes} min of wiping; then: {done}")),
            Action::Finish => Some(format!("then: {done}")),
            Action::Ship => Some(format!("then: tackfree ship {lot} --to NAME")),
            Action::Do if self.state == "ready" && self.kind == "coat" && self.rack.is_none() => {
                Some(format!("then: tackfree begin {lot} --rack NAME"))
            }
            Action::Do if self.state == "ready" => Some(format!("then: tackfree begin {lot}")),
            Action::Do => None,
        }
    }

    /// When it is to be done, and how it is recorded.
    pub(crate) fn below(&self, page: &mut Page) {
        page.hanging(4, 6, self.when());
        if let Some(then) = self.then() {
            page.hanging(4, 6, &then);
        }
    }

    /// Whether its pieces may leave the shop now.
    pub(crate) fn may_ship(&self) -> bool {
        self.action == Action::Ship && self.state == "ready"
    }

    /// Whether it presses and which lot, what is to be done, on how many pieces where.
    fn parts(&self) -> [String; 3] {
        let sign = if self.state == "overdue" || self.closing { '!' } else { ' ' };
        let begun = if self.action == Action::Finish { " (begun)" } else { "" };
        let flag = if self.flagged { " !" } else { "" };
        let what = format!("{}{begun}{flag}", self.words);
        [format!("{sign} {}", self.lot), what, self.where_and_how_much()]
    }

    /// A row each, their parts under each other, and `below` each what else is said of it.
    pub(crate) fn rows(items: &[&Self], page: &mut Page, below: impl Fn(&Self, &mut Page)) {
        let rows: Vec<_> = items.iter().map(|item| item.parts()).collect();
        let columns = page.columns(0, &rows);
        for (item, row) in items.iter().zip(&rows) {
            let tone = if item.state == "overdue" { Tone::Late } else { Tone::Plain };
            page.row(tone, 0, columns, row);
            below(item, page);
        }
    }
}

/// The end of a window that isn't open yet. Where few hours are read the quick clock may end it before the slow one lets it begin.
pub(super) fn window_end(from: Option<Stamp>, until: Stamp) -> String {
    if until.is_past() {
        format!("; its window may have closed {}", until.moment())
    } else if from.is_some_and(|from| until.at() < from.at()) {
        format!("; its window may close before, {}", until.moment())
    } else {
        format!(", until {}", until.moment())
    }
}

const fn state(item: &Item) -> &'static str {
    match item.urgency {
        Urgency::Overdue => "overdue",
        Urgency::Closing | Urgency::Ready if item.open || matches!(item.action, Action::Finish) => {
            "ready"
        }
        Urgency::Closing | Urgency::Ready | Urgency::Next => "next",
    }
}

impl Report for Due {
    fn text(&self, page: &mut Page) {
        page.say(format!("What needs hands, {}", self.now.in_full()));
        let groups = [
            ("overdue", false, "OVERDUE", Tone::Late),
            ("", true, "CLOSING", Tone::Strong),
            ("ready", false, "READY", Tone::Strong),
            ("next", false, "NOT YET", Tone::Strong),
        ];
        for (state, closing, heading, tone) in groups {
            let here =
                |item: &&DueItem| item.closing == closing && (closing || item.state == state);
            let items: Vec<_> = self.items.iter().filter(here).collect();
            if items.is_empty() {
                continue;
            }
            page.section(tone, heading);
            DueItem::rows(&items, page, |item, page| page.line(6, item.when()));
        }
        if self.items.is_empty() && self.held.is_empty() {
            page.gap();
            page.say(self.how_to_begin);
        }
        if !self.held.is_empty() {
            page.section(Tone::Strong, "HELD");
            for lot in &self.held {
                let pieces = Count(lot.pieces, "piece");
                page.hanging(
                    2,
                    6,
                    format!("{}: {} ({pieces}, since {})", lot.lot, lot.why, lot.since.moment()),
                );
            }
        }
        rags::remind(&self.rags, page);
        if self.items.iter().any(|item| item.flagged) {
            page.gap();
            page.say("! something was recorded against the rules: see tackfree lot show LOT");
        }
    }
}
