//! Runs of operations, drawn at random, that a shop might really see: the wrong ones too. Every kind of fact is drawn, and
//! what may be left out of one is now given, now not.

use std::sync::LazyLock;

use chrono::{NaiveDate, TimeDelta};
use proptest::prelude::*;
use proptest::sample::Index;
use tackfree::shop::entry::{EntryId, Fact, Subject, SubjectKind};
use tackfree::shop::fact::{
    BatchCancelled, BatchChanged, BatchClosed, BatchOpened, CanEmptied, CanOpened, CoatLaid,
    CureTest, Did, LotGiven, LotHeld, LotJoined, LotMoved, LotReleased, LotReworked, LotSplit,
    LotStarted, Noted, PaceTimed, PiecesRejected, PiecesReturned, PlanKept, RagsDealtWith, RagsOf,
    ReadingsAdded, SetupLoaded, ShipmentCancelled, Shipped, StepBegun, StepDone, StockChange,
    Stocked, Touched,
};
use tackfree::shop::journal::Journal;
use tackfree::shop::lot::Lot;
use tackfree::shop::name::LotName;
use tackfree::shop::pace::{TimedSplit, TimedStep};
use tackfree::shop::plan::{
    BatchPlan, BoundBy, LimitedBy, MissedWindow, MovePlan, MoveWhy, NotPlanned, PlanBound,
    ReadyPlan, ShopPlan, StayPlan, StepPlan, WaitPlan, WhyNot,
};
use tackfree::shop::refusal::Refusal;
use tackfree::shop::setup::Setup;
use tackfree::shop::setup::read::read;
use tackfree::shop::stage::Stage;
use tackfree::shop::{Batch, Shop};
use tackfree::time::Instant;
use tackfree::time::typed::read_rfc3339;
use tackfree::units::Litres;
use tackfree::units::WoodMoisture;

use crate::harness::SORREL_LANE;

/// The setups a run may load: with narrow racks, so that they fill up; with a wider rack, with a narrower one, and with
/// another recipe and sheet.
pub(super) static SETUPS: LazyLock<Vec<Setup>> = LazyLock::new(|| {
    let narrow = SORREL_LANE
        .replace("slots = 36", "slots = 14")
        .replace("slots = 24", "slots = 10")
        .replace("slots = 240", "slots = 20")
        .replace("slots = 12", "slots = 6");
    let texts = [
        narrow.clone(),
        narrow.replace("slots = 10", "slots = 12"),
        narrow.replace("slots = 10", "slots = 8"),
        narrow.replace("each = \"15s\"", "each = \"16s\"").replace("24h..7d", "20h..6d"),
    ];
    texts.iter().map(|text| read(text).unwrap()).collect()
});

/// The most slots any of the setups gives a rack.
pub(super) fn most_slots(rack: &str) -> u32 {
    SETUPS.iter().filter_map(|setup| setup.rack(rack)).map(|rack| rack.slots).max().unwrap()
}

/// When the runs begin.
pub(super) fn begin() -> Instant {
    read_rfc3339("2026-03-02T08:30:00Z").unwrap()
}

/// The present of all runs: nothing in them happens later.
pub(super) fn now() -> Instant {
    read_rfc3339("2036-01-01T00:00:00Z").unwrap()
}

/// One operation. What it is about is chosen among what there is when its turn comes.
#[derive(Debug, Clone)]
pub(super) struct Operation {
    /// When, counted from the last moment so far.
    pub(super) wait: Wait,
    /// What.
    pub(super) what: What,
    /// Whether it is recorded against the rules, where that can be.
    pub(super) anyway: bool,
}

#[derive(Debug, Clone, Copy)]
pub(super) enum Wait {
    /// So many minutes later; or earlier, as of something written down late.
    Minutes(i64),
    /// Until the lot's next step is ready.
    Ready,
}

