//! `scan`: codes one a line, as a scanner types them.

use serde_json::Value;

use super::shop::{at, on_a_terminal};
use crate::harness::{TestShop, here};

fn shop() -> TestShop {
    let shop = at("2026-03-25T10:00:00Z");
    shop.run("can open 'house oil' --name K7").ok();
    shop.run("batch open salt --recipe 'two coats' --pieces 600").ok();
    for _ in 0..3 {
        shop.run("lot start salt --pieces 36 --rack drip-1").ok();
    }
    shop
}

/// What each code was answered with.
fn scan(shop: &TestShop, codes: &str) -> Vec<(bool, String)> {
    let said = shop.run_with("scan --json", codes).ok();
    let answers = said.lines().map(|line| serde_json::from_str::<Value>(line).unwrap());
    let part = |answer: Value| {
        (answer["heard"].as_bool().unwrap(), answer["said"].as_str().unwrap().to_owned())
    };
    answers.map(part).collect()
}

fn entries(shop: &TestShop) -> usize {
    shop.json("ledger list")["entries"].as_array().unwrap().len()
}

#[test]
fn a_coat_goes_from_begin_to_its_rags_without_a_keyboard() {
    let mut shop = shop();
    let before = entries(&shop);
    let said = shop.run_with("scan", "salt-1\nBEGIN\n").ok();
    let lines: Vec<&str> = said.lines().collect();
    assert_eq!(lines[0], ">> SALT-1: NOW ITS ACTION");
    assert!(lines[1].starts_with(">> ") && lines[1].contains("SALT-1"), "{said}");
    assert!(!said.contains('\u{7}'));
    shop.at("2026-03-25T10:13:00Z");
    assert!(scan(&shop, "SALT-1\nwiped\nRAGS WATER\n").iter().all(|(heard, _)| *heard));
    assert_eq!(entries(&shop), before + 3);
    assert!(shop.json("rags")["open"].as_array().unwrap().is_empty());
    assert!(scan(&shop, "UNDO\nUNDO\n").iter().all(|(heard, _)| *heard));
    assert_eq!(shop.json("due")["items"][0]["lot"], "salt-1");
}

#[test]
fn what_is_out_of_order_beeps_twice_and_records_nothing() {
    let shop = shop();
    let before = entries(&shop);
    for codes in [
        "BEGIN",
        "salt-9",
        "nonsense",
        "salt-1\nWIPED",
        "salt-1\nREJECT x",
        "RAGS",
        "salt-1\nsalt-1\nRAGS WATER",
    ] {
        let said = shop.run_with("scan", codes).ok();
        let last = said.lines().last().unwrap();
        assert!(last.starts_with("!! ") && last.ends_with("\u{7}\u{7}"), "{codes}: {said:?}");
    }
    // An action takes its lot: the second one has none.
    let twice = scan(&shop, "salt-1\nBEGIN\nBEGIN\n");
    assert_eq!(twice.iter().map(|(heard, _)| *heard).collect::<Vec<_>>(), [true, true, false]);
    assert_eq!(entries(&shop), before + 1);
    let long = "x".repeat(10_000);
    assert_eq!(scan(&shop, &format!("{long}\n\r\n\u{7f}\n")).len(), 2);
    assert_eq!(entries(&shop), before + 1);
}

#[test]
fn wiped_goes_on_with_the_next_group_and_ends_the_coat_after_the_last() {
    let mut shop = shop();
    shop.run("lot start salt --pieces 132 --rack drip-1").ok();
    scan(&shop, "salt-4\nBEGIN\n");
    let before = entries(&shop);
    shop.at("2026-03-25T10:30:00Z");
    let said = scan(&shop, "salt-4\nWIPED\n").pop().unwrap();
    assert_eq!(said, (true, "salt-4: go on with group 2 of 3".to_owned()));
    assert_eq!(entries(&shop), before);
    shop.at("2026-03-25T11:40:00Z");
    scan(&shop, "salt-4\nWIPED\n");
    assert_eq!(entries(&shop), before + 1);
}

