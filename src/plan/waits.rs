//! What a coat asks of the time after it, as the rooms are expected to be.

use crate::craft::cure::Clock;
use crate::plan::engine::Minute;
use crate::plan::minutes::{down, up};
use crate::shop::Shop;
use crate::shop::setup::{Finish, Rack, Setup};
use crate::time::{Instant, Span};

/// The waits after a coat, in minutes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Waits {
    /// To the next step.
    pub shortest: Minute,
    /// To the next coat's start, where the sheet names a longest.
    pub longest: Option<Minute>,
    /// From the last coat's end to the end of cure.
    pub cure: Minute,
}

impl Waits {
    /// A finish's waits in the rooms its pieces may stand in: the slowest room for what may be no sooner, the quickest for
    /// what may be no later. Pieces that stand on a rack already dry in its room. `None` where a room as it is never lets
    /// one of them end.
    pub fn of(
        shop: &Shop,
        setup: &Setup,
        finish: &Finish,
        stands: Option<&Rack>,
        now: Instant,
    ) -> Option<Self> {
        let ahead = |clock, span, rooms: &[&str]| -> Option<Vec<Span>> {
            rooms.iter().map(|room| shop.ahead(clock, span, finish, room, now)).collect()
        };
        let drying = match stands {
            Some(rack) => vec![rack.room.as_str()],
            None => rooms(setup, |rack| rack.purpose.dries()),
        };
        let curing = rooms(setup, |rack| rack.purpose.cures());
        let needed = shop.cure_time(finish);
        let shortest = ahead(Clock::NoSooner, finish.recoat.min, &drying)?;
        let longest = match finish.recoat.longest() {
            Some(longest) => {
                ahead(Clock::NoLater, longest, &drying)?.into_iter().min().or(Some(longest))
            }
            None => None,
        };
        let cure = ahead(Clock::NoSooner, needed, &curing)?;
        Some(Self {
            shortest: up(shortest.into_iter().max().unwrap_or(finish.recoat.min)),
            longest: longest.map(down),
            cure: up(cure.into_iter().max().unwrap_or(needed)),
        })
    }
}

/// The rooms of the racks of a use, each once.
fn rooms(setup: &Setup, fits: fn(&Rack) -> bool) -> Vec<&str> {
    let racks = setup.racks.iter().filter(|rack| fits(rack));
    let mut rooms: Vec<&str> = racks.map(|rack| rack.room.as_str()).collect();
    rooms.sort_unstable();
    rooms.dedup();
    rooms
}
