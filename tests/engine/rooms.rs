//! Tiny shops whose rooms count at rates of their own, against every start, every rack and every carry there is.
//!
//! One to three lots of two pieces of work: a coat, then one more step after the cure. A lot dries on one rack, may be carried
//! to another in open minutes, and cures by the age it gathers on both.

use serde_json::to_value;
use tackfree::plan::engine::{
    Activity, Demand, Failure, Hold, Job, Lag, Minute, Modal, OpenHours, Problem, Rate, Since,
    Until, solve,
};

use super::checker::broken;
use super::made::{Dice, activity, resource};
use super::settings;

const HORIZON: Minute = 34;
const MINUTE: i64 = 1_000_000_000;

/// Racks 1 and 2 dry, 3 cures.
const RACKS: [usize; 3] = [1, 2, 3];

/// A lot of the shop, in words.
#[derive(Debug, Clone)]
struct Lot {
    pieces: i64,
    coat: Minute,
    rest: Minute,
    cure: Minute,
    pack: Minute,
}

#[derive(Debug, Clone)]
struct Shop {
    open: Vec<(Minute, Minute)>,
    /// Slots of racks 1, 2, 3.
    slots: [i64; 3],
    /// Fifths of a minute that a minute counts for on racks 1, 2, 3, before a minute and from it on.
    rates: [(i64, i64); 3],
    turns: Minute,
    lots: Vec<Lot>,
    wanted: i64,
}

impl Shop {
    fn made(seed: u64) -> Self {
        let dice = &mut Dice::new(seed);
        let mut open = Vec::new();
        let mut at = dice.roll(0, 2);
        while at < HORIZON {
            let to = (at + dice.roll(3, 8)).min(HORIZON);
            open.push((at, to));
            at = to + dice.roll(1, 5);
        }
        let rate = |dice: &mut Dice| {
            let now = dice.roll(0, 5);
            (now, if dice.chance(3) { dice.roll(0, 5) } else { now })
        };
        let rates = [rate(dice), rate(dice), rate(dice)];
        let lots: Vec<Lot> = (0..=dice.place(2))
            .map(|_| Lot {
                pieces: dice.roll(1, 2),
                coat: dice.roll(1, 2),
                rest: dice.roll(1, 3),
                cure: dice.roll(3, 7),
                pack: dice.roll(1, 2),
            })
            .collect();
        let all: i64 = lots.iter().map(|lot| lot.pieces).sum();
        let wanted = if dice.chance(3) { (all - 1).max(1) } else { all };
        let slots = [dice.roll(1, 3), dice.roll(1, 3), dice.roll(2, 3)];
        Self { open, slots, rates, turns: dice.roll(6, 14), lots, wanted }
    }

    /// Fifths counted on a rack between two minutes, minute by minute.
    fn counted(&self, rack: usize, from: Minute, to: Minute) -> i64 {
        let (before, after) = self.rates[rack - 1];
        (from..to).map(|minute| if minute < self.turns { before } else { after }).sum()
    }

    fn is_open(&self, minute: Minute) -> bool {
        self.open.iter().any(|&(from, to)| from <= minute && minute < to)
    }

    fn problem(&self) -> Problem {
        let mut problem = Problem {
            format: 1,
            now: Some(0),
            horizon: Some(HORIZON),
            calendars: vec![OpenHours { name: String::new(), open: self.open.clone() }],
            resources: std::iter::once(resource(1)).chain(self.slots.map(resource)).collect(),
            rates: self.rates.iter().map(|&rates| rate(rates, self.turns)).collect(),
            ..Problem::default()
        };
        for lot in &self.lots {
            put(&mut problem, lot);
        }
        let jobs = (0..self.lots.len()).collect();
        problem.demands = vec![Demand { jobs, wanted: self.wanted }];
        problem
    }

    /// The least minute at which what is wanted is done; the checker of `Every` below.
    fn best(&self) -> Option<Minute> {
        let ways: Vec<Vec<Way>> = self.lots.iter().map(|lot| self.ways(lot)).collect();
        let mut best = None;
        self.combine(&ways, &mut Vec::new(), &mut best);
        best
    }

