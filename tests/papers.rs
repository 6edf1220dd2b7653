//! Papers and the trail.

mod access;
mod export;
mod pages;
mod trace;
mod wall;

use crate::harness::{SORREL_LANE, TestShop};

/// Two lots of spoon rests from one can: one shipped to the café, one still curing. And a third from another can.
pub(crate) fn shop() -> TestShop {
    let heated = "name = \"oil room\"\nheated = \"always\"\n";
    let mut shop = TestShop::with_setup(&SORREL_LANE.replacen("name = \"oil room\"\n", heated, 1));
    for (at, line) in [
        ("2026-03-02 08:30", "can open 'hard wax' --name W1 --size 1l --maker-lot 24-118"),
        ("2026-03-02 08:30", "can open 'hard wax' --name W2"),
        ("2026-03-02 08:30", "batch open rest --recipe 'one coat' --pieces 60 --for 'the café'"),
        ("2026-03-02 08:40", "lot start rest --pieces 20 --rack drip-1"),
        ("2026-03-02 08:45", "climate add 'oil room' --temp 21 --humidity 55"),
        ("2026-03-02 09:00", "done rest-1"),
        ("2026-03-02 10:00", "done rest-1 --can W1"),
        ("2026-03-03 09:00", "lot move rest-1 --rack loft"),
        ("2026-03-12 09:00", "lot start rest --pieces 24 --rack drip-1"),
        ("2026-03-12 09:10", "lot start rest --pieces 10 --rack drip-2"),
        ("2026-03-12 09:20", "done rest-2 rest-3"),
        ("2026-03-12 09:40", "done rest-2 --can W1"),
        ("2026-03-12 10:00", "done rest-3 --can W2"),
        ("2026-03-13 09:00", "lot reject rest-2 --pieces 2 --why 'a run'"),
        ("2026-03-30 09:00", "done rest-1"),
        ("2026-03-30 10:00", "ship rest-1 --pieces 15 --to 'the café'"),
    ] {
        shop.at(at).run(line).ok();
    }
    shop
}

/// The same on Thursday 26 March, with an order of three coats begun.
fn with_an_order() -> TestShop {
    let mut shop = shop();
    shop.at("2026-03-26 09:00");
    shop.run("batch open salt --recipe 'three coats' --pieces 40 --due 2026-05-20").ok();
    shop.run("lot start salt --pieces 14 --rack drip-2").ok();
    shop
}
