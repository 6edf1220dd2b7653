//! What would help most: the shop planned again with one rack, one hour or one hand more.

use crate::plan::headway::{Watch, side_by_side};
use crate::plan::shop_plan::{Asked, NoPlan, plan};
use crate::shop::Shop;
use crate::shop::plan::{LimitedBy, ShopPlan};
use crate::shop::setup::{Purpose, Rack, Setup};
use crate::time::{OpenHours, Stretch, Zone, local_date};

/// Something the shop could have more of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum More {
    /// One more rack of so many slots.
    Rack {
        slots: u32,
        /// Whether it is for curing.
        cures: bool,
    },
    /// One more hour each Saturday.
    Saturday,
    /// One more hand.
    Hand,
}

/// What it would win.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Relief {
    pub(crate) more: More,
    pub(crate) plan: ShopPlan,
    /// Local days by which the last good piece would be ready sooner.
    pub(crate) days: i64,
    /// Piece-days late that it would save.
    pub(crate) lateness: i64,
}

/// The share of a plan's effort that each of them gets: a quarter.
const SHARE: u64 = 4;

/// Saturday, Monday being the first.
const SATURDAY: usize = 5;

/// The slots of the rack that is tried where there is none of its use.
const SOME_SLOTS: u32 = 36;

/// Plans the shop again with each of them, from the plan there is; the best first, those that win nothing left out.
pub(crate) fn reliefs(
    shop: &Shop,
    asked: &Asked<'_>,
    base: &ShopPlan,
    watch: Watch<'_>,
) -> Result<Vec<Relief>, NoPlan> {
    let Some(setup) = &shop.setup else { return Ok(Vec::new()) };
    if base.steps.is_empty() {
        return Ok(Vec::new());
    }
    let asked = Asked { effort: asked.effort.shared(SHARE), kept: Some(base), ..*asked };
    let candidates = candidates(setup, base);
    let with = |more: More| {
        let shop = Shop { setup: Some(more.added(setup)?), ..shop.clone() };
        Some(plan(&shop, &asked, watch).map(|plan| won(base, more, plan, shop.zone())))
    };
    let tried = side_by_side(candidates.len(), |which| with(*candidates.get(which)?));
    let reliefs: Result<Vec<_>, _> = tried.into_iter().flatten().collect();
    let mut reliefs: Vec<Relief> = reliefs?.into_iter().flatten().collect();
    reliefs.sort_by_key(|relief| (-relief.lateness, -relief.days));
    Ok(reliefs)
}

/// What one of them wins over the plan there is, if anything.
fn won(base: &ShopPlan, more: More, plan: ShopPlan, zone: Zone) -> Option<Relief> {
    let day = |at| local_date(at, zone);
    let days = day(base.ready_at).signed_duration_since(day(plan.ready_at)).num_days();
    let lateness = base.lateness - plan.lateness;
    (days > 0 || lateness > 0).then_some(Relief { more, plan, days, lateness })
}

fn candidates(setup: &Setup, base: &ShopPlan) -> Vec<More> {
    let largest = |cures: bool| {
        let fits = |rack: &&Rack| {
            if cures { rack.purpose.cures() } else { rack.purpose.dries() }
        };
        setup.racks.iter().filter(fits).map(|rack| rack.slots).max().unwrap_or(SOME_SLOTS)
    };
    let mut all = vec![More::Rack { slots: largest(false), cures: false }];
    let short_of_curing = base.batches.iter().any(|batch| match &batch.limited_by {
        LimitedBy::Rack(rack) => setup.rack(rack).is_some_and(|rack| rack.purpose.cures()),
        _ => false,
    });
    if short_of_curing {
        all.push(More::Rack { slots: largest(true), cures: true });
    }
    all.extend([More::Saturday, More::Hand]);
    all
}

impl More {
    /// The setup with it; none where there is no such hour.
    fn added(self, setup: &Setup) -> Option<Setup> {
        let mut with = setup.clone();
        match self {
            Self::Rack { slots, cures } => {
                let purpose = if cures { Purpose::Cure } else { Purpose::Dry };
                let like = setup
                    .racks
                    .iter()
                    .find(|rack| if cures { rack.purpose.cures() } else { rack.purpose.dries() });
                let room = like.or(setup.racks.first())?.room.clone();
                // No name a file can give, so it is never mistaken for one that is there.
                let name = "one more rack".to_owned();
                with.racks.push(Rack { name, room, slots, purpose });
            }
            Self::Saturday => with.shop.hours = saturday_longer(&setup.shop.hours)?,
            Self::Hand => with.shop.hands = setup.shop.hands.checked_add(1)?,
        }
        Some(with)
    }
}

/// An hour after the last of Saturday's stretches; where Saturday is closed, the first hour of Monday's.
fn saturday_longer(hours: &OpenHours) -> Option<OpenHours> {
    use chrono::Weekday::{Fri, Mon, Sat, Sun, Thu, Tue, Wed};
    let mut week = [Mon, Tue, Wed, Thu, Fri, Sat, Sun].map(|day| hours.on_weekday(day).to_vec());
    let saturday = week.get(SATURDAY)?.last().copied();
    let from = match saturday {
        Some(last) => last.closing(),
        None => week.iter().find_map(|day| day.first())?.opening(),
    };
    let hour = Stretch::new(from, from.checked_add(60)?).ok()?;
    week.get_mut(SATURDAY)?.push(hour);
    OpenHours::new(week, hours.closed().to_vec()).ok()
}
