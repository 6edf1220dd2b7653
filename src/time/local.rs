//! Between instants and the shop's wall clock: what the clock shows, and which instant a shown time means.
//!
//! A wall time comes once, twice (the clocks went back) or never (they went forward); [`Reading`] says which, and the
//! caller chooses or refuses.

use chrono::offset::LocalResult;
use chrono::{FixedOffset, NaiveDate, NaiveDateTime, NaiveTime, Offset as _, TimeZone as _};
use chrono_tz::GapInfo;

use crate::time::{Instant, Zone};

/// The instants a wall time stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reading {
    /// An ordinary wall time.
    Once(Instant),
    /// The clocks went back over it: the earlier and the later.
    Twice(Instant, Instant),
    /// The clocks went forward over it: the instant at which they did, the first after the gap.
    Never(Instant),
}

impl Reading {
    /// What `local` on the wall of `zone` stands for.
    pub fn of(local: NaiveDateTime, zone: Zone) -> Self {
        match zone.from_local_datetime(&local) {
            LocalResult::Single(at) => Self::Once(at.to_utc()),
            LocalResult::Ambiguous(a, b) => {
                let (a, b) = (a.to_utc(), b.to_utc());
                Self::Twice(a.min(b), a.max(b))
            }
            LocalResult::None => Self::Never(change_over(local, zone)),
        }
    }

    /// The earliest instant at or after which the wall shows this time or more: of two the first, of none the gap's end.
    pub(crate) const fn first(self) -> Instant {
        match self {
            Self::Once(at) | Self::Twice(at, _) | Self::Never(at) => at,
        }
    }
}

/// The instant of the change that skipped `local`. Only a date at the end of chrono's calendar has neither a reading
/// nor a change; it is taken as UTC.
fn change_over(local: NaiveDateTime, zone: Zone) -> Instant {
    GapInfo::new(&local, &zone)
        .and_then(|gap| gap.begin)
        .and_then(|(begin, offset)| begin.checked_sub_offset(offset.fix()))
        .unwrap_or(local)
        .and_utc()
}

/// The zone's offset from UTC at that moment.
pub fn offset_at(at: Instant, zone: Zone) -> FixedOffset {
    zone.offset_from_utc_datetime(&at.naive_utc()).fix()
}

/// What the wall clock shows at that moment.
pub fn wall(at: Instant, zone: Zone) -> NaiveDateTime {
    let utc = at.naive_utc();
    // Only the last hours of chrono's calendar can overflow; there the wall is taken as UTC.
    utc.checked_add_offset(offset_at(at, zone)).unwrap_or(utc)
}

/// The date on the wall at that moment.
pub fn local_date(at: Instant, zone: Zone) -> NaiveDate {
    wall(at, zone).date()
}

/// The first instant of a local day: midnight, or the end of the gap where the clocks skip midnight.
pub fn first_instant_of(date: NaiveDate, zone: Zone) -> Instant {
    Reading::of(date.and_time(NaiveTime::MIN), zone).first()
}
