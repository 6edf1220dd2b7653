//! What really happens on the bench, whoever directs it: steps take their true time, pieces crack, coats cure by the true air of
//! where they stand; and the tally of it.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{NaiveDate, TimeDelta};

use super::world::{
    Finish, Moment, News, Order, Recipe, Room, Step, World, day_of, next_open, recipes, stretches,
};

/// Pieces that go through a recipe together.
#[derive(Debug, Clone)]
pub(crate) struct Lot {
    pub(crate) order: usize,
    pub(crate) pieces: u32,
    /// The next step, as an index into the recipe's steps; past the last when all are done.
    pub(crate) next: usize,
    /// The end of the last step.
    pub(crate) ended: Moment,
    pub(crate) coated: Option<Moment>,
    pub(crate) stays: Vec<(Moment, Room)>,
    pub(crate) rack: Option<(String, Moment)>,
}

/// How an order went.
#[derive(Debug, Clone, Default)]
pub(crate) struct Kept {
    pub(crate) promised: Option<NaiveDate>,
    /// The days that were called even odds, likely, and almost sure.
    pub(crate) odds: Option<[NaiveDate; 3]>,
    /// In how many of a hundred runs it was ready by the end of each.
    pub(crate) said: [f64; 3],
    /// When its last promised piece left.
    pub(crate) left: Option<Moment>,
    pub(crate) shipped: u32,
    /// Pieces shipped on each day.
    pub(crate) days: BTreeMap<NaiveDate, u32>,
    /// Pieces fit for use on each day: shipped, and cured or by then cured had they stayed where they were.
    pub(crate) cured: BTreeMap<NaiveDate, u32>,
}

/// What a year came to.
#[derive(Debug, Clone, Default)]
pub(crate) struct Tally {
    pub(crate) kept: Vec<Kept>,
    /// Pieces shipped before their true cure.
    pub(crate) uncured: u32,
    /// Pieces shipped before the sheet's own hours had truly passed in the air they stood in.
    pub(crate) before_sheet: u32,
    /// Each lot of them, with the hours that were missing.
    pub(crate) short: Vec<String>,
    /// Coats laid on a surface that still grabbed.
    pub(crate) sticky: u32,
    /// Coats laid after their window.
    pub(crate) missed: u32,
    pub(crate) shipped: u32,
    pub(crate) hands: u64,
    pub(crate) drying: f64,
    pub(crate) curing: f64,
    /// Pieces of each lot that was started.
    pub(crate) started: Vec<u32>,
}

#[derive(Debug, Clone)]
pub(crate) struct Bench<'w> {
    pub(crate) world: &'w World,
    pub(crate) recipes: [Recipe; 3],
    pub(crate) lots: BTreeMap<String, Lot>,
    /// Pieces that each order is for now; none once it is cancelled.
    pub(crate) wanted: Vec<u32>,
    /// Orders whose news has come.
    told: BTreeSet<usize>,
    /// Pieces that have gone through a step of an order so far.
    through: BTreeMap<(usize, u32), u32>,
    pub(crate) tally: Tally,
}

impl<'w> Bench<'w> {
    pub(crate) fn new(world: &'w World) -> Self {
        let kept = vec![Kept::default(); world.orders.len()];
        let tally = Tally { kept, ..Tally::default() };
        Self {
            world,
            recipes: recipes(),
            lots: BTreeMap::new(),
            wanted: world.orders.iter().map(|order| order.pieces).collect(),
            told: BTreeSet::new(),
            through: BTreeMap::new(),
            tally,
        }
    }

    /// What customers have said since this was asked last, of orders that have not left.
    pub(crate) fn news(&mut self, at: Moment) -> Vec<(usize, News)> {
        let mut all = Vec::new();
        for (number, order) in self.world.orders.iter().enumerate() {
            let Some((_, news)) = order.news.filter(|news| news.0 <= at) else { continue };
            if !self.told.insert(number) || self.tally.kept[number].left.is_some() {
                continue;
            }
            self.wanted[number] = match news {
                News::Pieces(pieces) => pieces,
                News::Cancelled => 0,
            };
            let kept = &mut self.tally.kept[number];
            if kept.shipped >= self.wanted[number] && news != News::Cancelled {
                kept.left = Some(at);
            }
            all.push((number, news));
        }
        all
    }

