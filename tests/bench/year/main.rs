//! A year in the shop: the same draws lived through with cards and a kitchen timer, by a patient person with the same cards,
//! and by tackfree's own advice.
//!
//! `cargo bench --bench year -- [--seeds N] [--days N] [--from DATE] [--first SEED]` prints a table side by side: median and quartiles over the seeds.

#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_precision_loss,
    clippy::cast_sign_loss,
    clippy::expect_used,
    reason = "counts of a simulated year are far below what either type holds, and a bench that can't go on stops"
)]

mod cards;
mod follow;
mod habits;
mod program;
mod score;
mod screens;
mod truth;
mod world;

use std::io::Write as _;
use std::str::FromStr;

use chrono::NaiveDate;

use self::cards::{Cards, Waits};
use self::follow::Follower;
use self::score::Score;
use self::world::World;

/// The value that follows that name on the command line.
fn option<T: FromStr>(name: &str, usual: T) -> T {
    let mut args = std::env::args().skip_while(|arg| arg != name);
    args.nth(1).and_then(|text| text.parse().ok()).unwrap_or(usual)
}

fn main() {
    let (seeds, days, first): (u32, u32, u32) =
        (option("--seeds", 30), option("--days", 365), option("--first", 1));
    let january = NaiveDate::from_ymd_opt(2026, 1, 5).expect("a day of the calendar");
    let from = option("--from", january);
    let mut out = std::io::stdout().lock();
    let mut scores: Vec<[Score; 5]> = Vec::new();
    for seed in first..first + seeds {
        let world = World::new(u64::from(seed), from, days);
        let Follower { bench, faults, looks, learned, .. } = Follower::new(&world, "200").live();
        let dates: Vec<_> = bench.tally.kept.iter().map(|kept| kept.promised).collect();
        let cards =
            |waits, dates| Score::new(&world, &Cards::new(&world, waits, dates).live().tally, None);
        for line in &faults.seen {
            writeln!(out, "seed {seed}: {line}").expect("standard output is open");
        }
        let spent = faults.spent.iter().map(|(word, (times, seconds))| {
            format!("{word} {times} x {:.2} s", seconds / f64::from(*times))
        });
        writeln!(out, "seed {seed}: {}", spent.collect::<Vec<_>>().join(", "))
            .expect("standard output is open");
        let errors = learned.iter().map(|(month, errors)| {
            let each = errors.iter().map(|error| format!("{:+.0}", 100.0 * error));
            format!("{month} {}", each.collect::<Vec<_>>().join(" "))
        });
        writeln!(
            out,
            "seed {seed}: cure factor off by, %: {}",
            errors.collect::<Vec<_>>().join(", ")
        )
        .expect("standard output is open");
        scores.push([
            cards(Waits::AsTheSheet, None),
            cards(Waits::AsTheSheet, Some(dates.clone())),
            cards(Waits::BySeason, None),
            cards(Waits::BySeason, Some(dates)),
            Score::new(&world, &bench.tally, Some((&faults, looks))),
        ]);
        writeln!(out, "seed {seed}: {} orders", world.orders.len())
            .expect("standard output is open");
        writeln!(out, "{}", score::table(&scores)).expect("standard output is open");
    }
}
