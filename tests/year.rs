//! A short year in the shop, lived by the program's own advice through the real binary: nothing it advises may be refused,
//! and no two of its screens may disagree. `cargo bench --bench year` lives whole ones, beside cards and a timer.

#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_precision_loss,
    clippy::cast_sign_loss,
    reason = "counts of a simulated year are far below what either type holds"
)]
#![allow(dead_code, reason = "what only the long year reports")]

#[path = "bench/year/follow.rs"]
mod follow;
#[path = "bench/year/habits.rs"]
mod habits;
#[path = "bench/year/program.rs"]
mod program;
#[path = "bench/year/screens.rs"]
mod screens;
#[path = "bench/year/truth.rs"]
mod truth;
#[path = "bench/year/world.rs"]
mod world;

use chrono::NaiveDate;

use self::follow::Follower;
use self::world::World;

/// What must not happen once.
const NONE: [&str; 5] = ["refused", "screens differ", "settled", "moved", "false"];

#[test]
fn a_short_year_by_its_own_advice_meets_no_refusal_and_no_contradiction() {
    let may = NaiveDate::from_ymd_opt(2026, 5, 4).expect("a day of the calendar");
    let live = |seed| {
        let mut world = World::new(seed, may, 10);
        for order in &mut world.orders {
            order.pieces = order.pieces.min(30);
        }
        let Follower { faults, looks, .. } = Follower::new(&world).live();
        println!(
            "seed {seed}: {} orders, {looks:?} looks, {:?}",
            world.orders.len(),
            faults.counts
        );
        faults.seen.into_iter().map(|line| format!("seed {seed}: {line}")).collect::<Vec<_>>()
    };
    // Side by side: the suite ends with them.
    let mut seen: Vec<String> = std::thread::scope(|scope| {
        let worlds: Vec<_> = (1..=3).map(|seed| scope.spawn(move || live(seed))).collect();
        worlds.into_iter().flat_map(|world| world.join().expect("a world is lived")).collect()
    });
    seen.retain(|line| NONE.iter().any(|kind| line.contains(kind)));
    assert!(seen.is_empty(), "{}", seen.join("\n"));
}
