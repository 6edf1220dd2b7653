//! What would help most: the shop planned again with one rack, one hand or a few hours more, a warmer room, fewer pieces.

use chrono::{TimeDelta, Weekday};
use schemars::JsonSchema;
use serde::Serialize;

use crate::craft::cure::Clock;
use crate::plan::headway::{Watch, side_by_side};
use crate::plan::shop_plan::outcome::Ready;
use crate::plan::shop_plan::{Asked, InHand, NoPlan, Solved, solved_from};
use crate::shop::climate::RoomReading;
use crate::shop::lot::Standing;
use crate::shop::plan::ShopPlan;
use crate::shop::setup::{Purpose, Rack, Setup};
use crate::shop::{Lot, LotName, Shop};
use crate::time::{Instant, OpenHours, Span, Stamp, Stretch, local_date};
use crate::units::{Celsius, Shown};

/// Something that might help.
#[derive(Debug, Clone)]
pub(crate) enum Help {
    /// One more rack of so many slots.
    Rack { slots: u32, purpose: Purpose },
    /// One more hour each Saturday.
    Saturday,
    /// A morning each week on a day that is closed.
    Morning(Weekday, Stretch),
    /// One more hand.
    Hand,
    /// A room kept that warm, instead of as cold as it was of late.
    Warm { room: String, temp: Shown<Celsius>, instead: Shown<Celsius> },
    /// So many pieces of a batch in place of those ordered.
    Fewer { batch: String, pieces: u32, ordered: u32 },
    /// A lot between two coats carried to another rack now.
    Carried { lot: LotName, rack: String },
    /// Nothing more, but another plan: a kept one is gone on with as long as it holds its dates.
    Anew,
}

/// Something that would help.
#[derive(Debug, Clone, JsonSchema, Serialize)]
#[schemars(rename = "ReliefLine")]
pub(crate) struct Relief {
    /// In words.
    #[schemars(with = "String")]
    pub(crate) what: Help,
    /// The batch that gains most.
    pub(crate) batch: String,
    /// When it would be ready.
    pub(crate) ready_at: Stamp,
    /// Days by which it would be ready sooner.
    pub(crate) days_won: i64,
    /// Piece-days late saved.
    pub(crate) piece_days_won: i64,
}

/// The share of a plan's effort that each of them gets: a twenty-fourth, since it begins with the plan itself (a choice).
const SHARE: u64 = 24;

/// Days from Monday to Saturday.
const SATURDAY: usize = 5;

/// By how much sooner a lot has to be ready for its next coat elsewhere for that to be tried (a choice).
const LONG: Span = Span::days(3);

/// The slots of the rack that is tried where there is none of its use.
const SOME_SLOTS: u32 = 36;

/// How much colder than the sheet a room must be of late for warmth to be tried, °C (a choice).
const COLDER: f64 = 2.0;

/// For how long a warm room is taken to be read, hours: what is further off is taken as the last of it.
const READ: i64 = 84 * 24;

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
    let effort = asked.effort.shared(SHARE);
    let asked = Asked { effort, kept: Some(base), ..*asked };
    let candidates = candidates(shop, setup, base);
    let in_hand = InHand::of(shop, asked.now);
    // What another search finds without any of them is no merit of theirs.
    let again = solved_from(&in_hand, &asked, watch)?;
    let anew = Without { base, ready: Vec::new(), lateness: base.lateness };
    let anew = anew.won(&Help::Anew, &again, (shop, &asked));
    let (ready, lateness) = (again.ready(shop, &asked), again.found.values().tardiness);
    let without = Without { base, ready, lateness };
    let with = |help: &Help| {
        let shop = help.given(shop, setup, asked.now)?;
        let with =
            if help.leaves_rates() { in_hand.like(&shop) } else { InHand::of(&shop, asked.now) };
        let solved = solved_from(&with, &asked, watch);
        Some(solved.map(|solved| without.won(help, &solved, (&shop, &asked))))
    };
    let tried = side_by_side(candidates.len(), |which| with(candidates.get(which)?));
    let reliefs: Result<Vec<_>, _> = tried.into_iter().flatten().collect();
    let mut reliefs: Vec<Relief> = reliefs?.into_iter().flatten().chain(anew).collect();
    reliefs.sort_by_key(|relief| (-relief.piece_days_won, -relief.days_won));
    Ok(reliefs)
}

/// The plan there is, and what another search finds without help, where that counts.
struct Without<'a> {
    base: &'a ShopPlan,
    ready: Vec<Ready>,
    lateness: i64,
}

