//! Why a lot is or is not cured, or not yet to be coated again, as it is shown.

mod clock;
mod grounds;

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::Serialize;

use crate::craft::cure::{Clock, Factor, NEAR, NOT_IN_THE_RATE};
use crate::report::due::window_end;
use crate::report::lot::TouchLine;
use crate::report::{Page, Report, Tone, unread};
use crate::shop::cure::{Reckoning, RoomUsed};
use crate::shop::lot::DoneStep;
use crate::shop::setup::Finish;
use crate::shop::{Count, Lot, Shop};
use crate::time::{Instant, Stamp, Viewpoint};
use crate::units::{Celsius, Shown};
pub(crate) use clock::{AssumedShown, ClockShown, hours};
pub(crate) use grounds::CoatShown;

/// `cure`: one lot as itself, several in a list.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Cures {
    #[serde(flatten)]
    answer: CuresAnswer,
    /// Whether what the answer rests on is shown too.
    #[serde(skip)]
    why: bool,
}

#[derive(Debug, Clone, JsonSchema, Serialize)]
#[serde(untagged)]
enum CuresAnswer {
    /// One lot was asked for by its name.
    One(Box<CureShown>),
    Several {
        /// The moment it speaks of.
        now: Stamp,
        /// In the order asked for.
        lots: Vec<CureShown>,
    },
}

/// What a lot waits for.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Phase {
    /// No coat is on it yet.
    #[default]
    Uncoated,
    /// Between coats: the recoat window.
    Recoat,
    /// After the last coat: the sheet's cure time.
    Cure,
    /// After the last coat of a finish in which nothing cures: a rest.
    Rest,
}

/// One lot.
#[derive(Debug, Clone, Default, JsonSchema, Serialize)]
pub(crate) struct CureShown {
    pub(crate) lot: String,
    pub(crate) pieces: u32,
    pub(crate) rack: Option<String>,
    /// Since when it stands there.
    pub(crate) since: Option<Stamp>,
    /// How warm that room was of late.
    pub(crate) room_temp_c: Option<Shown<Celsius>>,
    /// What it waits for.
    pub(crate) phase: Phase,
    /// Whether the sheet's cure time (or rest) is there and no touch test speaks against it.
    pub(crate) cured: bool,
    /// The age so far on the *no sooner* clock, hours of the sheet; null before any coat.
    pub(crate) age_hours: Option<f64>,
    /// The age that is needed, the shop's own factor in it; null before any coat.
    pub(crate) needs_hours: Option<f64>,
    /// When it is there: for the next coat between coats, else for the end of cure.
    pub(crate) ready_at: Option<Stamp>,
    /// Whether that lies so far ahead that the season counts in it.
    #[serde(skip)]
    pub(crate) by_season: bool,
    pub(crate) assumed: Vec<AssumedShown>,
    /// What of it was not read, in one sentence with what would settle it.
    pub(crate) unread: Option<String>,
    /// When its cure would end in the other rooms that have a rack to cure on and a log.
    pub(crate) elsewhere: Vec<Elsewhere>,
    /// The coat it is counted from.
    pub(crate) coat: Option<CoatShown>,
    /// The rooms it stood in since, and their readings.
    pub(crate) rooms: Vec<RoomUsed>,
    /// The *no sooner* clock whole.
    pub(crate) no_sooner: Option<ClockShown>,
    /// Between coats the *no later* clock: the recoat window's end.
    pub(crate) no_later: Option<ClockShown>,
    /// Touch tests since that coat.
    pub(crate) touches: Vec<TouchLine>,
    /// Whether the last touch test found it still grabbing, which holds it whatever its age and the steps since.
    pub(crate) held_by_touch: bool,
    /// What the shop's own tests say of the finish.
    pub(crate) factor: Option<Factor>,
    /// What no rate here knows of.
    pub(crate) not_in_the_rate: &'static str,
}

/// A lot's cure in another room from now on.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Elsewhere {
    pub(crate) room: String,
    /// How warm it was of late.
    pub(crate) temp_c: Option<Shown<Celsius>>,
    /// When the cure would end; null where it never would.
    pub(crate) ready_at: Option<Stamp>,
    /// Whether that lies so far ahead that the season counts in it.
    #[serde(skip)]
    pub(crate) by_season: bool,
}

impl Cures {
    /// One lot alone where one was asked for, else all that were.
    pub(crate) fn new(mut lots: Vec<CureShown>, single: bool, why: bool, now: Stamp) -> Self {
        let answer = match lots.pop() {
            Some(lot) if single => CuresAnswer::One(Box::new(lot)),
            last => {
                lots.extend(last);
                CuresAnswer::Several { now, lots }
            }
        };
        Self { answer, why }
    }

