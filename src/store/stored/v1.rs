//! The first stored form: the JSON of every row up to layout 4, and of the rows since.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::form::{Stored, stored};
use crate::shop::setup::finish::RENAMED;
use crate::shop::setup::{finish, piece, recipe, remind};
use crate::shop::{LotName, entry, fact, pace, plan, setup, stage, subject};
use crate::time::partial::PartialDate;
use crate::time::{Instant, Keeps, OpenHours, Span, SpanRange, Zone};
use crate::units::{
    self, Celsius, Coverage, GramsPerLitre, Humidity, Litres, MilligramsPerCubicMetre, Money, Q10,
    SquareCentimetres, WoodMoisture,
};

macro_rules! facts {
    ($($kind:ident),+ $(,)?) => {
        /// A fact on disk.
        #[derive(Serialize, Deserialize)]
        #[serde(tag = "fact", rename_all = "snake_case")]
        pub(super) enum Fact {
            $($kind($kind),)+
            PlanKept(PlanKept),
        }

        impl Fact {
            /// `plan` is the digest of a kept plan.
            pub(super) fn keep(fact: &fact::Fact, plan: Option<String>) -> Self {
                match fact {
                    $(fact::Fact::$kind(fact) => Self::$kind($kind::keep(fact)),)+
                    fact::Fact::PlanKept(_) => Self::PlanKept(PlanKept { plan: None, digest: plan }),
                }
            }

            /// `find` finds the plan of a digest.
            pub(super) fn back(
                self,
                find: impl FnOnce(&str) -> Result<plan::ShopPlan, String>,
            ) -> Result<fact::Fact, String> {
                Ok(match self {
                    $(Self::$kind(fact) => fact::Fact::$kind(fact.back()),)+
                    Self::PlanKept(PlanKept { plan, digest }) => {
                        let plan = match plan {
                            Some(plan) => plan.back(),
                            None => Box::new(find(&digest.unwrap_or_default())?),
                        };
                        fact::PlanKept { plan }.into()
                    }
                })
            }
        }
    };
}

facts! {
    SetupLoaded, CanOpened, CanEmptied, BatchOpened, BatchClosed, LotStarted, LotSplit, LotMoved,
    LotHeld, LotReleased, PiecesRejected, StepBegun, StepDone, PaceTimed, Touched, ReadingsAdded,
    RagsDealtWith, Shipped, Voided, BatchChanged, BatchCancelled, LotJoined, LotGiven, LotReworked,
    ShipmentCancelled, PiecesReturned, Noted, Stocked,
}

/// Up to layout 4 the plan itself, since then the digest of a row of `plan`.
#[derive(Serialize, Deserialize)]
pub(super) struct PlanKept {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    plan: Option<Box<ShopPlan>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    digest: Option<String>,
}