    /// Every way of one lot alone: coat, where it dries, when and where it is carried, pack.
    fn ways(&self, lot: &Lot) -> Vec<Way> {
        let mut ways = Vec::new();
        for coat in 0..HORIZON {
            let coated = coat + lot.coat;
            if !(coat..coated).all(|minute| self.is_open(minute)) {
                continue;
            }
            for dry in [1, 2] {
                let dries = |minute| self.counted(dry, coated, minute) >= 5 * lot.rest;
                let carried = (coated..HORIZON).filter(|m| self.is_open(*m) && dries(*m));
                for (moved, to) in carried.map(|m| (m, 3)).chain([(HORIZON, dry)]) {
                    let age = |minute: Minute| {
                        self.counted(dry, coated, minute.min(moved))
                            + self.counted(to, moved, minute.max(moved))
                    };
                    let cured = (coated..HORIZON).find(|m| age(*m) >= 5 * lot.cure);
                    let Some(cured) = cured else { continue };
                    // Carried after its cure is over is not carried; and it has to have dried before it is packed.
                    if moved < HORIZON && moved > cured {
                        continue;
                    }
                    self.packed(lot, cured, |pack, end| {
                        let (pieces, moved) = (lot.pieces, moved.min(cured));
                        ways.push(Way {
                            pieces,
                            coat: (coat, coated),
                            dry,
                            moved,
                            to,
                            cured,
                            pack: (pack, end),
                        });
                    });
                }
            }
        }
        ways
    }

    /// Every time to pack from a minute on; it may pause at closing.
    fn packed(&self, lot: &Lot, cured: Minute, mut found: impl FnMut(Minute, Minute)) {
        for pack in (cured..HORIZON).filter(|minute| self.is_open(*minute)) {
            let mut left = lot.pack;
            let end = (pack..HORIZON).find_map(|minute| {
                left -= i64::from(self.is_open(minute));
                (left == 0).then_some(minute + 1)
            });
            if let Some(end) = end {
                found(pack, end);
            }
        }
    }

    fn combine(&self, ways: &[Vec<Way>], chosen: &mut Vec<Way>, best: &mut Option<Minute>) {
        let Some(next) = ways.get(chosen.len()) else {
            let mut ends: Vec<(Minute, i64)> =
                chosen.iter().map(|way| (way.pack.1, way.pieces)).collect();
            ends.sort_unstable();
            let mut left = self.wanted;
            let counted = ends.into_iter().take_while(|(_, pieces)| {
                let counts = left > 0;
                left -= pieces;
                counts
            });
            let ready = counted.map(|end| end.0).max().unwrap();
            *best = Some(best.map_or(ready, |best| best.min(ready)));
            return;
        };
        let all = self.lots.iter().map(|lot| lot.pieces).sum::<i64>() == self.wanted;
        for way in next {
            // Where all are wanted, one that ends no sooner than the best betters nothing.
            if all && best.is_some_and(|best| best <= way.pack.1) {
                continue;
            }
            chosen.push(*way);
            if self.fits(chosen) {
                self.combine(ways, chosen, best);
            }
            chosen.pop();
        }
    }

    /// One hand, and the slots of each rack, at every minute.
    fn fits(&self, chosen: &[Way]) -> bool {
        (0..HORIZON).all(|minute| {
            let within = |(from, to): (Minute, Minute)| from <= minute && minute < to;
            let hands = chosen.iter().filter(|way| within(way.coat) || within(way.pack)).count();
            hands <= 1
                && RACKS.iter().all(|&rack| {
                    let on = |way: &&Way| {
                        (way.dry == rack && within((way.coat.0, way.moved)))
                            || (way.to == rack && within((way.moved, way.cured)))
                    };
                    chosen.iter().filter(on).map(|way| way.pieces).sum::<i64>()
                        <= self.slots[rack - 1]
                })
        })
    }
}

#[derive(Debug, Clone, Copy)]
struct Way {
    pieces: i64,
    coat: (Minute, Minute),
    dry: usize,
    moved: Minute,
    to: usize,
    cured: Minute,
    pack: (Minute, Minute),
}

fn rate((before, after): (i64, i64), turns: Minute) -> Rate {
    let steps = vec![(0, before * MINUTE / 5), (turns, after * MINUTE / 5)];
    Rate { name: String::new(), steps }
}

