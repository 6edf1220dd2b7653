//! `setup new --ask` on a terminal: from nothing to a loaded shop.

use std::process::Command;

use serde_json::{Value, json};

use crate::harness::{TestShop, here};

/// Answers the questions on a terminal, and gives the exit code and all that was shown.
fn answered(shop: &TestShop, answers: &Value) -> (Option<i32>, String) {
    let command = shop.command("setup new --ask");
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/harness/answers.py");
    let mut terminal = Command::new("/usr/bin/python3");
    terminal.arg(script).arg(answers.to_string());
    terminal.arg(command.get_program()).args(command.get_args());
    terminal.env_clear().envs(command.get_envs().filter_map(|(name, value)| Some((name, value?))));
    let output = terminal.current_dir(shop.folder()).output().unwrap();
    (output.status.code(), String::from_utf8(output.stdout).unwrap())
}

fn answers() -> Vec<Value> {
    vec![
        json!(["the shop called?", "Sorrel Lane Turnery"]),
        json!(["Time zone", "Europe/Dublin"]),
        json!(["Units", ""]),
        json!(["Open hours", "mon-fri 18:00-21:30, sat 09:00-13:00"]),
        json!(["Rooms", "garage"]),
        json!(["heated?", "by day"]),
        json!(["A rack's name", "peg board"]),
        json!(["does it hold?", "48"]),
        json!(["to dry, to cure", ""]),
        json!(["Another rack", ""]),
        json!(["A finish's name", "hardwax"]),
        json!(["its tin call it?", "hard wax oil"]),
        json!(["tin says otherwise", "recoat = \"16h..\""]),
        json!(["else it says otherwise", ""]),
        json!(["Another finish", ""]),
        json!(["A piece you make", "cup"]),
        json!(["Area of one", "180"]),
        json!(["How many coats?", "2"]),
        json!(["Sanding grits", ""]),
        json!(["Write shop.toml", "y"]),
    ]
}

#[test]
fn from_nothing_to_a_loaded_shop() {
    if !here(&["/usr/bin/python3"]) {
        return;
    }
    let shop = TestShop::bare();
    let mut answers = answers();
    // The change to what the class supplies is one more than a beginner needs.
    answers.retain(|answer| answer[0] != "else it says otherwise");
    answers.iter_mut().filter(|answer| answer[0] == "tin says otherwise").for_each(|answer| {
        answer[1] = json!("");
    });
    assert!(answers.len() < 20, "{}", answers.len());
    let (code, shown) = answered(&shop, &json!(answers));
    assert_eq!(code, Some(0), "{shown}");
    let setup = shop.json("setup show");
    assert_eq!(setup["shop"]["name"], "Sorrel Lane Turnery");
    shop.run("setup check shop.toml").ok();
    shop.run("batch open cups --recipe 'cup, 2 coats' --pieces 12").ok();
}

#[test]
fn what_the_class_supplies_is_shown_and_changed() {
    if !here(&["/usr/bin/python3"]) {
        return;
    }
    let shop = TestShop::bare();
    let (code, shown) = answered(&shop, &json!(answers()));
    assert_eq!(code, Some(0), "{shown}");
    assert!(
        shown.contains("By common practice, as oil and wax")
            && shown.contains("recoat = \"12h..7d\""),
        "{shown}"
    );
    assert!(shop.read("shop.toml").contains("recoat = \"16h..\"\n"));
}

#[test]
fn a_wrong_answer_is_asked_again_with_what_would_be_right() {
    if !here(&["/usr/bin/python3"]) {
        return;
    }
    let shop = TestShop::bare();
    let mut wrong = answers();
    wrong.insert(11, json!(["its tin call it?", "hard wax"]));
    wrong.insert(12, json!(["could mean more than one thing", "\u{15}hard wax oil"]));
    wrong.remove(13);
    let (code, shown) = answered(&shop, &json!(wrong));
    assert_eq!(code, Some(0), "{shown}");
}

#[test]
fn ctrl_c_leaves_nothing() {
    if !here(&["/usr/bin/python3"]) {
        return;
    }
    for at in [0, 6, 19] {
        let shop = TestShop::bare();
        let mut answers = answers();
        answers[at][1] = Value::Null;
        let (code, shown) = answered(&shop, &json!(answers));
        assert_ne!(code, Some(0), "{shown}");
        assert!(!shop.folder().join("shop.toml").exists() && !shop.database().exists(), "{at}");
    }
}

#[test]
fn where_nobody_can_answer_it_says_so() {
    let shop = TestShop::bare();
    let said = shop.run("setup new --ask").fails(2);
    assert!(
        said.contains("no terminal") && said.contains("tackfree setup new shop.toml"),
        "{said}"
    );
}
