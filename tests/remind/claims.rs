//! Many runs at once: nothing is lost, and nothing is told twice by runs that lived to their end.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::process::{Child, Stdio};

use serde_json::Value;
use tackfree::remind::Kind;
use tackfree::remind::due::{Thing, due};
use tackfree::shop::Shop;
use tackfree::shop::entry::Fact;
use tackfree::shop::fact::{CoatLaid, RagsDealtWith, RagsOf, StepDone};
use tackfree::store::{Claim, Mark, Memory, Store, Wanted};
use tackfree::time::{Instant, Span};

use super::desk::Recorder;
use super::shop::{record, start, under};
use crate::harness::{TestShop, here};

const START: &str = "2026-03-25T10:00:00Z";
const ROUNDS: usize = 50;
const AT_ONCE: usize = 8;

/// Two hundred things that are due within the next seconds: eighty second coats whose rests end one after the other, fifty
/// that are ready already, fifty cures, and the rags of twenty coats.
fn two_hundred() -> TestShop {
    let mut shop = super::shop::at("2026-03-01T09:00:00Z");
    shop.run("can open 'house oil' --name K7").ok();
    for batch in ["rest", "coat", "cure", "rags"] {
        shop.run(&format!("batch open {batch} --recipe 'two coats' --pieces 100")).ok();
    }
    shop.at(START);
    let now: Instant = START.parse().unwrap();
    record(&shop, now, |journal| {
        for number in 1..=80 {
            let rested = Span::seconds(number / 10).after(Span::hours(24).before(now));
            start(journal, &format!("rest-{number}"), "two coats", 2, rested);
        }
        for number in 1..=50 {
            start(journal, &format!("coat-{number}"), "two coats", 2, Span::hours(24).before(now));
            start(journal, &format!("cure-{number}"), "two coats", 4, Span::days(21).before(now));
        }
        for number in 1..=20 {
            let lot = format!("rags-{number}");
            let coated = Span::minutes(20).before(now);
            start(journal, &lot, "two coats", 1, coated);
            let coat = Some(CoatLaid {
                finish: "house oil".to_owned(),
                can: Some("K7".to_owned()),
                drawn: None,
            });
            let lot = lot.parse().unwrap();
            journal
                .record(
                    coated,
                    Fact::StepDone(StepDone {
                        lot,
                        step: 1,
                        pieces: 1,
                        coat,
                        minutes: None,
                        timed: None,
                        rack: None,
                    }),
                )
                .unwrap();
        }
    });
    shop
}

/// Numbers that look random and are the same on every run (`SplitMix64`).
struct Numbers(u64);

impl Numbers {
    fn next(&mut self, below: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (mixed ^ (mixed >> 31)) % below
    }
}

/// Every lot a notice names, rows of lots taken apart.
fn lots_in(call: &Value) -> Vec<String> {
    let text = |name: &str| call[name].as_str().unwrap().to_owned();
    // Of several lots each line begins with their names; a single one stands in the summary alone.
    let (body, summary) = (text("body"), text("summary"));
    let of_lines = body.lines().filter_map(|line| Some(line.split_once(": ")?.0));
    let named = of_lines.chain(summary.split_once(": ").map(|(_, after)| after));
    let mut lots = Vec::new();
    for names in named {
        for name in names.split(", ") {
            let (first, last) = name.split_once(" to ").unwrap_or((name, name));
            let ends = first.rsplit_once('-').zip(last.rsplit_once('-'));
            let Some(((batch, from), (_, to))) = ends else { continue };
            let (Ok(from), Ok(to)) = (from.parse::<u32>(), to.parse()) else { continue };
            lots.extend((from..=to).map(|number| format!("{batch}-{number}")));
        }
    }
    lots.sort();
    lots.dedup();
    lots
}