impl Without<'_> {
    /// What one of them wins over both, if anything; what makes another batch later than the plan there is wins nothing.
    fn won(
        &self,
        help: &Help,
        solved: &Solved,
        (shop, asked): (&Shop, &Asked<'_>),
    ) -> Option<Relief> {
        let view = shop.viewpoint(asked.now);
        let day = |at| local_date(at, view.zone);
        let with = solved.ready(shop, asked);
        let at = |ready: &[Ready], batch: &str| ready.iter().find(|of| of.batch == batch)?.at;
        let gains = self.base.batches.iter().filter_map(|was| {
            let (is, was_ready) = (at(&with, &was.batch)?, was.ready_at?);
            let sooner = at(&self.ready, &was.batch).map_or(was_ready, |at| at.min(was_ready));
            let days = |was| day(was).signed_duration_since(day(is)).num_days();
            Some((days(sooner), days(was_ready), is, &was.batch))
        });
        let gains: Vec<_> = gains.collect();
        let (days, _, ready_at, batch) = gains.iter().copied().max_by_key(|(days, ..)| *days)?;
        let late = solved.found.values().tardiness;
        let harms = late > self.base.lateness || gains.iter().any(|(_, days, ..)| *days < 0);
        (days > 0 && !harms).then(|| Relief {
            what: help.clone(),
            batch: batch.clone(),
            ready_at: view.stamp(ready_at),
            days_won: days,
            piece_days_won: (self.base.lateness.min(self.lateness) - late).max(0),
        })
    }
}

fn candidates(shop: &Shop, setup: &Setup, base: &ShopPlan) -> Vec<Help> {
    let rack = |purpose| {
        let slots = serving(setup, purpose).map(|rack| rack.slots).max().unwrap_or(SOME_SLOTS);
        Help::Rack { slots, purpose }
    };
    let mut all = vec![rack(Purpose::Dry), rack(Purpose::Cure), Help::Hand];
    all.extend(morning(&setup.shop.hours));
    if !setup.shop.hours.on_weekday(Weekday::Sat).is_empty() {
        all.push(Help::Saturday);
    }
    all.extend(warmer(shop, setup, base.now));
    all.extend(fewer(shop, base));
    all.extend(carried(shop, setup, base.now));
    all
}

/// The lot that waits longest for its next coat, to the rack with room for it where it would wait least: a plan leaves lots where they
/// stand between coats.
fn carried(shop: &Shop, setup: &Setup, now: Instant) -> Option<Help> {
    let between = |lot: &&Lot| {
        let coated = lot.last_coat().is_some() && !lot.coats_done();
        coated && lot.held.is_none() && lot.begun.is_none()
    };
    let wait = |lot: &Lot| {
        let from = shop.window(lot, lot.next, now).from;
        from.map_or(Span::MAX, |from| Span::between(now, from.max(now)))
    };
    let to = |lot: &Lot| {
        let (stands, (_, coat)) = (lot.rack()?, shop.last_coat(lot)?);
        let free = |rack: &&Rack| {
            rack.purpose.dries()
                && rack.name != stands
                && rack.slots.saturating_sub(shop.taken(&rack.name)) >= lot.pieces
        };
        let rest = |rack: &Rack| {
            let rest = shop.ahead(Clock::NoSooner, coat.recoat.min, coat, &rack.room, now)?;
            (rest.saturating_add(LONG) < wait(lot)).then(|| (rest, rack.name.clone()))
        };
        let (_, rack) = serving(setup, Purpose::Dry).filter(free).filter_map(rest).min()?;
        Some((wait(lot), Help::Carried { lot: lot.name.clone(), rack }))
    };
    let all = shop.open_lots().filter(between).filter_map(to);
    all.max_by_key(|(wait, _)| *wait).map(|(_, help)| help)
}

/// The racks there are for drying, or for curing.
fn serving(setup: &Setup, purpose: Purpose) -> impl Iterator<Item = &Rack> {
    let serves = move |rack: &&Rack| match purpose {
        Purpose::Cure => rack.purpose.cures(),
        Purpose::Dry | Purpose::DryAndCure => rack.purpose.dries(),
    };
    setup.racks.iter().filter(serves)
}

/// The first closed day from Saturday on, open as long as the first stretch of the week.
fn morning(hours: &OpenHours) -> Option<Help> {
    let week = || std::iter::successors(Some(Weekday::Mon), |day| Some(day.succ())).take(7);
    let stretch = *week().find_map(|day| hours.on_weekday(day).first())?;
    let from_saturday = week().cycle().skip(SATURDAY).take(7);
    let closed = from_saturday.into_iter().find(|day| hours.on_weekday(*day).is_empty())?;
    Some(Help::Morning(closed, stretch))
}

