//! What a year came to, in one column a policy.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use chrono::NaiveDate;

use super::program::Faults;
use super::truth::{Kept, Tally};
use super::world::{News, World, day_of};

#[derive(Debug, Clone, Default)]
pub(crate) struct Score {
    values: BTreeMap<usize, f64>,
}

const ROWS: [&str; 32] = [
    "orders on time by the promised date, %",
    "orders on time by the wanted date, %",
    "days promised, median",
    "days taken, median",
    "kept at even odds, %",
    "kept at likely (4 in 5), %",
    "kept at almost sure (19 in 20), %",
    "pieces x days late by the promised date",
    "pieces x days late by the wanted date",
    "recoat windows missed",
    "sticky coats",
    "pieces shipped before their true cure",
    "pieces shipped before the sheet's hours",
    "good pieces a week",
    "drying slot-days",
    "curing slot-days",
    "hours of hands",
    "advice refused",
    "screens that differ",
    "no date for an order",
    "commands over a second",
    "reminders of what is settled",
    "dates moved without a new fact",
    "looks at which a kept date had moved by over a day, %",
    "lots started with one to five pieces, %",
    "pieces x days late by the promised date, late until cured",
    "pieces x days late by the wanted date, late until cured",
    "statements that turned out false",
    "said of even odds by that day's end, %",
    "said of likely by that day's end, %",
    "said of almost sure by that day's end, %",
    "days until the last piece was truly cured, median",
];

impl Score {
    pub(crate) fn new(world: &World, tally: &Tally, advice: Option<(&Faults, (u32, u32))>) -> Self {
        let mut score = Self::default();
        let orders: Vec<_> = world
            .orders
            .iter()
            .zip(&tally.kept)
            .filter(|(order, _)| !order.news.is_some_and(|(_, news)| news == News::Cancelled))
            .collect();
        let count = orders.len().max(1) as f64;
        let share = |met: &dyn Fn(usize) -> bool| {
            100.0 * (0..orders.len()).filter(|number| met(*number)).count() as f64 / count
        };
        let left = |number: usize| orders[number].1.left.map(day_of);
        score.put(
            0,
            share(&|n| {
                left(n).is_some_and(|day| orders[n].1.promised.is_some_and(|due| day <= due))
            }),
        );
        score.put(1, share(&|n| left(n).is_some_and(|day| day <= orders[n].0.wanted)));
        let asked = |n: usize| day_of(orders[n].0.asked);
        let days = |ends: Vec<Option<i64>>| {
            median(ends.into_iter().flatten().map(|days| days as f64).collect())
        };
        score.put(
            2,
            days(
                (0..orders.len())
                    .map(|n| orders[n].1.promised.map(|due| (due - asked(n)).num_days()))
                    .collect(),
            ),
        );
        score.put(
            3,
            days(
                (0..orders.len()).map(|n| left(n).map(|day| (day - asked(n)).num_days())).collect(),
            ),
        );
        let cured = |n: usize| orders[n].1.cured.keys().next_back().copied();
        let truly = |n: usize| cured(n).map(|day| (day - asked(n)).num_days());
        score.put(31, days((0..orders.len()).map(truly).collect()));
        if advice.is_some() {
            for (row, odds) in (4..7).zip(0..3) {
                let with: Vec<usize> =
                    (0..orders.len()).filter(|n| orders[*n].1.odds.is_some()).collect();
                let kept = with.iter().filter(|n| {
                    left(**n).is_some_and(|day| orders[**n].1.odds.is_some_and(|o| day <= o[odds]))
                });
                let count = with.len().max(1) as f64;
                score.put(row, 100.0 * kept.count() as f64 / count);
                let said = with.iter().map(|n| orders[*n].1.said[odds]).sum::<f64>();
                score.put(28 + odds, said / count);
            }
        }
        let late = |days: &dyn Fn(&Kept) -> &BTreeMap<NaiveDate, u32>,
                    due: &dyn Fn(usize) -> Option<NaiveDate>| {
            let of = |n: usize| {
                let Some(due) = due(n) else { return 0.0 };
                let on = days(orders[n].1).iter().map(|(day, pieces)| {
                    f64::from(*pieces) * (*day - due).num_days().max(0) as f64
                });
                on.sum::<f64>()
            };
            (0..orders.len()).map(of).sum::<f64>()
        };
        let (promised, wanted) =
            (|n: usize| orders[n].1.promised, |n: usize| Some(orders[n].0.wanted));
        score.put(7, late(&|kept| &kept.days, &promised));
        score.put(8, late(&|kept| &kept.days, &wanted));
        score.put(25, late(&|kept| &kept.cured, &promised));
        score.put(26, late(&|kept| &kept.cured, &wanted));
        score.put(9, f64::from(tally.missed));
        score.put(10, f64::from(tally.sticky));
        score.put(11, f64::from(tally.uncured));
        score.put(12, f64::from(tally.before_sheet));
        score.put(13, f64::from(tally.shipped) / (f64::from(world.days) / 7.0));
        score.put(14, tally.drying);
        score.put(15, tally.curing);
        score.put(16, tally.hands as f64 / 60.0);
        let few = tally.started.iter().filter(|pieces| **pieces <= 5).count();
        score.put(24, 100.0 * few as f64 / tally.started.len().max(1) as f64);
        if let Some((faults, looks)) = advice {
            for (row, kind) in [
                (17, "refused"),
                (18, "screens differ"),
                (19, "no date"),
                (20, "slow"),
                (21, "settled"),
                (22, "moved"),
                (27, "false"),
            ] {
                score.put(row, f64::from(faults.counts.get(kind).copied().unwrap_or(0)));
            }
            score.put(23, 100.0 * f64::from(looks.1) / f64::from(looks.0.max(1)));
        }
        score
    }

    fn put(&mut self, row: usize, value: f64) {
        self.values.insert(row, value);
    }
}

const NAMES: [&str; 5] =
    ["cards", "at tackfree's dates", "patient", "at tackfree's dates", "tackfree"];

/// What each of them came to in one world.
pub(crate) type Policies = [Score; NAMES.len()];

/// Median and quartiles of each row over the seeds, a column a policy.
pub(crate) fn table(scores: &[Policies]) -> String {
    let mut text = format!("{:<58}", "");
    for name in NAMES {
        write!(text, "{name:>24}").expect("a String takes everything");
    }
    text.push('\n');
    for (row, name) in ROWS.iter().enumerate() {
        write!(text, "{name:<58}").expect("a String takes everything");
        for policy in 0..NAMES.len() {
            let mut values: Vec<f64> =
                scores.iter().filter_map(|seed| seed[policy].values.get(&row).copied()).collect();
            values.sort_by(f64::total_cmp);
            let at = |share: f64| values[((values.len() - 1) as f64 * share).round() as usize];
            let cell = if values.is_empty() {
                "-".to_owned()
            } else {
                format!("{:.0} ({:.0} {:.0})", at(0.5), at(0.25), at(0.75))
            };
            write!(text, "{cell:>24}").expect("a String takes everything");
        }
        text.push('\n');
    }
    text
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or(0.0)
}
