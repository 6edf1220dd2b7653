//! Whatever is typed or read in, it is answered: no panic, no exit code that isn't one of ours. A small loop over seeds in place of
//! a fuzzer, since those want a nightly compiler; the same inputs each time, so that what is found once is found again.

use std::fs;
use std::process::Stdio;

use tackfree::craft::grit::Grade;
use tackfree::report::caution::answer::Answer;
use tackfree::shop::logger::{self, Hints};
use tackfree::shop::setup::read;
use tackfree::store::Store;
use tackfree::time::typed::{read_date, read_moment, read_rfc3339};
use tackfree::time::{Span, SpanRange, Zone};

use crate::harness::{TestShop, folder};

/// Numbers that look as if they came at random, the same each time.
pub(crate) struct Numbers(u64);

impl Numbers {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    pub(crate) fn below(&mut self, bound: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % bound.max(1) as u64).unwrap()
    }

    fn of<'a>(&mut self, all: &[&'a str]) -> &'a str {
        all[self.below(all.len())]
    }
}

/// What trips parsers: signs of every grammar here, numbers at the edge, letters that are long, unseen or turn lines round.
const SIGNS: [&str; 60] = [
    "",
    " ",
    "\n",
    "\r\n",
    "\t",
    "\0",
    "\u{1b}[2J",
    "\u{202e}",
    "\u{feff}",
    "é",
    "☂",
    "e\u{301}",
    "0",
    "-1",
    "1",
    "9",
    "99999999999999999999",
    "1e308",
    "-0",
    "0.5",
    ",5",
    "1/3",
    "nan",
    "inf",
    "[",
    "]",
    "[[",
    "{",
    "}",
    "\"",
    "'",
    "\"\"\"",
    "=",
    "#",
    ",",
    ";",
    "|",
    "..",
    "-",
    "+",
    ":",
    "T",
    "Z",
    "+00:00",
    "2026-02-30",
    "29 Feb",
    "01:30",
    "24:00",
    "today",
    "in 5000y",
    "d",
    "h",
    "min",
    "months",
    "P240",
    "°F",
    "--",
    "\\",
    "\\u0000",
    "null",
];

/// The nearest place for a character not after `at`.
fn boundary(text: &str, at: usize) -> usize {
    (0..=at.min(text.len())).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0)
}

/// A seed with up to four slips: something typed, cut, doubled, moved, or put over something else.
fn slipped(seeds: &[&str], numbers: &mut Numbers) -> String {
    let mut text = numbers.of(seeds).to_owned();
    for _ in 0..=numbers.below(4) {
        let from = numbers.below(text.len() + 1);
        let from = boundary(&text, from);
        let to = from + numbers.below(12.max(text.len() / 8));
        let to = boundary(&text, to).max(from);
        match numbers.below(6) {
            0 => text.insert_str(from, numbers.of(&SIGNS)),
            1 => text.replace_range(from..to, ""),
            2 => text.replace_range(from..to, numbers.of(&SIGNS)),
            3 => {
                let doubled = text[from..to].to_owned();
                text.insert_str(to, &doubled);
            }
            4 => text.truncate(to),
            _ => {
                let other = numbers.of(seeds);
                let start = numbers.below(other.len() + 1);
                text.replace_range(from..to, &other[boundary(other, start)..]);
            }
        }
        // What slips grow to is not what is looked for.
        text.truncate(boundary(&text, 20_000));
    }
    text
}

/// What is typed or read in, what is known to be right of its kind, and how much of a run's inputs it gets.
struct Target {
    name: &'static str,
    seeds: Vec<&'static str>,
    parts: usize,
    take: fn(&str),
}

