//! A year in the shop: the same draws lived through with cards and a kitchen timer, by a patient person with the same cards,
//! and by tackfree's own advice.
//!
//! `cargo bench --bench year -- [--seeds N] [--days N] [--from DATE] [--first SEED]` prints a table side by side: median and
//! quartiles over the seeds. Worlds of less than a year begin spread over one.

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

use std::fmt::Write as _;
use std::io::Write as _;
use std::str::FromStr;
use std::sync::Mutex;
use std::sync::atomic::{AtomicU32, Ordering};

use chrono::{NaiveDate, TimeDelta};

use self::cards::{Cards, Waits};
use self::follow::Follower;
use self::score::{Policies, Score};
use self::world::{World, day_of};

/// The value that follows that name on the command line.
fn option<T: FromStr>(name: &str, usual: T) -> T {
    let mut args = std::env::args().skip_while(|arg| arg != name);
    args.nth(1).and_then(|text| text.parse().ok()).unwrap_or(usual)
}

/// The world of one of `count` seeds. Short ones begin spread over the year, so that together they see every season.
fn world(place: u32, count: u32) -> World {
    let january = NaiveDate::from_ymd_opt(2026, 1, 5).expect("a day of the calendar");
    let (days, first) = (option("--days", 365), option("--first", 1_u64));
    let later = if days < 365 { 365 * place / count } else { 0 };
    let from = option("--from", january) + TimeDelta::days(i64::from(later));
    World::new(first + u64::from(place), from, days)
}

/// What happened in a world by each policy, and what was seen there.
fn lived(world: &World) -> (Policies, String) {
    let Follower { bench, faults, looks, learned, .. } = Follower::new(world).live();
    let dates: Vec<_> = bench.tally.kept.iter().map(|kept| kept.promised).collect();
    let cards =
        |waits, dates| Score::new(world, &Cards::new(world, waits, dates).live().tally, None);
    let mut said: Vec<String> = faults.seen.clone();
    let spent = faults.spent.iter().map(|(word, (times, seconds))| {
        format!("{word} {times} x {:.2} s", seconds / f64::from(*times))
    });
    said.push(spent.collect::<Vec<_>>().join(", "));
    let errors = learned.iter().map(|(month, errors)| {
        let each = errors.iter().map(|error| format!("{:+.0}", 100.0 * error));
        format!("{month} {}", each.collect::<Vec<_>>().join(" "))
    });
    said.push(format!("cure factor off by, %: {}", errors.collect::<Vec<_>>().join(", ")));
    for (order, kept) in world.orders.iter().zip(&bench.tally.kept) {
        let [asked, wanted] = [day_of(order.asked), order.wanted];
        let (odds, shares, left) = (kept.odds, kept.said, kept.left.map(day_of));
        said.push(format!(
            "{}: {} pieces, recipe {}, asked {asked}, wanted {wanted}, odds {odds:?} said {shares:.0?}, left {left:?}",
            order.name, order.pieces, order.recipe
        ));
    }
    said.extend(bench.tally.short.iter().cloned());
    said.push(format!("{} orders from {}", world.orders.len(), world.first));
    let scores = [
        cards(Waits::AsTheSheet, None),
        cards(Waits::AsTheSheet, Some(dates.clone())),
        cards(Waits::BySeason, None),
        cards(Waits::BySeason, Some(dates)),
        Score::new(world, &bench.tally, Some((&faults, looks))),
    ];
    let mut text = String::new();
    for line in said {
        writeln!(text, "seed {}: {line}", world.seed).expect("a String takes everything");
    }
    (scores, text)
}

fn main() {
    let count = option("--seeds", 30);
    let next = AtomicU32::new(0);
    let scores: Mutex<Vec<Policies>> = Mutex::new(Vec::new());
    let workers = std::thread::available_parallelism().map_or(1, usize::from);
    std::thread::scope(|scope| {
        for _ in 0..workers {
            scope.spawn(|| {
                loop {
                    let place = next.fetch_add(1, Ordering::Relaxed);
                    if place >= count {
                        break;
                    }
                    let (score, said) = lived(&world(place, count));
                    let mut scores = scores.lock().expect("no worker stops while it holds it");
                    scores.push(score);
                    let mut out = std::io::stdout().lock();
                    writeln!(out, "{said}{} lived\n{}", scores.len(), score::table(&scores))
                        .expect("standard output is open");
                }
            });
        }
    });
}
