//! The words of notices: several things of one kind become one notice that names every lot.

use std::collections::{BTreeMap, BTreeSet};

use sha2::{Digest as _, Sha256};

use crate::reference;
use crate::remind::due::Thing;
use crate::remind::notice::{Kind, Notice};
use crate::shop::cure::Ground;
use crate::shop::name::LotName;
use crate::time::{Instant, Span, Zone, words};

/// From so many lots on a command is shown for any one of them.
const NAMED_IN_COMMANDS: usize = 3;

/// A notice and the things it tells, by their keys.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Told {
    pub notice: Notice,
    /// The keys of what it tells.
    pub things: Vec<String>,
}

/// The notices that tell these things at `now`, the most pressing first.
pub fn notices(things: &[Thing], now: Instant, zone: Zone) -> Vec<Told> {
    let mut groups: BTreeMap<(Kind, bool), Vec<&Thing>> = BTreeMap::new();
    for thing in things {
        // Late before timely within a kind.
        groups.entry((thing.kind, !thing.late)).or_default().push(thing);
    }
    groups.into_values().map(|group| notice(&group, now, zone)).collect()
}

fn notice(group: &[&Thing], now: Instant, zone: Zone) -> Told {
    let kind = group.first().map_or(Kind::Ready, |thing| thing.kind);
    let late = group.iter().any(|thing| thing.late);
    let mut lots: Vec<LotName> = group.iter().map(|thing| thing.lot.clone()).collect();
    lots.sort();
    lots.dedup();
    let mut body = match kind {
        Kind::Rags => rags_lines(group, now, zone),
        Kind::Slipping => {
            group.iter().map(|thing| format!("{}: {}", thing.lot, thing.what)).collect()
        }
        _ => lines(group, late, now, zone),
    };
    body.extend(closing_words(kind, late, group, &lots));
    let things: Vec<String> = group.iter().map(|thing| thing.key.clone()).collect();
    let of_class = group.iter().filter(|thing| thing.from_class.is_some()).count();
    let heading = match kind {
        Kind::Cured if of_class == group.len() => "The finish class's cure time is reached",
        Kind::Cured if of_class > 0 => "The cure time is reached",
        _ => heading(kind, late),
    };
    let who = if kind == Kind::Slipping { batches(&lots) } else { who(&lots) };
    let summary = format!("{heading}: {who}");
    let notice = Notice {
        key: tag(kind, &things),
        kind,
        summary,
        body: body.join("\n"),
        urgency: kind.urgency(),
        sound: kind.sound(),
        lots,
    };
    Told { notice, things }
}

const fn heading(kind: Kind, late: bool) -> &'static str {
    match (kind, late) {
        (Kind::Wipe, false) => "Wipe now",
        (Kind::Wipe, true) => "Wipe at once, the soak is over",
        (Kind::Rags, false) => "Rags not recorded",
        (Kind::Rags, true) => "Rags still not recorded",
        (Kind::Closing, false) => "Window closing",
        (Kind::Closing, true) => "Window shut",
        (Kind::Ready, _) => "Ready",
        (Kind::Cured, _) => "The sheet's cure time is reached",
        (Kind::Slipping, _) => "Promise slipping",
        (Kind::Room, _) => "Not the air for a coat",
    }
}

/// What the lots of one line share: the work, the rack, the air.
type Shared<'a> = (&'a str, Option<&'a str>, Option<&'a str>);

/// One line for all lots that wait for the same thing in the same place.
fn lines(group: &[&Thing], late: bool, now: Instant, zone: Zone) -> Vec<String> {
    let mut alike: BTreeMap<Shared<'_>, Vec<&Thing>> = BTreeMap::new();
    for thing in group {
        let shared = (thing.what.as_str(), thing.rack.as_deref(), thing.air.as_deref());
        alike.entry(shared).or_default().push(thing);
    }
    alike.iter().map(|(shared, things)| line(*shared, things, late, now, zone)).collect()
}

/// "salt-1 to salt-3: coat house oil, 36 pieces on drip-1, no later than today 14:20".
fn line(
    (what, rack, air): Shared<'_>,
    things: &[&Thing],
    late: bool,
    now: Instant,
    zone: Zone,
) -> String {
    let lots: Vec<LotName> = things.iter().map(|thing| thing.lot.clone()).collect();
    let pieces: u64 = things.iter().map(|thing| u64::from(thing.pieces)).sum();
    let until = things.iter().filter_map(|thing| thing.until).min();
    let mut line = format!("{}: {what}, {pieces} {}", ranges(&lots), plural(pieces, "piece"));
    if let Some(rack) = rack {
        line.push_str(" on ");
        line.push_str(rack);
    }
    if let Some(until) = until {
        line.push_str(match (things.first().map(|thing| thing.kind), late) {
            (Some(Kind::Wipe), false) => ", begin no later than ",
            (Some(Kind::Wipe), true) => ", the last was to be off by ",
            (_, false) => ", no later than ",
            (_, true) => ", was to be by ",
        });
        line.push_str(&words::moment(until, now, zone));
    }
    if let Some(air) = air {
        line.push_str("; ");
        line.push_str(air);
    }
    line.push_str(&rests_on(things));
    line
}

