//! What takes long, on a terminal: how far it is, and Ctrl-C for the best so far.

use std::process::Command;

use unicode_width::UnicodeWidthStr as _;

use crate::harness::{TestShop, here};

/// An order that fills the racks for fourteen lots.
fn fourteen_lots() -> TestShop {
    let shop = TestShop::open();
    shop.run("batch open salt --recipe 'three coats' --pieces 480 --due 2026-06-02").ok();
    shop
}

/// Runs a command on a terminal, presses Ctrl-C once that text stands there, and gives the exit code and all that was
/// written.
fn pressed_at(shop: &TestShop, text: &str, line: &str) -> (Option<i32>, String) {
    let command = shop.command(line);
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/harness/terminal.py");
    let mut terminal = Command::new("/usr/bin/python3");
    terminal.args([script, text]).arg(command.get_program()).args(command.get_args());
    terminal.env_clear().envs(command.get_envs().filter_map(|(name, value)| Some((name, value?))));
    let output = terminal.current_dir(shop.folder()).output().unwrap();
    (output.status.code(), String::from_utf8(output.stdout).unwrap())
}

/// The lines said while it took long: what a terminal shows each time the line is begun anew.
fn said(shown: &str) -> Vec<&str> {
    let (progress, _) = shown.split_once('\n').unwrap();
    progress.split('\r').collect()
}

#[test]
fn ctrl_c_takes_the_best_plan_so_far() {
    if !here(&["/usr/bin/python3"]) {
        return;
    }
    let mut shop = fourteen_lots();
    for (columns, wanted) in [
        (80, "Planning   0 %, Ctrl-C takes the best so far"),
        (40, "Planning   0 %, Ctrl-C takes the best"),
    ] {
        shop.columns(columns);
        let (code, shown) = pressed_at(&shop, wanted, "plan --effort 100000000");
        assert_eq!(code, Some(0), "{shown}");
        for line in said(&shown) {
            assert!(line.width() < columns, "{line:?} is too wide for {columns} columns");
        }
        // Nothing of it is left where the plan begins.
        let (_, plan) = shown.split_once("Plan from Mon 2 Mar 2026, 08:30\r\n").unwrap();
        let wiped = " ".repeat(columns - 1);
        assert_eq!(said(&shown).iter().rev().nth(2), Some(&wiped.as_str()), "{shown}");
        assert!(plan.contains("\r\nCut short: the best plan so far.\r\n"), "{plan}");
        assert!(plan.contains("Racks and hands") && plan.ends_with("tackfree plan --keep\r\n"));
    }
}

#[test]
fn ctrl_c_takes_the_day_sheet_of_the_best_plan_so_far() {
    if !here(&["/usr/bin/python3"]) {
        return;
    }
    // As large as three more orders make it, so that no machine is done before the key.
    let shop = fourteen_lots();
    for (batch, due) in [("pine", "2026-07-02"), ("larch", "2026-08-02"), ("moss", "2026-09-02")] {
        shop.run(&format!("batch open {batch} --recipe 'three coats' --pieces 480 --due {due}"))
            .ok();
    }
    let (code, shown) = pressed_at(&shop, "Planning ", "today");
    assert_eq!(code, Some(0), "{shown}");
    assert!(shown.contains("Cut short: the best plan so far.\r\n"), "{shown}");
    assert!(shown.contains("salt-1  turn"), "{shown}");
}

#[test]
fn ctrl_c_takes_the_odds_so_far() {
    if !here(&["/usr/bin/python3"]) {
        return;
    }
    let shop = TestShop::open();
    shop.run("batch open salt --recipe 'three coats' --pieces 30").ok();
    let wanted = "Planning again and again   0 %, Ctrl-C takes the best so far";
    let (code, shown) = pressed_at(&shop, wanted, "promise salt --runs 1000000");
    assert_eq!(code, Some(0), "{shown}");
    assert!(shown.contains("salt, 30 pieces, three coats, asked "), "{shown}");
    assert!(shown.ends_with("Cut short: the odds so far.\r\n"), "{shown}");
}

#[test]
fn no_word_of_it_where_nobody_watches() {
    let shop = fourteen_lots();
    // Longer than the half second in which nothing is said on a terminal either; `ok` wants standard error empty.
    let plan = shop.run("plan --effort 200").ok();
    assert!(!plan.contains("Cut short"), "{plan}");
}