#[test]
fn eight_at_once_some_killed_tell_everything_and_nothing_twice() {
    if !here(&["dbus-daemon", "/usr/bin/python3"]) {
        return;
    }
    let recorder = Recorder::start("yes", &[]);
    let mut shop = two_hundred();
    shop.set("DBUS_SESSION_BUS_ADDRESS", &recorder.bus.address);
    let untold = fs::read(shop.database()).unwrap();
    let mut random = Numbers(20_260_325);
    let (mut killed_runs, mut read) = (0, 0);
    for round in 0..ROUNDS {
        fs::write(shop.database(), &untold).unwrap();
        // Each run has a clock of its own, so that each finds another number of rests over.
        let runs: Vec<(Child, bool)> = (0..AT_ONCE)
            .map(|_| {
                let second = random.next(9);
                shop.at(&format!("2026-03-25T10:00:0{second}Z"));
                let to_kill = random.next(2) == 0;
                // From a moment to half a second, short ones as often as long ones: how far a run gets by then depends on
                // what else the machine does.
                let longest = 2 << random.next(9);
                let after = to_kill.then(|| random.next(longest));
                (begin(&shop, after), to_kill)
            })
            .collect();
        let mut whole = BTreeSet::new();
        for (mut run, to_kill) in runs {
            let id = u64::from(run.id());
            let ended = run.wait().unwrap();
            if to_kill {
                killed_runs += usize::from(!ended.success());
            } else {
                assert!(ended.success(), "round {round}");
                whole.insert(id);
            }
        }
        // A minute later, when the leases of the dead are over.
        shop.at("2026-03-25T10:01:00Z");
        let mut last = begin(&shop, None);
        assert!(last.wait().unwrap().success());
        whole.insert(u64::from(last.id()));

        let calls = recorder.calls();
        let (mut all, mut by_whole): (BTreeMap<String, u32>, BTreeMap<String, u32>) =
            Default::default();
        for call in &calls[read..] {
            for lot in lots_in(call) {
                *all.entry(lot.clone()).or_default() += 1;
                if whole.contains(&call["pid"].as_u64().unwrap()) {
                    *by_whole.entry(lot).or_default() += 1;
                }
            }
        }
        read = calls.len();
        assert_eq!(all.len(), 200, "round {round}: something is lost");
        let twice: Vec<_> = by_whole.iter().filter(|(_, times)| **times > 1).collect();
        assert!(twice.is_empty(), "round {round}: told twice: {twice:?}");
    }
    // Or else nothing was tried.
    assert!(killed_runs >= ROUNDS, "{killed_runs} runs were killed");
}

/// Starts `remind send`; with a number, it is killed after so many milliseconds.
fn begin(shop: &TestShop, kill_after: Option<u64>) -> Child {
    let mut command = shop.command("remind send");
    if let Some(milliseconds) = kill_after {
        let after = format!("0.{:03}", milliseconds + 1);
        command = under(&["timeout", "-s", "KILL", &after], &command);
    }
    command.stdout(Stdio::null()).stderr(Stdio::inherit()).spawn().unwrap()
}

#[test]
fn a_claim_of_a_run_that_died_is_taken_over_when_its_lease_is_over() {
    if !here(&["dbus-daemon", "/usr/bin/python3"]) {
        return;
    }
    let mut shop = two_hundred();
    let silent = Recorder::start("never", &[]);
    shop.set("DBUS_SESSION_BUS_ADDRESS", &silent.bus.address);
    // It claims, hands the first notice over, and dies waiting for the answer.
    let mut dying = begin(&shop, None);
    while silent.calls().is_empty() {
        std::thread::yield_now();
    }
    dying.kill().unwrap();
    dying.wait().unwrap();
    let recorder = Recorder::start("yes", &[]);
    shop.set("DBUS_SESSION_BUS_ADDRESS", &recorder.bus.address);
    shop.at("2026-03-25T10:00:29Z");
    shop.run("remind send").ok();
    let early: BTreeSet<String> = recorder.calls().iter().flat_map(lots_in).collect();
    assert!(
        early.iter().all(|lot| lot.starts_with("rest-")),
        "only what was not due before: {early:?}"
    );
    shop.at("2026-03-25T10:00:30Z");
    shop.run("remind send").ok();
    let all: Vec<String> = recorder.calls().iter().flat_map(lots_in).collect();
    assert_eq!(all.len(), 200);
    assert_eq!(all.into_iter().collect::<BTreeSet<_>>().len(), 200);
}

