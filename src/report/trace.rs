//! `trace`: what became of the pieces a can touched, and what pieces came from, both ways in one answer.

mod text;

use std::collections::BTreeSet;
use std::fmt;

use schemars::JsonSchema;
use serde::Serialize;

use crate::report::Page;
use crate::report::batch::notes;
use crate::report::finish_record::{CoatLine, coats};
use crate::report::lot::LotLine;
use crate::shop::climate::RoomReading;
use crate::shop::fold::voided;
use crate::shop::lot::Flag;
use crate::shop::name::same;
use crate::shop::{
    Count, Entry, EntryId, Fact, Lot, LotName, Sent, Shop, Subject, SubjectKind, all_of,
};
use crate::store;
use crate::time::{Instant, Stamp, Viewpoint};
use crate::units::{Celsius, Humidity, Shown};

/// What is traced.
#[derive(Debug, Clone, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum About {
    Can(String),
    Shipment(EntryId),
    #[serde(rename = "to")]
    Customer(String),
    #[serde(rename = "asked")]
    Lots(Vec<LotName>),
}

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Trace {
    #[serde(flatten)]
    pub(crate) about: About,
    /// Pieces still here that nobody holds yet.
    pub(crate) can_be_held: u32,
    /// Pieces still here and held.
    pub(crate) held: u32,
    /// Pieces shipped that did not come back.
    pub(crate) away: u32,
    /// What can still be held back first, then what is held, then what is gone.
    pub(crate) lots: Vec<TracedLot>,
    /// Oldest first; cancelled ones too.
    pub(crate) shipments: Vec<TracedShipment>,
    /// The cans of their coats.
    pub(crate) cans: Vec<TracedCan>,
    /// The entries that `--hold` recorded.
    pub(crate) recorded: Vec<EntryId>,
}

/// A lot, where it is, and what it comes from.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct TracedLot {
    pub(crate) lot: String,
    #[serde(rename = "for")]
    pub(crate) customer: Option<String>,
    pub(crate) piece: String,
    /// Pieces still here.
    pub(crate) pieces: u32,
    pub(crate) rack: Option<String>,
    pub(crate) state: &'static str,
    /// Why it is held.
    pub(crate) held: Option<String>,
    /// Pieces shipped that did not come back.
    pub(crate) away: u32,
    /// Pieces thrown out; of a can, those since its first coat.
    pub(crate) rejected: u32,
    /// The lot that it goes on in.
    pub(crate) joined: Option<String>,
    /// Its coats; of a can, that can's.
    pub(crate) coats: Vec<CoatLine>,
    pub(crate) rooms: Vec<TracedRoom>,
    /// What was recorded against the rules.
    pub(crate) flags: Vec<Flag>,
    pub(crate) notes: Vec<String>,
}

/// A room it stood in, and what was read there then.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct TracedRoom {
    pub(crate) room: Option<String>,
    pub(crate) from: Stamp,
    pub(crate) until: Option<Stamp>,
    pub(crate) readings: usize,
    pub(crate) lowest_c: Option<Shown<Celsius>>,
    pub(crate) highest_c: Option<Shown<Celsius>>,
    /// Relative humidity.
    pub(crate) dampest_percent: Option<Shown<Humidity>>,
}

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct TracedShipment {
    pub(crate) shipment: EntryId,
    pub(crate) at: Stamp,
    pub(crate) to: String,
    pub(crate) lots: Vec<TracedPieces>,
    /// Why it did not go, if it was cancelled.
    pub(crate) cancelled: Option<String>,
}

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct TracedPieces {
    pub(crate) lot: String,
    pub(crate) pieces: u32,
    /// Those that did not come back.
    pub(crate) away: u32,
}

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct TracedCan {
    pub(crate) can: String,
    pub(crate) finish: String,
    pub(crate) maker_lot: Option<String>,
    pub(crate) opened: Stamp,
    pub(crate) emptied: Option<Stamp>,
    pub(crate) keeps_until: Option<Stamp>,
    pub(crate) notes: Vec<String>,
}

impl fmt::Display for About {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Can(can) => write!(f, "can {can}"),
            Self::Shipment(number) => write!(f, "shipment {number}"),
            Self::Customer(name) => write!(f, "what went to {name}"),
            Self::Lots(lots) => {
                write!(f, "lot{} {}", if lots.len() == 1 { "" } else { "s" }, all_of(lots))
            }
        }
    }
}

impl About {
    /// The shipments asked about, if any were.
    pub(crate) fn shipments<'a>(
        &'a self,
        shop: &'a Shop,
    ) -> impl Iterator<Item = (EntryId, &'a Sent)> {
        let all = shop.shipments.iter().map(|(number, sent)| (*number, sent));
        all.filter(move |(number, sent)| match self {
            Self::Shipment(asked) => asked == number,
            Self::Customer(asked) => same(asked, &sent.to),
            Self::Can(_) | Self::Lots(_) => false,
        })
    }

    /// The lots it leads to.
    pub(crate) fn lots(&self, shop: &Shop) -> BTreeSet<LotName> {
        match self {
            Self::Lots(lots) => lots.iter().cloned().collect(),
            Self::Can(can) => {
                let coated = shop.lots.values().filter(|lot| first_coat(lot, can).is_some());
                coated.map(|lot| lot.name.clone()).collect()
            }
            _ => {
                let sent = self.shipments(shop).flat_map(|(_, sent)| &sent.lots);
                sent.map(|(lot, _)| lot.clone()).collect()
            }
        }
    }
}