#[test]
fn five_hundred_codes_some_wrong_record_what_was_right() {
    let shop = shop();
    let before = entries(&shop);
    let mut codes = String::new();
    let mut right = 0;
    for number in 0..167 {
        match number % 5 {
            0 => codes.push_str("BEGIN\n?\nsalt-77\n"),
            1 => codes.push_str("salt-3\nREJECT 99\n\u{1b}[A\n"),
            _ if right < 30 => {
                codes.push_str("salt-2\r\nREJECT 1\r\n12\r\n");
                right += 1;
            }
            _ => codes.push_str("salt-2\nsalt-3\nDOEN\n"),
        }
    }
    assert_eq!(codes.lines().count(), 501);
    assert_eq!(scan(&shop, &codes).len(), 501);
    assert_eq!(entries(&shop), before + right);
}

/// A scanner is a keyboard: it types on a terminal, octet by octet, the next code before the last one is answered.
#[test]
fn a_scanner_on_a_terminal_types_five_hundred_codes_some_wrong() {
    if !here(&["/usr/bin/python3"]) {
        return;
    }
    let shop = shop();
    let before = entries(&shop);
    let (mut script, mut wanted) = (Vec::new(), String::new());
    let (mut right, mut wrong) = (0, 0);
    for burst in 0..25 {
        let mut codes = String::new();
        for pair in 0..9 {
            if pair == 4 {
                codes.push_str("BEGIN\rsalt-77\r");
                wrong += 2;
            } else if right < 36 && pair % 2 == 0 {
                codes.push_str("salt-2\rREJECT 1\r");
                right += 1;
            } else {
                codes.push_str("salt-3\rDOEN\r");
                wrong += 1;
            }
        }
        // The lot that is read before a wrong action waits no longer.
        let last = format!("DONE\rend-of-{burst}\r");
        codes.push_str(&last);
        wrong += 2;
        script.push(serde_json::json!([wanted, codes]));
        wanted = format!("!! END-OF-{burst} IS");
    }
    script.push(serde_json::json!([wanted, "\u{4}"]));
    let shown = on_a_terminal(&shop, "scan", &Value::Array(script));
    assert_eq!(entries(&shop), before + right, "{shown}");
    let answers = |sign: &str| shown.matches(&format!("\u{1b}[1;7m{sign} ")).count();
    assert_eq!((answers("!!"), answers(">>")), (wrong, 500 - wrong), "{shown}");
    assert_eq!(shown.matches('\u{7}').count(), 2 * wrong, "two beeps for each refusal");
}

#[test]
fn the_codes_are_listed_and_each_listed_action_is_read() {
    let mut shop = shop();
    shop.run("begin salt-1").ok();
    shop.at("2026-03-25T10:15:00Z");
    let codes = shop.json("scan --actions");
    let lots: Vec<_> = codes["lots"].as_array().unwrap().iter().map(|lot| &lot["code"]).collect();
    assert_eq!(lots, ["salt-1", "salt-2", "salt-3"]);
    for action in codes["actions"].as_array().unwrap() {
        let lot = match action["code"].as_str().unwrap() {
            "WIPED" => "salt-1",
            "DONE" => "salt-3",
            _ => "salt-2",
        };
        let said = scan(&shop, &format!("{lot}\n{}\n", action["code"].as_str().unwrap()));
        assert!(said.iter().all(|(heard, _)| *heard), "{action}: {said:?}");
    }
    for alone in codes["alone"].as_array().unwrap() {
        let said = scan(&shop, alone["code"].as_str().unwrap());
        assert!(said.iter().all(|(heard, _)| *heard), "{alone}: {said:?}");
    }
    shop.columns(60).run("scan --actions").fits().ok();
}

/// A scanner that types in capitals, or in small letters, means the lot all the same.
#[test]
fn a_lot_s_capitals_are_its_own() {
    let shop = TestShop::open();
    shop.run("batch open SaltBox --recipe 'one coat' --pieces 3").ok();
    shop.run("lot start SaltBox --pieces 3 --rack shelf").ok();
    for code in ["SALTBOX-1", "saltbox-1", "SaltBox-1"] {
        let said = shop.run_with("scan --json", code).ok();
        assert!(said.contains("\"heard\":true") && said.contains("SaltBox-1: now"), "{said}");
    }
    shop.run_with("scan", "SALTBOX-1\nDONE\n").ok();
    assert_eq!(shop.json("lot show SaltBox-1")["step"], 2);
    shop.run("batch open saltbox --recipe 'one coat' --pieces 3").refused("name-taken");
}
