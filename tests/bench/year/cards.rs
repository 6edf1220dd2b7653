//! Cards and a kitchen timer: orders by their promised date, lots as big as the largest free rack, each coat as soon as the
//! sheet's shortest time is over and the shop is open, shipped after the sheet's days whatever the room was.
//!
//! Its promise is a rule of thumb: the work already taken and this order's own at seven tenths of the open hours, the sheet's
//! rests and cure, and six days for what goes wrong. The two constants were tuned by hand on seeds 101 to 105, which are not
//! among those reported, until about 19 of 20 such dates were kept.
//!
//! A patient person has the same cards, and waits longer than the sheet says: 1.4 times in July, 2.4 times in January, on a
//! cosine between them. He promises by the same rule with those waits in it.

use chrono::{Datelike as _, NaiveDate, TimeDelta};

use super::truth::Bench;
use super::world::{Moment, News, Room, World, day_of, next_open, stretches};

/// The share of open hours in which a plan by hand comes true.
const WORKED: f64 = 0.7;
/// Days for what goes wrong.
const MARGIN: i64 = 6;
/// One in twelve more is begun than ordered.
const SPARES: f64 = 1.08;

/// The racks of `shop.toml`: name, room, slots, whether pieces dry there.
const RACKS: [(&str, Room, u32, bool); 5] = [
    ("drip-1", Room::Oil, 36, true),
    ("drip-2", Room::Oil, 24, true),
    ("drip-3", Room::Oil, 24, true),
    ("shelf", Room::Oil, 40, true),
    ("loft", Room::Loft, 200, false),
];

/// How long whoever works by cards waits.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Waits {
    /// The sheet's hours, whatever the room.
    AsTheSheet,
    /// Longer, by the season.
    BySeason,
}

impl Waits {
    /// So many times the sheet's hours for a wait that begins then.
    fn times(self, from: Moment) -> f64 {
        match self {
            Self::AsTheSheet => 1.0,
            Self::BySeason => {
                let year = (f64::from(from.ordinal()) - 196.0) / 365.0 * std::f64::consts::TAU;
                1.9 - 0.5 * year.cos()
            }
        }
    }
}

pub(crate) struct Cards<'w> {
    pub(crate) bench: Bench<'w>,
    waits: Waits,
    /// Pieces of each order begun so far.
    begun: Vec<u32>,
    lots: u32,
    /// Promised dates to work to instead of the rule of thumb's, where both policies are to meet the same.
    dates: Option<Vec<Option<NaiveDate>>>,
}

impl<'w> Cards<'w> {
    pub(crate) fn new(
        world: &'w World,
        waits: Waits,
        dates: Option<Vec<Option<NaiveDate>>>,
    ) -> Self {
        let begun = vec![0; world.orders.len()];
        Self { bench: Bench::new(world), waits, begun, lots: 0, dates }
    }

    /// So many hours of the sheet after a coat, as they are waited for.
    fn rested(&self, coated: Moment, hours: f64) -> Moment {
        coated + TimeDelta::minutes((hours * self.waits.times(coated) * 60.0) as i64)
    }

