//! `remind watch` on a terminal: large letters and single keys, and a terminal that changes its size.

use serde_json::json;
use unicode_width::UnicodeWidthStr as _;

use super::shop::{at, on_a_terminal};
use crate::harness::{TestShop, here};

/// Shown last of all at each drawing.
const KEYS: &str = "any key: wiped";

/// Two soaks of which one is to be wiped now, the other in a while.
fn soaks() -> TestShop {
    let mut shop = at("2026-03-25T09:48:00Z");
    shop.run("can open 'house oil' --name K7").ok();
    shop.run("batch open salt --recipe 'two coats' --pieces 60").ok();
    shop.run("lot start salt --pieces 36 --rack drip-1").ok();
    shop.run("lot start salt --pieces 9 --rack drip-1").ok();
    shop.run("begin salt-1").ok();
    shop.at("2026-03-25T09:58:00Z").run("begin salt-2").ok();
    shop.at("2026-03-25T10:00:00Z");
    shop
}

fn done(shop: &TestShop, lot: &str) -> usize {
    let shown = shop.json(&format!("lot show {lot}"));
    shown["steps"].as_array().unwrap().iter().filter(|step| !step["done"].is_null()).count()
}

/// The lines of each drawing, without what is not text.
fn drawings(shown: &str) -> Vec<Vec<String>> {
    let plain = fancy_regex::Regex::new("\u{1b}\\[[0-9;?]*[A-GI-Za-z]").unwrap();
    let drawn = shown.split("\u{1b}[H").skip(1);
    drawn
        .map(|one| {
            plain.replace_all(one, "").replace('\r', "").lines().map(str::to_owned).collect()
        })
        .collect()
}

#[test]
fn any_key_says_wiped_and_a_pedal_that_bounces_says_it_once() {
    if !here(&["/usr/bin/python3"]) {
        return;
    }
    let mut shop = soaks();
    shop.columns(80);
    // What is typed first is heard once; what is taken back a second later is to be wiped again.
    let script = json!([
        [KEYS, "bbb"],
        ["done: salt-1 coat 1 of 2, house oil", ""],
        [KEYS, ""],
        [KEYS, ""],
        [KEYS, "\r"],
        ["nothing is to be wiped yet", ""],
        [KEYS, ""],
        [KEYS, ""],
        [KEYS, "u"],
        ["undo: ", ""],
        [KEYS, ""],
        [KEYS, ""],
        [KEYS, "l"],
        ["salt-1: wipe coat 1 of 2, house oil: told again today 10:02", ""],
        [KEYS, ""],
        [KEYS, ""],
        [KEYS, "q"],
    ]);
    let shown = on_a_terminal(&shop, "remind watch --large", &script);
    assert_eq!((done(&shop, "salt-1"), done(&shop, "salt-2")), (0, 0), "{shown}");
    assert!(shown.ends_with("Stopped watching. What is still due is still due.\r\n"), "{shown:?}");
    assert!(shown.contains("\u{1b}[?1049h") && shown.contains("\u{1b}[?1049l"), "{shown:?}");
    // "WIPE NOW" in letters, bold and reversed, and one bell; again after the undo.
    assert!(shown.contains("\u{1b}[1;7m█   █ █████ ████  █████"), "{shown}");
    assert_eq!(shown.matches('\u{7}').count(), 2, "{shown}");
    // The other one, six minutes before its time, is not loud.
    assert!(shown.contains("\u{1b}[H█   █ █████ ████  █████       █████ █   █"), "{shown}");
}

#[test]
fn letters_follow_the_size_of_the_terminal() {
    if !here(&["/usr/bin/python3"]) {
        return;
    }
    let mut shop = soaks();
    shop.columns(140).set("LINES", "40");
    let script = json!([
        [KEYS, { "columns": 60, "rows": 24 }],
        [KEYS, { "columns": 40, "rows": 8 }],
        [KEYS, "\u{3}"],
    ]);
    let shown = on_a_terminal(&shop, "remind watch --large", &script);
    let drawings = drawings(shown.split("\u{1b}[?25h").next().unwrap());
    for drawing in &drawings {
        assert!(drawing.iter().all(|line| line.width() <= 140), "{drawing:?}");
    }
    let widest = |drawing: &Vec<String>| drawing.iter().map(|line| line.width()).max().unwrap();
    let first = &drawings[0];
    assert!(first.len() <= 40 && widest(first) > 80, "as large as 140 columns let: {first:#?}");
    let last = drawings.last().unwrap();
    assert!(last.len() <= 8 && widest(last) <= 40, "{last:#?}");
    assert_eq!(last[..3], ["WIPE NOW", "SALT-1", "7:42"]);
}

#[test]
fn bars_are_drawn_anew_for_another_width() {
    if !here(&["/usr/bin/python3"]) {
        return;
    }
    let mut shop = soaks();
    for (from, to) in [(140, 60), (60, 140), (100, 80)] {
        shop.columns(from);
        let script = json!([
            ["WIPE NOW", { "columns": to, "rows": 24 }],
            ["\u{1b}[2J", ""],
            ["to the wipe", "\u{3}"],
        ]);
        let shown = on_a_terminal(&shop, "remind watch", &script);
        let after = shown.rsplit_once("\u{1b}[2J").unwrap().1;
        let lines = &drawings(after.split("\u{1b}[J").next().unwrap())[0];
        assert!(lines.iter().all(|line| line.width() < to), "{to}: {lines:#?}");
        let bars: Vec<_> = lines.iter().filter(|line| line.starts_with("salt-")).collect();
        let place = |line: &String| line.find('[');
        assert!(bars.len() == 2 && (to < 80 || place(bars[0]).is_some()), "{to}: {lines:#?}");
        assert!(place(bars[0]) == place(bars[1]), "{to}: {lines:#?}");
    }
}

#[test]
fn large_letters_need_a_terminal() {
    let said = soaks().run("remind watch --large").fails(2);
    assert!(said.contains("leave out --large"), "{said}");
}