/// When a can first touched a lot's pieces, those of lots that joined it too.
fn first_coat(lot: &Lot, can: &str) -> Option<Instant> {
    let done = std::iter::once(lot).chain(&lot.joined).flat_map(|part| &part.done);
    let of = |coat: &crate::shop::fact::CoatLaid| coat.can.as_deref() == Some(can);
    done.filter(|done| done.coat.as_ref().is_some_and(of)).map(|done| done.ended).min()
}

impl Trace {
    pub(crate) fn new(
        about: About,
        shop: &Shop,
        entries: &[Entry],
        view: Viewpoint,
        readings: impl Fn(&str, Instant, Instant) -> Result<Vec<RoomReading>, store::Error>,
    ) -> Result<Self, store::Error> {
        let names = about.lots(shop);
        let mut lots = Vec::new();
        for lot in names.iter().filter_map(|name| shop.lots.get(name)) {
            let mut traced = TracedLot::new(&about, shop, lot, entries, view);
            traced.rooms = rooms(shop, lot, view, &readings)?;
            lots.push(traced);
        }
        lots.sort_by_key(|lot| (lot.pieces == 0, lot.held.is_some()));
        let here = |held| {
            let here = lots.iter().filter(move |lot| lot.held.is_some() == held);
            here.map(|lot| lot.pieces).sum()
        };
        let touched =
            |(_, sent): &(&EntryId, &Sent)| sent.lots.iter().any(|(lot, _)| names.contains(lot));
        let shipments: Vec<TracedShipment> = match &about {
            About::Can(_) | About::Lots(_) => {
                let sent = shop.shipments.iter().filter(touched);
                sent.map(|(number, sent)| TracedShipment::new(*number, sent, Some(&names), view))
                    .collect()
            }
            _ => about
                .shipments(shop)
                .map(|(number, sent)| TracedShipment::new(number, sent, None, view))
                .collect(),
        };
        let used: BTreeSet<&String> =
            lots.iter().flat_map(|lot| &lot.coats).filter_map(|coat| coat.can.as_ref()).collect();
        let cans = used.into_iter().filter_map(|name| TracedCan::new(shop, name, view)).collect();
        let away = shipments.iter().filter(|sent| sent.cancelled.is_none());
        let away = away.flat_map(|sent| &sent.lots).map(|lot| lot.away).sum();
        let (can_be_held, held) = (here(false), here(true));
        Ok(Self { about, can_be_held, held, away, lots, shipments, cans, recorded: Vec::new() })
    }
}

impl TracedLot {
    fn new(about: &About, shop: &Shop, lot: &Lot, entries: &[Entry], view: Viewpoint) -> Self {
        let (can, since) = match about {
            About::Can(can) => (Some(can), first_coat(lot, can)),
            _ => (None, None),
        };
        let mut coats = coats(shop, lot, view);
        coats.retain(|coat| can.is_none() || coat.can.as_ref() == can);
        let gone = voided(entries);
        let rejected = entries.iter().filter_map(|entry| match &entry.fact {
            Fact::PiecesRejected(out) if out.lot == lot.name && !gone.contains(&entry.id) => {
                since.is_none_or(|since| since <= entry.at).then_some(out.pieces)
            }
            _ => None,
        });
        let away = shop.shipments.values().filter(|sent| sent.cancelled.is_none());
        let into = shop.lots.values().find(|into| {
            into.joined.iter().any(|part| part.name == lot.name) && into.name != lot.name
        });
        let line = LotLine::new(shop, lot, view);
        Self {
            lot: line.lot,
            customer: shop.batches.get(&lot.name.batch).and_then(|batch| batch.customer.clone()),
            piece: lot.recipe.piece.clone(),
            pieces: lot.pieces,
            rack: line.rack,
            state: line.state,
            held: lot.held.as_ref().filter(|_| lot.pieces > 0).map(|held| held.why.clone()),
            away: away.map(|sent| sent.away(&lot.name)).sum(),
            rejected: rejected.sum(),
            joined: into.filter(|_| lot.pieces == 0).map(|into| into.name.to_string()),
            coats,
            rooms: Vec::new(),
            flags: line.flags,
            notes: notes(shop, &Subject::new(SubjectKind::Lot, &lot.name)),
        }
    }

    fn here(&self) -> String {
        let place =
            self.rack.as_ref().map_or_else(|| "on no rack".to_owned(), |rack| format!("on {rack}"));
        let customer = self.customer.as_ref();
        let customer = customer.map_or_else(String::new, |customer| format!(", for {customer}"));
        format!("{}  {} {place}, {}{customer}", self.lot, Count(self.pieces, "piece"), self.state)
    }

