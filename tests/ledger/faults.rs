//! Each call that writes to the database's folder or syncs it fails once, in each of several ways: what is recorded is all
//! of it or nothing, and the exit code says which.

use std::path::Path;

use super::power::shim;
use crate::harness::{SORREL_LANE, TestShop, folder};

/// A full disk, and one that doesn't answer: `ENOSPC` and `EIO` as Linux numbers them.
const ERRORS: [&str; 2] = ["28", "5"];

fn at_work() -> TestShop {
    let mut shop = TestShop::open();
    for line in [
        "can open 'hard wax' --name W1",
        "batch open rest --recipe 'one coat' --pieces 12",
        "lot start rest --pieces 12 --rack drip-1",
    ] {
        shop.run(line).ok();
    }
    shop.at("2026-03-02 10:00");
    shop.write("second.toml", &SORREL_LANE.replacen("slots = 36", "slots = 40", 1));
    shop
}

/// The last entry's hash, and whether all is whole; a killed program's journal is played back.
fn last(shop: &TestShop) -> String {
    let check = shop.json("ledger check");
    assert_eq!(check["whole"], true, "{check}");
    check["last_hash"].as_str().unwrap().to_owned()
}

/// Runs a line with its call of that number failing, or the program dying before it.
fn with_fault(shop: &TestShop, line: &str, library: &Path, call: u32, how: Option<&str>) -> i32 {
    let mut command = shop.command(line);
    command.env("LD_PRELOAD", library).env("WATCHED", shop.database().parent().unwrap());
    match how {
        Some(error) => command.env("FAILS_AT", call.to_string()).env("FAILS_WITH", error),
        None => command.env("DIES_BEFORE", call.to_string()),
    };
    command.output().unwrap().status.code().unwrap_or(-1)
}

/// How many calls a line makes, and that none of them leaves half of it.
#[expect(clippy::print_stderr, reason = "the counts are what it is run for")]
fn hold(line: &str, ways: &[Option<&str>]) {
    let tools = folder();
    let library = shim(tools.path());
    let shop = at_work();
    let whole = std::fs::read(shop.database()).unwrap();
    let before = last(&shop);
    shop.run(line).ok();
    let after = last(&shop);
    assert_ne!(before, after);
    let mut calls = 0;
    for way in ways {
        for call in 1.. {
            for end in ["", "-journal"] {
                let path = format!("{}{end}", shop.database().display());
                std::fs::remove_file(path).unwrap_or_default();
            }
            std::fs::write(shop.database(), &whole).unwrap();
            std::fs::remove_file(shop.database().with_extension("tackfree.last"))
                .unwrap_or_default();
            let code = with_fault(&shop, line, &library, call, *way);
            let found = last(&shop);
            assert!(found == before || found == after, "{line}, call {call}, {way:?}");
            assert!(code != 0 || found == after, "{line}, call {call}, {way:?}: ends with 0");
            assert!(matches!(code, 0 | 4 | -1), "{line}, call {call}, {way:?}: ends with {code}");
            calls = calls.max(call);
            if code == 0 && call > 12 {
                break;
            }
            assert!(call < 400, "{line} never ends");
        }
    }
    eprintln!("{line}: {calls} calls, {} ways each", ways.len());
}

#[test]
fn a_call_that_fails_leaves_all_or_nothing() {
    hold("done rest-1", &[Some(ERRORS[0]), Some(ERRORS[1]), None]);
}

#[test]
#[ignore = "every command, every call: some minutes"]
fn every_command_s_every_call_that_fails_leaves_all_or_nothing() {
    for line in [
        "begin rest-1",
        "batch open salt --recipe 'one coat' --pieces 3",
        "setup load second.toml",
        "climate add 'oil room' --temp 18",
        "lot split rest-1 --pieces 4",
        "lot reject rest-1 --pieces 1 --why cracked",
        "note shop 'swept the floor'",
        "undo",
        "plan --keep",
    ] {
        hold(line, &[Some(ERRORS[0]), Some(ERRORS[1]), None]);
    }
}
