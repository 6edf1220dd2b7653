//! How fast rests and cure go in each room in which pieces stand: by its weeks, and by how many times longer that makes a stay.

use std::collections::{BTreeMap, BTreeSet};

use super::draws::Draws;
use super::spread::{Ground, Spreads};
use super::weeks::{Drawn, MOST_WEEKS, SLOWEST, Weather, Weeks, slower};
use crate::plan::minutes::Origin;
use crate::shop::Shop;
use crate::shop::name::LotName;
use crate::shop::plan::{ShopPlan, StayPlan};
use crate::shop::setup::{Recipe, Step};
use crate::time::Instant;

/// The spread of a cure's own time that tests don't tell of yet: half the time a tenth or more (a choice, no source).
const UNTESTED: f64 = 0.15;

/// What the logs tell of the rooms in which pieces stand.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Rooms(BTreeMap<String, Weeks>);

/// The weeks of each room in one run.
struct Air(BTreeMap<String, Vec<Drawn>>);

impl Rooms {
    /// Of every room with a rack.
    pub(super) fn of(shop: &Shop, recipe: &Recipe, now: Instant) -> Self {
        let racks = shop.setup.iter().flat_map(|setup| &setup.racks);
        let rooms: BTreeSet<&String> = racks.map(|rack| &rack.room).collect();
        let weeks = |room: &String| (room.clone(), Weeks::of(shop, recipe, room, now));
        Self(rooms.into_iter().map(weeks).collect())
    }

    /// Whether a season counts beside their logs.
    pub(crate) fn follow_a_season(&self) -> bool {
        self.0.values().any(Weeks::follow_a_season)
    }

    /// What the rooms are told by in which that batch stands by the plan: the shortest of their logs.
    pub(super) fn ground(&self, shop: &Shop, plan: &ShopPlan, batch: &str) -> Ground {
        let of_batch = |lot: &str| lot.parse::<LotName>().is_ok_and(|lot| lot.batch == batch);
        let stays = plan.stays.iter().filter(|stay| of_batch(&stay.lot));
        let rooms = stays.filter_map(|stay| shop.setup.as_ref()?.rack(&stay.rack));
        let told = rooms.filter_map(|rack| self.0.get(&rack.room));
        let fewest = |ground: &Ground| match ground {
            Ground::Records(count) => (1, *count),
            Ground::Prior(count) => (0, *count),
        };
        told.map(Weeks::ground).min_by_key(fewest).unwrap_or(Ground::Prior(0))
    }

    /// The rooms' weeks to come, each off what is expected by as much as one of its log's, drawn by chance, and all by the weather.
    fn drawn(&self, draws: &mut Draws) -> Air {
        let weather = Weather::drawn(draws);
        let of_room =
            |(room, weeks): (&String, &Weeks)| (room.clone(), weeks.drawn(weather, draws));
        Air(self.0.iter().map(of_room).collect())
    }
}

/// A room and the weeks from now in which a lot stands there.
#[derive(Debug, Clone)]
pub(super) struct Stay {
    room: String,
    first: usize,
    last: usize,
}

/// Where each lot stands by the plan while it dries, and while it cures.
#[derive(Default)]
pub(super) struct Stays {
    drying: BTreeMap<LotName, Stay>,
    curing: BTreeMap<LotName, Stay>,
}

impl Stays {
    pub(super) fn of(shop: &Shop, plan: &ShopPlan, origin: Origin) -> Self {
        let week = |at| {
            let week = origin.no_sooner(at) / (7 * 24 * 60);
            usize::try_from(week).unwrap_or(0).min(MOST_WEEKS - 1)
        };
        let there = |stay: &StayPlan| {
            let room = shop.setup.as_ref()?.rack(&stay.rack)?.room.clone();
            let there = Stay { room, first: week(stay.from), last: week(stay.until) };
            Some((stay.lot.parse().ok()?, there))
        };
        let mut stays = Self::default();
        for stay in &plan.stays {
            let of_kind = if stay.cures { &mut stays.curing } else { &mut stays.drying };
            of_kind.extend(there(stay));
        }
        stays
    }

    pub(super) fn drying(&self, lot: &LotName) -> Option<&Stay> {
        self.drying.get(lot).or_else(|| self.curing.get(lot)).or_else(|| last(&self.drying))
    }

    pub(super) fn curing(&self, lot: &LotName) -> Option<&Stay> {
        self.curing.get(lot).or_else(|| self.drying.get(lot)).or_else(|| last(&self.curing))
    }
}

/// A lot that the plan doesn't have stands where its last one does.
fn last(stays: &BTreeMap<LotName, Stay>) -> Option<&Stay> {
    stays.values().max_by_key(|stay| stay.last)
}

/// By how many times rests and cures of one run take longer than reckoned.
pub(super) struct Slower {
    air: Air,
    /// Cures, by their finish.
    cures: BTreeMap<String, f64>,
}

impl Slower {
    /// What touch tests don't tell of a cure yet: never quicker than the sheet.
    pub(super) fn drawn(spreads: &Spreads, draws: &mut Draws) -> Self {
        let air = spreads.rooms.drawn(draws);
        let longer = |finish: &String| (finish.clone(), slower(UNTESTED, draws));
        Self { air, cures: spreads.untested.iter().map(longer).collect() }
    }

    pub(super) fn rest(&self, stay: Option<&Stay>) -> f64 {
        stay.map_or(1.0, |stay| self.air.times(stay))
    }

    /// Of the cure's own time, whatever the room.
    pub(super) fn cure(&self, recipe: &Recipe) -> f64 {
        let finish = recipe.steps.iter().find_map(Step::cures);
        finish.and_then(|finish| self.cures.get(finish)).copied().unwrap_or(1.0)
    }
}

impl Air {
    /// How many times longer than planned a rest or cure takes there: where the plan counts on nothing, as long.
    fn times(&self, stay: &Stay) -> f64 {
        let Some(weeks) = self.0.get(&stay.room) else { return 1.0 };
        let there = weeks.get(stay.first..=stay.last).unwrap_or(weeks);
        let planned: f64 = there.iter().map(|week| week.planned).sum();
        let truly: f64 = there.iter().map(|week| week.truly).sum();
        if planned > 0.0 { planned / truly.max(SLOWEST * planned) } else { 1.0 }
    }
}