    pub(crate) fn live(mut self) -> Bench<'w> {
        let world = self.bench.world;
        let mut day = world.first;
        let end = world.last_day();
        let mut at =
            world.orders.first().map_or_else(|| next_open(end_of(day)), |order| order.asked);
        while day < end {
            at = next_open(at);
            day = day_of(at);
            if world.ill.contains(&day) {
                at = end_of(day);
                continue;
            }
            self.take_orders(at);
            if self.bench.all_left(at) {
                break;
            }
            at = self.one_thing(at).unwrap_or(at + TimeDelta::minutes(10));
        }
        self.bench
    }

    fn take_orders(&mut self, at: Moment) {
        for number in 0..self.begun.len() {
            let order = &self.bench.world.orders[number];
            if order.asked <= at && self.bench.tally.kept[number].promised.is_none() {
                let given = self.dates.as_ref().and_then(|dates| dates[number]);
                let promised = given.unwrap_or_else(|| self.promise(number, at));
                self.bench.tally.kept[number].promised = Some(promised);
            }
        }
        for (order, news) in self.bench.news(at) {
            match news {
                News::Cancelled => {
                    for (lot, _) in self.bench.lots_of(order) {
                        self.bench.drop(&lot, at);
                    }
                }
                News::Pieces(pieces) if pieces > self.bench.world.orders[order].pieces => {
                    let given = self.dates.as_ref().and_then(|dates| dates[order]);
                    let promised = given.unwrap_or_else(|| self.promise(order, at));
                    self.bench.tally.kept[order].promised = Some(promised);
                }
                News::Pieces(_) => {}
            }
        }
    }

    fn promise(&self, number: usize, at: Moment) -> NaiveDate {
        let minutes = |number: usize| {
            let order = &self.bench.world.orders[number];
            let left =
                f64::from(self.bench.wanted[number]) * SPARES - f64::from(self.begun[number]) * 0.8;
            let each: f64 =
                self.bench.recipes[order.recipe].steps.iter().map(|step| step.seconds).sum();
            left.max(0.0) * each / 60.0
        };
        let taken = (0..self.begun.len())
            .filter(|other| *other != number)
            .filter(|other| self.bench.tally.kept[*other].promised.is_some());
        let work = taken.map(minutes).sum::<f64>() + minutes(number);
        let recipe = &self.bench.recipes[self.bench.world.orders[number].recipe];
        let coats = recipe.steps.iter().filter(|step| step.coat).count() as f64;
        let rests = (recipe.finish.recoat_hours.0 * coats * 1.6 + recipe.finish.cure_hours) / 24.0
            * self.waits.times(at);
        let days = work / (2400.0 * WORKED) * 7.0 + rests;
        day_of(at) + TimeDelta::days(days.ceil() as i64 + MARGIN)
    }

    /// What comes first now, done; its end. `None` where there is nothing to do.
    fn one_thing(&mut self, at: Moment) -> Option<Moment> {
        let mut ready: Vec<(NaiveDate, std::cmp::Reverse<usize>, String)> = self
            .bench
            .lots
            .iter()
            .filter(|(_, lot)| self.may(lot, at))
            .map(|(name, lot)| (self.date(lot.order), std::cmp::Reverse(lot.next), name.clone()))
            .collect();
        ready.sort();
        for (_, _, name) in ready {
            if let Some(end) = self.step(&name, at) {
                return Some(end);
            }
        }
        self.start(at)
    }

    fn date(&self, order: usize) -> NaiveDate {
        self.bench.tally.kept[order].promised.unwrap_or(NaiveDate::MAX)
    }

    fn may(&self, lot: &super::truth::Lot, at: Moment) -> bool {
        let recipe = self.bench.recipe(lot);
        let before = lot.next.checked_sub(1).and_then(|before| recipe.steps.get(before));
        let rest = before.map_or(0.0, |step| step.rest);
        let Some(step) = recipe.steps.get(lot.next) else { return true };
        let mut from = lot.ended + TimeDelta::minutes((rest * 60.0) as i64);
        if let Some(coated) = lot.coated {
            let coats_left = recipe.steps[lot.next..].iter().any(|step| step.coat);
            let hours =
                if coats_left { recipe.finish.recoat_hours.0 } else { recipe.finish.cure_hours };
            from = from.max(self.rested(coated, hours));
        }
        let length =
            TimeDelta::minutes(((step.seconds * f64::from(lot.pieces)) / 60.0) as i64 + 12);
        let fits =
            stretches(day_of(at)).iter().any(|(from, until)| *from <= at && at + length <= *until);
        from <= at && (!step.coat || fits)
    }

    fn step(&mut self, name: &str, at: Moment) -> Option<Moment> {
        let lot = self.bench.lots.get(name)?.clone();
        let Some(step) = self.bench.step(&lot) else {
            self.bench.ship(name, lot.pieces, at);
            return Some(at + TimeDelta::minutes(2));
        };
        if step.coat && lot.rack.is_none() {
            let (rack, room, ..) = self.free(lot.pieces, true)?;
            self.bench.stand(name, Some((rack, room)), at);
        }
        let (end, _) = self.bench.work(name, at);
        if self.bench.lots.get(name).is_some_and(|lot| lot.pieces == 0) {
            self.bench.drop(name, end);
        }
        self.carry(end);
        Some(end)
    }

    /// Carries lots that have had their last coat and its rest up to the loft.
    fn carry(&mut self, at: Moment) {
        let names: Vec<String> = self.bench.lots.keys().cloned().collect();
        for name in names {
            let Some(lot) = self.bench.lots.get(&name).cloned() else { continue };
            let recipe = self.bench.recipe(&lot);
            let coats_left = recipe.steps[lot.next..].iter().any(|step| step.coat);
            let shortest = recipe.finish.recoat_hours.0;
            let rested = lot.coated.is_some_and(|coated| self.rested(coated, shortest) <= at);
            let dries = lot.rack.as_ref().is_some_and(|(rack, _)| rack.starts_with("drip"));
            if rested
                && dries
                && !coats_left
                && let Some((rack, room, ..)) = self.free(lot.pieces, false)
            {
                self.bench.stand(&name, Some((rack, room)), at);
            }
        }
    }

    fn start(&mut self, at: Moment) -> Option<Moment> {
        let waiting: u32 = self
            .bench
            .lots
            .values()
            .filter(|lot| lot.rack.is_none() && lot.coated.is_none())
            .map(|lot| lot.pieces)
            .sum();
        let open = |number: &usize| {
            let kept = &self.bench.tally.kept[*number];
            kept.promised.is_some() && kept.left.is_none() && self.missing(*number) > 0
        };
        let next = (0..self.begun.len())
            .filter(open)
            .min_by_key(|number| (self.date(*number), *number))?;
        let free = RACKS.iter().filter(|rack| rack.3).map(|rack| self.left_on(rack)).max()?;
        if free <= waiting {
            return None;
        }
        let pieces = self.missing(next).min(36);
        self.lots += 1;
        let name = format!("c{}", self.lots);
        self.begun[next] += pieces;
        self.bench.start(&name, next, pieces, at);
        self.step(&name, at)
    }

    /// Pieces of an order still to begin, so that with one in twelve spare enough come out.
    fn missing(&self, number: usize) -> u32 {
        let wanted = (f64::from(self.bench.wanted[number]) * SPARES).ceil() as u32;
        let alive: u32 =
            self.bench.lots.values().filter(|lot| lot.order == number).map(|lot| lot.pieces).sum();
        let short =
            self.bench.wanted[number].saturating_sub(self.bench.tally.kept[number].shipped + alive);
        if self.begun[number] < wanted { wanted - self.begun[number] } else { short }
    }

    fn left_on(&self, rack: &(&str, Room, u32, bool)) -> u32 {
        let on =
            |lot: &&super::truth::Lot| lot.rack.as_ref().is_some_and(|(name, _)| name == rack.0);
        rack.2.saturating_sub(self.bench.lots.values().filter(on).map(|lot| lot.pieces).sum())
    }

    fn free(&self, pieces: u32, dries: bool) -> Option<(&'static str, Room, u32, bool)> {
        let fits = RACKS.iter().filter(|rack| rack.3 == dries && self.left_on(rack) >= pieces);
        fits.min_by_key(|rack| self.left_on(rack)).copied()
    }
}

fn end_of(day: NaiveDate) -> Moment {
    super::world::local(day, chrono::NaiveTime::MIN) + TimeDelta::hours(25)
}
