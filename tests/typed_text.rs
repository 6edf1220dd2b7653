//! What people type into reasons, names and notes: never empty, never raw on a screen, in JSON as escapes.

use tackfree::shop::fact::LotHeld;
use tackfree::shop::name::LotName;
use tackfree::store::{self, Scope, Store};
use tackfree::time::typed::read_rfc3339;

use crate::harness::TestShop;

/// Clears a screen, rings, turns letters round: ESC, BEL, a C1 control, a right-to-left override.
const EVIL: &str = "\u{1b}[2J\u{7}\u{9b}31m\u{202e}paid";

fn shop() -> TestShop {
    let shop = TestShop::open();
    shop.run("batch open rest --recipe 'one coat' --pieces 12").ok();
    shop.run("lot start rest --pieces 12 --rack shelf").ok();
    shop
}

const LINES: [&str; 8] = [
    "lot hold rest-1 --why",
    "lot reject rest-1 --pieces 1 --why",
    "done rest-1 --anyway",
    "ship rest-1 --to",
    "undo --why",
    "batch open salt --recipe 'one coat' --pieces 3 --for",
    "can open 'hard wax' --name W1 --maker-lot",
    "note rest",
];

#[test]
fn an_empty_reason_is_no_reason_and_what_cannot_be_seen_is_refused() {
    let shop = shop();
    let before = shop.json("ledger check")["entries"].clone();
    for line in LINES {
        for text in ["", "  ", EVIL, &"x".repeat(1001)] {
            let said = shop.run(&format!("{line} '{text}'")).fails(2);
            assert!(said.chars().all(|c| c == '\n' || !c.is_control()), "{line}: {said:?}");
            assert!(!said.contains('\u{202e}'), "{line}: {said:?}");
        }
    }
    assert_eq!(shop.json("ledger check")["entries"], before);
}

#[test]
fn what_is_stored_already_is_shown_with_signs_and_in_json_as_escapes() {
    let shop = shop();
    let lot = LotName { batch: "rest".to_owned(), number: 1 };
    let now = read_rfc3339("2026-03-02T08:30:00Z").unwrap();
    let held = LotHeld { lot, why: EVIL.to_owned() };
    // A program of an earlier day let it in.
    let mut store = Store::open(&shop.database()).unwrap();
    let held = store.record(&Scope::Open, now, |journal| -> Result<_, store::Error> {
        Ok(journal.record(now, held).unwrap())
    });
    held.unwrap();
    for line in ["due", "lot show rest-1", "ledger list"] {
        let said = shop.run(line).stdout;
        assert!(said.contains("\u{241b}[2J\u{2407}<U+009B>31m<U+202E>paid"), "{line}: {said}");
        assert!(said.chars().all(|c| c == '\n' || !c.is_control()), "{line}: {said:?}");
        let text = shop.run(&format!("{line} --json")).stdout;
        assert!(text.contains("\\u202epaid") && text.contains("\\u009b"), "{line}: {text}");
        assert!(text.chars().all(|c| c == '\n' || !c.is_control()), "{line}: {text:?}");
    }
    // Whoever reads the JSON has the text itself.
    let due = serde_json::to_string(&shop.json("due")["held"]).unwrap();
    assert!(due.contains("\u{9b}31m\u{202e}paid"), "{due}");
}

#[test]
fn an_error_shows_what_was_typed_with_signs_too() {
    let shop = shop();
    for line in ["due --now", "done rest-1 --at", "setup check", "lot show", "--db"] {
        let run = shop.run(&format!("{line} '{EVIL}'"));
        let said = run.stdout.clone() + &run.stderr;
        assert!(said.chars().all(|c| c == '\n' || !c.is_control()), "{line}: {said:?}");
        assert!(!said.contains('\u{202e}'), "{line}: {said:?}");
    }
}

#[test]
#[cfg(target_os = "linux")]
fn an_answer_that_cannot_be_written_says_that_it_was_recorded() {
    let shop = shop();
    let full = || std::fs::File::options().write(true).open("/dev/full").unwrap();
    let output = shop.command("done rest-1").stdout(full()).output().unwrap();
    let said = String::from_utf8(output.stderr).unwrap();
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_eq!(output.status.code(), Some(4));
    assert!(said.contains("it was recorded (entry 4), but the answer can't be written"), "{said}");
    assert!(said.contains("don't record it again"), "{said}");
    assert_eq!(shop.json("ledger check")["entries"], 4);
    let output = shop.command("due").stdout(full()).output().unwrap();
    assert!(!String::from_utf8(output.stderr).unwrap().contains("recorded"));
}

#[test]
fn the_last_none_is_no_list() {
    shop().run("ledger list --last 0").fails(2);
}