stored!(struct SetupLoaded of fact::SetupLoaded {
    setup: Box<Setup>, revisions: BTreeMap<String, u32>,
    #[serde(default, skip_serializing_if = "Option::is_none")] text: Option<String>,
});
stored!(struct CanOpened of fact::CanOpened {
    can: String, finish: String, litres: Option<Litres>, maker_lot: Option<String>,
});
stored!(struct CanEmptied of fact::CanEmptied { can: String });
stored!(struct BatchOpened of fact::BatchOpened {
    batch: String, recipe: String, pieces: u32, due: Option<NaiveDate>, customer: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")] wanted: Option<NaiveDate>,
});
stored!(struct BatchClosed of fact::BatchClosed { batch: String });
stored!(struct LotStarted of fact::LotStarted {
    lot: LotName, recipe: Recipe, revision: u32, pieces: u32, rack: Option<String>, from_step: u32,
    #[serde(default, skip_serializing_if = "Vec::is_empty")] did: Vec<Did>,
});
stored!(struct Did of fact::Did { step: u32, at: Instant, can: Option<String> });
stored!(struct LotSplit of fact::LotSplit {
    lot: LotName, into: LotName, pieces: u32, rack: Option<String>,
    #[serde(default, skip_serializing_if = "std::ops::Not::not")] not_begun: bool,
});
stored!(struct LotMoved of fact::LotMoved { lot: LotName, rack: Option<String> });
stored!(struct LotHeld of fact::LotHeld { lot: LotName, why: String });
stored!(struct LotReleased of fact::LotReleased { lot: LotName });
stored!(struct PiecesRejected of fact::PiecesRejected {
    lot: LotName, pieces: u32, why: String, step: u32,
});
stored!(struct StepBegun of fact::StepBegun { lot: LotName, step: u32, rack: Option<String> });
stored!(struct StepDone of fact::StepDone {
    lot: LotName, step: u32, pieces: u32, coat: Option<CoatLaid>, minutes: Option<u32>,
    rack: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")] timed: Option<Timed>,
});
stored!(struct CoatLaid of fact::CoatLaid {
    finish: String, can: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")] drawn: Option<Litres>,
});
stored!(struct Timed of pace::Timed { recipe: String, step: TimedStep, before: u32 });
stored!(struct TimedStep of pace::TimedStep { name: String, nth: u32 });
stored!(struct PaceTimed of fact::PaceTimed {
    lot: LotName, recipe: String, splits: Vec<TimedSplit>,
});
stored!(struct TimedSplit of pace::TimedSplit { step: TimedStep, before: u32, seconds: Vec<u32> });
stored!(struct Touched of fact::Touched {
    lot: LotName, stage: Stage, of_cure: Option<CureTest>,
});
stored!(#[serde(rename_all = "kebab-case")] enum Stage of stage::Stage {
    Wet, Tacky, SetToTouch, DustFree, TackFree, DryToTouch, DryToRecoat, DryHard, DryThrough,
    PrintFree,
});
stored!(struct CureTest of fact::CureTest { finish: String, share: f64 });
stored!(struct ReadingsAdded of fact::ReadingsAdded {
    room: String, readings: u32, first: Instant, last: Instant, file: Option<String>,
    digest: String,
});
stored!(struct RagsDealtWith of fact::RagsDealtWith { rags: Vec<RagsOf>, how: String });
stored!(struct RagsOf of fact::RagsOf { coat: i64, lot: LotName });
stored!(struct Shipped of fact::Shipped { to: String, lots: Vec<(LotName, u32)> });
stored!(struct Voided of fact::Voided { entry: i64, why: String, touched: Vec<Subject> });
stored!(struct BatchChanged of fact::BatchChanged {
    batch: String, pieces: u32, due: Option<NaiveDate>, wanted: Option<NaiveDate>,
    customer: Option<String>,
});
stored!(struct BatchCancelled of fact::BatchCancelled { batch: String, why: String });
stored!(struct LotJoined of fact::LotJoined { lot: LotName, from: LotName });
stored!(struct LotGiven of fact::LotGiven { lot: LotName, into: LotName });
stored!(struct LotReworked of fact::LotReworked {
    lot: LotName, into: LotName, pieces: u32, from_step: u32, why: String,
});
stored!(struct ShipmentCancelled of fact::ShipmentCancelled {
    shipment: i64, lots: Vec<LotName>, why: String,
});
stored!(struct PiecesReturned of fact::PiecesReturned {
    shipment: i64, lot: LotName, into: LotName, pieces: u32, why: String,
});
stored!(struct Noted of fact::Noted { about: Subject, text: String });
stored!(struct Stocked of fact::Stocked { item: String, change: StockChange });
stored!(#[serde(rename_all = "snake_case")] enum StockChange of fact::StockChange {
    Added(count: u32), Counted(count: u32), Moisture { percent: WoodMoisture, room: String },
});
stored!(struct Subject of subject::Subject { kind: SubjectKind, name: String });
stored!(#[serde(rename_all = "snake_case")] enum SubjectKind of subject::SubjectKind {
    Setup, Batch, Lot, Can, Rack, Rags, Shipment, Finish, Room, Recipe, Pace, Plan,
    Shop, Given, Stock,
});
stored!(struct Anyway of entry::Anyway { reason: String, overruled: Vec<String> });

