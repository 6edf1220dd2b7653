//! Rot: a byte that flips, a file cut short, a copy made while somebody wrote. A wrong answer is never given as a right one.

use std::collections::BTreeSet;
use std::fs;
use std::process::Stdio;

use rusqlite::Connection;

use super::proof::shop;
use crate::fuzz::Numbers;
use crate::harness::TestShop;

/// What is asked of a damaged file.
const QUESTIONS: [&str; 5] =
    ["due --json", "racks --json", "rags --json", "batch list --json", "cure rest-1 --json"];

/// A shop with readings and a lot that cures.
pub(super) fn curing() -> TestShop {
    let mut shop = shop();
    for hour in 13..18 {
        shop.at(&format!("2026-03-02 {hour}:00"));
        shop.run(&format!("climate add 'oil room' --temp {hour} --humidity 50")).ok();
    }
    shop.run("touch rest-1 tacky").ok();
    shop.at("2026-03-03 09:00");
    shop
}

fn answers(shop: &TestShop) -> Vec<(i32, String)> {
    QUESTIONS
        .map(|line| {
            let run = shop.run(line);
            (run.code, run.stdout)
        })
        .to_vec()
}

/// Flips bits one at a time; every flip that changes an answer ends with the code for database trouble.
#[expect(clippy::print_stderr, reason = "the counts are what it is run for")]
fn flips(how_many: usize) {
    let shop = curing();
    let whole = fs::read(shop.database()).unwrap();
    let right = answers(&shop);
    let mut numbers = Numbers::new(0x5EED);
    let (mut changed, mut told, mut wrong) = (0, 0, Vec::new());
    for _ in 0..how_many {
        let (octet, bit) = (numbers.below(whole.len()), numbers.below(8));
        let mut bytes = whole.clone();
        bytes[octet] ^= 1 << bit;
        fs::write(shop.database(), &bytes).unwrap();
        for (line, (right, (code, said))) in QUESTIONS.iter().zip(right.iter().zip(answers(&shop)))
        {
            if (code, &said) != (right.0, &right.1) {
                changed += 1;
                told += usize::from(code == 4);
                if code != 4 {
                    wrong.push(format!("octet {octet} bit {bit}: {line} ends with {code}"));
                }
            }
        }
    }
    eprintln!("{how_many} flips in {} octets: {changed} answers changed, {told} told", whole.len());
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert!(changed > 0);
}

#[test]
fn a_flipped_bit_never_gives_a_wrong_answer() {
    flips(150);
}

#[test]
#[ignore = "3,000 flips: some minutes"]
fn no_flip_of_thousands_gives_a_wrong_answer() {
    flips(3000);
}

/// Cuts the file short, so many times from nothing to all but its end.
#[expect(clippy::print_stderr, reason = "the counts are what it is run for")]
fn cuts(how_many: usize) {
    let shop = curing();
    let whole = fs::read(shop.database()).unwrap();
    let right = answers(&shop);
    let mut told = 0;
    for cut in 0..how_many {
        fs::write(shop.database(), &whole[..whole.len() * cut / how_many]).unwrap();
        for ((code, said), right) in answers(&shop).into_iter().zip(&right) {
            assert!(code == 4 || (code, &said) == (right.0, &right.1), "cut {cut}: {said}");
            told += usize::from(code == 4);
        }
    }
    eprintln!("{how_many} cuts: {told} of {} answers told", how_many * QUESTIONS.len());
}

#[test]
fn a_file_cut_short_never_gives_a_wrong_answer() {
    cuts(40);
}

#[test]
#[ignore = "3,000 cuts: some minutes"]
fn no_cut_of_thousands_gives_a_wrong_answer() {
    cuts(3000);
}

/// `cp` while somebody records: the copy is refused, or answers as the shop did at some moment.
#[test]
fn a_copy_made_while_somebody_writes_never_gives_a_wrong_answer() {
    let shop = curing();
    let mut known = BTreeSet::from([shop.run("can list --json").stdout]);
    let mut copies = Vec::new();
    for turn in 0..25 {
        let mut writer = shop.command(&format!("can open 'house oil' --name C{turn}"));
        let mut writer = writer.stdout(Stdio::null()).spawn().unwrap();
        while writer.try_wait().unwrap().is_none() {
            copies.push(fs::read(shop.database()).unwrap());
        }
        known.insert(shop.run("can list --json").stdout);
    }
    let step = copies.len().div_ceil(60);
    let mut refused = 0;
    for copy in copies.iter().step_by(step) {
        fs::write(shop.folder().join("copy.tackfree"), copy).unwrap();
        let run = shop.run("can list --json --db copy.tackfree");
        assert!(run.code == 4 || known.contains(&run.stdout), "{run}");
        refused += usize::from(run.code == 4);
    }
    eprintln!("{} copies looked at, {refused} refused", copies.len().div_ceil(step));
}

/// A backup copied by hand to where a crash left its journal: `SQLite` plays the journal back over it.
#[test]
fn a_file_put_beside_a_crash_s_journal_never_gives_a_wrong_answer() {
    const WRITES: [&str; 6] = [
        "UPDATE tip SET open = open + 1",
        "UPDATE counted SET entries = entries + 1",
        "UPDATE about SET nth = nth + 1",
        "INSERT INTO open_now VALUES ('can', 'K9')",
        "DELETE FROM reading_day",
        "INSERT INTO entry SELECT 999, at, recorded, fact, anyway, hash, act, form FROM entry WHERE id = 1",
    ];
    let shop = curing();
    let database = shop.database();
    let backup = fs::read(&database).unwrap();
    let journal = database.with_extension("tackfree-journal");
    let answer = || answers(&shop);
    let mut known = vec![answer()];
    for turn in 0..8 {
        shop.run(&format!("can open 'house oil' --name C{turn}")).ok();
        shop.run(&format!("batch open b{turn} --recipe 'one coat' --pieces 9")).ok();
    }
    known.push(answer());
    let later = fs::read(&database).unwrap();
    let mut refused = 0;
    for some in 1..1_u32 << WRITES.len() {
        fs::write(&database, &later).unwrap();
        let crashing = Connection::open(&database).unwrap();
        // With room for few pages they go to the file before the end, and the journal with what was there goes first.
        crashing.execute_batch("PRAGMA cache_size = 1; PRAGMA foreign_keys = off; BEGIN").unwrap();
        for (_, write) in (0..).zip(WRITES).filter(|(bit, _)| some >> bit & 1 == 1) {
            crashing.execute_batch(write).unwrap();
        }
        crashing.execute_batch("INSERT INTO memo SELECT 'big', hex(randomblob(200000))").unwrap();
        let left = fs::read(&journal).unwrap();
        drop(crashing);
        fs::write(&database, &backup).unwrap();
        fs::write(&journal, left).unwrap();
        let found = answer();
        for (at, (code, said)) in found.iter().enumerate() {
            let right = known.iter().any(|known| known[at] == (*code, said.clone()));
            assert!(*code == 4 || right, "{}: {said}", QUESTIONS[at]);
            refused += usize::from(*code == 4);
        }
    }
    eprintln!("63 journals played back over a backup: {refused} of 315 answers refused");
    assert!(refused > 0);
}