/// The rooms that were colder of late than the sheet of a finish in use, each as warm as that.
fn warmer(shop: &Shop, setup: &Setup, now: Instant) -> Vec<Help> {
    let laid = shop.finishes_laid().into_iter();
    let sheets = laid.filter_map(|finish| setup.finish(finish)?.sheet_temp);
    let Some(temp) = sheets.max_by(|a, b| a.get().total_cmp(&b.get())) else { return Vec::new() };
    let with_rack = |room: &&str| setup.racks.iter().any(|rack| rack.room == *room);
    let rooms = setup.rooms.iter().map(|room| room.name.as_str()).filter(with_rack);
    let cold = |room: &str| {
        let instead = shop.usual_temp(room, now)?;
        (instead.get() + COLDER <= temp.get()).then(|| Help::Warm {
            room: room.to_owned(),
            temp: Shown::new(temp, setup.shop.units),
            instead: Shown::new(instead, setup.shop.units),
        })
    };
    rooms.filter_map(cold).collect()
}

/// The batch that is ready last without the last lot it has still to start.
fn fewer(shop: &Shop, base: &ShopPlan) -> Option<Help> {
    let to_start = base.batches.iter().filter(|batch| batch.to_start > 0);
    let last = to_start.max_by_key(|batch| batch.ready_at)?;
    let of_batch = |lot: &str| lot.rsplit_once('-').is_some_and(|(batch, _)| batch == last.batch);
    let steps = base.steps.iter().filter(|step| step.to_start && of_batch(&step.lot));
    let lot = steps.max_by_key(|step| step.start)?.pieces;
    let ordered = shop.batches.get(&last.batch)?.pieces;
    let pieces = ordered.checked_sub(lot).filter(|pieces| *pieces > 0)?;
    Some(Help::Fewer { batch: last.batch.clone(), pieces, ordered })
}

impl Help {
    /// Whether time counts in the rooms as without it: hours that nobody read count by the days on which the shop is open.
    const fn leaves_rates(&self) -> bool {
        match self {
            Self::Rack { .. }
            | Self::Hand
            | Self::Fewer { .. }
            | Self::Carried { .. }
            | Self::Anew => true,
            Self::Saturday | Self::Morning(..) | Self::Warm { .. } => false,
        }
    }

    /// The shop with it; none where it can't be had.
    fn given(&self, shop: &Shop, setup: &Setup, now: Instant) -> Option<Shop> {
        let mut shop = shop.clone();
        let mut with = setup.clone();
        match self {
            Self::Rack { slots, purpose } => {
                let like = serving(setup, *purpose).next();
                let room = like.or(setup.racks.first())?.room.clone();
                // No name a file can give, so it is never mistaken for one that is there.
                let name = "one more rack".to_owned();
                with.racks.push(Rack { name, room, slots: *slots, purpose: *purpose });
            }
            Self::Saturday => {
                let from = setup.shop.hours.on_weekday(Weekday::Sat).last()?.closing();
                let hour = Stretch::new(from, from.checked_add(60)?).ok()?;
                with.shop.hours = longer(&setup.shop.hours, Weekday::Sat, hour)?;
            }
            Self::Morning(day, stretch) => {
                with.shop.hours = longer(&setup.shop.hours, *day, *stretch)?;
            }
            Self::Hand => with.shop.hands = setup.shop.hands.checked_add(1)?,
            Self::Warm { room, temp, .. } => {
                let log = shop.climate.get_mut(room)?;
                let warm = |hour| {
                    let at = now.checked_add_signed(TimeDelta::hours(hour))?;
                    let temp = Some(temp.quantity);
                    Some(RoomReading { at, temp, humidity: None, surface: None, extremes: None })
                };
                *log = log
                    .iter()
                    .copied()
                    .chain((0..READ).filter_map(warm))
                    .collect::<Vec<_>>()
                    .into();
            }
            Self::Fewer { batch, pieces, .. } => shop.batches.get_mut(batch)?.pieces = *pieces,
            Self::Anew => {}
            Self::Carried { lot, rack } => {
                let lot = shop.lots.get_mut(lot)?;
                let pieces = lot.pieces;
                lot.standing.push(Standing { from: now, rack: Some(rack.clone()), pieces });
            }
        }
        shop.setup = Some(with);
        Some(shop)
    }
}

/// The hours with one more stretch on a day of the week.
fn longer(hours: &OpenHours, day: Weekday, stretch: Stretch) -> Option<OpenHours> {
    use chrono::Weekday::{Fri, Mon, Sat, Sun, Thu, Tue, Wed};
    let mut week = [Mon, Tue, Wed, Thu, Fri, Sat, Sun].map(|day| hours.on_weekday(day).to_vec());
    week.get_mut(day.num_days_from_monday() as usize)?.push(stretch);
    OpenHours::new(week, hours.closed().to_vec()).ok()
}
