//! What needs hands: every lot's next step, overdue first, then what closes, what is ready, what comes next. How urgent a
//! step is, is decided here alone.

use serde::Serialize;

use crate::shop::air::Unfit;
use crate::shop::cure::Ground;
use crate::shop::lot::TouchTest;
use crate::shop::origin::Origin;
use crate::shop::plan::{ShopPlan, StayPlan};
use crate::shop::refusal::Wait;
use crate::shop::rest::Window;
use crate::shop::setup::StepWork;
use crate::shop::setup::recipe::CoatNumber;
use crate::shop::{Lot, LotName, Shop};
use crate::time::{Instant, Span};

/// A window is closing while no more open time than this is left of it, beside the step's own minutes: half a working day,
/// in which the step can still be fitted in (our choice).
pub(crate) const CLOSING: Span = Span::hours(4);

/// What closes before the shop opens again is told in so much of the open time before.
const LAST: Span = Span::minutes(30);

/// How urgent an item is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Urgency {
    /// Its window has closed, or its soak is over.
    Overdue,
    /// Its window closes within half a working day, or before the shop opens again.
    Closing,
    /// Hands may begin.
    Ready,
    /// It still waits.
    Next,
}

/// What hands do about it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Action {
    /// Begin and do the step.
    Do,
    /// The step is begun: finish it.
    Finish,
    /// The coat soaks: wipe it off.
    Wipe,
    /// Every step is done: ship.
    Ship,
}

/// One lot's next step.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    pub lot: LotName,
    /// The step, from 1; for a shipment one past the recipe's last.
    pub step: u32,
    /// What a person calls it.
    pub(crate) name: String,
    /// The same in words, its coats numbered.
    pub(crate) words: String,
    /// Which coat it is, if it is one.
    pub(crate) coat: Option<CoatNumber>,
    /// The kind of step; "ship" for a shipment.
    pub kind: &'static str,
    /// What hands do about it.
    pub action: Action,
    pub urgency: Urgency,
    /// No sooner; `None` where the room as it is never lets it come.
    pub from: Option<Instant>,
    /// The rack to which the plan moves the lot before, where `from` is later without that.
    pub(crate) once_on: Option<String>,
    /// No later, where something says so.
    pub until: Option<Instant>,
    /// What the wait until `from` is for.
    pub wait: Option<Wait>,
    /// How far `from` rests on readings.
    pub(crate) ground: Ground,
    /// Where its times come from.
    pub(crate) origin: Origin,
    /// The room it stands in, where its air speaks against the step.
    pub unfit: Option<Unfit>,
    /// Whether nothing holds it back: its wait is over, the surface doesn't grab, the room is fit.
    pub open: bool,
    /// Where the lot stands.
    pub rack: Option<String>,
    pub(crate) pieces: u32,
    /// Hands' minutes.
    pub(crate) minutes: u32,
    /// The touch test that holds it whatever its age says: the surface still grabbed.
    pub(crate) grabbed: Option<TouchTest>,
    /// Whether `done` must be told which can the coat came from.
    pub(crate) which_can: bool,
    /// Whether something was recorded against the rules.
    pub(crate) flagged: bool,
}

impl Shop {
    /// Every open lot's next step as it stands at `now`, held lots left out.
    pub fn due(&self, now: Instant) -> Vec<Item> {
        self.due_by(self.kept.as_ref(), now)
    }

    /// The same with lots moved as a plan has it.
    pub(crate) fn due_by(&self, plan: Option<&ShopPlan>, now: Instant) -> Vec<Item> {
        let free = self.open_lots().filter(|lot| lot.held.is_none());
        let mut items: Vec<Item> = free.map(|lot| self.next_by(plan, lot, now)).collect();
        items.sort_by_key(Item::sort_key);
        items
    }

    /// A lot's next step at `now`, as it stands or, where that makes it sooner, as the kept plan moves it.
    pub fn next_item(&self, lot: &Lot, now: Instant) -> Item {
        self.next_by(self.kept.as_ref(), lot, now)
    }

