//! A shop of 2,000 pieces in eight batches with dates.

use super::scenarios::checked;
use crate::harness::TestShop;

const SETUP: &str = include_str!("../data/plan/made/large.toml");

/// An order of the table.
#[derive(serde::Deserialize)]
struct Order {
    shop: String,
    recipe: String,
    pieces: u32,
    due: String,
}

#[test]
fn two_thousand_pieces_in_eight_batches_have_a_plan_and_a_bound() {
    let shop = TestShop::with_setup(SETUP);
    let table = include_bytes!("../data/plan/made/large.csv");
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(&table[..]);
    let orders = reader.deserialize().map(Result::unwrap);
    let eight = orders.filter(|order: &Order| order.shop == "eight of 250");
    for (number, Order { recipe, pieces, due, .. }) in eight.enumerate() {
        shop.run(&format!(
            "batch open order{number} --recipe '{recipe}' --pieces {pieces} --due {due}"
        ))
        .ok();
    }
    let plan = checked(&shop, SETUP, "plan --effort 60");
    let batches = plan["batches"].as_array().unwrap();
    let to_start: u64 = batches.iter().map(|batch| batch["to_start"].as_u64().unwrap()).sum();
    assert!(batches.len() == 8 && to_start >= 2_000, "{to_start} in {}", batches.len());
    // What no plan can better is said, for the last minute as for the dates.
    let bound = &plan["bound"];
    assert!(bound["ready_at"].is_string() && bound["lateness"].is_u64(), "{bound}");
    assert_ne!(bound["because"], "nothing");
}
