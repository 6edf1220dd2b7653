//! Several processes at the same moment on the same database, and one that is stopped dead in the middle.

use std::fmt::Write as _;
use std::path::PathBuf;
use std::process::{Child, Output};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use serde_json::Value;

use crate::harness::{SORREL_LANE, TestShop};

/// A shop whose one recipe has so many steps of plain work, one after the other without a rest.
fn many_steps(steps: usize) -> TestShop {
    let mut setup = SORREL_LANE.to_owned();
    setup.push_str(
        "\n[[rack]]\nname = \"drip-9\"\nroom = \"oil room\"\nslots = 200\nuse = [\"dry\"]\n",
    );
    setup.push_str("\n[[recipe]]\nname = \"many steps\"\npiece = \"spoon rest\"\nsteps = [\n");
    for step in 1..=steps {
        writeln!(setup, "  {{ work = \"step {step}\", each = \"1s\" }},").unwrap();
    }
    setup.push_str("]\n");
    let shop = TestShop::with_setup(&setup);
    shop.run("batch open rest --recipe 'many steps' --pieces 200").ok();
    shop
}

fn start(shop: &TestShop, line: &str) -> Child {
    shop.command(line).spawn().unwrap()
}

fn error(output: &Output) -> Value {
    let said: Value = serde_json::from_slice(&output.stdout).unwrap();
    said["error"].clone()
}

fn entries(shop: &TestShop) -> u64 {
    let check = shop.json("ledger check");
    assert_eq!(check["whole"], true, "{check}");
    check["entries"].as_u64().unwrap()
}

#[test]
fn of_two_that_do_the_same_step_at_once_exactly_one_wins() {
    let shop = many_steps(100);
    shop.run("lot start rest --pieces 5 --rack drip-1").ok();
    for step in 1..=100 {
        let line = format!("done rest-1 --step {step} --json");
        let both = [start(&shop, &line), start(&shop, &line)];
        let both = both.map(|child| child.wait_with_output().unwrap());
        let won = both.iter().filter(|output| output.status.success()).count();
        assert_eq!(won, 1, "step {step}: {both:?}");
        let lost = both.iter().find(|output| !output.status.success()).unwrap();
        let told = error(lost);
        let rule = if step == 100 { "no-step-left" } else { "wrong-step" };
        assert_eq!((&told["code"], &told["rule"]), (&1.into(), &rule.into()), "{told}");
        assert!(told["message"].as_str().unwrap().contains("rest-1"), "{told}");
    }
    assert_eq!(entries(&shop), 3 + 100);
}

#[test]
fn of_two_that_want_the_last_slots_at_once_exactly_one_gets_them() {
    let shop = many_steps(1);
    for round in 0..10 {
        let (first, second) = (2 * round + 1, 2 * round + 2);
        shop.run("lot start rest --pieces 8").ok();
        shop.run("lot start rest --pieces 8").ok();
        let both = [first, second];
        let both =
            both.map(|lot| start(&shop, &format!("lot move rest-{lot} --rack shelf --json")));
        let both = both.map(|child| child.wait_with_output().unwrap());
        let lost: Vec<_> = both.iter().filter(|output| !output.status.success()).collect();
        assert_eq!(lost.len(), 1, "{both:?}");
        assert_eq!(error(lost[0])["rule"], "too-few-slots");
        assert_eq!(shop.json("racks")["racks"][3]["taken"], 8);
        shop.run("lot move --from shelf --off").ok();
    }
}

#[test]
fn twenty_that_open_a_new_file_at_once_all_succeed() {
    for round in 0..20 {
        let shop = TestShop::bare();
        shop.write("shop.toml", SORREL_LANE);
        let all: Vec<Child> = (0..20)
            .map(|one| {
                // Some only look, some record.
                let line = if one % 4 == 0 { "setup load shop.toml --json" } else { "due --json" };
                start(&shop, line)
            })
            .collect();
        for child in all {
            let output = child.wait_with_output().unwrap();
            assert!(output.status.success(), "round {round}: {output:?}");
        }
        // The first to load it stored it; the others found nothing to change.
        assert_eq!(entries(&shop), 1);
    }
}

