//! Plans and promises of shops of every kind, as they were recorded: a change that moves a date, a bound, what would help or
//! the odds shows here on a line that can be read, and a digest of all steps and stays beside it.

use std::fmt::Write as _;

use chrono::TimeDelta;

use super::rooms::{SCENARIOS, Scenario, read_for_weeks};
use super::scenarios::{does, half_done};
use crate::harness::{SORREL_LANE, TestShop, digest};

/// What was planned and promised of one shop at one moment.
fn write(record: &mut String, name: &str, shop: &TestShop) {
    let plan = shop.json("plan --effort 60");
    writeln!(record, "{name}, {}", plan["now"].as_str().unwrap()).unwrap();
    for batch in plan["batches"].as_array().unwrap() {
        let name = batch["batch"].as_str().unwrap();
        let (ready, late, start) = (&batch["ready_at"], &batch["days_late"], &batch["to_start"]);
        let whole = digest(&batch.to_string());
        writeln!(record, "  {name}: ready {ready}, late {late}, to start {start}, {whole}")
            .unwrap();
    }
    writeln!(record, "  windows missed {}, bound {}", plan["windows_missed"], plan["bound"])
        .unwrap();
    for part in [
        "missed",
        "would_help",
        "drift",
        "kept",
        "waits",
        "carries_off",
        "oil_runs_out",
        "not_planned",
    ] {
        if !plan[part].is_null() && plan[part].as_array().is_none_or(|all| !all.is_empty()) {
            writeln!(record, "  {part}: {}", plan[part]).unwrap();
        }
    }
    for part in ["steps", "stays", "moves"] {
        let count = plan[part].as_array().unwrap().len();
        writeln!(record, "  {count} {part}: {}", digest(&plan[part].to_string())).unwrap();
    }
}

/// What is promised of an order of that shop.
fn write_promise(record: &mut String, batch: &str, shop: &TestShop) {
    let odds = shop.json(&format!("promise {batch} --runs 40"));
    let (dates, kept) = (&odds["ready_at"], &odds["kept"]);
    let dates = ["p50", "p80", "p95"].map(|share| dates[share].to_string()).join(" ");
    writeln!(
        record,
        "  promise {batch} {dates}, kept {kept}, {}",
        digest(&odds["others"].to_string())
    )
    .unwrap();
    for rests in odds["rests_on"].as_array().unwrap() {
        writeln!(record, "    {}", rests["says"].as_str().unwrap()).unwrap();
    }
}

/// Six weeks of lots, timed and judged, with a week in which nobody came; then two orders that don't fit beside each other.
fn with_records() -> TestShop {
    let mut shop = TestShop::open();
    shop.run("can open 'hard wax' --name W1 --litres 4").ok();
    shop.run("can open 'house oil' --name K7 --litres 1").ok();
    shop.run("batch open old --recipe 'one coat' --pieces 60").ok();
    let first = chrono::NaiveDate::from_ymd_opt(2026, 3, 2).unwrap();
    for number in 1..=6_i64 {
        let day = first + TimeDelta::days(7 * (number - 1));
        let lot = format!("old-{number}");
        does(&mut shop, &format!("{day} 09:00"), "lot start old --pieces 12");
        let minutes = 5 + (number * 7) % 4;
        does(&mut shop, &format!("{day} 09:30"), &format!("done {lot} --minutes {minutes}"));
        does(&mut shop, &format!("{day} 10:00"), &format!("begin {lot} --rack shelf"));
        does(&mut shop, &format!("{day} 10:20"), &format!("done {lot}"));
        does(&mut shop, &format!("{day} 10:30"), "rags done --how 'under water, lidded can'");
        for hour in (0..=12).step_by(3) {
            let temp = 22 + number % 3 + hour % 5;
            let at = format!("{} 1{}:45", day + TimeDelta::days(hour / 3), hour / 2);
            does(&mut shop, &at, &format!("climate add 'oil room' --temp {temp} --humidity 55"));
        }
        let at = format!("{} 11:00", day + TimeDelta::days(3));
        does(&mut shop, &at, &format!("lot move {lot} --rack loft"));
        if number > 3 {
            let ready = format!("old-{}", number - 3);
            let cracked = number % 3;
            let at = format!("{} 11:00", day + TimeDelta::days(3));
            if cracked > 0 {
                let line = format!("lot reject {ready} --pieces {cracked} --why cracked");
                does(&mut shop, &at, &line);
            }
            does(&mut shop, &at, &format!("done {ready} --minutes {}", 4 + number));
        }
    }
    does(
        &mut shop,
        "2026-04-13 08:30",
        "batch open rye --recipe 'one coat' --pieces 30 --due 2026-05-08",
    );
    does(
        &mut shop,
        "2026-04-13 08:31",
        "batch open oat --recipe 'three coats' --pieces 80 --due 2026-05-15",
    );
    shop
}