    fn lots(&self) -> &[CureShown] {
        match &self.answer {
            CuresAnswer::One(lot) => std::slice::from_ref(lot),
            CuresAnswer::Several { lots, .. } => lots,
        }
    }
}

impl CureShown {
    pub(crate) fn new(shop: &Shop, lot: &Lot, view: Viewpoint) -> Self {
        let bare = Self {
            lot: lot.name.to_string(),
            pieces: lot.pieces,
            rack: lot.rack().map(str::to_owned),
            since: lot.on_this_rack_since().map(|since| view.stamp(since)),
            not_in_the_rate: NOT_IN_THE_RATE,
            ..Self::default()
        };
        match shop.last_coat(lot) {
            Some((coat, finish)) => bare.counted(shop, lot, coat, finish, view),
            None => bare,
        }
    }

    fn counted(
        self,
        shop: &Shop,
        lot: &Lot,
        coat: &DoneStep,
        finish: &Finish,
        view: Viewpoint,
    ) -> Self {
        let cure = shop.cure(lot, view.now);
        let phase = match (&cure, finish.hardens()) {
            (None, _) => Phase::Recoat,
            (Some(_), Some(false)) => Phase::Rest,
            (Some(_), _) => Phase::Cure,
        };
        let shown = |clock, reckoned: &Reckoning| {
            ClockShown::new(clock, reckoned, finish.sheet_temp.is_none(), view)
        };
        let room = lot.rack().and_then(|rack| shop.room_of(rack));
        let sooner = cure.or_else(|| shop.may_leave(lot, view.now));
        let unread = sooner.as_ref().and_then(|s| unread::of(s, shop, room, view));
        let at = sooner.as_ref().and_then(|reckoned| reckoned.at);
        let sooner = sooner.map(|reckoned| shown(Clock::NoSooner, &reckoned));
        let later = finish
            .recoat
            .longest()
            .filter(|_| phase == Phase::Recoat)
            .map(|longest| shop.reckon(Clock::NoLater, longest, finish, lot, coat.ended, view.now))
            .map(|reckoned| shown(Clock::NoLater, &reckoned));
        let reached = sooner.as_ref().is_some_and(|clock| clock.reached);
        let held = lot.still_grabs().or_else(|| lot.barred_from_shipping());
        let held_by_touch = held.is_some();
        let since = lot.touches.iter().filter(|test| test.at >= coat.ended);
        let waits = phase == Phase::Cure && !reached;
        Self {
            phase,
            room_temp_c: room.and_then(|room| usual_temp(shop, room, view)),
            by_season: room.zip(at).is_some_and(|(room, at)| by_season(shop, finish, room, at)),
            unread,
            elsewhere: if waits { elsewhere(shop, lot, room, view) } else { Vec::new() },
            cured: phase != Phase::Recoat && reached && !held_by_touch,
            age_hours: sooner.as_ref().map(|clock| clock.age_hours),
            needs_hours: sooner.as_ref().map(|clock| clock.needs_hours),
            ready_at: sooner.as_ref().and_then(|clock| clock.at),
            assumed: sooner.as_ref().map_or_else(Vec::new, |clock| clock.assumed.clone()),
            coat: Some(CoatShown::new(lot, coat, finish, view)),
            rooms: shop.rooms_used(lot, coat.ended, view),
            no_sooner: sooner,
            no_later: later,
            touches: since.map(|test| TouchLine::new(test, view)).collect(),
            held_by_touch,
            factor: (phase != Phase::Recoat).then(|| shop.factor(&finish.name)),
            ..self
        }
    }

    /// The answer, by when, and what would change it.
    fn plain(&self, page: &mut Page) {
        let place = match (&self.rack, &self.since) {
            (Some(rack), Some(since)) => format!(" on {rack} since {}", since.date()),
            _ => String::new(),
        };
        let pieces = Count(self.pieces, "piece");
        let (Some(coat), Some(sooner)) = (&self.coat, &self.no_sooner) else {
            page.heading(Tone::Strong, &format!("{}   {pieces}{place}, not coated yet", self.lot));
            return;
        };
        let numbered = coat.numbered(self.phase == Phase::Recoat);
        page.heading(
            Tone::Strong,
            &format!("{}   {pieces}{place}, {numbered} {}", self.lot, coat.ended.moment()),
        );
        page.hang(self.answer(sooner, coat));
        if self.held_by_touch {
            page.say("! It still grabbed when last touched: it waits whatever its age.");
        }
        for elsewhere in &self.elsewhere {
            page.item(elsewhere.said());
        }
        if let Some(unread) = &self.unread {
            page.item(unread);
        }
        if self.phase == Phase::Cure {
            let lot = &self.lot;
            page.hang(format!(
                    "Try it: press a thumbnail under the foot, smell it. tackfree touch {lot} tacky|dry-to-touch|dry-hard"
                ),
            );
        }
    }

