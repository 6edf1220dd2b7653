//! `ledger export` and `ledger import`: all of it out, and the same shop again.

use super::shop;
use crate::harness::TestShop;

/// What only looks, and so must answer the same from either database.
const READING: [&str; 29] = [
    "today",
    "due",
    "racks",
    "plan --effort 200",
    "batch list",
    "batch show rest",
    "lot list",
    "lot show rest-2",
    "can list",
    "ship list",
    "ship show 18",
    "cure rest-1 rest-2",
    "climate show 'oil room'",
    "rags",
    "kit",
    "trace --can W1",
    "ledger list",
    "stock",
    "quote --recipe 'three coats' --pieces 20",
    "pace rest",
    "spares rest",
    "promise --recipe 'three coats' --pieces 12 --runs 20",
    "calendar",
    "air --size 250ml --finish 'hard wax'",
    "setup show",
    "wall --days 7",
    "card rest-1",
    "card --record 18",
    "grit --check 'three coats'",
];

/// A shop with all that stands beside the entries: a kept plan, readings, readings taken back.
fn full() -> TestShop {
    let mut shop = shop();
    shop.at("2026-03-30 10:10").run("climate add 'oil room' --temp 19 --humidity 50").ok();
    shop.run("undo --why 'the wrong room'").ok();
    shop.at("2026-03-30 10:20").run("climate add 'oil room' --lowest 12.3 --highest 20.1").ok();
    shop.run("batch open more --recipe 'three coats' --pieces 12 --due 2026-06-30").ok();
    shop.run("plan --keep --effort 200").ok();
    shop
}

fn without_seconds(answer: &serde_json::Value) -> serde_json::Value {
    let mut answer = answer.clone();
    if let Some(map) = answer.as_object_mut() {
        map.remove("seconds");
    }
    answer
}

#[test]
fn what_is_taken_in_has_the_same_hash_and_gives_the_same_answers() {
    let shop = full();
    let text = shop.run("ledger export").ok();
    shop.write("all.jsonl", &text);
    let hash = shop.json("ledger check")["last_hash"].clone();
    let taken = shop.json("ledger import all.jsonl --to copy.tackfree");
    assert_eq!(taken["last_hash"], hash);
    let copy = shop.json("--db copy.tackfree ledger check");
    assert_eq!((&copy["whole"], &copy["last_hash"]), (&true.into(), &hash));
    for line in READING {
        let (own, copied) = (shop.json(line), shop.json(&format!("--db copy.tackfree {line}")));
        assert_eq!(without_seconds(&own), without_seconds(&copied), "{line}");
    }
    assert_eq!(shop.run("--db copy.tackfree ledger export").ok(), text);
    // It goes on from there: what was taken back comes back, with its readings.
    let undone = shop.json("ledger list")["entries"]
        .as_array()
        .unwrap()
        .iter()
        .find(|entry| entry["fact"]["fact"] == "voided")
        .unwrap()["entry"]
        .clone();
    shop.run(&format!("--db copy.tackfree undo {undone} --why 'it was the right room'")).ok();
    assert_eq!(shop.json("--db copy.tackfree ledger check")["whole"], true);
}

#[test]
fn nothing_is_taken_in_that_was_changed_or_cut_off() {
    let shop = full();
    let text = shop.run("ledger export").ok();
    let changed = text.replace("\"pieces\":24", "\"pieces\":25");
    let short = text.rsplit_once('\n').unwrap().0.rsplit_once('\n').unwrap().0.to_owned();
    let warmer = text.replace("20.1", "20.2");
    let cases = [
        ("changed", changed, 4, "isn't as it was written"),
        ("short", short, 4, "ends with entry"),
        ("warmer", warmer, 4, "whole"),
        ("none", String::new(), 4, "isn't an export"),
        (
            "other",
            "{\"tackfree\":\"ledger\",\"version\":9,\"entries\":0,\"last_hash\":\"\"}".to_owned(),
            4,
            "version 9",
        ),
    ];
    for (name, text, code, said) in cases {
        shop.write(name, &text);
        let why = shop.run(&format!("ledger import {name} --to {name}.tackfree")).fails(code);
        let why = why.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(why.contains(said), "{name}: {why}");
        assert!(!shop.folder().join(format!("{name}.tackfree")).exists(), "{name}");
    }
    shop.write("all.jsonl", &text);
    shop.write("there", "");
    shop.run("ledger import all.jsonl --to there").fails(2);
    shop.run("ledger export --out there").fails(2);
}

#[test]
fn each_noun_is_a_table_with_a_row_for_each() {
    let shop = full();
    for (noun, column, rows) in
        [("batch", "batch", 2), ("lot", "lot", 3), ("can", "can", 2), ("shipment", "shipment", 1)]
    {
        let text = shop.run(&format!("ledger export --csv {noun}")).ok();
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        assert!(reader.headers().unwrap().iter().any(|name| name == column), "{noun}: {text}");
        assert_eq!(reader.records().map(Result::unwrap).count(), rows, "{noun}: {text}");
    }
    let entries = shop.json("ledger list")["entries"].as_array().unwrap().len();
    let text = shop.run("ledger export --csv entry").ok();
    assert_eq!(csv::Reader::from_reader(text.as_bytes()).records().count(), entries);
}

#[test]
fn no_cell_is_taken_for_a_formula() {
    let shop = shop();
    let texts = ["=HYPERLINK(\"x\")", "+1+2", "-2+3", "@SUM(A1)", "\u{ff1d}1+1"];
    for (number, text) in texts.iter().enumerate() {
        let line = format!("batch open b{number} --recipe 'one coat' --pieces 3 --for='{text}'");
        shop.run(&line).ok();
        shop.run(&format!("note b{number} -- '{text}'")).ok();
    }
    for noun in ["entry", "batch", "lot", "can", "shipment"] {
        let text = shop.run(&format!("ledger export --csv {noun}")).ok();
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let rows: Vec<_> = reader.records().map(Result::unwrap).collect();
        for cell in rows.iter().flat_map(csv::StringRecord::iter) {
            let computed = cell.starts_with(['=', '+', '-', '@', '\u{ff1d}']);
            assert!(!computed || cell.parse::<f64>().is_ok(), "{noun}: {cell:?}");
        }
        if noun == "batch" {
            let cells: Vec<&str> = rows.iter().flat_map(csv::StringRecord::iter).collect();
            assert!(
                texts.iter().all(|text| cells.contains(&format!("'{text}").as_str())),
                "{text}"
            );
        }
    }
}
