//! What a person is to be told now, each thing once.
//!
//! A thing has a name that stays the same while it is the same thing: the lot, the step, and the entry it follows. A step
//! taken back and done again is another thing. What is still not done later is told again, at each of its stages, in plainer
//! words.

mod air;
pub(super) mod lot;
mod moves;
mod opening;
mod promise;
pub(super) mod rags;
pub(super) mod wipe;

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::remind::notice::Kind;
use crate::shop::cure::Ground;
use crate::shop::due::Item;
use crate::shop::setup::recipe::CoatNumber;
use crate::shop::{LotName, Shop};
use crate::store::Memory;
use crate::time::Instant;

/// One thing to be told.
#[derive(Debug, Clone, PartialEq)]
pub struct Thing {
    /// The same while it is the same thing, whatever its stage.
    pub about: String,
    /// Which time it is told; empty for the only one.
    pub(crate) stage: String,
    pub kind: Kind,
    /// Whether it is past its time: a soak that is over, a window that has closed, rags that have lain for an hour.
    pub late: bool,
    /// Whether it can't wait for the shop to open.
    pub(crate) at_any_hour: bool,
    pub(crate) who: Who,
    /// What hands do: "coat house oil".
    pub(crate) what: String,
    /// Which coat that is, if it is one.
    pub(crate) coat: Option<CoatNumber>,
    /// Where the lot stands.
    pub(crate) rack: Option<String>,
    pub(crate) pieces: u32,
    /// Since when it is so, or from when it will be.
    pub(crate) since: Instant,
    /// No later.
    pub(crate) until: Option<Instant>,
    /// When the last piece of it is to be off, for a wipe.
    pub(crate) over: Option<Instant>,
    /// Whether `done` must be told which can the coat came from.
    pub(crate) which_can: bool,
    /// How far `since` rests on readings of the room.
    pub(crate) ground: Ground,
    /// "common practice": set where the time is the finish class's and not a sheet's.
    pub(crate) from_class: Option<String>,
    /// What there is to say of it besides: a room's air and what it should be, a promise's dates, a day's digest.
    pub(crate) said: Vec<String>,
    /// For rags: whether they can set themselves on fire, as far as the setup says.
    pub(crate) self_heating: Option<bool>,
}

/// Whose thing it is.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Who {
    Lot(LotName),
    Batch(String),
    Shop,
}

impl fmt::Display for Who {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Lot(lot) => lot.fmt(f),
            Self::Batch(batch) => f.write_str(batch),
            Self::Shop => f.write_str("today"),
        }
    }
}

impl Thing {
    pub fn lot(&self) -> Option<&LotName> {
        match &self.who {
            Who::Lot(lot) => Some(lot),
            Who::Batch(_) | Who::Shop => None,
        }
    }

    /// The same while it is the same thing at the same stage.
    pub fn key(&self) -> String {
        if self.stage.is_empty() {
            self.about.clone()
        } else {
            format!("{}/{}", self.about, self.stage)
        }
    }

    /// A thing still without its name.
    fn bare(kind: Kind, who: Who, since: Instant) -> Self {
        Self {
            about: String::new(),
            stage: String::new(),
            kind,
            late: false,
            at_any_hour: kind.at_any_hour(),
            who,
            what: String::new(),
            coat: None,
            rack: None,
            pieces: 0,
            since,
            until: None,
            over: None,
            ground: Ground::Readings,
            from_class: None,
            which_can: false,
            said: Vec::new(),
            self_heating: None,
        }
    }

    /// A thing of a lot's next step, still without its name.
    fn of(kind: Kind, item: &Item, since: Instant) -> Self {
        Self {
            what: item.words.clone(),
            coat: item.coat,
            rack: item.rack.clone(),
            pieces: item.pieces,
            until: item.until,
            ground: item.ground,
            from_class: item.origin.from_class.clone(),
            which_can: item.which_can,
            ..Self::bare(kind, Who::Lot(item.lot.clone()), since)
        }
    }
}

/// Everything to be told as the shop stands at `now`, the most pressing kinds first, told already or not.
pub fn due(shop: &Shop, told: &Memory, now: Instant) -> Vec<Thing> {
    let mut things: Vec<Thing> = shop
        .open_lots()
        .flat_map(|lot| {
            let item = shop.next_item(lot, now);
            [lot::of_lot(shop, lot, &item, now), air::of_room(shop, told, lot, &item, now)]
        })
        .flatten()
        .chain(rags::of_rags(shop, now))
        .chain(moves::of_moves(shop, told, now))
        .chain(promise::of_promises(shop, told, now))
        .collect();
    things.extend(opening::of_day(shop, told, &things, now));
    things.sort_by(|a, b| (a.kind, &a.who, &a.about).cmp(&(b.kind, &b.who, &b.about)));
    things
}

/// When a thing may be told next: now, or when the shop next opens. `None` where it never opens.
pub(crate) fn told_from(shop: &Shop, thing: &Thing, now: Instant) -> Option<Instant> {
    match &shop.setup {
        Some(setup) if !thing.at_any_hour => setup.shop.hours.next_open(setup.shop.zone, now),
        _ => Some(now),
    }
}
