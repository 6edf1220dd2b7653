//! When each promised batch will be ready as the shop goes on now: planned again when something was recorded and each day,
//! and kept in between, so that a run each minute costs no plan.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::plan::day::followed;
use crate::plan::effort::Effort;
use crate::plan::shop_plan::Asked;
use crate::shop::Shop;
use crate::shop::plan::LimitedBy;
use crate::store::{Error, Loaded, Memory, Scope, Store};
use crate::time::{Instant, local_date};

/// Under this name it is kept.
const MEMO: &str = "forecast";

/// Plans looked at: fewer than a person waits for, since nobody chooses by it (a choice).
const EFFORT: Effort = Effort::Plans(300);

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

#[derive(JsonSchema, Serialize, Deserialize)]
struct Kept {
    /// The last entry it knows of, and the day it was made on.
    of: (i64, NaiveDate),
    batches: Vec<Forecast>,
}

/// Plans again where what is kept is out of date. A shop that can't be planned has no forecast.
pub(crate) fn refresh(store: &mut Store, now: Instant) -> Result<(), Error> {
    let loaded = store.load(&Scope::Open)?;
    let last = loaded.entries.last().map_or(0, |entry| entry.id);
    let of = (last, local_date(now, loaded.shop.zone()));
    if kept(&store.told(now)?).is_some_and(|kept| kept.of == of) {
        return Ok(());
    }
    let batches = if promised(&loaded.shop) { planned(&loaded, now) } else { Vec::new() };
    match serde_json::to_string(&Kept { of, batches }) {
        Ok(kept) => store.keep_memo(MEMO, &kept),
        Err(_) => Ok(()),
    }
}

/// What was forecast last.
pub(crate) fn known(told: &Memory) -> Vec<Forecast> {
    kept(told).map_or_else(Vec::new, |kept| kept.batches)
}

fn kept(told: &Memory) -> Option<Kept> {
    serde_json::from_str(told.memos.get(MEMO)?).ok()
}

fn promised(shop: &Shop) -> bool {
    shop.batches.values().any(|batch| batch.closed.is_none() && batch.due.is_some())
}

fn planned(loaded: &Loaded, now: Instant) -> Vec<Forecast> {
    let asked = Asked { effort: EFFORT, ..Asked::usual(&loaded.shop, &loaded.entries, now) };
    let Ok(followed) = followed(&loaded.shop, &asked, &|_, _| true) else { return Vec::new() };
    let forecast = followed.plan.batches.into_iter().filter_map(|batch| {
        Some(Forecast {
            ready_at: batch.ready_at?,
            promised: batch.due?,
            days_late: batch.days_late?,
            batch: batch.batch,
            held_up_by: batch.limited_by,
        })
    });
    forecast.collect()
}
