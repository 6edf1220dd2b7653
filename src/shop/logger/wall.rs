//! Stamps without an offset, put to the shop's zone: a wall time may come twice, or never.

use chrono::{FixedOffset, NaiveDateTime};

use crate::shop::logger::Fault;
use crate::time::{Instant, Reading, Zone};

/// The instant of each stamp, in the order of the lines.
///
/// Where the clocks go back an hour comes twice. In a file that runs on without a break its lines step back once, where
/// the second time begins, and that settles them; where no line steps back, or several do, the lines can't be settled.
pub(super) fn instants(
    stamps: &[(NaiveDateTime, Option<FixedOffset>)],
    zone: Zone,
) -> Vec<Result<Instant, Fault>> {
    let mut cache = Cache { zone, hour: None };
    let mut found: Vec<Result<Instant, Fault>> = Vec::with_capacity(stamps.len());
    let mut twice: Vec<Option<(Instant, Instant)>> = vec![None; stamps.len()];
    let mut any = false;
    for ((local, offset), both) in stamps.iter().zip(&mut twice) {
        let instant = match offset {
            Some(offset) => local.checked_sub_offset(*offset).map(|utc| utc.and_utc()),
            None => None,
        };
        found.push(match instant.map_or_else(|| cache.read(*local), Reading::Once) {
            Reading::Once(at) => Ok(at),
            Reading::Never(_) => Err(Fault::Never(*local)),
            Reading::Twice(first, second) => {
                *both = Some((first, second));
                any = true;
                Err(Fault::Twice(*local))
            }
        });
    }
    if any {
        settle_twice(stamps, &twice, &mut found);
    }
    found
}

/// The last hour looked up, while all of it has one offset.
struct Cache {
    zone: Zone,
    hour: Option<(NaiveDateTime, NaiveDateTime, FixedOffset)>,
}

impl Cache {
    fn read(&mut self, local: NaiveDateTime) -> Reading {
        if let Some((from, until, offset)) = self.hour
            && local >= from
            && local < until
            && let Some(utc) = local.checked_sub_offset(offset)
        {
            return Reading::Once(utc.and_utc());
        }
        let reading = Reading::of(local, self.zone);
        self.hour = self.steady_hour(local);
        reading
    }

    /// The hour from `local` on, if the wall runs through it without a change.
    fn steady_hour(
        &self,
        local: NaiveDateTime,
    ) -> Option<(NaiveDateTime, NaiveDateTime, FixedOffset)> {
        let until = local.checked_add_signed(chrono::TimeDelta::hours(1))?;
        let offset = |local: NaiveDateTime| match Reading::of(local, self.zone) {
            Reading::Once(at) => {
                let seconds = local.signed_duration_since(at.naive_utc()).num_seconds();
                FixedOffset::east_opt(i32::try_from(seconds).ok()?)
            }
            Reading::Twice(..) | Reading::Never(_) => None,
        };
        let start = offset(local)?;
        (offset(until) == Some(start)).then_some((local, until, start))
    }
}

/// Settles each run of lines in an hour that comes twice.
fn settle_twice(
    stamps: &[(NaiveDateTime, Option<FixedOffset>)],
    twice: &[Option<(Instant, Instant)>],
    found: &mut [Result<Instant, Fault>],
) {
    let newest_first = runs_backward(stamps);
    let mut start = 0;
    while start < twice.len() {
        let length = twice.iter().skip(start).take_while(|both| both.is_some()).count();
        let mut run: Vec<usize> = (start..start + length).collect();
        start += length.max(1);
        if newest_first {
            run.reverse();
        }
        let Some(second_begins) = step_back(&run, stamps) else { continue };
        for (place, index) in run.iter().enumerate() {
            if let (Some(Some((first, second))), Some(found)) =
                (twice.get(*index), found.get_mut(*index))
            {
                *found = Ok(if place < second_begins { *first } else { *second });
            }
        }
    }
}

/// Whether the newest line comes first, by the first and the last of them.
fn runs_backward(stamps: &[(NaiveDateTime, Option<FixedOffset>)]) -> bool {
    match (stamps.first(), stamps.last()) {
        (Some((first, _)), Some((last, _))) => first > last,
        _ => false,
    }
}

/// The place in a run, in order of time, at which the wall steps back; `None` unless it does so exactly once. Of two lines
/// alone the same time twice is a step back too: that is a logger that reads every hour.
fn step_back(run: &[usize], stamps: &[(NaiveDateTime, Option<FixedOffset>)]) -> Option<usize> {
    let local = |index: &usize| stamps.get(*index).map(|(local, _)| *local);
    let pairs = || run.iter().zip(run.iter().skip(1)).enumerate();
    let mut back = pairs().filter(|(_, (a, b))| local(b) < local(a)).map(|(place, _)| place + 1);
    match (back.next(), back.next(), run) {
        (Some(place), None, _) => Some(place),
        (None, None, [a, b]) if local(a) == local(b) => Some(1),
        _ => None,
    }
}