    /// "Cure time reached Fri 2 Oct 19:30 at this room's 20 °C.   Now: day 8.1 of 14."
    fn answer(&self, sooner: &ClockShown, coat: &CoatShown) -> String {
        let key = if self.phase == Phase::Recoat { "recoat" } else { "cure" };
        let mark = coat.from_class.get(key).map_or_else(String::new, |mark| format!(" ({mark})"));
        let season = season(self.by_season);
        let room = self
            .room_temp_c
            .map_or_else(String::new, |temp| format!(" at this room's {temp:.0}{season}"));
        let when = match (self.phase, sooner.at) {
            (_, None) => "Not while the room stays as cold or damp as it is".to_owned(),
            (Phase::Recoat, Some(_)) => match &self.no_later {
                Some(later) if later.reached => {
                    format!("Too late for the next coat since {}", later.when())
                }
                Some(ClockShown { at: Some(until), .. }) => {
                    format!("Next coat from {}{}", sooner.when(), window_end(sooner.at, *until))
                }
                _ => format!("Next coat from {}", sooner.when()),
            },
            (Phase::Rest, Some(_)) => format!("Rested {}", sooner.when()),
            (_, Some(_)) => format!("The sheet's cure time is reached {}{room}", sooner.when()),
        };
        format!("{when}{mark}.   Now: {}.", sooner.progress())
    }

    /// Everything the answer rests on.
    fn why(&self, page: &mut Page) {
        let (Some(coat), Some(sooner)) = (&self.coat, &self.no_sooner) else { return };
        page.gap();
        page.item(format!("sheet: {}; {}", coat.title(), coat.conditions()));
        for room in &self.rooms {
            page.item(room.said(self.rooms.len() > 1));
        }
        page.item(format!("age {}", sooner.age()));
        sooner.assumptions(4, page);
        if let Some(later) = &self.no_later {
            page.item(format!("age of the window {}", later.age()));
            later.assumptions(4, page);
        }
        for touch in &self.touches {
            page.item(format!("touched {}: {}", touch.at.moment(), touch.stage));
        }
        if let Some(factor) = &self.factor {
            page.item(factor.said(&coat.finish));
        }
    }
}

fn usual_temp(shop: &Shop, room: &str, view: Viewpoint) -> Option<Shown<Celsius>> {
    shop.usual_temp(room, view.now).map(|temp| view.shown(temp))
}

/// Whether a moment in a room lies so far ahead that the season counts in how fast a finish cures until then.
fn by_season(shop: &Shop, finish: &Finish, room: &str, at: Instant) -> bool {
    let last = shop.climate.get(room).and_then(|log| log.last());
    let course = shop.course_in(Clock::NoSooner, finish, room);
    let far = last.is_some_and(|last| at.signed_duration_since(last.at) > NEAR);
    far && course.is_some_and(|course| course.follows())
}

const fn season(counts: bool) -> &'static str {
    if counts { " and by the season" } else { "" }
}

fn elsewhere(shop: &Shop, lot: &Lot, here: Option<&str>, view: Viewpoint) -> Vec<Elsewhere> {
    let racks = shop.setup.iter().flat_map(|setup| &setup.racks);
    let rooms: BTreeSet<&str> = racks
        .filter(|rack| rack.purpose.cures() && Some(rack.room.as_str()) != here)
        .map(|rack| rack.room.as_str())
        .filter(|room| shop.climate.contains_key(*room))
        .collect();
    let there = |room: &str| {
        let cure = shop.cure_elsewhere(lot, room, view.now)?;
        let ready_at = cure.at.map(|at| view.stamp(at));
        let (_, finish) = shop.last_coat(lot)?;
        let by_season = cure.at.is_some_and(|at| by_season(shop, finish, room, at));
        let temp_c = usual_temp(shop, room, view);
        Some(Elsewhere { room: room.to_owned(), temp_c, ready_at, by_season })
    };
    rooms.into_iter().filter_map(there).collect()
}

impl Report for Cures {
    fn text(&self, page: &mut Page) {
        for lot in self.lots() {
            page.gap();
            lot.plain(page);
            if self.why {
                lot.why(page);
            }
        }
        if self.why && self.lots().iter().any(|lot| lot.coat.is_some()) {
            page.gap();
            page.say(format!("Note: {NOT_IN_THE_RATE}."));
        }
    }
}

impl Elsewhere {
    /// "In the garage at 9 °C it would be Tue 3 Nov 10:00, in 40 d."
    fn said(&self) -> String {
        let season = season(self.by_season);
        let temp = self.temp_c.map_or_else(String::new, |temp| format!(" at {temp:.0}{season}"));
        let when = self.ready_at.map_or_else(
            || "it would stand still".to_owned(),
            |at| format!("it would be {}", at.minute_up().moment()),
        );
        format!("In the {}{temp} {when}.", self.room)
    }
}