/// What a cure time rests on, where that is not readings throughout.
fn rests_on(things: &[&Thing]) -> String {
    if things.iter().any(|thing| thing.kind != Kind::Cured) {
        return String::new();
    }
    let any = |ground| things.iter().any(|thing| thing.ground == ground);
    let class = things.iter().find_map(|thing| thing.from_class.as_deref());
    let readings =
        if any(Ground::Sheet) {
            Some(class.map_or(
                "the sheet's own time: no readings of the room",
                |_| "no readings of the room",
            ))
        } else {
            any(Ground::PartAssumed).then_some("part of the room's readings assumed")
        };
    let said: Vec<&str> = class.into_iter().chain(readings).collect();
    if said.is_empty() { String::new() } else { format!(" ({})", said.join(", ")) }
}

fn rags_lines(group: &[&Thing], now: Instant, zone: Zone) -> Vec<String> {
    let mut by_finish: BTreeMap<&str, Vec<&Thing>> = BTreeMap::new();
    for thing in group {
        by_finish.entry(&thing.what).or_default().push(thing);
    }
    by_finish
        .into_iter()
        .map(|(finish, things)| {
            let lots: Vec<LotName> = things.iter().map(|thing| thing.lot.clone()).collect();
            let since = things.iter().map(|thing| thing.since).min().unwrap_or(now);
            format!(
                "{}: rags of {finish} since {}, {}",
                ranges(&lots),
                words::moment(since, now, zone),
                Span::between(since, now)
            )
        })
        .collect()
}

/// What to do about it and the command that records it.
fn closing_words(kind: Kind, late: bool, group: &[&Thing], lots: &[LotName]) -> Vec<String> {
    let done = format!("Record it: tackfree done {}", named(lots));
    match kind {
        Kind::Closing if late => vec![
            "Abrade the film so that the next coat holds, then record it with your reason:"
                .to_owned(),
            format!("tackfree done {} --anyway \"abraded\"", named(lots)),
        ],
        Kind::Wipe | Kind::Ready | Kind::Closing => vec![done],
        Kind::Cured => {
            let to_ship = group.iter().all(|thing| thing.what == "ship");
            vec![if to_ship {
                format!("Record it: tackfree ship {} --to \"…\"", named(lots))
            } else {
                done
            }]
        }
        Kind::Rags => rags_words(late, group),
        Kind::Slipping => vec!["See why: tackfree plan".to_owned()],
        Kind::Room => vec!["See the readings: tackfree climate show".to_owned()],
    }
}

/// Plainer the longer they lie, unless every sheet says that these do not heat themselves; unknown counts as can.
fn rags_words(late: bool, group: &[&Thing]) -> Vec<String> {
    let mut words = Vec::new();
    if late && group.iter().any(|thing| thing.self_heating != Some(false)) {
        words.push("Go and see to them before anything else.".to_owned());
        words.extend(reference::short("rags").iter().cloned());
    }
    words.push("Once they are dealt with: tackfree rags done --how \"…\"".to_owned());
    words
}

/// "salt-3", "12 lots".
fn who(lots: &[LotName]) -> String {
    match lots {
        [only] => only.to_string(),
        _ => format!("{} lots", lots.len()),
    }
}

/// "basil, salt".
fn batches(lots: &[LotName]) -> String {
    let batches: BTreeSet<&str> = lots.iter().map(|lot| lot.batch.as_str()).collect();
    batches.into_iter().collect::<Vec<_>>().join(", ")
}

/// The lots as a command takes them; where they are many, the word for one.
fn named(lots: &[LotName]) -> String {
    if lots.len() > NAMED_IN_COMMANDS {
        return "LOT …".to_owned();
    }
    lots.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ")
}

/// Every lot by name, three or more in a row by their ends: "salt-1 to salt-12, salt-14, basil-3".
fn ranges(lots: &[LotName]) -> String {
    let mut sorted = lots.to_vec();
    sorted.sort();
    sorted.dedup();
    let mut runs: Vec<Vec<LotName>> = Vec::new();
    for lot in sorted {
        let follows = |last: &LotName| {
            last.batch == lot.batch && last.number.checked_add(1) == Some(lot.number)
        };
        match runs.last_mut() {
            Some(run) if run.last().is_some_and(follows) => run.push(lot),
            _ => runs.push(vec![lot]),
        }
    }
    let said = runs.iter().map(|run| match &run[..] {
        [first, .., last] if run.len() > 2 => format!("{first} to {last}"),
        few => few.iter().map(ToString::to_string).collect::<Vec<_>>().join(", "),
    });
    said.collect::<Vec<_>>().join(", ")
}

fn plural(count: u64, noun: &str) -> String {
    if count == 1 { noun.to_owned() } else { format!("{noun}s") }
}

/// The same for the same things, and short: desktops replace by it.
fn tag(kind: Kind, things: &[String]) -> String {
    let digest = Sha256::digest(things.join("\n").as_bytes());
    let start = digest.iter().take(6).fold(0_u64, |start, octet| start << 8 | u64::from(*octet));
    format!("tackfree-{}-{start:012x}", kind.word())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lots(names: &[&str]) -> Vec<LotName> {
        names.iter().map(|name| name.parse().unwrap()).collect()
    }

    #[test]
    fn every_lot_is_named_and_long_rows_by_their_ends() {
        let named = lots(&[
            "salt-3", "salt-1", "salt-2", "basil-9", "salt-5", "salt-6", "salt-10", "salt-9",
            "salt-11",
        ]);
        assert_eq!(ranges(&named), "basil-9, salt-1 to salt-3, salt-5, salt-6, salt-9 to salt-11");
    }

    #[test]
    fn a_row_at_the_end_of_all_numbers_does_not_run_over() {
        assert_eq!(ranges(&lots(&["a-4294967295", "a-4294967294"])), "a-4294967294, a-4294967295");
    }
}
