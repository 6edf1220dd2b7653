//! In memory: slots, pieces, replaying, taking back.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;
use proptest::sample::Index;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use tackfree::shop::Shop;
use tackfree::shop::entry::{Entry, Fact};
use tackfree::shop::fold::voided;
use tackfree::shop::journal::Journal;
use tackfree::time::Instant;

use super::operations::{Change, Operation, Wait, What, begin, most_slots, now, run};

/// A journal that goes on from one operation to the next.
pub(super) fn journal(shop: Shop, entries: Vec<Entry>) -> Journal {
    let next = entries.last().map_or(1, |entry| entry.id + 1);
    Journal::new(shop, entries, now(), next)
}

/// The latest moment at which anything happened; what is taken back or taken in stands where it was written down.
pub(super) fn last_moment(entries: &[Entry]) -> Instant {
    let written = |fact: &Fact| matches!(fact, Fact::Voided(_) | Fact::ReadingsAdded(_));
    let happened = entries.iter().filter(|entry| !written(&entry.fact));
    happened.map(|entry| entry.at).max().unwrap_or_else(begin)
}

/// No rack ever held more than it has slots, at any moment of the run.
fn slots_hold(shop: &Shop) {
    let moments: BTreeSet<Instant> =
        shop.lots.values().flat_map(|lot| lot.standing.iter().map(|stands| stands.from)).collect();
    for rack in shop.setup.iter().flat_map(|setup| &setup.racks) {
        let now = shop.taken(&rack.name);
        assert!(now <= rack.slots, "{}: {now} of {}", rack.name, rack.slots);
        for at in &moments {
            let then: u32 = shop.lots.values().map(|lot| lot.on_rack(&rack.name, *at)).sum();
            assert!(then <= most_slots(&rack.name), "{}: {then} at {at}", rack.name);
        }
    }
}

/// No piece comes from nowhere, and none gets lost.
fn pieces_are_conserved(shop: &Shop) {
    for batch in shop.batches.values() {
        let accounted = shop.in_hand(&batch.name) + batch.rejected + batch.gone();
        assert_eq!(batch.started, accounted, "{batch:?}");
        // Names are counted on, so that no two lots are ever called the same.
        let numbers = shop.lots.keys().filter(|name| name.batch == batch.name);
        assert_eq!(batch.lots, numbers.map(|name| name.number).max().unwrap_or(0), "{batch:?}");
    }
    for lot in shop.lots.values() {
        let stands = lot.standing.last().unwrap();
        assert_eq!(stands.pieces, lot.pieces, "{lot:?}");
        assert!(lot.pieces > 0 || lot.rack().is_none(), "{lot:?}");
    }
}

/// Taking back what was recorded last gives the shop before it, to the last detail; and taking that back, the shop after.
fn last_can_be_taken_back(journal: &Journal, before: &Shop) {
    let last = journal.entries.last().unwrap();
    if journal.added().iter().any(|entry| matches!(entry.fact, Fact::SetupLoaded(_))) {
        return;
    }
    let mut again = self::journal(journal.shop.clone(), journal.entries.clone());
    again.void(last.id, "recorded by mistake").expect("nothing stands on the last entry");
    assert_eq!(&again.shop, before, "after taking back {last:?}");
    let mut again = self::journal(again.shop, again.entries);
    again.void(again.next_id() - 1, "it was right").expect("nothing stands on the taking back");
    assert_eq!(again.shop, journal.shop, "after bringing back {last:?}");
}

