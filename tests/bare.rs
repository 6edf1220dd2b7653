//! The program's name alone, and where an error stands when an answer in JSON was asked for.

use serde_json::{Value, json};

use crate::harness::TestShop;

#[test]
fn alone_it_says_how_to_begin() {
    let mut shop = TestShop::bare();
    let said = shop.columns(60).run("").fits().ok();
    for way in ["tackfree demo", "tackfree setup new shop.toml --ask", "tackfree help"] {
        assert!(said.contains(way), "{said}");
    }
    assert_eq!(shop.json("")["begin"][0]["command"], json!("tackfree demo"));
}

#[test]
fn alone_it_is_the_day_sheet() {
    let shop = TestShop::open();
    shop.run("batch open salt --recipe 'three coats' --pieces 24").ok();
    assert_eq!(shop.run("").ok(), shop.run("today").ok());
    let without = |mut sheet: Value| {
        sheet["seconds"] = json!(null);
        sheet
    };
    assert_eq!(without(shop.json("")), without(shop.json("today")));
}

#[test]
fn help_is_a_word_too() {
    let shop = TestShop::bare();
    assert_eq!(shop.run("help").ok(), shop.run("--help").ok());
    assert_eq!(shop.run("help begin").ok(), shop.run("begin --help").ok());
    assert_eq!(shop.run("help lot split").ok(), shop.run("lot split --help").ok());
}

#[test]
fn an_error_in_json_stands_where_the_answer_would_have_stood() {
    let shop = TestShop::open();
    for (line, code) in [("lot show salt-1 --json", 2), ("lot --json", 2), ("undo 99 --json", 2)] {
        let run = shop.run(line);
        let said: Value = serde_json::from_str(&run.stdout).unwrap();
        assert_eq!((&said["error"]["code"], run.code), (&json!(code), code), "{line}: {said}");
        assert_eq!(run.stderr, "", "{line}");
    }
}
