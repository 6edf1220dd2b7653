//! The words of notices: several things of one kind become one notice that names every lot.

use std::collections::{BTreeMap, BTreeSet};

use crate::remind::due::{Thing, wipe};
use crate::remind::notice::{Kind, Notice};
use crate::shop::LotName;
use crate::shop::cure::Ground;
use crate::shop::due::done_command;
use crate::shop::line::visible;
use crate::shop::rags::Lain;
use crate::time::local::wall;
use crate::time::{Instant, Span, Zone, words};

/// From so many lots on a command is shown for any one of them.
const NAMED_IN_COMMANDS: usize = 3;

/// The notice that tells these things, all of one kind, at `now`.
pub(crate) fn notice(tag: &str, group: &[&Thing], now: Instant, zone: Zone) -> Notice {
    let kind = group.first().map_or(Kind::Ready, |thing| thing.kind);
    let mut lots: Vec<LotName> = group.iter().filter_map(|thing| thing.lot()).cloned().collect();
    lots.sort();
    lots.dedup();
    let say = Say { group, lots: &lots, now, zone };
    let body = match kind {
        Kind::Rags => say.rags(),
        Kind::Slipping => say.promises(),
        Kind::Opening => group.iter().flat_map(|thing| thing.said.clone()).collect(),
        _ => say.lines(),
    };
    let body: Vec<String> = body.into_iter().chain(say.what_to_do(kind)).collect();
    Notice {
        key: tag.to_owned(),
        kind,
        summary: visible(&say.summary(kind)).into_owned(),
        body: visible(&body.join("\n")).into_owned(),
        urgency: kind.urgency(),
        sound: kind.sound(),
        asks_which_can: say.asks_which_can(),
        lots,
    }
}

/// Things of one kind, and for whom and when they are said.
struct Say<'a> {
    group: &'a [&'a Thing],
    lots: &'a [LotName],
    now: Instant,
    zone: Zone,
}

/// What the lots of one line share: the work, the rack, whether it is late, what is said besides.
type Shared<'a> = (&'a str, Option<&'a str>, bool, &'a [String]);

