//! A command's work on the database does not grow with the batches that are over. Counted in bytes read from the file by
//! this thread, as Linux counts them: the same on every run, whatever else the machine does.

use std::fs;

use chrono::TimeDelta;
use tackfree::shop::entry::Fact;
use tackfree::shop::fact::{
    BatchClosed, BatchOpened, CanEmptied, CanOpened, CoatLaid, LotHeld, LotStarted, RagsDealtWith,
    RagsOf, SetupLoaded, Shipped, StepDone,
};
use tackfree::shop::journal::Journal;
use tackfree::shop::name::LotName;
use tackfree::shop::refusal::Refusal;
use tackfree::shop::setup::read::read;
use tackfree::store::{self, Scope, Store};
use tackfree::time::Instant;
use tackfree::time::typed::read_rfc3339;

use crate::harness::{SORREL_LANE, folder};

#[derive(Debug)]
#[expect(dead_code, reason = "read where a test fails")]
enum Why {
    Refused(Refusal),
    Store(store::Error),
}

impl From<store::Error> for Why {
    fn from(error: store::Error) -> Self {
        Self::Store(error)
    }
}

fn at(text: &str) -> Instant {
    read_rfc3339(text).unwrap()
}

/// One batch from its can to its closing; the last one is left open, coated.
fn batch(journal: &mut Journal, number: usize, closes: bool) -> Result<(), Refusal> {
    let [begin, coat, cured] =
        ["2026-03-02T09:00:00Z", "2026-03-02T10:00:00Z", "2026-03-16T10:00:00Z"]
            .map(|first| at(first) + TimeDelta::days(15 * i64::try_from(number).unwrap()));
    let (batch, can) = (format!("b{number}"), format!("W{number}"));
    let lot = LotName { batch: batch.clone(), number: 1 };
    let finish = "hard wax".to_owned();
    let recipe = journal.shop.needs_setup()?.recipe("one coat").unwrap().clone();
    let done = |step, coat| {
        Fact::StepDone(StepDone {
            lot: lot.clone(),
            step,
            pieces: 6,
            coat,
            minutes: None,
            timed: None,
            rack: None,
        })
    };
    let open = Fact::CanOpened(CanOpened {
        can: can.clone(),
        finish: finish.clone(),
        litres: None,
        maker_lot: None,
    });
    journal.record(begin, open)?;
    let (recipe_name, customer) = (recipe.name.clone(), None);
    let open = Fact::BatchOpened(BatchOpened {
        batch: batch.clone(),
        recipe: recipe_name,
        pieces: 6,
        due: None,
        customer,
        wanted: None,
    });
    journal.record(begin, open)?;
    let rack = Some("shelf".to_owned());
    let start = Fact::LotStarted(LotStarted {
        lot: lot.clone(),
        recipe,
        revision: 1,
        pieces: 6,
        rack,
        from_step: 2,
        did: Vec::new(),
    });
    journal.record(begin, start)?;
    let coat_entry = journal
        .record(coat, done(2, Some(CoatLaid { finish, can: Some(can.clone()), drawn: None })))?;
    if closes {
        let rags = vec![RagsOf { coat: coat_entry, lot: lot.clone() }];
        journal
            .record(coat, Fact::RagsDealtWith(RagsDealtWith { rags, how: "soaked".to_owned() }))?;
        journal.record(cured, done(4, None))?;
        let to = "a shop in town".to_owned();
        journal.record(cured, Fact::Shipped(Shipped { to, lots: vec![(lot.clone(), 6)] }))?;
        journal.record(cured, Fact::BatchClosed(BatchClosed { batch }))?;
        journal.record(cured, Fact::CanEmptied(CanEmptied { can }))?;
    }
    Ok(())
}

/// Bytes this thread has asked the system for so far.
fn read_so_far() -> u64 {
    let said = fs::read_to_string("/proc/thread-self/io").unwrap();
    said.lines().find_map(|line| line.strip_prefix("rchar: ")).unwrap().parse().unwrap()
}

fn work(what: impl FnOnce()) -> u64 {
    let before = read_so_far();
    what();
    read_so_far() - before
}

/// Bytes read by a look at what is open, by a record, and by taking that back, after so many batches are over.
fn after(closed: usize) -> [u64; 3] {
    let folder = folder();
    let path = folder.path().join("shop.tackfree");
    let now = at("2036-04-01T09:00:00Z");
    Store::make(&path).unwrap();
    let mut store = Store::open(&path).unwrap();
    let filled = store.record(&Scope::All, now, |journal| {
        let setup = Box::new(read(SORREL_LANE).unwrap());
        let revisions = journal.shop.revisions_with(&setup);
        journal
            .record(
                at("2026-03-01T09:00:00Z"),
                Fact::SetupLoaded(SetupLoaded { setup, revisions, text: None }),
            )
            .map_err(Why::Refused)?;
        for number in 0..closed {
            // Each has the shelf to itself: a batch is over before the next one is written down.
            batch(journal, number, true).map_err(Why::Refused)?;
        }
        batch(journal, closed, false).map_err(Why::Refused)
    });
    filled.unwrap();
    drop(store);
    let look = work(|| {
        let shop = Store::open(&path).unwrap().load(&Scope::Open).unwrap().shop;
        assert_eq!((shop.batches.len(), shop.cans.len(), shop.rags.len()), (1, 1, 1));
    });
    let mut entry = 0;
    let record = work(|| {
        let lot = LotName { batch: format!("b{closed}"), number: 1 };
        let held = Fact::LotHeld(LotHeld { lot, why: "scratches".to_owned() });
        let scope = Scope::Open;
        let held = Store::open(&path)
            .unwrap()
            .record(&scope, now, |journal| journal.record(now, held).map_err(Why::Refused));
        entry = held.unwrap().0;
    });
    let back = work(|| {
        let voided = Store::open(&path).unwrap().record(&Scope::WithEntry(entry), now, |journal| {
            journal.void(entry, "recorded by mistake").map_err(Why::Refused)
        });
        voided.unwrap();
    });
    [look, record, back]
}

#[test]
fn the_work_does_not_grow_with_the_batches_that_are_over() {
    let (few, many) = (after(50), after(200));
    for ((few, many), what) in few.into_iter().zip(many).zip(["look", "record", "undo"]) {
        assert!(few > 4096, "{what}: nothing was counted");
        // A tree with four times the leaves is a storey deeper; its leaves are not read.
        assert!(2 * many < 3 * few, "{what}: {few} bytes after 50 batches, {many} after 200");
    }
}
