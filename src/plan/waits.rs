//! What a coat asks of the time after it, as the rooms are expected to be.

use crate::craft::cure::Clock;
use crate::plan::engine::Minute;
use crate::plan::minutes::{down, up};
use crate::shop::Shop;
use crate::shop::setup::{Finish, Rack, Setup};
use crate::time::{Instant, Span};

/// The waits after a coat, in minutes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Waits {
    /// To the next step.
    pub(crate) shortest: Minute,
    /// To the next coat's start, where the sheet names a longest.
    pub(crate) longest: Option<Minute>,
    /// From the last coat's end to the end of cure.
    pub(crate) cure: Minute,
}

impl Waits {
    /// A finish's waits in the rooms its pieces may stand in: the slowest room for what may be no sooner, the quickest for
    /// what may be no later. A room in which they never end is none of them; where that leaves no room to cure in, pieces
    /// cure where they dry. Pieces that stand on a rack already dry in its room. `None` where there is no room left.
    pub(crate) fn of(
        shop: &Shop,
        setup: &Setup,
        finish: &Finish,
        stands: Option<&Rack>,
        now: Instant,
    ) -> Option<Self> {
        let ahead = |clock, span: Span, rooms: &[&str]| -> Vec<Span> {
            rooms.iter().filter_map(|room| shop.ahead(clock, span, finish, room, now)).collect()
        };
        let stood_in = match stands {
            Some(rack) => vec![rack.room.as_str()],
            None => rooms(setup, |rack| rack.purpose.dries()),
        };
        let (drying, shortest): (Vec<&str>, Vec<Span>) = stood_in
            .iter()
            .filter_map(|&room| {
                let wait = finish.recoat.min;
                Some((room, shop.ahead(Clock::NoSooner, wait, finish, room, now)?))
            })
            .unzip();
        if drying.is_empty() && !stood_in.is_empty() {
            return None;
        }
        let needed = shop.cure_time(finish);
        let curing = rooms(setup, |rack| rack.purpose.cures());
        let mut cure = ahead(Clock::NoSooner, needed, &curing);
        if cure.is_empty() && !curing.is_empty() {
            cure = ahead(Clock::NoSooner, needed, &drying);
            cure.first()?;
        }
        let longest = finish.recoat.longest().map(|longest| {
            ahead(Clock::NoLater, longest, &drying).into_iter().min().unwrap_or(longest)
        });
        Some(Self {
            shortest: up(shortest.into_iter().max().unwrap_or(finish.recoat.min)),
            longest: longest.map(down),
            cure: up(cure.into_iter().max().unwrap_or(needed)),
        })
    }
}

/// Whether the wait to the next coat of a finish ever ends in a room as it is.
pub(super) fn dries_in(shop: &Shop, finish: &Finish, room: &str, now: Instant) -> bool {
    shop.ahead(Clock::NoSooner, finish.recoat.min, finish, room, now).is_some()
}

/// Whether its cure ever ends there.
pub(super) fn cures_in(shop: &Shop, finish: &Finish, room: &str, now: Instant) -> bool {
    shop.ahead(Clock::NoSooner, shop.cure_time(finish), finish, room, now).is_some()
}

/// The rooms of the racks of a use, each once.
fn rooms(setup: &Setup, fits: fn(&Rack) -> bool) -> Vec<&str> {
    let racks = setup.racks.iter().filter(|rack| fits(rack));
    let mut rooms: Vec<&str> = racks.map(|rack| rack.room.as_str()).collect();
    rooms.sort_unstable();
    rooms.dedup();
    rooms
}