impl Say<'_> {
    fn late(&self) -> bool {
        self.group.iter().any(|thing| thing.late)
    }

    fn pieces(&self) -> String {
        count(self.group.iter().map(|thing| u64::from(thing.pieces)).sum(), "piece")
    }

    /// "Wipe at 09:24: salt-1, 36 pieces, last start 09:29".
    fn summary(&self, kind: Kind) -> String {
        let late = self.late();
        let who = match kind {
            Kind::Slipping => self.batches(),
            _ => who(self.lots),
        };
        match kind {
            Kind::Wipe => return self.wipe(&who),
            Kind::Rags => {
                let since = self.group.iter().map(|thing| thing.since).min().unwrap_or(self.now);
                return format!("Oily rags lying: {who}, {}", Span::between(since, self.now));
            }
            Kind::Opening => {
                return format!("Today, {}", wall(self.now, self.zone).format("%a %-d %b"));
            }
            _ => {}
        }
        let of_class = self.group.iter().filter(|thing| thing.from_class.is_some()).count();
        let heading = match kind {
            Kind::Closing if late => "Window closed",
            Kind::Closing if self.ahead() => "Window in closed hours",
            Kind::Closing => "Window closing",
            Kind::Ready => "Ready",
            Kind::Cured if of_class == self.group.len() => {
                "The finish class's cure time is reached"
            }
            Kind::Cured if of_class > 0 => "The cure time is reached",
            Kind::Cured => "The sheet's cure time is reached",
            Kind::Move => "To move",
            Kind::Slipping => "Promise slipping",
            Kind::Room if late => "Not the air for a coat",
            _ => "The air no longer speaks against a coat",
        };
        let more = match (kind, self.group) {
            (Kind::Ready | Kind::Move, [only]) => format!(", {}", only.what),
            (Kind::Slipping, [only]) => format!(", {} late", only.what),
            _ => String::new(),
        };
        format!("{heading}: {who}{more}")
    }

    fn wipe(&self, who: &str) -> String {
        let pieces = self.pieces();
        let from = self.group.iter().map(|thing| thing.since).min().unwrap_or(self.now);
        let by = self.group.iter().filter_map(|thing| thing.until).min();
        let off = self.group.iter().filter_map(|thing| thing.over).min();
        // Under two minutes a time without its seconds tells nothing.
        let short = by.is_some_and(|by| Span::between(from, by) < Span::minutes(2));
        let clock = |at: Option<Instant>| {
            let at = at.unwrap_or(from);
            if short {
                words::clock_to_the_second(at, self.zone)
            } else {
                words::clock(at, self.zone)
            }
        };
        if self.group.iter().any(|thing| wipe::has_set(thing, self.now)) {
            format!(
                "Oil was left on: {who}, {pieces}, since {}",
                words::moment(from, self.now, self.zone)
            )
        } else if self.late() {
            format!("Wipe now, the soak is over: {who}, {pieces}")
        } else if self.now < from {
            let at = if short { from } else { words::minute_up(from) };
            format!("Wipe at {}: {who}, {pieces}, last start {}", clock(Some(at)), clock(by))
        } else if by.is_some_and(|by| self.now <= by) {
            format!("Wipe now: {who}, {pieces}, start by {}", clock(by))
        } else {
            format!("Wipe now: {who}, {pieces}, last off by {}", clock(off))
        }
    }

    fn batches(&self) -> String {
        let named: Vec<String> = self.group.iter().map(|thing| thing.who.to_string()).collect();
        named.join(", ")
    }

    /// One line for all lots that wait for the same thing in the same place.
    fn lines(&self) -> Vec<String> {
        let mut alike: BTreeMap<Shared<'_>, Vec<&Thing>> = BTreeMap::new();
        for thing in self.group {
            let shared = (thing.what.as_str(), thing.rack.as_deref(), !thing.late, &thing.said[..]);
            alike.entry(shared).or_default().push(thing);
        }
        alike.iter().map(|(shared, things)| self.line(*shared, things)).collect()
    }

    /// "salt-1 to salt-3: coat house oil, 36 pieces on drip-1, no later than today 14:20"; of a single lot, which the summary
    /// has named, without its name.
    fn line(&self, (what, rack, timely, said): Shared<'_>, things: &[&Thing]) -> String {
        let lots: Vec<LotName> = things.iter().filter_map(|thing| thing.lot()).cloned().collect();
        let who = match self.lots {
            [_] => String::new(),
            _ => format!("{}: ", ranges(&lots)),
        };
        let pieces = count(things.iter().map(|thing| u64::from(thing.pieces)).sum(), "piece");
        let place = rack.map_or_else(String::new, |rack| format!(" on {rack}"));
        let mut line = format!("{who}{what}, {pieces}{place}");
        let wipe = things.iter().any(|thing| thing.kind == Kind::Wipe);
        let until = things.iter().filter_map(|t| if wipe { t.over } else { t.until }).min();
        if let Some(until) = until {
            // A room's air that speaks against a coat does so long before its window closes.
            let in_time = if wipe { timely } else { until >= self.now };
            line.push_str(match (wipe, in_time) {
                (true, true) => ", the last off by ",
                (true, false) => ", the last was to be off by ",
                (false, true) => ", no later than ",
                (false, false) => ", was to be by ",
            });
            let near = wipe && timely;
            line.push_str(&if near {
                words::clock(until, self.zone)
            } else {
                words::moment(until, self.now, self.zone)
            });
        }
        for said in said {
            line.push_str("; ");
            line.push_str(said);
        }
        line.push_str(&rests_on(things));
        line
    }

    /// "salt: ready Wed 6 May 15:40, promised for Mon 20 Apr; held up by drying and cure".
    fn promises(&self) -> Vec<String> {
        let lines = self.group.iter().map(|thing| match self.group {
            [only] => only.said.join("; "),
            _ => format!("{}: {} late, {}", thing.who, thing.what, thing.said.join("; ")),
        });
        lines.collect()
    }

    fn rags(&self) -> Vec<String> {
        let mut by_finish: BTreeMap<&str, Vec<&Thing>> = BTreeMap::new();
        for thing in self.group {
            by_finish.entry(&thing.what).or_default().push(thing);
        }
        // The danger stands before the lots. Plainer the longer they lie, unless every sheet says that these do not heat
        // themselves; unknown counts as can.
        let heating = self.group.iter().filter(|thing| thing.self_heating != Some(false));
        let oldest = heating.map(|thing| thing.since).min();
        let lain = oldest.map(|since| Lain::of(Span::between(since, self.now)));
        let mut lines: Vec<String> = lain.into_iter().map(|lain| lain.says().to_owned()).collect();
        lines.extend(by_finish.into_iter().map(|(finish, things)| {
            let lots: Vec<LotName> = things.iter().filter_map(|t| t.lot()).cloned().collect();
            let since = things.iter().map(|thing| thing.since).min().unwrap_or(self.now);
            let since = words::moment(since, self.now, self.zone);
            format!("{}: {finish}, since {since}", ranges(&lots))
        }));
        lines
    }

    /// Whether none of the windows is open yet.
    fn ahead(&self) -> bool {
        self.group.iter().all(|thing| thing.since > self.now)
    }

    fn asks_which_can(&self) -> bool {
        self.group.iter().any(|thing| thing.which_can)
    }

    /// A command for each rack that lots go to, and for those that go off the racks.
    fn moves(&self) -> Vec<String> {
        let whither: BTreeSet<&str> = self.group.iter().map(|thing| thing.what.as_str()).collect();
        let record = |what: &str| {
            let there = self.group.iter().filter(|thing| thing.what == what);
            let lots: Vec<LotName> = there.filter_map(|thing| thing.lot()).cloned().collect();
            let to = what.strip_prefix("to ");
            let to = to.map_or_else(|| "--off".to_owned(), |rack| format!("--rack '{rack}'"));
            format!("Record it: tackfree lot move {} {to}", named(&lots))
        };
        whither.into_iter().map(record).collect()
    }

    /// What to do about it and the command that records it.
    fn what_to_do(&self, kind: Kind) -> Vec<String> {
        let lots = named(self.lots);
        let done = done_command(&lots, self.asks_which_can());
        let record = format!("Record it: {done}");
        let all = |what: &str| self.group.iter().all(|thing| thing.what == what);
        match kind {
            Kind::Wipe if self.group.iter().any(|thing| wipe::has_set(thing, self.now)) => vec![
                "It has set by now: the maker's data sheet says what to do with a film left on."
                    .to_owned(),
                format!("Record what you did: {done} --anyway \"oil left on\""),
            ],
            // As on the day sheet, the film is abraded before the coat, whatever comes before that.
            Kind::Closing if self.late() && !self.group.iter().all(|thing| thing.coat.is_some()) => vec![
                record,
                "Abrade the film before the coat so that it holds, and record the coat with your reason: --anyway \"abraded\""
                    .to_owned(),
            ],
            Kind::Closing if self.late() => vec![
                "Abrade the film so that the next coat holds, then record it with your reason:"
                    .to_owned(),
                format!("{done} --anyway \"abraded\""),
            ],
            Kind::Closing if self.ahead() => vec![format!("Be there then. {record}")],
            Kind::Room if self.late() => {
                vec!["See the readings: tackfree climate show".to_owned()]
            }
            Kind::Wipe | Kind::Ready | Kind::Closing | Kind::Room => vec![record],
            Kind::Cured if all("ship") => {
                vec![format!("They may ship: tackfree ship {lots} --to \"…\"")]
            }
            Kind::Cured => vec![format!("{record}; they may ship once their last step is done.")],
            Kind::Rags => {
                vec!["Once they are dealt with: tackfree rags done --how \"…\"".to_owned()]
            }
            Kind::Move => self.moves(),
            Kind::Slipping => vec!["See why: tackfree plan".to_owned()],
            Kind::Opening => vec!["See the day: tackfree today".to_owned()],
        }
    }
}

/// What comes before the step of a lot that grabbed when it was touched last.
pub(super) fn touch_first(lot: &LotName) -> String {
    format!("Once a touch test passes: tackfree touch {lot} dry-through")
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

/// "salt-3", "12 lots".
fn who(lots: &[LotName]) -> String {
    match lots {
        [only] => only.to_string(),
        _ => format!("{} lots", lots.len()),
    }
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

fn count(count: u64, noun: &str) -> String {
    format!("{count} {noun}{}", if count == 1 { "" } else { "s" })
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
