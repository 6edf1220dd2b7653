//! When each promised batch will be ready as the shop goes on now, and what is to be carried, as the day sheet has it: planned
//! again when something was recorded, each day, and while something is to be carried by now, which the sheet of a later minute
//! may put off. Kept in between, so that a run each minute costs no plan.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::plan::carry_off::carried_off;
use crate::plan::day::followed;
use crate::plan::shop_plan::Asked;
use crate::shop::Shop;
use crate::shop::plan::{BatchPlan, LimitedBy, ShopPlan};
use crate::store::{Error, Loaded, Memory, Scope, Store};
use crate::time::{Instant, local_date};

/// Under this name it is kept.
const MEMO: &str = "forecast";

/// When one batch will be ready.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema, Serialize, Deserialize)]
pub(crate) struct Forecast {
    pub(crate) batch: String,
    pub(crate) ready_at: Instant,
    /// When it was promised for.
    pub(crate) promised: NaiveDate,
    /// Whole days past that; negative is early.
    pub(crate) days_late: i64,
    pub(crate) held_up_by: LimitedBy,
}

/// A lot to be carried.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema, Serialize, Deserialize)]
pub(crate) struct Carry {
    pub(crate) lot: String,
    /// The rack; off all of them where there is none.
    pub(crate) to: Option<String>,
    pub(crate) since: Instant,
    /// How long it is to stand there; off the racks by then.
    pub(crate) until: Instant,
    pub(crate) why: Option<String>,
}

#[derive(JsonSchema, Serialize, Deserialize)]
struct Kept {
    /// The last entry it knows of.
    of: i64,
    /// When it was made.
    at: Instant,
    batches: Vec<Forecast>,
    carries: Vec<Carry>,
}

/// Plans again where what is kept is out of date. A shop that can't be planned has no forecast.
pub(crate) fn refresh(store: &mut Store, now: Instant) -> Result<(), Error> {
    let loaded = store.load(&Scope::Open)?;
    let of = loaded.entries.last().map_or(0, |entry| entry.id);
    let day = |at| local_date(at, loaded.shop.zone());
    let stands = |carry: &Carry| {
        let lot = carry.lot.parse().ok().and_then(|lot| loaded.shop.lots.get(&lot));
        carry.since <= now && lot.is_some_and(|lot| lot.rack() != carry.to.as_deref())
    };
    let holds = |kept: &Kept| kept.at == now || !kept.carries.iter().any(stands);
    if kept(&store.told(now)?)
        .is_some_and(|kept| kept.of == of && day(kept.at) == day(now) && holds(&kept))
    {
        return Ok(());
    }
    let (batches, carries) = planned(&loaded, now).unwrap_or_default();
    match serde_json::to_string(&Kept { of, at: now, batches, carries }) {
        Ok(kept) => store.keep_memo(MEMO, &kept),
        Err(_) => Ok(()),
    }
}

/// What was forecast last.
pub(crate) fn known(told: &Memory) -> Vec<Forecast> {
    kept(told).map_or_else(Vec::new, |kept| kept.batches)
}

/// What is to be carried by the plan of then; nothing where none is kept.
pub(crate) fn carries(told: &Memory) -> Vec<Carry> {
    kept(told).map_or_else(Vec::new, |kept| kept.carries)
}

fn kept(told: &Memory) -> Option<Kept> {
    serde_json::from_str(told.memos.get(MEMO)?).ok()
}

fn promised(shop: &Shop) -> bool {
    shop.batches.values().any(|batch| batch.closed.is_none() && batch.due.is_some())
}

/// Of a shop that has something to tell of, and can be planned.
fn planned(Loaded { shop, entries }: &Loaded, now: Instant) -> Option<(Vec<Forecast>, Vec<Carry>)> {
    let asked = Asked::usual(shop, entries, now);
    let told = promised(shop) || shop.kept.is_some();
    let plan = told.then(|| followed(shop, &asked, &|_, _| true).ok())??.plan;
    let carries = if shop.kept.is_some() { to_carry(shop, &plan, now) } else { Vec::new() };
    let forecast = |batch: BatchPlan| {
        Some(Forecast {
            ready_at: batch.ready_at?,
            promised: batch.due?,
            days_late: batch.days_late?,
            batch: batch.batch,
            held_up_by: batch.limited_by,
        })
    };
    Some((plan.batches.into_iter().filter_map(forecast).collect(), carries))
}

fn to_carry(shop: &Shop, plan: &ShopPlan, now: Instant) -> Vec<Carry> {
    let to_racks = plan.to_move(shop).map(|moved| Carry {
        lot: moved.stay.lot.clone(),
        to: Some(moved.stay.rack.clone()),
        since: moved.stay.from,
        until: moved.stay.until,
        why: plan.why_moved(&moved.stay.lot, &moved.stay.rack),
    });
    let off = carried_off(shop, plan, shop.viewpoint(now)).into_iter().map(|off| Carry {
        lot: off.lot,
        to: None,
        since: off.from.at(),
        until: off.by.at(),
        why: Some(format!("makes room for {}", off.makes_room_for)),
    });
    to_racks.chain(off).collect()
}