const SETUP: &str = "[shop]\nname = \"A\"\ntimezone = \"Europe/Dublin\"\nhands = 1\n[hours]\nmon = [\"08:00-12:00\", \"13:00-17:00\"]\n\
    [[room]]\nname = \"oil room\"\n[[rack]]\nname = \"drip\"\nroom = \"oil room\"\nslots = 12\nuse = [\"dry\", \"cure\"]\n\
    [[finish]]\nname = \"oil\"\nkind = \"hardening oil\"\nrecoat = \"24h..7d\"\ncure = \"21d\"\n\
    [[recipe]]\nname = \"one\"\npiece = \"rest\"\nsteps = [\n { work = \"sand\", each = \"30s\", grit = \"P240\" },\n { coat = \"oil\", each = \"20s\" },\n]\n";

fn targets() -> [Target; 6] {
    let now = read_rfc3339("2026-03-04T09:40:00Z").unwrap();
    assert_eq!(now, NOW.parse::<chrono::DateTime<chrono::Utc>>().unwrap());
    [
        Target {
            name: "setup",
            seeds: vec![SETUP, include_str!("data/little_known.toml")],
            parts: 2,
            take: |text| drop(read(text)),
        },
        Target {
            name: "CSV",
            seeds: vec![
                "time,temperature\n2026-03-02T09:00:00Z,18\n2026-03-02T10:00:00Z,19\n",
                "Logger 7\r\n\r\ntime;temp;rh\r\n2026-03-04 09:40;14,2;55\r\n2026-03-04 09:50;14,4;55\r\n",
                "Date\tTime\tTemp (°F)\tRH\n03/04/2026\t1:30 AM\t64.2\t50\n03/13/2026\t12:00 PM\t66\t\n",
                "\u{feff}\"Zeit\"|\"Temperatur\"\n\"28.02.2026 23:59\"|\"-4,5\"\n",
            ],
            parts: 4,
            take: |text| {
                let now = read_rfc3339(NOW).unwrap();
                for zone in [Zone::Europe__Dublin, Zone::UTC] {
                    drop(logger::read(text.as_bytes(), &Hints::new(zone, now)));
                }
            },
        },
        Target {
            name: "times",
            seeds: vec![
                "today 09:40",
                "yesterday 17:05",
                "mon 08:00",
                "in 3h",
                "2 days ago",
                "09:40",
                "2026-03-28 09:40",
                "2026-10-25T01:30:00+01:00",
                "2026-10-25 01:30",
                "20 Mar",
                "9:05 am",
            ],
            parts: 5,
            take: |text| {
                let now = read_rfc3339(NOW).unwrap();
                for zone in [Zone::Europe__Dublin, Zone::Africa__Cairo] {
                    drop(read_moment(text, now, zone));
                    drop(read_date(text, now, zone));
                }
                drop(read_rfc3339(text));
            },
        },
        Target {
            name: "spans",
            seeds: vec!["1d 4h", "90m", "6m10s", "24h..7d", "3 weeks", "0.5h", "18 months", "1y"],
            parts: 5,
            take: |text| {
                drop(text.parse::<Span>());
                if let Ok(range) = text.parse::<SpanRange>() {
                    let stored = serde_json::to_string(&range).unwrap();
                    assert_eq!(
                        serde_json::from_str::<SpanRange>(&stored).unwrap(),
                        range,
                        "{text:?}"
                    );
                }
            },
        },
        Target {
            name: "grit",
            seeds: vec!["P240", "p80", "320", "P2500", "P12", "65535", "65536"],
            parts: 2,
            take: |text| {
                if let Ok(grade) = text.parse::<Grade>() {
                    assert_eq!(grade.to_string().parse::<Grade>().as_ref(), Ok(&grade), "{text:?}");
                    assert!(grade.median() > 0.0);
                }
            },
        },
        Target {
            name: "questions",
            seeds: vec![
                "can I leave the rags in the bin",
                "is it food safe",
                "the rag is smoking",
                "walnut dust mask?",
                "how long until a baby can chew it",
                "ventilation in California",
                "what is boiled linseed oil",
            ],
            parts: 2,
            take: |text| {
                // The command takes no longer ones.
                let text: String = text.chars().take(1000).collect();
                drop(serde_json::to_string(&Answer::new(&text, None, None)).unwrap());
            },
        },
    ]
}