fn put(problem: &mut Problem, lot: &Lot) {
    let labour = |minutes, pausable| Activity {
        calendar: Some(0),
        pausable,
        ..activity(minutes, &[(0, 1)])
    };
    let first = problem.activities.len();
    let [coat, moved, cure, pack] = [0, 1, 2, 3].map(|k| first + k);
    let (dry, follows) = (problem.holds.len(), problem.holds.len() + 1);
    let modal = |holds: Vec<usize>| Modal { holds, rates: vec![(1, 0), (2, 1), (3, 2)], passed: 0 };
    problem.activities.extend([
        labour(lot.coat, false),
        Activity { calendar: Some(0), ..activity(0, &[]) },
        Activity { modal: Some(modal(vec![dry, follows])), ..activity(lot.cure, &[]) },
        labour(lot.pack, true),
    ]);
    let lag =
        |before, after, min, max| Lag { before: Some(before), after, min, max, ..Lag::default() };
    problem.lags.extend([
        Lag { modal: Some(modal(vec![dry])), ..lag(coat, moved, Some(lot.rest), None) },
        lag(coat, cure, Some(0), Some(0)),
        lag(cure, moved, None, Some(0)),
        lag(moved, pack, Some(0), None),
        lag(cure, pack, Some(0), None),
    ]);
    let until = |end| Until { end, plus: 0 };
    let units = lot.pieces;
    problem.holds.extend([
        Hold {
            units,
            any_of: vec![1, 2],
            since: Since::Start(coat),
            until: until(moved),
            follows: None,
        },
        Hold {
            units,
            any_of: vec![3],
            since: Since::Start(moved),
            until: until(cure),
            follows: Some(dry),
        },
    ]);
    problem.jobs.push(Job {
        activities: vec![coat, moved, cure, pack],
        weight: Some(lot.pieces),
        ..Job::default()
    });
}

/// The problem of a tiny shop.
pub(super) fn tiny_shop(seed: u64) -> Problem {
    Shop::made(seed).problem()
}

/// No plan is better than the best of all, no bound is above it, none is found where there is none, and nearly always the
/// best is found.
#[test]
fn tiny_shops_with_rooms_are_planned_as_well_as_can_be() {
    let (mut feasible, mut reached, mut none) = (0, 0, 0);
    for seed in 0..60 {
        let shop = Shop::made(seed);
        let problem = shop.problem();
        let best = shop.best();
        match (solve(&problem, &settings(300, seed), &mut |_| true), best) {
            (Ok(answer), Some(best)) => {
                let wrong = broken(&to_value(&problem).unwrap(), &to_value(&answer).unwrap());
                assert!(wrong.is_empty(), "seed {seed}: {wrong:?}\n{shop:?}\n{answer:?}");
                assert!(
                    answer.values.makespan >= best,
                    "seed {seed}: better than the best, {best}\n{shop:?}\n{answer:?}"
                );
                assert!(
                    answer.bound.makespan <= best,
                    "seed {seed}: {:?} above {best}",
                    answer.bound
                );
                feasible += 1;
                reached += i32::from(answer.values.makespan == best);
                if answer.values.makespan != best {
                    println!(
                        "seed {seed}: {} for {best}\n{shop:?}\n{answer:?}",
                        answer.values.makespan
                    );
                }
            }
            (Ok(answer), None) => {
                panic!("seed {seed}: a plan where there is none\n{shop:?}\n{answer:?}")
            }
            (Err(Failure::Refused(why)), Some(best)) => {
                assert!(!why.is_proved(), "seed {seed}: refused ({why}) though {best} exists");
                println!("seed {seed}: not found, {best}");
                feasible += 1;
            }
            (Err(Failure::Refused(_)), None) => none += 1,
            (Err(failure), _) => panic!("seed {seed}: {failure}"),
        }
    }
    assert!(feasible > 25 && none > 3, "{feasible} feasible, {none} not: too one-sided");
    assert!(reached * 100 >= feasible * 97, "{reached} of {feasible}");
}

/// Two lots of which one has to stand on the slower rack, and the plan is over at the same minute whichever it is.
#[test]
fn the_lot_of_fewer_pieces_stands_where_it_takes_longer() {
    let lot = |pieces| Lot { pieces, coat: 1, rest: 1, cure: 5, pack: 1 };
    for lots in [vec![lot(1), lot(2)], vec![lot(2), lot(1)]] {
        let shop = Shop {
            open: vec![(0, HORIZON)],
            slots: [2, 2, 2],
            // Nothing cures on the third.
            rates: [(5, 5), (3, 3), (0, 0)],
            turns: 0,
            lots,
            wanted: 3,
        };
        let answer = solve(&shop.problem(), &settings(300, 1), &mut |_| true).unwrap();
        let racks: Vec<usize> = answer.plan.holds.iter().step_by(2).copied().collect();
        let slower: Vec<i64> =
            (0..2).filter(|k| racks[*k] == 2).map(|k| shop.lots[k].pieces).collect();
        assert_eq!(slower, [1], "{answer:?}");
        // A cure of 9 minutes where 5 would do, and a rest of 2 where 1 would.
        assert_eq!(answer.values.waiting_time, 4 + 1, "{answer:?}");
    }
}