stored!(struct Setup of setup::Setup {
    shop: Workshop, rooms: Vec<Room>, racks: Vec<Rack>, finishes: Vec<Finish>, pieces: Vec<Piece>,
    recipes: Vec<Recipe>,
    #[serde(default, skip_serializing_if = "Remind::is_empty")] remind: Remind,
});
stored!(#[derive(Default)] struct Remind of remind::Remind {
    #[serde(default)] run: Vec<Told>, #[serde(default)] sound: Vec<String>,
});
stored!(struct Told of remind::Told { command: Vec<String>, #[serde(default)] kinds: Vec<String> });
stored!(struct Workshop of setup::Workshop {
    name: String, zone: Zone, hands: u32, hours: OpenHours,
    #[serde(default, skip_serializing_if = "System::is_metric")] units: System,
    #[serde(default, skip_serializing_if = "Option::is_none")] maker: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")] address: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")] country: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")] backup: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")] hour_rate: Option<Money>,
    #[serde(default, skip_serializing_if = "Option::is_none")] strip_cost: Option<Money>,
});
stored!(#[serde(rename_all = "snake_case")] #[derive(Default)] enum System of units::System { #[default] Metric, Us });
stored!(struct Room of setup::Room {
    name: String,
    #[serde(default, skip_serializing_if = "Option::is_none")] heated: Option<Heated>,
    #[serde(default, skip_serializing_if = "Option::is_none")] unread_temp: Option<Celsius>,
});
stored!(#[serde(rename_all = "snake_case")] enum Heated of setup::Heated { ByDay, Always, No });
stored!(struct Rack of setup::Rack { name: String, room: String, slots: u32, purpose: Purpose });
stored!(#[serde(rename_all = "snake_case")] enum Purpose of setup::Purpose { Dry, Cure, DryAndCure });
stored!(struct Finish of finish::Finish {
    name: String, kind: Option<String>, sheet: Option<Sheet>, soak: SpanRange, recoat: SpanRange,
    cure: Span,
    #[serde(rename = "at")] sheet_temp: Option<Celsius>,
    #[serde(rename = "lowest")] min_temp: Option<Celsius>,
    #[serde(rename = "dampest")] max_humidity: Option<Humidity>,
    q10: Option<Q10>,
    #[serde(rename = "spread")] coverage: Option<Coverage>,
    #[serde(rename = "spread_bare")] coverage_bare: Option<Coverage>,
    voc: Option<GramsPerLitre>, air_limit: Option<AirLimit>,
    #[serde(default, skip_serializing_if = "Option::is_none")] lower_flammable: Option<AirLimit>,
    #[serde(rename = "keeps")] use_within: Option<Keeps>,
    contains: Option<Vec<String>>, self_heating: Option<bool>,
    #[serde(default, skip_serializing_if = "Option::is_none")] litre_cost: Option<Money>,
    from_class: Marks,
});
stored!(struct Sheet of finish::Sheet { title: String, revised: Option<PartialDate> });
stored!(struct AirLimit of finish::AirLimit { mg_m3: MilligramsPerCubicMetre, basis: String });
stored!(struct Piece of piece::Piece {
    name: String, wood: Option<String>, #[serde(rename = "per_blank")] pieces_per_blank: u32,
    size: Option<Size>,
    #[serde(default, skip_serializing_if = "Option::is_none")] blank_cost: Option<Money>,
});
stored!(#[serde(rename_all = "snake_case")] enum Size of piece::Size {
    #[serde(rename = "outline")] Profile(points: Vec<[f64; 2]>), Area(area: SquareCentimetres),
});
stored!(struct Recipe of recipe::Recipe { name: String, piece: String, steps: Vec<Step> });
stored!(struct Step of recipe::Step { #[serde(flatten)] work: StepWork, rest: Option<Rest> });
stored!(#[serde(rename_all = "snake_case")] enum Rest of recipe::Rest { AtLeast(least: Span), Between(range: SpanRange) });
stored!(#[serde(tag = "kind", rename_all = "snake_case")] enum StepWork of recipe::StepWork {
    Work { name: String, each: Span },
    Sand { grit: String, each: Span, strip: Option<u32> },
    Raise { with: String, each: Span },
    Coat { finish: String, each: Span, wipe: Span },
    Rub { grit: String, each: Span, strip: Option<u32> },
    Cure { finish: String },
});

/// Marks by the keys of a setup file as they were called first.
#[derive(Serialize, Deserialize)]
pub(super) struct Marks(BTreeMap<String, String>);

impl Stored<BTreeMap<String, String>> for Marks {
    fn keep(marks: &BTreeMap<String, String>) -> Self {
        let old = |key: &str| RENAMED.iter().find(|(_, new)| *new == key).map(|(old, _)| *old);
        let named =
            |(key, mark): (&String, &String)| (old(key).unwrap_or(key).to_owned(), mark.clone());
        Self(marks.iter().map(named).collect())
    }

    fn back(self) -> BTreeMap<String, String> {
        let new = |key: &str| RENAMED.iter().find(|(old, _)| *old == key).map(|(_, new)| *new);
        let named = |(key, mark): (String, String)| (new(&key).map_or(key, str::to_owned), mark);
        self.0.into_iter().map(named).collect()
    }
}

impl Remind {
    const fn is_empty(&self) -> bool {
        self.run.is_empty() && self.sound.is_empty()
    }
}

impl System {
    const fn is_metric(&self) -> bool {
        matches!(self, Self::Metric)
    }
}

stored!(struct ShopPlan of plan::ShopPlan {
    now: Instant, batches: Vec<BatchPlan>, steps: Vec<StepPlan>, stays: Vec<StayPlan>,
    missed: Vec<MissedWindow>, waits: Vec<WaitPlan>, ready_at: Instant, bound: PlanBound,
    lateness: i64, idle: i64, held: Vec<String>, evaluations: u64, seed: u64,
    #[serde(default, skip_serializing_if = "Vec::is_empty")] moves: Vec<MovePlan>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")] not_planned: Vec<NotPlanned>,
});
stored!(struct MovePlan of plan::MovePlan {
    lot: String, pieces: u32, from: String, to: String, at: Instant, why: MoveWhy,
});
stored!(#[serde(rename_all = "snake_case")] enum MoveWhy of plan::MoveWhy {
    Sooner(minutes: i64), OnlyThere, MakesRoom(lot: String), FreesDrying,
});
stored!(struct NotPlanned of plan::NotPlanned {
    lot: String, batch: String, pieces: u32, to_start: bool, why: WhyNot,
});
stored!(#[serde(rename_all = "snake_case")] enum WhyNot of plan::WhyNot {
    NeverDries {
        finish: String, rooms: Vec<String>, #[serde(default)] elsewhere: Vec<String>, warm: i64
    },
    TooMany { wanted: String, #[serde(default)] most: u32 },
});
stored!(struct ReadyPlan of plan::ReadyPlan { at: Instant, pieces: u32 });
stored!(struct BatchPlan of plan::BatchPlan {
    batch: String, ready_at: Option<Instant>, due: Option<NaiveDate>, days_late: Option<i64>,
    limited_by: LimitedBy, to_start: u32,
    #[serde(default, skip_serializing_if = "Vec::is_empty")] ready: Vec<ReadyPlan>,
});
stored!(#[serde(rename_all = "snake_case")] enum LimitedBy of plan::LimitedBy {
    Hands, Rack(rack: String), OpenHours, Drying, Nothing,
});
stored!(struct StepPlan of plan::StepPlan {
    lot: String, batch: String, pieces: u32, to_start: bool, begun: bool, step: u32, name: String,
    kind: String, start: Instant, end: Instant, latest_start: Instant, rack: Option<String>,
});
stored!(struct StayPlan of plan::StayPlan {
    lot: String, pieces: u32, rack: String, cures: bool, from: Instant, until: Instant,
});
stored!(struct WaitPlan of plan::WaitPlan {
    finish: String, shortest: i64, longest: i64, cure: i64,
    #[serde(default, skip_serializing_if = "Option::is_none")] room: Option<String>,
});
stored!(struct MissedWindow of plan::MissedWindow {
    lot: String, step: u32, name: String, coat: bool, abrade_from: Instant, abrade_until: Instant,
});
stored!(struct PlanBound of plan::PlanBound {
    ready_at: Instant, gap_percent: Option<f64>, lateness: i64, by: BoundBy,
});
stored!(#[serde(rename_all = "snake_case")] enum BoundBy of plan::BoundBy { Nothing, Path(lot: String), Hands, Rack(rack: String) });
