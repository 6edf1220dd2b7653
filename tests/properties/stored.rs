//! On a database: what is read back of what is open is the same as the whole history says of it.

use std::cell::RefCell;
use std::collections::BTreeMap;

use proptest::test_runner::{Config, TestRunner};
use tackfree::shop::Shop;
use tackfree::shop::climate::RoomReading;
use tackfree::shop::entry::{Entry, Fact, Subject, SubjectKind};
use tackfree::shop::refusal::Refusal;
use tackfree::store::{self, Scope, Store};
use tackfree::units::Celsius;

use super::kept::{fixed, journal, last_moment, starting};
use super::operations::{Asked, Operation, now};

/// Why an operation was not recorded.
#[derive(Debug)]
enum Why {
    Refused(Refusal),
    Store(store::Error),
}

impl From<Refusal> for Why {
    fn from(refusal: Refusal) -> Self {
        Self::Refused(refusal)
    }
}

impl From<store::Error> for Why {
    fn from(error: store::Error) -> Self {
        Self::Store(error)
    }
}

/// What the command for it reads.
fn scope(asked: &Asked) -> Scope {
    let fact = match asked {
        Asked::Void(entry) => return Scope::WithEntry(*entry),
        Asked::Record(_, fact, _) => &**fact,
    };
    // Rags are open or are nothing to anybody; all else names its batch or its can.
    if matches!(fact, Fact::RagsDealtWith(_)) {
        return Scope::Open;
    }
    let named = |subject: &Subject| {
        matches!(subject.kind, SubjectKind::Batch | SubjectKind::Can | SubjectKind::Shipment)
    };
    Scope::With(fact.subjects(0).into_iter().filter(named).collect())
}

/// The shop without what is over.
fn open(mut shop: Shop) -> Shop {
    shop.batches.retain(|_, batch| batch.closed.is_none());
    let batches = shop.batches.clone();
    shop.lots.retain(|name, _| batches.contains_key(&name.batch));
    shop.cans.retain(|_, can| can.emptied.is_none());
    shop.shipments
        .retain(|_, sent| sent.lots.iter().any(|(lot, _)| batches.contains_key(&lot.batch)));
    shop.notes.clear();
    shop.stock.clear();
    shop.climate.clear();
    shop
}

/// The rule, and for rules that list names nothing more: what is closed is read by one side only.
fn rule(refused: Result<i64, Refusal>) -> Result<i64, &'static str> {
    refused.map_err(|refusal| refusal.rule())
}

/// The entries, short.
fn told(entries: &[Entry]) -> String {
    let about =
        |entry: &Entry| entry.subjects().into_iter().map(|s| s.name).collect::<Vec<_>>().join(" ");
    let line = |entry: &Entry| {
        format!("\n{} {} {} {}", entry.id, entry.at, entry.fact.word(), about(entry))
    };
    entries.iter().map(line).collect()
}

/// Whether it is said to have happened before a batch was closed that is over by now. Whoever records so late is not held
/// against what stood on the racks then and is over: reading that would make every command read all there ever was.
fn before_closing(asked: &Asked, shop: &Shop) -> bool {
    let closed = shop.batches.values().filter_map(|batch| batch.closed).max();
    match asked {
        Asked::Record(at, ..) => closed.is_some_and(|closed| *at < closed),
        Asked::Void(_) => false,
    }
}

/// What the store recorded of an operation. Readings are taken in with their rows, and the entry that proves them is then
/// asked for in memory too.
fn stored(store: &mut Store, asked: &mut Asked) -> Option<Result<i64, Refusal>> {
    let readings = match &*asked {
        Asked::Record(_, fact, _) => match &**fact {
            Fact::ReadingsAdded(added) => Some(added.clone()),
            _ => None,
        },
        Asked::Void(_) => None,
    };
    let stored = match readings {
        Some(added) => {
            let temp = Some(Celsius::new(20.5).unwrap());
            let reading = RoomReading {
                at: added.first,
                temp,
                humidity: None,
                surface: None,
                extremes: None,
            };
            let file = added.file.as_deref();
            let taken = store.add_readings::<Why>(now(), &added.room, &[reading], file);
            taken.map(|(taken, journal)| {
                let brought = taken.entry?;
                *asked = Asked::Record(now(), Box::new(journal.added()[0].fact.clone()), None);
                Some(brought)
            })
        }
        None => store
            .record(&scope(asked), now(), |journal| asked.of(journal).map_err(Why::Refused))
            .map(|(entry, _)| Some(entry)),
    };
    match stored {
        Ok(entry) => entry.map(Ok),
        Err(Why::Refused(refusal)) => Some(Err(refusal)),
        Err(Why::Store(error)) => panic!("{error}"),
    }
}

fn reads_back(operations: &[Operation], accepted: &RefCell<BTreeMap<&'static str, usize>>) {
    let folder = crate::harness::folder();
    let path = folder.path().join("shop.tackfree");
    Store::make(&path).unwrap();
    let mut store = Store::open(&path).unwrap();
    let mut whole = journal(Shop::default(), Vec::new());
    for operation in operations {
        let last = last_moment(&whole.entries);
        let Some(mut asked) = operation.asked(&whole, last) else { continue };
        if before_closing(&asked, &whole.shop) {
            continue;
        }
        let Some(stored) = stored(&mut store, &mut asked) else { continue };
        let in_memory = rule(asked.of(&mut whole));
        assert_eq!(rule(stored), in_memory, "{asked:?} after {}", told(&whole.entries));
        // Readings are no part of the fold.
        whole.shop.climate = store.load(&Scope::All).unwrap().shop.climate;
        if in_memory.is_ok() {
            let word = whole.entries.last().unwrap().fact.word();
            *accepted.borrow_mut().entry(word).or_default() += 1;
            let read = store.load(&Scope::Open).unwrap();
            assert_eq!(open(read.shop), open(whole.shop.clone()), "after {asked:?}");
        }
        whole = journal(whole.shop, whole.entries);
    }
    let all = store.load(&Scope::All).unwrap();
    assert_eq!((&all.shop, &all.entries), (&whole.shop, &whole.entries));
    let checked = store.check(None).unwrap();
    assert_eq!((checked.entries, checked.faults), (whole.entries.len(), Vec::new()));
}

#[test]
fn what_is_open_reads_back_as_the_whole_history_says() {
    let accepted = RefCell::default();
    let mut runner = TestRunner::new_with_rng(
        Config { failure_persistence: None, ..Config::with_cases(40) },
        fixed(),
    );
    runner
        .run(&starting(), |operations| {
            reads_back(&operations, &accepted);
            Ok(())
        })
        .unwrap();
    let accepted = accepted.into_inner();
    let few = Fact::WORDS.iter().filter(|word| accepted.get(*word).is_none_or(|times| *times < 2));
    assert_eq!(few.collect::<Vec<_>>(), Vec::<&&str>::new(), "{accepted:#?}");
    assert!(accepted.values().sum::<usize>() > 500, "{accepted:#?}");
}
