//! What is too large is refused with a clear word, in bounded memory; and two names that look the same are one name.

use std::fmt::Write as _;

use crate::harness::{SORREL_LANE, TestShop};

/// Runs a line with no more memory to be had than any input may need; nothing is aborted for want of it.
#[cfg(target_os = "linux")]
fn bounded(shop: &TestShop, line: &str) -> (i32, String) {
    let command = shop.command(line);
    let mut shell = std::process::Command::new("sh");
    // 200 MB of its own, and what the program and its libraries take up by themselves.
    shell.args(["-c", "ulimit -v 330000; exec \"$@\"", "sh"]).arg(command.get_program());
    shell.args(command.get_args()).current_dir(shop.folder()).env_clear();
    let set = command.get_envs().filter_map(|(name, value)| Some((name, value?)));
    let output = shell.envs(set).output().unwrap();
    let said = String::from_utf8(output.stderr).unwrap();
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    (output.status.code().unwrap_or(-1), said)
}

#[test]
#[cfg(target_os = "linux")]
fn no_input_takes_more_memory_than_it_may() {
    let shop = TestShop::open();
    shop.write("equals.toml", &"=\n".repeat(120_000));
    shop.write("line.toml", &"=".repeat(250_000));
    shop.write("deep.toml", &format!("a = {}", "[".repeat(200_000)));
    shop.write("bad.csv", &("time,temperature\n".to_owned() + &"x,y\n".repeat(450_000)));
    shop.write("lines.csv", &"x\n".repeat(600_000));
    shop.write("quote.csv", &("time,temperature\n\"".to_owned() + &"x,y\n".repeat(490_000)));
    let mut rows = "time,temperature\n".to_owned();
    for row in 0..400_000 {
        let (day, minute) = (row / 1440, row % 1440);
        let at = chrono::DateTime::UNIX_EPOCH + chrono::TimeDelta::days(20_000 + day);
        let at = at + chrono::TimeDelta::minutes(minute);
        writeln!(rows, "{},18.5", at.format("%Y-%m-%dT%H:%M:%SZ")).unwrap();
    }
    shop.write("rows.csv", &rows);
    for (line, code, why) in [
        ("setup check equals.toml", 3, "fault"),
        ("setup check line.toml", 3, "fault"),
        ("setup check deep.toml", 3, "fault"),
        ("setup check /dev/zero", 3, "it is larger than 256 kB"),
        ("setup load /dev/zero", 3, "it is larger than 256 kB"),
        ("climate import 'oil room' /dev/zero", 3, "it is larger than 16384 kB"),
        ("climate import 'oil room' bad.csv", 3, "can't be read"),
        ("climate import 'oil room' quote.csv", 3, "can't be read"),
        ("climate import 'oil room' lines.csv", 3, "has over 500000 lines"),
        ("climate import 'oil room' rows.csv", 0, ""),
    ] {
        let (found, said) = bounded(&shop, line);
        assert!(found == code && said.contains(why), "{line}: {found}: {said:.400}");
        assert!(said.len() < 10_000, "{line}: {} octets", said.len());
    }
    let said = shop.run(&format!("caution {}", "x".repeat(1001))).fails(2);
    assert!(said.contains("over 1000 characters"), "{said}");
}

#[test]
fn twenty_faults_are_shown_and_the_rest_counted() {
    let shop = TestShop::open();
    let racks = (0..300).map(|number| format!("[[rack]]\nname = \"r{number}\"\nslots = -1\n"));
    shop.write("bad.toml", &(SORREL_LANE.to_owned() + &racks.collect::<String>()));
    let said = shop.run("setup check bad.toml").fails(3);
    assert!(said.lines().count() < 200 && said.contains("more faults."), "{said}");
    let run = shop.run("setup check bad.toml --json");
    assert_eq!(run.error()["faults"].as_array().unwrap().len(), 20);
}

#[test]
fn names_that_look_the_same_are_the_same_name() {
    let mut shop = TestShop::open();
    shop.run("batch open salt --recipe 'one coat' --pieces 3").ok();
    shop.run("can open 'house oil' --name K7").ok();
    // Capital, Cyrillic, full width; a closed one too.
    for closed in [false, true] {
        for name in ["Salt", "SALT", "\u{455}alt", "s\u{430}lt", "\u{ff53}alt"] {
            let line = format!("batch open {name} --recipe 'one coat' --pieces 3");
            let said = shop.run(&line).refused("name-taken");
            assert!(said.contains("\"salt\""), "{said}");
        }
        for name in ["k7", "\u{41a}7", "\u{39a}7"] {
            shop.run(&format!("can open 'house oil' --name {name}")).refused("name-taken");
        }
        if !closed {
            shop.at("2026-03-03 09:00");
            shop.run("batch close salt").ok();
            shop.run("can empty K7").ok();
        }
    }
    shop.run("batch open pepper --recipe 'one coat' --pieces 3").ok();
    shop.write("twice.toml", &SORREL_LANE.replacen("name = \"drip-2\"", "name = \"Drip-1\"", 1));
    let said = shop.run("setup check twice.toml").fails(3);
    assert!(said.contains("looks like another"), "{said}");
}

#[test]
fn a_logger_that_contradicts_the_log_is_told() {
    let mut shop = TestShop::open();
    shop.at("2026-03-02 12:00");
    shop.write("one.csv", "time,temperature\n2026-03-02T09:00:00Z,18\n2026-03-02T10:00:00Z,19\n");
    shop.write("two.csv", "time,temperature\n2026-03-02T09:00:00Z,2\n2026-03-02T10:00:00Z,19\n2026-03-02T11:00:00Z,20\n2026-03-02T11:00:00Z,28\n");
    assert_eq!(shop.json("climate import 'oil room' one.csv")["differ"], 0);
    assert_eq!(shop.json("climate import 'oil room' one.csv")["differ"], 0);
    let second = shop.json("climate import 'oil room' two.csv");
    assert_eq!((&second["new"], &second["differ"]), (&1.into(), &2.into()));
    let said = shop.run("climate import 'oil room' two.csv").ok();
    assert!(said.contains("! 2 readings skipped"), "{said}");
}
