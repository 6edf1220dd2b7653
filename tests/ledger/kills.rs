//! Killed at any moment, it has recorded all of it or nothing, and what it acknowledged is there.

use std::fs;
use std::process::Stdio;
use std::thread;

use super::rot::curing;
use crate::fuzz::Numbers;
use crate::harness::TestShop;

/// Shops that are killed in at once: one waits for its disk or its child while others work.
const AT_ONCE: usize = 4;

/// Runs before a shop begins anew, so that none grows slow with what it holds.
const ROUND: usize = 50;

/// Ways to record, each with a word that tells it from every other.
fn line(kind: usize, word: &str) -> String {
    match kind {
        0 => format!("can open 'house oil' --name {word}"),
        1 => format!("note rest '{word}'"),
        _ => format!("batch open {word} --recipe 'one coat' --pieces 9"),
    }
}

/// Runs it and kills it after so many looks from its start, or from when its journal stands: amid its writing. Its exit code
/// where it came to its end, and how many looks that took.
fn killed(shop: &TestShop, line: &str, from_journal: bool, at: usize) -> (Option<i32>, usize) {
    let mut command = shop.command(line);
    let mut writer = command.stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
    let journal = shop.database().with_extension("tackfree-journal");
    let (mut counting, mut looks) = (!from_journal, 0);
    loop {
        if let Some(ended) = writer.try_wait().unwrap() {
            return (ended.code(), looks);
        }
        counting = counting || journal.exists();
        if counting && looks == at {
            writer.kill().unwrap();
            return (writer.wait().unwrap().code(), looks);
        }
        looks += usize::from(counting);
        thread::yield_now();
    }
}

/// How many of so many runs were acknowledged, and how many were killed.
fn rounds(seed: usize, runs: usize) -> (usize, usize) {
    let shop = curing();
    let whole = fs::read(shop.database()).unwrap();
    let begun = shop.json("ledger check")["entries"].as_u64().unwrap();
    let mut numbers = Numbers::new(seed as u64);
    let (mut acknowledged, mut cut_off) = (0, 0);
    // How many looks a run takes, as far as is known: a busy machine has fewer.
    let mut most = [400, 30];
    for round in (0..runs).step_by(ROUND) {
        for end in ["-journal", ".last"] {
            fs::remove_file(format!("{}{end}", shop.database().display())).unwrap_or_default();
        }
        fs::write(shop.database(), &whole).unwrap();
        let mut answered = Vec::new();
        let some = ROUND.min(runs - round);
        for run in 0..some {
            let word = format!("run{run}");
            let from = numbers.below(2);
            let at = numbers.below(most[from]);
            let (code, looks) = killed(&shop, &line(numbers.below(3), &word), from == 1, at);
            if let Some(code) = code {
                assert_eq!(code, 0, "{word}");
                answered.push(word);
                most[from] = usize::midpoint(most[from], looks).max(4);
            } else {
                cut_off += 1;
                most[from] += 1 + most[from] / 8;
            }
        }
        let check = shop.json("ledger check");
        let entries = usize::try_from(check["entries"].as_u64().unwrap() - begun).unwrap();
        assert_eq!(check["whole"], true, "{check}");
        assert!((answered.len()..=some).contains(&entries), "{entries}, {answered:?}");
        let listed = shop.run(&format!("ledger list --json --last {some}")).ok();
        let lost = answered.iter().find(|word| !listed.contains(&format!("{word}\"")));
        assert_eq!(lost, None, "acknowledged and not there");
        acknowledged += answered.len();
    }
    (acknowledged, cut_off)
}

#[expect(clippy::print_stderr, reason = "the counts are what it is run for")]
fn kills(how_many: usize) {
    let counts: Vec<(usize, usize)> = thread::scope(|scope| {
        let each = |seed| scope.spawn(move || rounds(seed, how_many / AT_ONCE));
        let all: Vec<_> = (1..=AT_ONCE).map(each).collect();
        all.into_iter().map(|one| one.join().unwrap()).collect()
    });
    let acknowledged: usize = counts.iter().map(|(acknowledged, _)| acknowledged).sum();
    let cut_off: usize = counts.iter().map(|(_, cut_off)| cut_off).sum();
    eprintln!("{how_many} runs: {cut_off} killed, {acknowledged} acknowledged and all there");
    assert!(cut_off > 0 && acknowledged > 0);
}

#[test]
fn killed_at_any_moment_it_has_recorded_all_or_nothing() {
    kills(2000);
}

#[test]
#[ignore = "20,000 runs: a quarter of an hour"]
fn killed_at_any_of_thousands_of_moments_it_has_recorded_all_or_nothing() {
    kills(20_000);
}
