//! The screens a person lives with, whole, in both units and at four widths: in a shop of evenings with a cold garage.

#![expect(clippy::too_many_lines, reason = "a screen stands whole, four times")]

mod evening;
mod table;
mod whole;

use crate::harness::TestShop;

/// The four widths, each in one of the two systems, and each system at two of them.
const LOOKS: [(usize, &str); 4] = [(60, "us"), (80, "metric"), (100, "metric"), (140, "us")];

/// Mon 14 Sep 2026, 19:20: a lot that cures in the spare room, one between coats in the cold garage, and a wipe that is late.
fn evening(units: &str) -> TestShop {
    let setup = include_str!("data/two_rooms.toml").replace("\"metric\"", &format!("{units:?}"));
    let mut shop = TestShop::bare();
    shop.at("2026-09-01 18:00").write("shop.toml", &setup);
    shop.run("setup load shop.toml").ok();
    for (at, line) in [
        ("2026-09-01 18:00", "can open hardwax --name H1 --size 1qt --maker-lot L2231"),
        ("2026-09-01 18:00", "can open 'tung oil' --name T1 --size 250ml"),
        (
            "2026-09-01 18:00",
            "batch open cups --recipe 'cup, two coats' --pieces 24 --due 2026-10-26 --for 'Marlow Café'",
        ),
        (
            "2026-09-01 18:00",
            "batch open spoons --recipe 'spoon, three coats' --pieces 12 --due 2026-10-12",
        ),
        ("2026-09-01 18:10", "climate add garage --temp 12.4C --humidity 63"),
        ("2026-09-01 18:10", "lot start cups --pieces 14 --rack 'wire shelf' --from 3"),
        ("2026-09-01 18:45", "done cups-1"),
        ("2026-09-05 09:50", "done cups-1"),
        ("2026-09-07 18:10", "lot move cups-1 --rack bookcase"),
        ("2026-09-12 09:10", "lot start cups --pieces 8 --rack 'wire shelf' --from 3"),
        ("2026-09-12 09:40", "done cups-2"),
        ("2026-09-12 09:45", "rags done --how 'soaked, lidded can, taken outside'"),
        ("2026-09-14 18:05", "climate add garage --temp 10.4C --humidity 63"),
        ("2026-09-14 18:05", "climate add 'spare room' --temp 20C --humidity 50"),
        ("2026-09-14 18:50", "lot start spoons --pieces 13 --rack 'peg board' --from 2"),
        ("2026-09-14 18:55", "begin spoons-1"),
    ] {
        shop.at(at).run(line).ok();
    }
    shop.at("2026-09-14 19:20");
    shop
}

/// The same shop in both systems.
struct Both {
    metric: TestShop,
    us: TestShop,
}

impl Both {
    fn open() -> Self {
        Self { metric: evening("metric"), us: evening("us") }
    }

    fn of(&mut self, units: &str) -> &mut TestShop {
        if units == "us" { &mut self.us } else { &mut self.metric }
    }

    /// What a command shows at each width, one below the other.
    #[track_caller]
    fn screens(&mut self, line: &str) -> String {
        let screens = LOOKS.map(|(columns, units)| {
            let screen = self.of(units).columns(columns).run(line).fits().ok();
            format!("== {columns} columns, {units}\n{screen}\n")
        });
        screens.concat()
    }
}