    /// Whether every order has come and left, or was cancelled.
    pub(crate) fn all_left(&self, at: Moment) -> bool {
        let orders = self.world.orders.iter().zip(&self.tally.kept).zip(&self.wanted);
        orders.into_iter().all(|((order, kept), wanted)| {
            order.asked <= at && (kept.left.is_some() || *wanted == 0)
        })
    }

    /// The lots of an order.
    pub(crate) fn lots_of(&self, order: usize) -> Vec<(String, u32)> {
        let of = self.lots.iter().filter(|(_, lot)| lot.order == order);
        of.map(|(name, lot)| (name.clone(), lot.pieces)).collect()
    }

    /// Throws a lot away.
    pub(crate) fn drop(&mut self, name: &str, at: Moment) {
        self.stand(name, None, at);
        self.lots.remove(name);
    }

    pub(crate) fn order(&self, lot: &Lot) -> &'w Order {
        &self.world.orders[lot.order]
    }

    pub(crate) fn recipe(&self, lot: &Lot) -> &Recipe {
        &self.recipes[self.order(lot).recipe]
    }

    pub(crate) fn step(&self, lot: &Lot) -> Option<Step> {
        self.recipe(lot).steps.get(lot.next).copied()
    }

    pub(crate) fn start(&mut self, name: &str, order: usize, pieces: u32, at: Moment) {
        let lot =
            Lot { order, pieces, next: 0, ended: at, coated: None, stays: Vec::new(), rack: None };
        self.lots.insert(name.to_owned(), lot);
        self.tally.started.push(pieces);
    }

    /// Does the next step from `at` on, pausing at closing time where it is no coat. Gives its end and how many failed at it.
    pub(crate) fn work(&mut self, name: &str, at: Moment) -> (Moment, u32) {
        let Some(lot) = self.lots.get(name).cloned() else { return (at, 0) };
        let Some(step) = self.step(&lot) else { return (at, 0) };
        let finish = self.recipe(&lot).finish;
        let order = &self.world.orders[lot.order];
        let before = self.through.entry((lot.order, step.number)).or_default();
        let minutes = self.world.minutes(&order.name, &step, *before, lot.pieces);
        let cracked = self.world.cracked(&order.name, &step, *before, lot.pieces);
        *before += lot.pieces;
        self.tally.hands += u64::from(minutes);
        let end = if step.coat {
            self.judge_coat(&lot, &finish, at);
            // Applied at somewhat over half the time, then the first piece soaks out its ten minutes.
            let apply = f64::from(minutes) * 0.55;
            at + TimeDelta::seconds(((apply.max(10.5) + f64::from(minutes) * 0.45) * 60.0) as i64)
        } else {
            open_minutes_after(at, i64::from(minutes))
        };
        if let Some(lot) = self.lots.get_mut(name) {
            lot.next += 1;
            lot.ended = end;
            lot.coated = if step.coat { Some(end) } else { lot.coated };
            lot.pieces -= cracked;
        }
        (end, cracked)
    }

    fn judge_coat(&mut self, lot: &Lot, finish: &Finish, at: Moment) {
        let Some(coated) = lot.coated else { return };
        let age = self.world.true_age(finish, &lot.stays, coated, at);
        let slow = self.world.truly_needs(finish) / finish.cure_hours;
        if age < finish.recoat_hours.0 * slow.min(1.0) * 0.95 {
            self.tally.sticky += 1;
        }
        if age > finish.recoat_hours.1 * slow.max(1.0) {
            self.tally.missed += 1;
        }
    }

    /// Puts a lot on a rack, or off all of them; counts the days its slots were taken.
    pub(crate) fn stand(&mut self, name: &str, rack: Option<(&str, Room)>, at: Moment) {
        let Some(lot) = self.lots.get_mut(name) else { return };
        if let Some((old, since)) = lot.rack.take() {
            let days = f64::from(lot.pieces) * (at - since).num_minutes() as f64 / 1440.0;
            *if old == "loft" { &mut self.tally.curing } else { &mut self.tally.drying } += days;
        }
        if let Some((rack, room)) = rack {
            lot.rack = Some((rack.to_owned(), at));
            lot.stays.push((at, room));
        }
    }

    /// A lot goes on in another one.
    pub(crate) fn join(&mut self, name: &str, into: &str, at: Moment) {
        self.stand(name, None, at);
        let Some(from) = self.lots.remove(name) else { return };
        let rack =
            self.lots.get(into).and_then(|lot| Some((lot.rack.clone()?.0, lot.stays.last()?.1)));
        // The days on the rack so far count with the pieces that stood there.
        if let Some((rack, room)) = &rack {
            self.stand(into, Some((rack, *room)), at);
        }
        if let Some(lot) = self.lots.get_mut(into) {
            lot.pieces += from.pieces;
        }
    }

    /// Whether a lot is really cured.
    pub(crate) fn is_cured(&self, name: &str, at: Moment) -> bool {
        self.lots.get(name).is_none_or(|lot| {
            let finish = self.recipe(lot).finish;
            let age = |from| self.world.true_age(&finish, &lot.stays, from, at);
            lot.coated.is_none_or(|coated| age(coated) >= self.world.truly_needs(&finish))
        })
    }

    /// The first moment from `at` on, by the day, at which a lot is truly cured if it stays where it is.
    fn cured_by(&self, lot: &Lot, at: Moment) -> Moment {
        let finish = self.recipe(lot).finish;
        let Some(coated) = lot.coated else { return at };
        let (needs, mut until) = (self.world.truly_needs(&finish), at);
        let mut age = self.world.true_age(&finish, &lot.stays, coated, at);
        // The weather ends some months after the last order.
        while age < needs && until < at + TimeDelta::days(150) {
            let next = until + TimeDelta::days(1);
            age += self.world.true_age(&finish, &lot.stays, until, next);
            until = next;
        }
        until
    }

    /// Ships so many pieces of a lot.
    pub(crate) fn ship(&mut self, name: &str, pieces: u32, at: Moment) {
        let Some(lot) = self.lots.get(name).cloned() else { return };
        let finish = self.recipe(&lot).finish;
        let cured = self.cured_by(&lot, at);
        self.tally.uncured += if cured > at { pieces } else { 0 };
        if let Some(coated) = lot.coated {
            let age = self.world.true_age(&finish, &lot.stays, coated, at);
            let missing = finish.cure_hours - age;
            if missing > 0.0 {
                self.tally.before_sheet += pieces;
                let left = at.format("%a %d %b");
                let said = format!("{name}: {pieces} pieces left {left}, {missing:.1} h too soon");
                self.tally.short.push(said);
            }
        }
        let promised = self.wanted[lot.order];
        let kept = &mut self.tally.kept[lot.order];
        let wanted = pieces.min(promised.saturating_sub(kept.shipped));
        if wanted > 0 {
            *kept.days.entry(day_of(at)).or_default() += wanted;
            *kept.cured.entry(day_of(cured)).or_default() += wanted;
        }
        kept.shipped += pieces;
        if kept.shipped >= promised && kept.left.is_none() {
            kept.left = Some(at);
        }
        self.tally.shipped += wanted;
        if pieces >= lot.pieces {
            self.drop(name, at);
        } else if let Some(lot) = self.lots.get_mut(name) {
            lot.pieces -= pieces;
        }
    }
}

/// The moment so many open minutes after `at`.
pub(crate) fn open_minutes_after(at: Moment, minutes: i64) -> Moment {
    let (mut at, mut left) = (next_open(at), TimeDelta::minutes(minutes));
    for _ in 0..1000 {
        let stretch =
            stretches(day_of(at)).into_iter().find(|(from, until)| *from <= at && at < *until);
        let Some((_, until)) = stretch else { return at + left };
        if at + left <= until {
            return at + left;
        }
        left -= until - at;
        at = next_open(until);
    }
    at
}