#[derive(Debug, Clone)]
pub(super) enum What {
    LoadSetup(Index),
    OpenCan(Index),
    EmptyCan(Index),
    OpenBatch(Index),
    CloseBatch(Index),
    Start {
        batch: Index,
        pieces: u32,
        rack: Option<Index>,
        from: u32,
    },
    Begin {
        lot: Index,
        rack: Option<Index>,
        skip: u32,
    },
    Done {
        lot: Index,
        rack: Option<Index>,
        can: Option<Index>,
        skip: u32,
    },
    Split {
        lot: Index,
        pieces: u32,
        rack: Option<Index>,
    },
    Move {
        lot: Index,
        rack: Option<Index>,
    },
    Hold(Index),
    Release(Index),
    Reject {
        lot: Index,
        pieces: u32,
    },
    Touch(Index, Index),
    /// Pieces of a lot are timed.
    Time(Index, Vec<u32>),
    /// A room is read.
    Read(Index),
    /// A plan is kept.
    Keep(u64),
    RagsDone(Index),
    Ship {
        lot: Index,
        other: Option<Index>,
        pieces: u32,
    },
    /// What an order goes through.
    Change(Change, Index, Index, u32),
    /// Take an entry back: the last one, or any.
    Void(Option<Index>),
}

#[derive(Debug, Clone, Copy)]
pub(super) enum Change {
    Order,
    Cancel,
    Give,
    Rework,
    Join,
    Return,
    CancelShipment,
    Note,
    Stock,
}

/// An operation at a certain moment, as the commands would put it.
#[derive(Debug, Clone)]
pub(super) enum Asked {
    Record(Instant, Box<Fact>, Option<&'static str>),
    Void(EntryId),
}

fn index() -> impl Strategy<Value = Index> {
    any::<Index>()
}

fn maybe() -> impl Strategy<Value = Option<Index>> {
    proptest::option::of(index())
}

fn what() -> impl Strategy<Value = What> {
    let skip = || prop_oneof![12 => Just(0u32), 1 => 1u32..3];
    prop_oneof![
        1 => index().prop_map(What::LoadSetup),
        3 => index().prop_map(What::OpenCan),
        1 => index().prop_map(What::EmptyCan),
        3 => index().prop_map(What::OpenBatch),
        2 => index().prop_map(What::CloseBatch),
        7 => (index(), 1u32..11, maybe(), 1u32..13)
            .prop_map(|(batch, pieces, rack, from)| What::Start { batch, pieces, rack, from }),
        3 => (index(), maybe(), skip()).prop_map(|(lot, rack, skip)| What::Begin { lot, rack, skip }),
        22 => (index(), maybe(), maybe(), skip())
            .prop_map(|(lot, rack, can, skip)| What::Done { lot, rack, can, skip }),
        3 => (index(), 0u32..9, maybe())
            .prop_map(|(lot, pieces, rack)| What::Split { lot, pieces, rack }),
        4 => (index(), maybe()).prop_map(|(lot, rack)| What::Move { lot, rack }),
        2 => index().prop_map(What::Hold),
        3 => index().prop_map(What::Release),
        3 => (index(), 0u32..12).prop_map(|(lot, pieces)| What::Reject { lot, pieces }),
        2 => (index(), index()).prop_map(|(lot, stage)| What::Touch(lot, stage)),
        2 => (index(), proptest::collection::vec(1u32..4000, 0..4))
            .prop_map(|(lot, seconds)| What::Time(lot, seconds)),
        2 => index().prop_map(What::Read),
        1 => any::<u64>().prop_map(What::Keep),
        3 => index().prop_map(What::RagsDone),
        6 => (index(), maybe(), 0u32..24)
            .prop_map(|(lot, other, pieces)| What::Ship { lot, other, pieces }),
        13 => (change(), index(), index(), 1u32..13)
            .prop_map(|(change, first, second, count)| What::Change(change, first, second, count)),
        4 => maybe().prop_map(What::Void),
    ]
}

fn change() -> impl Strategy<Value = Change> {
    use Change::{Cancel, CancelShipment, Give, Join, Note, Order, Return, Rework, Stock};
    prop_oneof![
        2 => Just(Order),
        1 => Just(Cancel),
        3 => Just(Give),
        4 => Just(Rework),
        5 => Just(Join),
        5 => Just(Return),
        4 => Just(CancelShipment),
        2 => Just(Note),
        2 => Just(Stock),
    ]
}

/// A run of operations.
pub(super) fn run() -> impl Strategy<Value = Vec<Operation>> {
    let wait = prop_oneof![
        3 => (0i64..600).prop_map(Wait::Minutes),
        4 => Just(Wait::Ready),
        2 => (-3000i64..0).prop_map(Wait::Minutes),
        1 => (600i64..40_000).prop_map(Wait::Minutes),
    ];
    let operation = (wait, what(), any::<bool>());
    let operation = operation.prop_map(|(wait, what, anyway)| Operation { wait, what, anyway });
    proptest::collection::vec(operation, 1..70)
}

fn chosen<T>(from: impl IntoIterator<Item = T>, index: Index) -> Option<T> {
    let mut all: Vec<T> = from.into_iter().collect();
    (!all.is_empty()).then(|| all.swap_remove(index.index(all.len())))
}

/// Whether what may be left out is given.
fn given(index: Index) -> bool {
    index.index(2) == 1
}

/// So many days after the runs begin.
fn day(days: i64) -> NaiveDate {
    (begin() + TimeDelta::days(days)).date_naive()
}

impl Operation {
    /// The operation in this shop at this stage of the run; nothing where there is nothing it could be about.
    pub(super) fn asked(&self, journal: &Journal, last: Instant) -> Option<Asked> {
        let shop = &journal.shop;
        if let What::Void(which) = &self.what {
            let entries = journal.entries.iter().map(|entry| entry.id);
            return Some(Asked::Void(match which {
                Some(index) => chosen(entries, *index)?,
                None => journal.last().ok()?,
            }));
        }
        let fact = self.fact(journal)?;
        let ready = |lot: &LotName| {
            let lot = shop.lots.get(lot)?;
            Some(shop.next_item(lot, last).from?.max(last))
        };
        let at = match (self.wait, about(&fact)) {
            (Wait::Minutes(minutes), _) => last + TimeDelta::minutes(minutes),
            (Wait::Ready, Some(lot)) => ready(lot).unwrap_or(last),
            (Wait::Ready, None) => last,
        };
        // Readings are taken in now, whenever they are of.
        let at = if matches!(fact, Fact::ReadingsAdded(_)) { now() } else { at };
        let reason = self.anyway.then_some("tested on a scrap");
        Some(Asked::Record(at, Box::new(fact), reason))
    }