    /// The same with lots moved as a plan has it.
    pub(crate) fn next_by(&self, plan: Option<&ShopPlan>, lot: &Lot, now: Instant) -> Item {
        let item = self.item_as_it_stands(lot, now);
        match plan.and_then(|plan| self.moved_before(plan, &item, now)) {
            Some((from, rack)) => {
                let room = self.room_of(&rack);
                let read = room.is_some_and(|room| self.last_reading(room, now).is_some());
                let ground = if read { item.ground } else { Ground::Sheet };
                Item { from: Some(from), once_on: Some(rack), ground, ..item }
            }
            None => item,
        }
    }

    /// When a plan has the step, and the rack to which it moves the lot first, where the step comes later without that.
    fn moved_before(
        &self,
        plan: &ShopPlan,
        item: &Item,
        now: Instant,
    ) -> Option<(Instant, String)> {
        if item.urgency != Urgency::Next || matches!(item.action, Action::Wipe | Action::Finish) {
            return None;
        }
        let lot = item.lot.to_string();
        let planned = if item.action == Action::Ship {
            // What is inspected and packed may go once it is cured, where it stands then.
            plan.stays.iter().filter(|stay| stay.lot == lot).map(|stay| stay.until).max()?
        } else {
            let mut steps = plan.steps.iter();
            steps.find(|step| step.lot == lot && step.step == item.step)?.start
        };
        if planned <= now || item.from.is_some_and(|from| from <= planned) {
            return None;
        }
        let before = |stay: &StayPlan| stay.lot == lot && stay.from < planned;
        let moves = plan.to_move(self).filter(|to_move| before(to_move.stay));
        Some((planned, moves.last()?.stay.rack.clone()))
    }

    /// A lot's next step where the lot stands, whatever is planned.
    pub(crate) fn item_as_it_stands(&self, lot: &Lot, now: Instant) -> Item {
        let Some((number, step)) = lot.next_step() else { return self.shipping_item(lot, now) };
        let (action, window) = match (self.wipe_window(lot, now), lot.begun) {
            (Some(wipe), _) => (Action::Wipe, wipe),
            (None, Some(_)) => (Action::Finish, self.window(lot, number, now)),
            (None, None) => (Action::Do, self.window(lot, number, now)),
        };
        let name = match action {
            Action::Wipe => format!("wipe {}", step.coat().unwrap_or_default()),
            _ => step.name(),
        };
        let words = lot.recipe.words(number);
        let words = if action == Action::Wipe { format!("wipe {words}") } else { words };
        let free = action == Action::Do;
        let grabbed = lot.still_grabs().filter(|_| free);
        let unfit = self.unfit_for(step, lot.rack(), now).filter(|_| free);
        let group = if action == Action::Wipe { self.group_under_way(lot, now) } else { None };
        let minutes = match (&group, &step.work) {
            (Some(group), StepWork::Coat { wipe, .. }) => {
                u32::try_from(wipe.times(group.pieces.into()).minutes_up()).unwrap_or(u32::MAX)
            }
            _ => self.minutes(&lot.recipe, number, lot.pieces),
        };
        let open = window.open_at(now) && grabbed.is_none() && unfit.is_none();
        let urgency = match action {
            Action::Finish => Urgency::Ready,
            // Where nobody read the room its window may have shut by one clock before it opens by the other.
            _ if window.shut(now) && window.open_at(now) => Urgency::Overdue,
            Action::Do if self.closes(&window, minutes, now) => Urgency::Closing,
            _ if open => Urgency::Ready,
            _ => Urgency::Next,
        };
        Item {
            lot: lot.name.clone(),
            step: number,
            name,
            words,
            coat: lot.recipe.coat_number(number),
            kind: step.kind(),
            action,
            urgency,
            from: window.from,
            once_on: None,
            until: window.until,
            wait: window.wait,
            origin: self.origin(lot, origin_of(&window)),
            ground: window.ground,
            unfit,
            open,
            rack: lot.rack().map(str::to_owned),
            pieces: lot.pieces,
            minutes,
            grabbed: grabbed.cloned(),
            which_can: self.asks_which_can(step, now),
            flagged: !lot.flags.is_empty(),
        }
    }

