//! What a finger or a thermometer would tell now: pieces to touch before they go on, rooms to read before a window closes.

use schemars::JsonSchema;
use serde::Serialize;

use crate::craft::cure::Clock;
use crate::shop::Shop;
use crate::shop::air::STALE;
use crate::shop::cure::Ground;
use crate::shop::lot::Lot;
use crate::shop::name::LotName;
use crate::shop::refusal::Wait;
use crate::shop::setup::Step;
use crate::time::{Instant, Span, Stamp, Viewpoint, local_date};

/// Air that spoke against a coat when it was read last is read again before a coat for so long, a weekend over (a choice).
const SPEAKS: Span = Span::days(3);

/// A look that is worth taking now.
#[derive(Debug, Clone, JsonSchema, Serialize)]
#[serde(tag = "check", rename_all = "kebab-case")]
pub(crate) enum Check {
    /// A lot whose cure is over by its age, and that nobody has touched since.
    Touch { lot: LotName, pieces: u32 },
    /// A room whose last hours decide whether a lot may have its next coat before the window of it closes.
    Read { room: String, lot: LotName, step: u32, until: Stamp },
    /// A room by whose hours since it was read last a lot is cured, and may go on.
    Unread { room: String, lot: LotName, step: u32 },
    /// A room whose air spoke against a lot's next coat when it was read last, of late but too long ago to speak of now.
    Air { room: String, lot: LotName, step: u32 },
}

impl Shop {
    /// The looks that are worth taking now, by lot.
    pub(crate) fn checks(&self, view: Viewpoint) -> Vec<Check> {
        let free = self.open_lots().filter(|lot| lot.begun.is_none());
        free.flat_map(|lot| {
            let touch = self
                .to_touch(lot, view)
                .then(|| Check::Touch { lot: lot.name.clone(), pieces: lot.pieces });
            let read = self.unread(lot, view).or_else(|| self.to_read(lot, view));
            let read = read.or_else(|| self.air_to_read(lot, view.now));
            read.into_iter().chain(touch)
        })
        .collect()
    }

    /// The room to read where a cure is over only by hours since its last reading, which nobody has read.
    fn unread(&self, lot: &Lot, view: Viewpoint) -> Option<Check> {
        let (step, _) = lot.next_step().filter(|_| Self::comes_after_cure(lot))?;
        let over = self.cure(lot, view.now)?.at.filter(|over| *over <= view.now)?;
        let (room, read) = self.last_read(lot)?;
        let unread = Span::between(read, view.now) > STALE && STALE.after(read) < over;
        unread.then(|| Check::Unread { room, lot: lot.name.clone(), step })
    }

    /// The room to read before a coat that could go on now, where it was too cold or too damp when it was read last.
    fn air_to_read(&self, lot: &Lot, now: Instant) -> Option<Check> {
        let (step, next) = lot.next_step()?;
        let finish = self.setup.as_ref()?.finish(next.coat()?)?;
        let air = self.coat_air(lot.rack(), finish, now);
        let (room, read) = (air.room?, air.last?);
        let of_late = STALE.after(read) < now && now < SPEAKS.after(read);
        let told = of_late && air.against.is_empty();
        self.coat_air(lot.rack(), finish, read).unfit().filter(|_| told)?;
        let may_go_on = self.window(lot, step, now).open_at(now) && lot.still_grabs().is_none();
        may_go_on.then(|| Check::Air { room, lot: lot.name.clone(), step })
    }

    /// The room in which a coated lot stands, and when it was read last.
    fn last_read(&self, lot: &Lot) -> Option<(String, Instant)> {
        let (coat, _) = self.last_coat(lot)?;
        let room = self.stays(lot, coat.ended).pop()?.room?;
        let read = self.climate.get(&room)?.last()?.at;
        Some((room, read))
    }

    /// Whether the next step is the first after the cure.
    fn comes_after_cure(lot: &Lot) -> bool {
        lot.done.last().is_some_and(|done| {
            lot.recipe.step(done.step.saturating_add(1)).is_some_and(Step::is_cure)
        })
    }

    /// Whether a touch test comes before the first step after the cure; of pieces that grabbed, one on each later day.
    fn to_touch(&self, lot: &Lot, view: Viewpoint) -> bool {
        let Some(over) = self.cure(lot, view.now).and_then(|cure| cure.at) else { return false };
        if over > view.now {
            return false;
        }
        let day = |at: Instant| local_date(at, view.zone);
        match lot.touches.last() {
            Some(test) if test.stage.grabs() => day(test.at) < day(view.now),
            Some(test) if test.at >= over => false,
            _ => Self::comes_after_cure(lot),
        }
    }

    /// The room to read where the slow clock, by hours that nobody has read, opens the window of the next coat no sooner than on the
    /// day on which it closes, and the quick one says that it may be open.
    fn to_read(&self, lot: &Lot, view: Viewpoint) -> Option<Check> {
        let (step, _) = lot.next_step()?;
        let window = self.window(lot, step, view.now);
        let until = window.until.filter(|until| *until > view.now)?;
        let waits = window.wait == Some(Wait::Recoat) && !window.open_at(view.now);
        let shop = &self.setup.as_ref()?.shop;
        let opens = window.from.and_then(|from| shop.hours.next_open(shop.zone, from));
        let in_time =
            opens.is_some_and(|at| local_date(at, view.zone) < local_date(until, view.zone));
        if !waits || in_time || window.ground != Ground::PartAssumed {
            return None;
        }
        let (coat, finish) = self.last_coat(lot)?;
        let quick =
            self.reckon(Clock::NoLater, finish.recoat.min, finish, lot, coat.ended, view.now);
        let (room, read) = self.last_read(lot)?;
        (quick.at? <= view.now && Span::between(read, view.now) > STALE).then(|| Check::Read {
            room,
            lot: lot.name.clone(),
            step,
            until: view.stamp(until),
        })
    }
}
