//! Why a lot is or is not cured, or not yet to be coated again, as it is shown.

mod clock;
mod grounds;

use serde::Serialize;
use serde::ser::{SerializeStruct as _, Serializer};

use crate::craft::cure::{Clock, Factor, NOT_IN_THE_RATE};
use crate::report::lot::TouchLine;
use crate::report::page::Tone;
use crate::report::{Page, Report};
use crate::shop::Shop;
use crate::shop::count::Count;
use crate::shop::cure::Reckoning;
use crate::shop::lot::{DoneStep, Lot};
use crate::shop::setup::Finish;
use crate::time::{Stamp, Viewpoint};
pub use clock::{AssumedShown, ClockShown, ForecastShown, OutlookShown, hours};
pub use grounds::{CoatShown, RoomShown};

/// `cure`: one lot as itself, several in a list.
#[derive(Debug, Clone)]
pub struct Cures {
    /// The moment it speaks of.
    pub now: Stamp,
    /// In the order asked for.
    pub lots: Vec<CureShown>,
    /// Whether one lot was asked for by its name.
    pub single: bool,
}

/// What a lot waits for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Phase {
    /// No coat is on it yet.
    Uncoated,
    /// Between coats: the recoat window.
    Recoat,
    /// After the last coat: the sheet's cure time.
    Cure,
    /// After the last coat of a finish in which nothing cures: a rest.
    Rest,
}

/// One lot.
#[derive(Debug, Clone, Serialize)]
pub struct CureShown {
    pub lot: String,
    pub pieces: u32,
    pub rack: Option<String>,
    /// What it waits for.
    pub phase: Phase,
    /// Whether the sheet's cure time (or rest) is there and no touch test speaks against it.
    pub cured: bool,
    /// The age so far on the *no sooner* clock, hours of the sheet; null before any coat.
    pub age_hours: Option<f64>,
    /// The age that is needed, the shop's own factor in it; null before any coat.
    pub needs_hours: Option<f64>,
    /// When it is there: for the next coat between coats, else for the end of cure.
    pub ready_at: Option<Stamp>,
    pub assumed: Vec<AssumedShown>,
    /// The coat it is counted from.
    pub coat: Option<CoatShown>,
    /// The rooms it stood in since, and their readings.
    pub rooms: Vec<RoomShown>,
    /// The *no sooner* clock whole.
    pub no_sooner: Option<ClockShown>,
    /// Between coats the *no later* clock: the recoat window's end.
    pub no_later: Option<ClockShown>,
    /// Touch tests since that coat.
    pub touches: Vec<TouchLine>,
    /// Whether the last touch test found it still grabbing, which holds it whatever its age and the steps since.
    pub held_by_touch: bool,
    /// What the shop's own tests say of the finish.
    pub factor: Option<Factor>,
    /// What no rate here knows of.
    pub not_in_the_rate: &'static str,
}

impl Serialize for Cures {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        if let (true, [lot]) = (self.single, self.lots.as_slice()) {
            return lot.serialize(serializer);
        }
        let mut all = serializer.serialize_struct("Cures", 2)?;
        all.serialize_field("now", &self.now)?;
        all.serialize_field("lots", &self.lots)?;
        all.end()
    }
}