/// Takes the run through, and notes which facts came about.
fn all_holds(operations: &[Operation], tally: &RefCell<BTreeMap<String, usize>>) {
    let mut so_far = journal(Shop::default(), Vec::new());
    let mut before = so_far.shop.clone();
    for (number, operation) in operations.iter().enumerate() {
        // One command line records one thing or two; one that takes back does nothing else.
        let takes_back = |what: &What| matches!(what, What::Void(_));
        let after = so_far.entries.last().is_some_and(|e| matches!(e.fact, Fact::Voided(_)));
        if number % 3 != 1 || takes_back(&operation.what) || after {
            so_far = journal(so_far.shop, so_far.entries);
            before = so_far.shop.clone();
        }
        let last = last_moment(&so_far.entries);
        let Some(asked) = operation.asked(&so_far, last) else { continue };
        let (refused, entries) = (so_far.shop.clone(), so_far.entries.len());
        if let Err(refusal) = asked.of(&mut so_far) {
            assert_eq!((&so_far.shop, so_far.entries.len()), (&refused, entries), "{asked:?}");
            *tally.borrow_mut().entry(format!("not {}", refusal.rule())).or_default() += 1;
        } else {
            let entry = so_far.entries.last().unwrap();
            let flagged = if entry.anyway.is_some() { " anyway" } else { "" };
            let word = format!("{}{flagged}", entry.fact.word());
            *tally.borrow_mut().entry(word).or_default() += 1;
            slots_hold(&so_far.shop);
            pieces_are_conserved(&so_far.shop);
            assert_eq!(Shop::fold(&so_far.entries), so_far.shop, "replayed after {asked:?}");
            // What is taken back, whenever it was recorded, is as if it had never been.
            let gone = voided(&so_far.entries);
            let stands = |e: &&Entry| !gone.contains(&e.id) && !matches!(e.fact, Fact::Voided(_));
            let standing: Vec<Entry> = so_far.entries.iter().filter(stands).cloned().collect();
            assert_eq!(Shop::fold(&standing), so_far.shop, "without what is gone, {asked:?}");
            last_can_be_taken_back(&so_far, &before);
        }
    }
}

/// Every kind of entry comes about, some against the rules, and the rules refuse a good deal: else nothing was tried.
#[test]
fn slots_pieces_replay_and_taking_back_hold_in_any_run() {
    let tally = RefCell::new(BTreeMap::new());
    // A fixed start: a fault is found by whoever made it, not by somebody else a week later.
    let mut runner = TestRunner::new_with_rng(
        Config { failure_persistence: None, ..Config::with_cases(200) },
        fixed(),
    );
    runner
        .run(&starting(), |operations| {
            all_holds(&operations, &tally);
            Ok(())
        })
        .unwrap();
    let tally = tally.into_inner();
    let enough = |what: &str, times: usize| {
        assert!(tally.get(what).is_some_and(|seen| *seen >= times), "{what}: {tally:#?}");
    };
    for word in Fact::WORDS.iter().chain(&["done anyway", "begin anyway"]) {
        enough(word, 5);
    }
    for rule in ["too-few-slots", "stood-on", "uncured", "window-shut", "lots-open"] {
        enough(&format!("not {rule}"), 5);
    }
}

/// A source of randomness that is the same every time.
pub(super) fn fixed() -> TestRng {
    TestRng::deterministic_rng(RngAlgorithm::ChaCha)
}

/// A run that begins with a setup, cans and a batch or two: without them nothing else can be done. Some begin with an
/// order that is over, too.
pub(super) fn starting() -> impl Strategy<Value = Vec<Operation>> {
    let opening = any::<[Index; 6]>().prop_map(|[a, b, c, d, e, f]| {
        vec![
            What::LoadSetup(a),
            What::OpenCan(b),
            What::OpenCan(c),
            What::OpenBatch(d),
            What::OpenBatch(e),
            What::OpenBatch(f),
        ]
    });
    let over = any::<[Index; 2]>().prop_map(|[can, lot]| {
        let rack = Some(lot);
        vec![
            What::Start { batch: lot, pieces: 5, rack, from: 2 },
            What::Done { lot, rack, can: Some(can), skip: 0 },
            What::RagsDone(lot),
            What::Done { lot, rack: None, can: None, skip: 0 },
            What::Done { lot, rack: None, can: None, skip: 0 },
            What::Ship { lot, other: None, pieces: 0 },
            What::CloseBatch(lot),
        ]
    });
    let over = proptest::collection::vec(over, 0..3);
    // Two lots stand at the same step seldom enough by themselves.
    let joined = any::<[Index; 2]>().prop_map(|[batch, pair]| {
        let start = |pieces| What::Start { batch, pieces, rack: None, from: 1 };
        vec![start(3), start(4), What::Change(Change::Join, batch, pair, 1)]
    });
    let joined = proptest::collection::vec(joined, 0..2);
    (opening, over, joined, run()).prop_map(|(opening, over, joined, run)| {
        let first = opening.into_iter().chain(over.into_iter().chain(joined).flatten());
        let first = first.map(|what| Operation { wait: Wait::Ready, what, anyway: false });
        first.chain(run).collect()
    })
}
