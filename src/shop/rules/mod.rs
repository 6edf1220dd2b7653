//! The rules that refuse an entry. One function a kind of fact; each says all that stands against it.
//!
//! `Err` is what nothing can overrule; `Ok` lists what `--anyway` may, most telling first.

mod coat;
mod lot;
mod order;
mod step;

use crate::shop::Shop;
use crate::shop::entry::{Fact, SubjectKind};
use crate::shop::lot::Lot;
use crate::shop::name::LotName;
use crate::shop::nearest::nearest;
use crate::shop::refusal::Refusal;
use crate::shop::setup::Setup;
use crate::time::Instant;

/// What stands against an entry and may be overruled, or what may not.
pub type Objections = Result<Vec<Refusal>, Refusal>;

/// When something happened, and from when it is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct When {
    pub at: Instant,
    /// The time now: readings up to it count.
    pub now: Instant,
}

impl Shop {
    /// Everything that stands against recording `fact` as having happened at `at`.
    pub fn objections(&self, fact: &Fact, at: Instant, now: Instant) -> Objections {
        if at > now {
            return Err(Refusal::Future { at, now });
        }
        match fact {
            Fact::SetupLoaded { setup, .. } => self.may_load(setup),
            Fact::CanOpened { .. } | Fact::CanEmptied { .. } => self.may_change_can(fact, at),
            Fact::BatchOpened { .. } | Fact::BatchClosed { .. } => self.may_change_batch(fact, at),
            Fact::LotStarted { .. } => self.may_start(fact, at),
            Fact::LotSplit { lot, pieces, rack, .. } => {
                self.may_split(self.lot_at(lot, at)?, *pieces, rack.as_deref(), When { at, now })
            }
            Fact::LotMoved { lot, rack } => {
                self.may_move(self.lot_at(lot, at)?, rack.as_deref(), When { at, now })
            }
            Fact::LotHeld { lot, .. } => free(self.lot_at(lot, at)?),
            Fact::LotReleased { lot } => match &self.lot_at(lot, at)?.held {
                Some(_) => Ok(Vec::new()),
                None => Err(Refusal::NotHeld { lot: lot.clone() }),
            },
            Fact::PiecesRejected { lot, pieces, .. } => {
                enough(self.lot_at(lot, at)?, *pieces).map(|()| Vec::new())
            }
            Fact::StepBegun { .. } | Fact::StepDone { .. } => self.may_step(fact, When { at, now }),
            Fact::Touched { lot, .. } => match self.lot_at(lot, at)?.last_coat() {
                Some(_) => Ok(Vec::new()),
                None => Err(Refusal::NothingToTouch { lot: lot.clone() }),
            },
            Fact::PaceTimed { lot, .. } => self.known_lot(lot).map(|_| Vec::new()),
            Fact::RagsDealtWith { rags, .. } => self.may_deal_with(rags, at),
            Fact::Shipped { lots, .. } => self.may_ship(lots, When { at, now }),
            Fact::ReadingsAdded { room, .. } => self.known_room(room).map(|_| Vec::new()),
            Fact::PlanKept { .. } => self.needs_setup().map(|_| Vec::new()),
            // Whether anything stands on it needs the entries: see `undo`.
            Fact::Voided { .. } => Ok(Vec::new()),
        }
    }

    /// The setup, or the refusal that says there is none.
    pub fn needs_setup(&self) -> Result<&Setup, Refusal> {
        self.setup.as_ref().ok_or(Refusal::NoSetup)
    }

    /// The lot of that name, with pieces in hand or not.
    pub fn known_lot(&self, name: &LotName) -> Result<&Lot, Refusal> {
        self.lots.get(name).ok_or_else(|| {
            let names: Vec<String> = self.open_lots().map(|lot| lot.name.to_string()).collect();
            unknown("lot", &name.to_string(), names.iter().map(String::as_str))
        })
    }

    /// The rack of that name in the setup.
    pub fn known_rack(&self, name: &str) -> Result<&crate::shop::setup::Rack, Refusal> {
        let setup = self.needs_setup()?;
        let names = setup.racks.iter().map(|rack| rack.name.as_str());
        setup.rack(name).ok_or_else(|| unknown("rack", name, names))
    }

    /// The room of that name in the setup.
    pub fn known_room(&self, name: &str) -> Result<&crate::shop::setup::Room, Refusal> {
        let setup = self.needs_setup()?;
        let names = setup.rooms.iter().map(|room| room.name.as_str());
        let room = setup.rooms.iter().find(|room| room.name == name);
        room.ok_or_else(|| unknown("room", name, names))
    }

    /// The recipe of that name in the setup.
    pub fn known_recipe(&self, name: &str) -> Result<&crate::shop::setup::Recipe, Refusal> {
        let setup = self.needs_setup()?;
        let names = setup.recipes.iter().map(|recipe| recipe.name.as_str());
        setup.recipe(name).ok_or_else(|| unknown("recipe", name, names))
    }

    /// The finish of that name in the setup.
    pub fn known_finish(&self, name: &str) -> Result<&crate::shop::setup::Finish, Refusal> {
        let setup = self.needs_setup()?;
        let names = setup.finishes.iter().map(|finish| finish.name.as_str());
        setup.finish(name).ok_or_else(|| unknown("finish", name, names))
    }

    /// The lot, if it is still in hand and nothing later is recorded of it.
    fn lot_at(&self, name: &LotName, at: Instant) -> Result<&Lot, Refusal> {
        let lot = self.known_lot(name)?;
        if lot.pieces == 0 {
            return Err(Refusal::Over { what: SubjectKind::Lot, name: name.to_string() });
        }
        in_order(&name.to_string(), at, lot.last_at)?;
        Ok(lot)
    }
}

/// The refusal of a name that nothing has, with the name it may have been.
pub fn unknown<'a>(
    what: &'static str,
    name: &str,
    names: impl IntoIterator<Item = &'a str>,
) -> Refusal {
    let near = nearest(name, names).map(str::to_owned);
    Refusal::Unknown { what, name: name.to_owned(), near }
}

fn in_order(subject: &str, at: Instant, last: Instant) -> Result<(), Refusal> {
    if at < last {
        return Err(Refusal::BeforeLast { subject: subject.to_owned(), at, last });
    }
    Ok(())
}

fn free(lot: &Lot) -> Objections {
    match &lot.held {
        Some(held) => {
            Err(Refusal::Held { lot: lot.name.clone(), why: held.why.clone(), since: held.since })
        }
        None => Ok(Vec::new()),
    }
}

fn enough(lot: &Lot, pieces: u32) -> Result<(), Refusal> {
    if pieces == 0 {
        return Err(Refusal::NoPieces);
    }
    if pieces > lot.pieces {
        return Err(Refusal::TooFew { lot: lot.name.clone(), pieces: lot.pieces, asked: pieces });
    }
    Ok(())
}