impl CureShown {
    pub fn new(shop: &Shop, lot: &Lot, view: Viewpoint) -> Self {
        let bare = Self {
            lot: lot.name.to_string(),
            pieces: lot.pieces,
            rack: lot.rack().map(str::to_owned),
            phase: Phase::Uncoated,
            cured: false,
            age_hours: None,
            needs_hours: None,
            ready_at: None,
            assumed: Vec::new(),
            coat: None,
            rooms: Vec::new(),
            no_sooner: None,
            no_later: None,
            touches: Vec::new(),
            held_by_touch: false,
            factor: None,
            not_in_the_rate: NOT_IN_THE_RATE,
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
        let sooner = cure.or_else(|| shop.may_leave(lot, view.now));
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
        let rooms = shop.rooms_used(lot, coat.ended, view.now);
        Self {
            phase,
            cured: phase != Phase::Recoat && reached && !held_by_touch,
            age_hours: sooner.as_ref().map(|clock| clock.age_hours),
            needs_hours: sooner.as_ref().map(|clock| clock.needs_hours),
            ready_at: sooner.as_ref().and_then(|clock| clock.at),
            assumed: sooner.as_ref().map_or_else(Vec::new, |clock| clock.assumed.clone()),
            coat: Some(CoatShown::new(coat, finish, view)),
            rooms: rooms.iter().map(|room| RoomShown::new(room, view)).collect(),
            no_sooner: sooner,
            no_later: later,
            touches: since.map(|test| TouchLine::new(test, view)).collect(),
            held_by_touch,
            factor: (phase != Phase::Recoat).then(|| shop.factor(&finish.name)),
            ..self
        }
    }
}

impl Report for Cures {
    fn text(&self, page: &mut Page) {
        for lot in &self.lots {
            page.gap();
            lot.text(page);
        }
        if self.lots.iter().any(|lot| lot.coat.is_some()) {
            page.gap();
            page.line(0, &format!("Note: {NOT_IN_THE_RATE}."));
        }
    }
}

impl CureShown {
    fn text(&self, page: &mut Page) {
        page.heading(Tone::Strong, &format!("{}  {}", self.lot, self.state()));
        let (Some(coat), Some(sooner)) = (&self.coat, &self.no_sooner) else {
            page.line(2, "no coat is on it yet: nothing is counted");
            return;
        };
        let place = self.rack.as_ref().map_or_else(String::new, |rack| format!(" on {rack}"));
        let pieces = Count(self.pieces, "piece");
        let ended = coat.ended.both();
        page.hanging(2, 4, &format!("{pieces}{place}; coat of {} ended {ended}", coat.finish));
        page.hanging(2, 4, &format!("sheet: {}; {}", coat.title(), coat.conditions()));
        for room in &self.rooms {
            page.hanging(2, 4, &room.said(self.rooms.len() > 1));
        }
        self.clocks(sooner, coat, page);
        for touch in &self.touches {
            page.hanging(2, 4, &format!("touched {}: {}", touch.at.moment(), touch.stage));
        }
        if self.held_by_touch {
            page.hanging(2, 4, "! it still grabbed when last touched: it waits whatever its age");
        }
        if let Some(factor) = &self.factor {
            page.hanging(2, 4, &factor.said(&coat.finish));
        }
    }

    fn state(&self) -> &'static str {
        let reached = self.no_sooner.as_ref().is_some_and(|clock| clock.reached);
        let shut = self.no_later.as_ref().is_some_and(|clock| clock.reached);
        match (self.phase, reached) {
            (Phase::Uncoated, _) => "not coated",
            (_, true) if self.held_by_touch => "still grabs",
            (Phase::Recoat, _) if shut => "recoat window shut",
            (Phase::Recoat, true) => "may be coated again",
            (Phase::Recoat, false) => "too early to coat again",
            (Phase::Cure, true) => "the sheet's cure time is reached",
            (Phase::Cure, false) => "curing",
            (Phase::Rest, true) => "rested (nothing in this finish cures)",
            (Phase::Rest, false) => "resting (nothing in this finish cures)",
        }
    }

    fn clocks(&self, sooner: &ClockShown, coat: &CoatShown, page: &mut Page) {
        let what = match self.phase {
            Phase::Recoat => "next coat no sooner than",
            Phase::Rest => "rested",
            Phase::Cure | Phase::Uncoated => "cure time reached",
        };
        let key = if self.phase == Phase::Recoat { "recoat" } else { "cure" };
        let mark = coat.from_class.get(key).map_or_else(String::new, |mark| format!(" ({mark})"));
        page.gap();
        page.hanging(2, 4, &format!("age {}{mark}", sooner.age()));
        page.hanging(2, 4, &format!("{what}: {}", sooner.when()));
        sooner.outlook(4, page);
        sooner.assumptions(4, page);
        if let Some(later) = &self.no_later {
            page.hanging(2, 4, &format!("age of the window {}{mark}", later.age()));
            page.hanging(2, 4, &format!("next coat no later than: {}", later.when()));
            later.outlook(4, page);
            later.assumptions(4, page);
        }
    }
}