const NOW: &str = "2026-03-04T09:40:00Z";

/// So many inputs over all targets, of two halves at once.
#[expect(clippy::print_stderr, reason = "the counts are what it is run for")]
fn fuzz(inputs: usize) {
    let targets = targets();
    let parts: usize = targets.iter().map(|target| target.parts).sum();
    std::thread::scope(|scope| {
        for half in 0..2 {
            let targets = &targets;
            scope.spawn(move || {
                for target in targets {
                    for seed in (0..inputs * target.parts / parts).filter(|seed| seed % 2 == half) {
                        let mut numbers = Numbers::new(seed as u64);
                        let text = slipped(&target.seeds, &mut numbers);
                        let taken = std::panic::catch_unwind(|| (target.take)(&text));
                        assert!(taken.is_ok(), "{}, seed {seed}: {text:?}", target.name);
                    }
                }
            });
        }
    });
    for target in &targets {
        eprintln!("{}: {} inputs", target.name, inputs * target.parts / parts);
    }
}

#[test]
fn whatever_is_typed_is_answered() {
    fuzz(20_000);
}

#[test]
#[ignore = "five million inputs: half an hour with --release"]
fn whatever_of_millions_is_typed_is_answered() {
    fuzz(5_000_000);
}

/// A changed export is taken in whole or refused, and what is taken in has the hash that the export names.
#[expect(clippy::print_stderr, reason = "the counts are what it is run for")]
fn exports(inputs: u64) {
    let mut shop = TestShop::open();
    shop.run("batch open rest --recipe 'one coat' --pieces 12 --for 'a shop'").ok();
    shop.run("lot start rest --pieces 12 --rack drip-1").ok();
    shop.run("climate add 'oil room' --temp 18 --humidity 50").ok();
    shop.at("2026-03-02 09:00").run("done rest-1").ok();
    shop.run("undo").ok();
    let text: &'static str = shop.run("ledger export").ok().leak();
    let hash = shop.json("ledger check")["last_hash"].as_str().unwrap().to_owned();
    let place = folder();
    let mut taken = 0;
    for seed in 0..inputs {
        let changed = slipped(&[text], &mut Numbers::new(seed));
        let target = place.path().join(format!("{seed}.tackfree"));
        if Store::import(&changed, &target).is_ok() {
            taken += 1;
            let mut store = Store::open(&target).unwrap();
            let checked = store.check(Some(&hash)).unwrap();
            assert!(checked.faults.is_empty(), "seed {seed}: {:?}", checked.faults);
            fs::remove_file(&target).unwrap();
        }
        assert!(!target.exists(), "seed {seed}: half an import is left");
    }
    eprintln!("{inputs} exports, {taken} taken in");
}

#[test]
fn a_changed_export_is_taken_in_whole_or_not_at_all() {
    exports(300);
}

#[test]
#[ignore = "20,000 imports: some minutes"]
fn a_changed_export_of_thousands_is_taken_in_whole_or_not_at_all() {
    exports(20_000);
}