/// Eight weeks of a room that is heated by day, and colder each week.
fn cold_spring() -> TestShop {
    let shop = TestShop::open();
    read_for_weeks(&shop, "oil room", |day, hour| {
        let of_year = day + 5;
        let off = f64::from(of_year * 7919 % 13) / 6.0 - f64::from(of_year) / 25.0;
        let heated = if (8..18).contains(&hour) { 20.0 } else { 12.0 };
        (hour % 2 == 0).then_some(heated + off)
    });
    shop.run("batch open salt --recipe 'three coats' --pieces 60 --due 2026-05-02").ok();
    shop.run("batch open wren --recipe 'one coat' --pieces 25 --due 2026-04-10").ok();
    shop
}

#[test]
fn plans_and_promises_are_as_recorded() {
    let mut record = String::new();
    for (name, scenario) in SCENARIOS {
        write(&mut record, name, &Scenario::play(&scenario));
    }
    for (name, shop, batch) in
        [("with records", with_records(), "rye"), ("a cold spring", cold_spring(), "wren")]
    {
        write(&mut record, name, &shop);
        write_promise(&mut record, batch, &shop);
    }
    let mut shop = half_done();
    write(&mut record, "half done", &shop);
    write_promise(&mut record, "salt", &shop);
    does(&mut shop, "2026-03-06 10:05", "plan --keep --effort 60");
    does(
        &mut shop,
        "2026-03-06 10:10",
        "batch open rye --recipe 'one coat' --pieces 40 --due 2026-03-24",
    );
    does(&mut shop, "2026-03-06 10:15", "lot reject salt-1 --pieces 9 --why cracked");
    write(&mut record, "with an order more", &shop);
    for pieces in [150, 97] {
        does(&mut shop, "2026-03-06 10:20", &format!("batch change salt --pieces {pieces}"));
        write(&mut record, &format!("{pieces} in place of 132"), &shop);
    }
    does(&mut shop, "2026-03-06 10:20", "batch change salt --pieces 132");
    shop.at("2026-03-10 14:00");
    write(&mut record, "two days late", &shop);
    does(&mut shop, "2026-03-10 14:00", "climate add 'oil room' --temp 14 --humidity 70");
    write(&mut record, "colder than planned", &shop);
    let mut shop = TestShop::open();
    for line in [
        "can open 'house oil' --name K7 --litres 1",
        "can open 'hard wax' --name W1 --litres 1",
        "batch open salt --recipe 'three coats' --pieces 12 --due 2026-04-10",
        "batch open rest --recipe 'one coat' --pieces 12",
        "lot start salt --pieces 12 --from 6 --rack drip-1",
        "lot start rest --pieces 12 --from 2",
    ] {
        shop.run(line).ok();
    }
    does(&mut shop, "2026-03-02 14:00", "begin salt-1");
    does(&mut shop, "2026-03-02 14:02", "begin rest-1 --rack drip-2");
    shop.at("2026-03-02 14:06");
    write(&mut record, "two coats begun", &shop);
    // As many plans as are looked at where nobody says how many.
    for pieces in [20, 260] {
        let shop = TestShop::open();
        shop.run(&format!("batch open salt --recipe 'three coats' --pieces {pieces}")).ok();
        let plan = shop.json("plan");
        writeln!(record, "{pieces} pieces: {} plans, {}", plan["evaluations"], plan["ready_at"])
            .unwrap();
    }
    let short = SORREL_LANE.replace("recoat = \"24h..7d\"", "recoat = \"20h..30h\"");
    let mut shop = TestShop::with_setup(&short);
    does(&mut shop, "2026-03-06 15:00", "batch open salt --recipe 'three coats' --pieces 60");
    does(
        &mut shop,
        "2026-03-06 15:00",
        "lot start salt --pieces 24 --from 7 --rack drip-2 --did 6=15:00",
    );
    write(&mut record, "a window over the weekend", &shop);

    snapbox::assert_data_eq!(record, snapbox::file!["../snapshots/plans.txt"].raw());
}