    fn fact(&self, journal: &Journal) -> Option<Fact> {
        let shop = &journal.shop;
        // No two readings are of the same moment.
        let so_far = begin() + TimeDelta::minutes(journal.next_id());
        let setup = shop.setup.as_ref();
        let racks = || setup.into_iter().flat_map(|setup| &setup.racks);
        let rack = |index: &Option<Index>| {
            index.and_then(|index| chosen(racks(), index)).map(|rack| rack.name.clone())
        };
        let lot = |index: &Index| chosen(shop.lots.values().filter(|lot| lot.pieces > 0), *index);
        Some(match &self.what {
            What::LoadSetup(index) => {
                let new = chosen(SETUPS.iter(), *index)?.clone();
                Fact::SetupLoaded(SetupLoaded {
                    revisions: shop.revisions_with(&new),
                    setup: Box::new(new),
                    text: given(*index).then(|| "# as it was written".to_owned()),
                })
            }
            What::OpenCan(index) => {
                can_opened(shop, chosen(&setup?.finishes, *index)?.name.clone(), *index).into()
            }
            What::EmptyCan(index) => {
                Fact::CanEmptied(CanEmptied { can: chosen(shop.cans.keys(), *index)?.clone() })
            }
            What::OpenBatch(index) => {
                opened(shop, chosen(&setup?.recipes, *index)?.name.clone(), *index).into()
            }
            What::CloseBatch(index) => Fact::BatchClosed(BatchClosed {
                batch: chosen(shop.batches.keys(), *index)?.clone(),
            }),
            What::Start { batch, pieces, rack: on, from } => {
                start(shop, chosen(shop.batches.values(), *batch)?, *pieces, rack(on), *from)?
            }
            What::Begin { lot: of, rack: on, skip } => {
                let lot = lot(of)?;
                Fact::StepBegun(StepBegun {
                    lot: lot.name.clone(),
                    step: next(lot) + skip,
                    rack: rack(on),
                })
            }
            What::Done { lot: of, rack: on, can, skip } => {
                let lot = lot(of)?;
                let step = next(lot) + skip;
                // A rack is named where one is wanted; named at every step most of it would be refused.
                let on = if lot.rack().is_none() { rack(on) } else { None };
                done(shop, lot, step, *can, on)
            }
            What::Split { lot: of, pieces, rack: on } => {
                let lot = lot(of)?;
                let number = shop.batches.get(&lot.name.batch)?.lots + 1;
                let into = LotName { batch: lot.name.batch.clone(), number };
                Fact::LotSplit(LotSplit {
                    lot: lot.name.clone(),
                    into,
                    pieces: *pieces,
                    rack: rack(on),
                    not_begun: pieces % 2 == 1,
                })
            }
            What::Move { lot: of, rack: on } => {
                Fact::LotMoved(LotMoved { lot: lot(of)?.name.clone(), rack: rack(on) })
            }
            What::Hold(of) => {
                Fact::LotHeld(LotHeld { lot: lot(of)?.name.clone(), why: "so".to_owned() })
            }
            What::Release(of) => {
                let held = shop.open_lots().filter(|lot| lot.held.is_some());
                Fact::LotReleased(LotReleased { lot: chosen(held, *of)?.name.clone() })
            }
            What::Reject { lot: of, pieces } => {
                let lot = lot(of)?;
                let (lot, step) = (lot.name.clone(), next(lot).min(pieces + 1));
                Fact::PiecesRejected(PiecesRejected {
                    lot,
                    pieces: *pieces,
                    why: "cracked".to_owned(),
                    step,
                })
            }
            What::Touch(of, stage) => {
                let stage = chosen(Stage::ALL, *stage)?;
                let lot = lot(of)?;
                let of_cure = shop.cure_share(lot, lot.last_at);
                let of_cure = of_cure.map(|(finish, share)| CureTest { finish, share });
                Fact::Touched(Touched { lot: lot.name.clone(), stage, of_cure })
            }
            What::Time(of, seconds) => timed(lot(of)?, seconds).into(),
            What::Read(of) => {
                let room = chosen(&setup?.rooms, *of)?.name.clone();
                taken_in(room, so_far, given(*of)).into()
            }
            What::Keep(seed) => PlanKept { plan: Box::new(planned(so_far, *seed)) }.into(),
            What::RagsDone(first) => rags_done(shop, *first)?,
            What::Ship { lot: of, other, pieces } => {
                ship(lot(of)?, other.and_then(|other| lot(&other)), *pieces)
            }
            What::Change(kind, first, second, count) => {
                change_of(shop, *kind, lot(first), *first, *second, *count)?
            }
            What::Void(_) => return None,
        })
    }
}

fn start(shop: &Shop, batch: &Batch, pieces: u32, rack: Option<String>, from: u32) -> Option<Fact> {
    let recipe = shop.setup.as_ref()?.recipe(&batch.recipe)?;
    let from_step = (from - 1) % recipe.count() + 1;
    recipe.step(from_step).filter(|step| !step.is_cure())?;
    let lot = LotName { batch: batch.name.clone(), number: batch.lots + 1 };
    let did = (from_step > 1 && pieces % 2 == 1).then(|| Did {
        step: from_step - 1,
        at: begin(),
        can: shop.cans.keys().next().cloned(),
    });
    let did = did.filter(|did| recipe.step(did.step).is_some_and(|step| step.coat().is_some()));
    let (recipe, revision) = (recipe.clone(), shop.revisions[&recipe.name]);
    let did = did.into_iter().collect();
    Some(LotStarted { lot, recipe, revision, pieces, rack, from_step, did }.into())
}

fn change_of(
    shop: &Shop,
    kind: Change,
    lot: Option<&Lot>,
    first: Index,
    second: Index,
    count: u32,
) -> Option<Fact> {
    let why = || "so".to_owned();
    let next_of = |batch: &str| shop.next_lot(batch).ok();
    Some(match kind {
        Change::Order => {
            let batch = chosen(shop.batches.values(), first)?;
            let (batch, pieces) = (batch.name.clone(), count);
            let (due, wanted) = (given(second).then(|| day(25)), given(first).then(|| day(24)));
            BatchChanged { batch, pieces, due, wanted, customer: Some(why()) }.into()
        }
        Change::Cancel => {
            let batch = chosen(shop.batches.keys(), first)?.clone();
            BatchCancelled { batch, why: why() }.into()
        }
        Change::Give => {
            let into = next_of(chosen(shop.batches.keys(), second)?)?;
            LotGiven { lot: lot?.name.clone(), into }.into()
        }
        Change::Rework => {
            let lot = lot?;
            let all = count >= lot.pieces;
            let into = if all { lot.name.clone() } else { next_of(&lot.name.batch)? };
            let from_step = chosen(1..lot.next.max(2), second)?;
            let (lot, pieces) = (lot.name.clone(), count.min(lot.pieces));
            LotReworked { lot, into, pieces, from_step, why: why() }.into()
        }
        Change::Join => {
            let alike = |[a, b]: &[&Lot; 2]| {
                (&a.name.batch, a.next, &a.recipe) == (&b.name.batch, b.next, &b.recipe)
                    && a.name != b.name
                    && [a, b].iter().all(|lot| lot.begun.is_none() && lot.held.is_none())
            };
            let pairs = shop.open_lots().flat_map(|a| shop.open_lots().map(move |b| [a, b]));
            let [lot, from] = chosen(pairs.filter(alike), second)?.map(|lot| lot.name.clone());
            LotJoined { lot, from }.into()
        }
        Change::Return => {
            let (shipment, sent) = chosen(&shop.shipments, first)?;
            let lot = chosen(&sent.lots, second)?.0.clone();
            let into = next_of(&lot.batch)?;
            PiecesReturned { shipment: *shipment, lot, into, pieces: count, why: why() }.into()
        }
        Change::CancelShipment => {
            let (shipment, sent) = chosen(&shop.shipments, first)?;
            let lots = sent.lots.iter().map(|(lot, _)| lot.clone()).collect();
            ShipmentCancelled { shipment: *shipment, lots, why: why() }.into()
        }
        Change::Note => {
            let of = |kind, name: &dyn std::fmt::Display| Subject::new(kind, name);
            let about = [
                shop.batches.keys().next().map(|name| of(SubjectKind::Batch, name)),
                lot.map(|lot| of(SubjectKind::Lot, &lot.name)),
                shop.cans.keys().next().map(|name| of(SubjectKind::Can, name)),
                shop.shipments.keys().next().map(|number| of(SubjectKind::Shipment, number)),
                Some(of(SubjectKind::Shop, &"shop")),
            ];
            Noted { about: chosen(about.into_iter().flatten(), second)?, text: why() }.into()
        }
        Change::Stock => {
            let setup = shop.setup.as_ref()?;
            let room = chosen(&setup.rooms, first)?.name.clone();
            let change = chosen(
                [
                    StockChange::Added(count),
                    StockChange::Counted(count),
                    StockChange::Moisture { percent: WoodMoisture::new(12.5).unwrap(), room },
                ],
                second,
            )?;
            let piece = chosen(&setup.pieces, first)?.name.clone();
            let other = chosen(["P180".to_owned(), "cloths".to_owned(), piece.clone()], second)?;
            let of_blanks = matches!(change, StockChange::Moisture { .. });
            Stocked { item: if of_blanks { piece } else { other }, change }.into()
        }
    })
}

fn can_opened(shop: &Shop, finish: String, index: Index) -> CanOpened {
    CanOpened {
        can: format!("K{}", shop.cans.len() + 1),
        finish,
        litres: given(index).then(|| Litres::new(0.75).unwrap()),
        maker_lot: given(index).then(|| "L4481".to_owned()),
    }
}

fn opened(shop: &Shop, recipe: String, index: Index) -> BatchOpened {
    BatchOpened {
        batch: format!("b{}", shop.batches.len() + 1),
        recipe,
        pieces: 60,
        due: given(index).then(|| day(30)),
        customer: given(index).then(|| "the café".to_owned()),
        wanted: given(index).then(|| day(20)),
    }
}

/// One reading, of a file or taken by hand.
fn taken_in(room: String, first: Instant, of_file: bool) -> ReadingsAdded {
    let file = of_file.then(|| "log.csv".to_owned());
    ReadingsAdded { room, readings: 1, first, last: first, file, digest: String::new() }
}

/// What a stopwatch took down of a lot's next step.
fn timed(lot: &Lot, seconds: &[u32]) -> PaceTimed {
    let name = lot.recipe.words(next(lot));
    let split = TimedSplit {
        step: TimedStep { name, nth: 1 },
        before: lot.pieces,
        seconds: seconds.to_vec(),
    };
    PaceTimed {
        lot: lot.name.clone(),
        recipe: lot.recipe.name.clone(),
        splits: vec![split.clone(), split],
    }
}

/// A plan with something in every part of it. Nothing in it is asked about by any rule.
fn planned(at: Instant, seed: u64) -> ShopPlan {
    let from = |number: u64| at + TimeDelta::minutes(i64::try_from(seed % 7 + number).unwrap());
    let (lot, name, some) = ("b1-1".to_owned(), "rub P400".to_owned(), seed.is_multiple_of(2));
    let rack = "drip-1".to_owned();
    let limits =
        [LimitedBy::Hands, LimitedBy::Rack(rack.clone()), LimitedBy::OpenHours, LimitedBy::Drying];
    let bounds =
        [BoundBy::Nothing, BoundBy::Path(lot.clone()), BoundBy::Hands, BoundBy::Rack(rack.clone())];
    let whys = [
        MoveWhy::Sooner(90),
        MoveWhy::OnlyThere,
        MoveWhy::MakesRoom("b1-2".to_owned()),
        MoveWhy::FreesDrying,
    ];
    let cold = WhyNot::NeverDries {
        finish: "house oil".to_owned(),
        rooms: vec!["shed".to_owned()],
        elsewhere: vec!["shelf".to_owned()],
        warm: 20_160,
    };
    let of = usize::try_from(seed % 4).unwrap();
    let why = if some { cold } else { WhyNot::TooMany { wanted: "dry".to_owned(), most: 12 } };
    let step = StepPlan {
        lot: lot.clone(),
        batch: "b1".to_owned(),
        pieces: 12,
        to_start: some,
        begun: !some,
        step: 5,
        name: name.clone(),
        kind: "rub".to_owned(),
        start: from(1),
        end: from(2),
        latest_start: from(3),
        rack: some.then(|| rack.clone()),
    };
    ShopPlan {
        now: at,
        batches: vec![BatchPlan {
            batch: "b1".to_owned(),
            ready_at: some.then(|| from(4)),
            ready: if some { vec![ReadyPlan { at: from(4), pieces: 12 }] } else { Vec::new() },
            due: some.then(|| day(9)),
            days_late: some.then_some(-3),
            limited_by: limits[of].clone(),
            to_start: 4,
        }],
        steps: vec![step],
        stays: vec![StayPlan {
            lot: lot.clone(),
            pieces: 12,
            rack,
            cures: some,
            from: from(5),
            until: from(6),
        }],
        missed: vec![MissedWindow {
            lot: lot.clone(),
            step: 5,
            name,
            coat: some,
            abrade_from: from(7),
            abrade_until: from(8),
        }],
        waits: vec![WaitPlan {
            finish: "house oil".to_owned(),
            room: some.then(|| "oil room".to_owned()),
            shortest: 1,
            longest: 2,
            cure: 3,
        }],
        ready_at: from(9),
        bound: PlanBound {
            ready_at: from(10),
            gap_percent: some.then_some(0.21),
            lateness: 11,
            by: bounds[of].clone(),
        },
        lateness: 12,
        idle: 13,
        held: vec![lot.clone()],
        moves: vec![MovePlan {
            lot: lot.clone(),
            pieces: 12,
            from: "drip-1".to_owned(),
            to: "loft".to_owned(),
            at: from(11),
            why: whys[of].clone(),
        }],
        not_planned: vec![NotPlanned {
            lot,
            batch: "b1".to_owned(),
            pieces: 12,
            to_start: some,
            why,
        }],
        evaluations: 14,
        seed,
    }
}

/// All of one lot but so many pieces, and all of another.
fn ship(first: &Lot, other: Option<&Lot>, but: u32) -> Fact {
    let mut lots = vec![(first.name.clone(), first.pieces.saturating_sub(but).max(1))];
    let other = other.filter(|lot| lot.name != first.name);
    lots.extend(other.map(|lot| (lot.name.clone(), lot.pieces)));
    Shipped { to: "a shop in town".to_owned(), lots }.into()
}

fn next(lot: &Lot) -> u32 {
    lot.next_step().map_or(lot.next, |(step, _)| step)
}

fn done(shop: &Shop, lot: &Lot, step: u32, can: Option<Index>, rack: Option<String>) -> Fact {
    let finish = lot.recipe.step(step).and_then(|step| step.coat());
    let coat = finish.map(|finish| {
        let fits = shop.cans.values().filter(|can| can.finish == finish && can.emptied.is_none());
        let can = match can {
            Some(index) => chosen(shop.cans.values(), index),
            None => fits.max_by_key(|can| &can.name),
        };
        CoatLaid {
            finish: finish.to_owned(),
            can: can.map(|can| can.name.clone()),
            drawn: shop.drawn(&lot.recipe, step, lot.pieces),
        }
    });
    Fact::StepDone(StepDone {
        lot: lot.name.clone(),
        step,
        pieces: lot.pieces,
        coat,
        minutes: Some(lot.pieces),
        timed: shop.timed(lot, step),
        rack,
    })
}

/// All open rags, or all but the first so many.
fn rags_done(shop: &Shop, first: Index) -> Option<Fact> {
    let skipped = first.index(shop.rags.len().max(1));
    let rags = shop.rags.iter().skip(skipped);
    let rags: Vec<RagsOf> =
        rags.map(|(coat, rags)| RagsOf { coat: *coat, lot: rags.lot.clone() }).collect();
    (!rags.is_empty())
        .then(|| Fact::RagsDealtWith(RagsDealtWith { rags, how: "soaked".to_owned() }))
}

/// The lot a fact is about, where it waits for something.
fn about(fact: &Fact) -> Option<&LotName> {
    match fact {
        Fact::StepBegun(StepBegun { lot, .. })
        | Fact::StepDone(StepDone { lot, .. })
        | Fact::LotMoved(LotMoved { lot, .. })
        | Fact::LotReleased(LotReleased { lot }) => Some(lot),
        Fact::Shipped(Shipped { lots, .. }) => lots.first().map(|(lot, _)| lot),
        _ => None,
    }
}

impl Asked {
    /// Asks the journal for it.
    pub(super) fn of(&self, journal: &mut Journal) -> Result<EntryId, Refusal> {
        match self {
            Self::Record(at, fact, reason) => journal.record_anyway(*at, (**fact).clone(), *reason),
            Self::Void(entry) => {
                journal.void(*entry, "recorded by mistake")?;
                Ok(journal.next_id() - 1)
            }
        }
    }
}