/// Words of command lines; nothing that leaves the shop's folder, waits, or asks.
const WORDS: [&str; 92] = [
    "setup",
    "check",
    "show",
    "kinds",
    "can",
    "open",
    "empty",
    "list",
    "batch",
    "close",
    "lot",
    "start",
    "split",
    "join",
    "give",
    "move",
    "hold",
    "release",
    "reject",
    "begin",
    "done",
    "touch",
    "tacky",
    "tack-free",
    "card",
    "trace",
    "undo",
    "due",
    "plan",
    "promise",
    "racks",
    "today",
    "rags",
    "caution",
    "ship",
    "note",
    "calendar",
    "cure",
    "climate",
    "add",
    "kit",
    "grit",
    "spares",
    "pace",
    "time",
    "air",
    "ledger",
    "check",
    "export",
    "--json",
    "--help",
    "--now",
    "--at",
    "--pieces",
    "--rack",
    "--recipe",
    "--name",
    "--for",
    "--due",
    "--wanted",
    "--why",
    "--anyway",
    "--can",
    "--to",
    "--how",
    "--last",
    "--csv",
    "--all",
    "--temp",
    "--humidity",
    "--step",
    "--minutes",
    "--litres",
    "--size",
    "--order",
    "--effort",
    "50",
    "rest",
    "rest-1",
    "rest-2",
    "one coat",
    "drip-1",
    "shelf",
    "house oil",
    "hard wax",
    "W1",
    "oil room",
    "12",
    "P80",
    "P400",
    "09:40",
    "2026-03-02",
];

/// Starts of lines that come far, so that more than the parser is reached.
const LINES: [&str; 16] = [
    "done rest-1",
    "lot start rest --pieces 3",
    "ship rest-1 --to town",
    "undo",
    "due --now",
    "plan --effort 20",
    "lot reject rest-1 --why run --pieces",
    "can open 'house oil' --name",
    "climate add 'oil room' --temp",
    "spares rest",
    "grit P80 P400",
    "cure rest-1",
    "batch open b --recipe 'one coat' --pieces",
    "card rest-1",
    "note rest",
    "trace --can",
];

#[expect(clippy::print_stderr, reason = "the counts are what it is run for")]
fn command_lines(lines: u64) {
    let shop = TestShop::open();
    shop.run("can open 'hard wax' --name W1").ok();
    shop.run("batch open rest --recipe 'one coat' --pieces 12").ok();
    shop.run("lot start rest --pieces 12 --rack drip-1").ok();
    let shop = &shop;
    std::thread::scope(|scope| {
        for half in 0..2 {
            scope.spawn(move || {
                for seed in (0..lines).filter(|seed| seed % 2 == half) {
                    one_line(shop, seed);
                }
            });
        }
    });
    let check = shop.json("ledger check");
    assert_eq!(check["whole"], true, "{check}");
    eprintln!("{lines} command lines, {} entries by the end", check["entries"]);
}

fn one_line(shop: &TestShop, seed: u64) {
    let mut numbers = Numbers::new(seed);
    let begin = if numbers.below(2) == 0 { numbers.of(&LINES) } else { "" };
    let mut command = shop.command(begin);
    let mut typed = Vec::new();
    for _ in 0..numbers.below(6) {
        let word = match numbers.below(4) {
            0 => slipped(&WORDS, &mut numbers),
            1 => numbers.of(&SIGNS).to_owned(),
            _ => numbers.of(&WORDS).to_owned(),
        };
        // No argument of a process can hold that one.
        typed.push(word.replace('\0', "\u{1}"));
    }
    // What waits for a key or a time, and what writes where it is told to.
    let kept_out = ["--watch", "--serve", "--open", "--out", "--db", "shell"];
    typed.retain(|word| !kept_out.iter().any(|out| word.starts_with(out)));
    let output = command.args(&typed).stdin(Stdio::null()).output().unwrap();
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(
        matches!(output.status.code(), Some(0..=4)) && !said.contains("panicked"),
        "seed {seed}: {begin} {typed:?}: {:?}: {said}",
        output.status
    );
    if typed.iter().any(|word| word == "--json") && !output.stdout.is_empty() {
        let answer = serde_json::from_slice::<serde_json::Value>(&output.stdout);
        let page = output.stdout.starts_with(b"{") || output.stdout.starts_with(b"[");
        assert!(answer.is_ok() || !page, "seed {seed}: {begin} {typed:?}");
    }
}

#[test]
fn any_command_line_is_answered() {
    command_lines(400);
}

#[test]
#[ignore = "20,000 processes: half an hour"]
fn any_command_line_of_thousands_is_answered() {
    command_lines(20_000);
}