    fn over(&self) -> String {
        let parts = [(self.away, "shipped"), (self.rejected, "thrown out")];
        let parts = parts.iter().filter(|(pieces, _)| *pieces > 0);
        let parts = parts.map(|(pieces, what)| format!("{pieces} {what}"));
        let into = self.joined.as_ref().map(|into| format!("the pieces go on in {into}"));
        let parts: Vec<String> = parts.chain(into).collect();
        let parts = if parts.is_empty() { "no pieces left".to_owned() } else { all_of(&parts) };
        format!("{}  {parts}", self.lot)
    }

    /// Where it comes from: coats, rooms and what was recorded against the rules.
    fn text(&self, page: &mut Page) {
        for coat in &self.coats {
            page.hanging(4, 6, coat.line());
        }
        for room in &self.rooms {
            page.hanging(4, 6, room.line());
        }
        for flag in &self.flags {
            let rules = flag.rules();
            let line = format!("! step {} against the rules ({rules}): {}", flag.step, flag.reason);
            page.hanging(4, 6, &line);
        }
        for note in &self.notes {
            page.hanging(4, 6, format!("note: {note}"));
        }
    }
}

fn rooms(
    shop: &Shop,
    lot: &Lot,
    view: Viewpoint,
    readings: impl Fn(&str, Instant, Instant) -> Result<Vec<RoomReading>, store::Error>,
) -> Result<Vec<TracedRoom>, store::Error> {
    let Some(first) = lot.standing.iter().find(|standing| standing.rack.is_some()) else {
        return Ok(Vec::new());
    };
    let over = (lot.pieces == 0).then_some(lot.last_at);
    let mut rooms = Vec::new();
    for stay in shop.stays(lot, first.from) {
        let until = stay.until.or(over);
        let read = match &stay.room {
            Some(room) => readings(room, stay.from, until.unwrap_or(view.now))?,
            None => Vec::new(),
        };
        let temps = read.iter().flat_map(RoomReading::temps).map(Celsius::get);
        let damp = read.iter().filter_map(|reading| reading.humidity);
        rooms.push(TracedRoom {
            room: stay.room,
            from: view.stamp(stay.from),
            until: until.map(|until| view.stamp(until)),
            readings: read.len(),
            lowest_c: temps.clone().reduce(f64::min).and_then(|temp| view.known(temp)),
            highest_c: temps.reduce(f64::max).and_then(|temp| view.known(temp)),
            dampest_percent: damp.map(Humidity::get).reduce(f64::max).and_then(|d| view.known(d)),
        });
    }
    Ok(rooms)
}

impl TracedShipment {
    fn new(
        shipment: EntryId,
        sent: &Sent,
        of: Option<&BTreeSet<LotName>>,
        view: Viewpoint,
    ) -> Self {
        let lots = sent.lots.iter().filter(|(lot, _)| of.is_none_or(|of| of.contains(lot)));
        let lots = lots.map(|(lot, pieces)| TracedPieces {
            lot: lot.to_string(),
            pieces: *pieces,
            away: sent.away(lot),
        });
        Self {
            shipment,
            at: view.stamp(sent.at),
            to: sent.to.clone(),
            lots: lots.collect(),
            cancelled: sent.cancelled.clone(),
        }
    }

    fn line(&self) -> String {
        let lot = |lot: &TracedPieces| match lot.pieces - lot.away.min(lot.pieces) {
            0 => format!("{} of {}", lot.pieces, lot.lot),
            back => format!("{} of {} ({back} came back)", lot.pieces, lot.lot),
        };
        let lots = all_of(self.lots.iter().map(lot));
        let cancelled = self.cancelled.as_ref();
        let cancelled =
            cancelled.map_or_else(String::new, |why| format!("; CANCELLED, it did not go: {why}"));
        let (number, at) = (self.shipment, self.at.moment());
        format!("{number}  {at} to {}: {lots}{cancelled}", self.to)
    }
}

impl TracedCan {
    fn new(shop: &Shop, name: &str, view: Viewpoint) -> Option<Self> {
        let can = shop.cans.get(name)?;
        Some(Self {
            can: can.name.clone(),
            finish: can.finish.clone(),
            maker_lot: can.maker_lot.clone(),
            opened: view.stamp(can.opened),
            emptied: can.emptied.map(|at| view.stamp(at)),
            keeps_until: shop.keeps_until(can).map(|at| view.stamp(at)),
            notes: notes(shop, &Subject::new(SubjectKind::Can, name)),
        })
    }

    fn line(&self) -> String {
        let lot = self.maker_lot.as_deref().unwrap_or("unknown");
        let state = self.emptied.as_ref().map_or_else(
            || format!("still in use; close it: tackfree can empty {}", self.can),
            |at| format!("empty since {}", at.moment()),
        );
        let notes: Vec<String> = self.notes.iter().map(|note| format!("; note: {note}")).collect();
        let notes = notes.concat();
        let opened = self.opened.moment();
        format!("{}  {}, maker's lot {lot}, opened {opened}, {state}{notes}", self.can, self.finish)
    }
}
