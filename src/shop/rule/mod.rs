//! The rules that several kinds of fact ask. What one kind alone asks stands in its own file.
//!
//! `Err` is what nothing can overrule; `Ok` lists what `--anyway` may, most telling first.

mod can;
mod cure;
pub(super) mod rack;
mod window;

use crate::shop::nearest::{by_nearness, nearest};
use crate::shop::setup::{Finish, Rack, Recipe, Room, Setup};
use crate::shop::{Batch, Can, EntryId, Fact, Lot, LotName, Refusal, Sent, Shop, SubjectKind};
use crate::time::Instant;

/// What stands against an entry and may be overruled, or what may not.
pub(crate) type Objections = Result<Vec<Refusal>, Refusal>;

/// When something happened, and from when it is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct When {
    pub(crate) at: Instant,
    /// The time now: readings up to it count.
    pub(crate) now: Instant,
}

impl Shop {
    /// Everything that stands against recording `fact` as having happened at `at`.
    pub fn objections(&self, fact: &Fact, at: Instant, now: Instant) -> Objections {
        if at > now {
            return Err(Refusal::Future { at, now });
        }
        fact.objections(self, When { at, now })
    }

    /// The setup, or the refusal that says there is none.
    pub fn needs_setup(&self) -> Result<&Setup, Refusal> {
        self.setup.as_ref().ok_or(Refusal::NoSetup)
    }

    /// The lot of that name, with pieces in hand or not.
    pub(crate) fn known_lot(&self, name: &LotName) -> Result<&Lot, Refusal> {
        self.lots.get(name).ok_or_else(|| {
            let names: Vec<String> = self.open_lots().map(|lot| lot.name.to_string()).collect();
            unknown("lot", &name.to_string(), names.iter().map(String::as_str))
        })
    }

    /// The rack of that name in the setup.
    pub(crate) fn known_rack(&self, name: &str) -> Result<&Rack, Refusal> {
        let setup = self.needs_setup()?;
        let names = setup.racks.iter().map(|rack| rack.name.as_str());
        setup.rack(name).ok_or_else(|| unknown("rack", name, names))
    }

    /// The room of that name in the setup.
    pub(crate) fn known_room(&self, name: &str) -> Result<&Room, Refusal> {
        let setup = self.needs_setup()?;
        let names = setup.rooms.iter().map(|room| room.name.as_str());
        let room = setup.rooms.iter().find(|room| room.name == name);
        room.ok_or_else(|| unknown("room", name, names))
    }

    /// The recipe of that name in the setup.
    pub(crate) fn known_recipe(&self, name: &str) -> Result<&Recipe, Refusal> {
        let setup = self.needs_setup()?;
        let names = setup.recipes.iter().map(|recipe| recipe.name.as_str());
        setup.recipe(name).ok_or_else(|| unknown("recipe", name, names))
    }

    /// The finish of that name in the setup.
    pub(crate) fn known_finish(&self, name: &str) -> Result<&Finish, Refusal> {
        let setup = self.needs_setup()?;
        let names = setup.finishes.iter().map(|finish| finish.name.as_str());
        setup.finish(name).ok_or_else(|| unknown("finish", name, names))
    }

    /// The batch, if it is open and was opened by then.
    pub(super) fn open_batch(&self, name: &str, at: Instant) -> Result<(), Refusal> {
        let batch = self.known_batch(name)?;
        if batch.closed.is_some() {
            return Err(Refusal::Over { what: SubjectKind::Batch, name: name.to_owned() });
        }
        in_order(name, at, batch.opened)
    }

    /// Refuses a batch that is closed.
    pub(crate) fn may_still_be_open(&self, name: &str) -> Result<(), Refusal> {
        if self.known_batch(name)?.closed.is_some() {
            return Err(Refusal::Over { what: SubjectKind::Batch, name: name.to_owned() });
        }
        Ok(())
    }

    /// The batch of that name, open or closed.
    pub(crate) fn known_batch(&self, name: &str) -> Result<&Batch, Refusal> {
        let names = self.batches.keys().map(String::as_str);
        self.batches.get(name).ok_or_else(|| unknown("batch", name, names))
    }

    /// The can of that name, open or empty.
    pub(crate) fn known_can(&self, name: &str) -> Result<&Can, Refusal> {
        let names = self.cans.keys().map(String::as_str);
        self.cans.get(name).ok_or_else(|| unknown("can", name, names))
    }

    /// The shipment of that number, if it went.
    pub(crate) fn known_shipment(&self, shipment: EntryId) -> Result<&Sent, Refusal> {
        self.shipments.get(&shipment).ok_or_else(|| unknown("shipment", &shipment.to_string(), []))
    }

    /// The shipment of that number, if it went before `at` and was not cancelled.
    pub(super) fn sent(&self, shipment: EntryId, at: Instant) -> Result<&Sent, Refusal> {
        let sent = self.known_shipment(shipment)?;
        if sent.cancelled.is_some() {
            let name = shipment.to_string();
            return Err(Refusal::Over { what: SubjectKind::Shipment, name });
        }
        in_order(&format!("shipment {shipment}"), at, sent.at)?;
        Ok(sent)
    }

    /// The lot, if it is still in hand and nothing later is recorded of it.
    pub(super) fn lot_at(&self, name: &LotName, at: Instant) -> Result<&Lot, Refusal> {
        let lot = self.known_lot(name)?;
        if lot.pieces == 0 {
            return Err(Refusal::Over { what: SubjectKind::Lot, name: name.to_string() });
        }
        in_order(&name.to_string(), at, lot.last_at)?;
        Ok(lot)
    }
}

/// The refusal of a name that nothing has, with those there are.
pub(crate) fn unknown<'a>(
    what: &'static str,
    name: &str,
    names: impl IntoIterator<Item = &'a str>,
) -> Refusal {
    let names: Vec<&str> = names.into_iter().collect();
    let near = nearest(name, names.iter().copied()).is_some();
    let known = by_nearness(name, names).into_iter().map(str::to_owned).collect();
    Refusal::Unknown { what, name: name.to_owned(), known, near }
}

pub(super) fn in_order(subject: &str, at: Instant, last: Instant) -> Result<(), Refusal> {
    if at < last {
        return Err(Refusal::BeforeLast { subject: subject.to_owned(), at, last });
    }
    Ok(())
}

pub(super) fn free(lot: &Lot) -> Objections {
    match &lot.held {
        Some(held) => {
            Err(Refusal::Held { lot: lot.name.clone(), why: held.why.clone(), since: held.since })
        }
        None => Ok(Vec::new()),
    }
}

pub(super) fn enough(lot: &Lot, pieces: u32) -> Result<(), Refusal> {
    if pieces == 0 {
        return Err(Refusal::NoPieces);
    }
    if pieces > lot.pieces {
        return Err(Refusal::TooFew { lot: lot.name.clone(), pieces: lot.pieces, asked: pieces });
    }
    Ok(())
}