#[test]
fn rags_of_lots_that_are_gone_are_still_told() {
    if !here(&["dbus-daemon", "/usr/bin/python3"]) {
        return;
    }
    // The rags entry outlives the lot; only recording how they were dealt with ends it.
    let recorder = Recorder::start("yes", &[]);
    let mut shop = two_hundred();
    shop.set("DBUS_SESSION_BUS_ADDRESS", &recorder.bus.address);
    shop.run("lot reject rags-1 --pieces 1 --why dropped").ok();
    shop.run("remind send").ok();
    let told: Vec<String> = recorder.calls().iter().flat_map(lots_in).collect();
    assert!(told.contains(&"rags-1".to_owned()));
    record(&shop, START.parse().unwrap(), |journal| {
        let open = journal.shop.rags.iter();
        let rags = open.map(|(coat, rags)| RagsOf { coat: *coat, lot: rags.lot.clone() }).collect();
        let fact =
            Fact::RagsDealtWith(RagsDealtWith { rags, how: "under water, can outside".to_owned() });
        journal.record(journal.now(), fact).unwrap();
    });
    shop.at("2026-03-25T12:00:00Z");
    let before = recorder.calls().len();
    shop.run("remind send").ok();
    let after = recorder.calls().split_off(before);
    assert!(after.iter().all(|call| !call["summary"].as_str().unwrap().starts_with("Rags")));
}

/// Claims the fifty cures at so many seconds after the start.
fn claim(store: &mut Store, second: i64) -> Vec<Claim> {
    let now = after_start(second);
    let cures = |shop: &Shop, told: &Memory| {
        let wanted = |thing: Thing| {
            let cured = thing.kind == Kind::Cured;
            let channels = if cured { vec!["desktop".to_owned()] } else { Vec::new() };
            Wanted { thing: thing.key(), about: thing.about, channels }
        };
        due(shop, told, now).into_iter().map(wanted).collect()
    };
    store.claim(now, cures).unwrap().2
}

fn after_start(second: i64) -> Instant {
    Span::seconds(second).after(START.parse().unwrap())
}

#[test]
fn a_run_that_comes_late_marks_only_what_is_still_its_own() {
    let shop = two_hundred();
    let mut store = Store::open(&shop.database()).unwrap();
    let early = claim(&mut store, 0);
    assert_eq!((early.len(), claim(&mut store, 29).len()), (50, 0));
    let late = claim(&mut store, 30);
    assert_eq!(late.len(), 50);
    // The early run wakes up and would call told, or free, what the late one holds.
    store.mark(after_start(31), &early, Mark::Pending, &BTreeMap::new()).unwrap();
    assert_eq!(claim(&mut store, 31).len(), 0);
    store.mark(after_start(32), &early, Mark::Told, &BTreeMap::new()).unwrap();
    store.mark(after_start(32), &late, Mark::Pending, &BTreeMap::new()).unwrap();
    assert_eq!(claim(&mut store, 32).len(), 50);
}

#[test]
fn what_was_told_or_claimed_while_the_clock_was_ahead_is_told_when_it_is_right() {
    let ahead = 300 * 24 * 3600;
    for told in [true, false] {
        let shop = two_hundred();
        let mut store = Store::open(&shop.database()).unwrap();
        let wrong = claim(&mut store, ahead);
        assert!(wrong.len() >= 50, "{}", wrong.len());
        if told {
            store.mark(after_start(ahead), &wrong, Mark::Told, &BTreeMap::new()).unwrap();
        }
        // A run at once with that one, its clock a few seconds behind, leaves it alone.
        assert_eq!(claim(&mut store, ahead - 20).len(), 0);
        assert_eq!(claim(&mut store, 0).len(), 50);
    }
}