    fn shipping_item(&self, lot: &Lot, now: Instant) -> Item {
        let done = lot.done.last().map_or(lot.last_at, |done| done.ended);
        let cure = self.cure(lot, now);
        let from = cure.as_ref().map_or(Some(done), |cure| cure.at.map(|at| at.max(done)));
        let cures = from.is_none_or(|from| from > done);
        let grabbed = lot.barred_from_shipping();
        let open = grabbed.is_none() && from.is_some_and(|from| now >= from);
        Item {
            lot: lot.name.clone(),
            step: lot.recipe.count().saturating_add(1),
            name: "ship".to_owned(),
            words: "ship".to_owned(),
            coat: None,
            kind: "ship",
            action: Action::Ship,
            urgency: if open { Urgency::Ready } else { Urgency::Next },
            from,
            once_on: None,
            until: None,
            wait: cures.then_some(Wait::Cure),
            ground: cure.filter(|_| cures).map_or(Ground::Readings, |cure| cure.ground()),
            origin: self.origin(lot, if cures { Wait::Cure } else { Wait::Rest }),
            unfit: None,
            open,
            rack: lot.rack().map(str::to_owned),
            pieces: lot.pieces,
            minutes: 0,
            grabbed: grabbed.cloned(),
            which_can: false,
            flagged: !lot.flags.is_empty(),
        }
    }
}

impl Shop {
    /// Whether a window closes soon, or before anyone is there again.
    fn closes(&self, window: &Window, minutes: u32, now: Instant) -> bool {
        let Some(until) = window.until else { return false };
        let soon = window.open_at(now) && self.closes_soon(until, minutes, now);
        soon || self.unseen(window.from, until, minutes, now).is_some()
    }

    /// Whether no more open time is left than half a working day beside the step's own minutes. A weekend before the end
    /// counts nothing.
    pub(crate) fn closes_soon(&self, until: Instant, minutes: u32, now: Instant) -> bool {
        let needed = CLOSING.saturating_add(Span::minutes(i64::from(minutes)));
        let left = self.setup.as_ref().map_or_else(
            || Span::between(now, until),
            |setup| setup.shop.hours.open_span(setup.shop.zone, now, until),
        );
        left <= needed
    }

    /// From when on nobody is there until a window closes, where it can't be met before and it is the last open half hour, or later.
    /// What may close before it opens, as little as its room is read, is no window in which to be there.
    pub(crate) fn unseen(
        &self,
        from: Option<Instant>,
        until: Instant,
        minutes: u32,
        now: Instant,
    ) -> Option<Instant> {
        let from = from.filter(|from| *from < until)?.max(now);
        let setup = self.setup.as_ref()?;
        let (hours, zone) = (&setup.shop.hours, setup.shop.zone);
        let open = hours.is_open(zone, now);
        let closes = if open { hours.closes(zone, now)? } else { now };
        let opens = hours.next_open(zone, closes);
        let unseen =
            closes <= LAST.after(now) && closes < until && opens.is_none_or(|opens| opens >= until);
        let met = open && Span::minutes(i64::from(minutes)).after(from) <= closes;
        (unseen && !met).then(|| from.max(closes))
    }
}

/// What a window's times are for: its wait, or, where only its end is a finish's, the recoat window.
fn origin_of(window: &Window) -> Wait {
    match window.wait {
        None | Some(Wait::Rest) if window.until.is_some() => Wait::Recoat,
        None => Wait::Rest,
        Some(wait) => wait,
    }
}

/// The command that records a step of those lots.
pub(crate) fn done_command(lots: &str, which_can: bool) -> String {
    let can = if which_can { " --can NAME" } else { "" };
    format!("tackfree done {lots}{can}")
}

impl Item {
    /// The command that records the step.
    pub(crate) fn done_command(&self) -> String {
        done_command(&self.lot.to_string(), self.which_can)
    }

    /// Overdue first, the longest overdue before the rest; then what closes and what is ready, the one whose window closes
    /// first before the rest; then what comes next, soonest first.
    fn sort_key(&self) -> (Urgency, Instant, Instant, LotName) {
        let no_end = Instant::MAX_UTC;
        let from = self.from.unwrap_or(no_end);
        let shuts = match self.urgency {
            Urgency::Next => from,
            _ => self.until.unwrap_or(no_end),
        };
        (self.urgency, shuts, from, self.lot.clone())
    }
}