#[test]
fn twenty_that_record_at_once_are_all_recorded() {
    let shop = many_steps(1);
    let all: Vec<Child> =
        (0..20).map(|_| start(&shop, "lot start rest --pieces 1 --json")).collect();
    let mut made: Vec<String> = Vec::new();
    for child in all {
        let output = child.wait_with_output().unwrap();
        assert!(output.status.success(), "{output:?}");
        let receipt: Value = serde_json::from_slice(&output.stdout).unwrap();
        made.push(receipt["made"][0].as_str().unwrap().to_owned());
    }
    made.sort();
    made.dedup();
    assert_eq!(made.len(), 20, "no two lots have one name: {made:?}");
    assert_eq!(entries(&shop), 2 + 20);
}

/// Eight keep writing while four look: each acknowledged entry is there once, and nobody sees half of anything.
#[test]
fn eight_that_keep_writing_are_all_recorded_while_others_look() {
    const EACH: u64 = 20;
    let shop = &many_steps(1);
    let writing = &AtomicUsize::new(8);
    thread::scope(|scope| {
        for writer in 0..8 {
            scope.spawn(move || {
                for turn in 0..EACH {
                    shop.run(&format!("note shop 'word-{writer}-{turn}'")).ok();
                }
                writing.fetch_sub(1, Ordering::Relaxed);
            });
        }
        for _ in 0..4 {
            scope.spawn(move || {
                while writing.load(Ordering::Relaxed) > 0 {
                    shop.run("due").ok();
                }
            });
        }
    });
    assert_eq!(entries(shop), 2 + 8 * EACH);
    let listed = shop.run("ledger list").ok();
    for (writer, turn) in (0..8).flat_map(|writer| (0..EACH).map(move |turn| (writer, turn))) {
        assert_eq!(listed.matches(&format!("word-{writer}-{turn}\n")).count(), 1);
    }
}

/// How far a process is let run before it is stopped dead.
enum Until {
    /// So many looks after it has begun to write.
    Writing(usize),
    /// Its end.
    Ended,
}

/// Runs the command and kills it there. Says whether it was still running.
fn stop_dead(shop: &TestShop, line: &str, until: &Until) -> bool {
    let journal = PathBuf::from(format!("{}-journal", shop.database().display()));
    let mut child = start(shop, line);
    if let Until::Writing(looks) = until {
        let mut left = *looks;
        while child.try_wait().unwrap().is_none() && left > 0 {
            if journal.exists() {
                left -= 1;
            }
        }
        // SIGKILL: nothing of the program runs any more, not even what tidies up.
        child.kill().ok();
    }
    let output = child.wait_with_output().unwrap();
    output.status.code().is_none()
}

/// A power cut during one `done` of many lots: afterwards all of them are recorded or none, and the history is whole.
#[test]
#[cfg(unix)]
fn a_process_killed_while_it_records_leaves_all_or_nothing() {
    const LOTS: u64 = 120;
    let shop = many_steps(60);
    for _ in 0..LOTS {
        shop.run("lot start rest --pieces 1 --rack drip-9").ok();
    }
    let (mut before, mut cut_off, mut nothing, mut all) = (entries(&shop), 0, 0, 0);
    for round in 0..45 {
        let until = if round % 9 == 8 { Until::Ended } else { Until::Writing(1 + round * 7 % 60) };
        cut_off += u32::from(stop_dead(&shop, "done --rack drip-9", &until));
        let now = entries(&shop);
        match now - before {
            0 => nothing += 1,
            LOTS => all += 1,
            part => panic!("{part} of {LOTS} lots were recorded in round {round}"),
        }
        before = now;
    }
    assert!(
        cut_off > 0 && nothing > 0 && all >= 5,
        "cut off {cut_off}: {nothing} nothing, {all} all"
    );
}
