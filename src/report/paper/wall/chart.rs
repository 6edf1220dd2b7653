//! The pictures of hands, racks and cures.

use std::collections::BTreeSet;

use maud::{Markup, html};

use super::{Wall, days, full, minutes};
use crate::report::paper::ems;
use crate::time::{Instant, Stamp};

/// Where the time begins, and how wide it is, in the picture's units.
const LEFT: f64 = 150.0;
const WIDE: f64 = 1450.0;

/// How tall a lane's row is.
const ROW: f64 = 24.0;

/// A label's size, and what stands between it and what follows.
const LETTER: f64 = 14.0;
const GAP: f64 = 12.0;

/// A bar: what it is of, when, whether it is planned for a lot still to start, and what is said of it.
struct Bar {
    lot: String,
    from: Instant,
    until: Instant,
    future: bool,
    label: String,
    about: String,
    kind: &'static str,
}

/// Bars of one lot close to each other, under one label: in the bar, or beside bars too short for it.
struct Run {
    bars: Vec<(f64, f64, Bar)>,
    label: String,
    label_at: f64,
    /// Where it begins and ends, its label included.
    from: f64,
    until: f64,
}

/// A lane with its rows of runs.
struct Lane {
    name: String,
    rows: Vec<Vec<Run>>,
}

impl Run {
    fn new(bars: Vec<(f64, f64, Bar)>) -> Self {
        let (from, until) = bars
            .iter()
            .fold((f64::MAX, LEFT), |(from, until), bar| (from.min(bar.0), until.max(bar.1)));
        let room = until - from - 8.0;
        let first = bars.first().map(|(.., bar)| bar);
        let full = first.filter(|bar| bars.len() == 1 && ems(&bar.label) * LETTER <= room);
        let label = full.map(|bar| bar.label.clone());
        let label = label.or(first.map(|bar| bar.lot.clone())).unwrap_or_default();
        let wide = ems(&label) * LETTER;
        let (label_at, from, until) = if wide <= room {
            (from + 4.0, from, until)
        } else if until + 4.0 + wide <= LEFT + WIDE {
            (until + 4.0, from, until + 4.0 + wide)
        } else {
            // Beside the edge it stands before the bars, or as far left as it must.
            let before = (from - 4.0 - wide).max(LEFT);
            (before, before, until)
        };
        Self { bars, label, label_at, from, until }
    }
}

impl Lane {
    /// Puts bars into as few rows as keep them and their labels apart.
    fn new(name: &str, bars: Vec<Bar>, x: &impl Fn(Instant) -> f64) -> Self {
        let mut runs: Vec<Vec<(f64, f64, Bar)>> = Vec::new();
        for bar in bars {
            // Those that go on beyond the picture are cut at its edge.
            let (from, until) = (x(bar.from).max(LEFT), x(bar.until).min(LEFT + WIDE));
            let goes_on = runs.last_mut().filter(|run| {
                let last = run.last();
                last.is_some_and(|last| last.2.lot == bar.lot && from - last.1 < GAP)
            });
            match goes_on {
                Some(run) => run.push((from, until, bar)),
                None => runs.push(vec![(from, until, bar)]),
            }
        }
        let mut rows: Vec<Vec<Run>> = vec![Vec::new()];
        for run in runs.into_iter().map(Run::new) {
            let apart = |other: &Run| other.until <= run.from || run.until <= other.from;
            match rows.iter_mut().find(|row| row.iter().all(apart)) {
                Some(row) => row.push(run),
                None => rows.push(vec![run]),
            }
        }
        Self { name: name.to_owned(), rows }
    }
}

/// A colour for each lot, far from those before it; its name stands beside it wherever it is used.
fn hue(wall: &Wall, lot: &str) -> String {
    let stays = wall.stays.iter().map(|stay| stay.lot.as_str());
    let steps = wall.steps.iter().map(|step| step.step.lot.as_str());
    let lots: BTreeSet<&str> = stays.chain(steps).collect();
    let place = lots.iter().position(|known| *known == lot).unwrap_or_default();
    // The golden angle keeps neighbours apart, however many there are.
    format!("--h:{}", place * 137 % 360)
}

pub(super) fn plan(wall: &Wall) -> Markup {
    let first = wall.from.at();
    let whole = minutes(first, wall.until.at()).max(1.0);
    let x = |at: Instant| LEFT + (minutes(first, at) - minutes(at, first)) / whole * WIDE;
    let lanes = lanes(wall, &x);
    let rows: usize = lanes.iter().map(|lane| lane.rows.len()).sum();
    let top = 40.0;
    let gaps = f64::from(u32::try_from(lanes.len()).unwrap_or(u32::MAX)) * 8.0;
    let tall = f64::from(u32::try_from(rows).unwrap_or(u32::MAX)).mul_add(ROW, top + gaps + 6.0);
    let wide = LEFT + WIDE + 10.0;
    let mut y = top;
    let mut placed = Vec::new();
    for lane in &lanes {
        placed.push((y, lane));
        y += f64::from(u32::try_from(lane.rows.len()).unwrap_or(u32::MAX)).mul_add(ROW, 8.0);
    }
    html! {
        svg.chart #plan viewBox=(format!("0 0 {wide} {tall}")) role="img" aria-label="Hands and racks by the plan; the same stands in the table below"
            data-first=(first.to_rfc3339()) data-left=(LEFT) data-per-minute=(WIDE / whole) {
            @for (from, until) in closed(wall) {
                rect.closed x=(at(x(from))) y=(top - 4.0) width=(at(x(until) - x(from))) height=(tall - top) {}
            }
            @for day in days_of(wall.from, wall.until) {
                line.lane x1=(at(x(day.at()))) x2=(at(x(day.at()))) y1="22" y2=(tall) {}
                text.axis x=(at(x(day.at()) + 4.0)) y="32" font-size="15" { (day.day().format("%a %-d %b").to_string()) }
            }
            @for (y, lane) in &placed {
                line.lane x1="0" x2=(wide) y1=(at(y - 3.0)) y2=(at(y - 3.0)) {}
                (name(&lane.name, *y))
                @for (y, row) in tops(*y).zip(&lane.rows) {
                    @for run in row { (self::run(wall, run, y)) }
                }
            }
            @if wall.now.at() >= first {
                line.nowline x1=(at(x(wall.now.at()))) x2=(at(x(wall.now.at()))) y1=(top - 4.0) y2=(tall) {}
                text.nowword x=(at(x(wall.now.at()))) y="17" font-size="15" { "now " (wall.now.clock()) }
            }
        }
    }
}

/// Where a lane's rows begin, the first at `top`.
fn tops(top: f64) -> impl Iterator<Item = f64> {
    std::iter::successors(Some(top), |top| Some(top + ROW))
}

/// A number as it stands in the picture: a thousandth is far less than a minute.
fn at(value: f64) -> String {
    format!("{value:.3}")
}

/// A name before its row: on two lines where it is long, and squeezed where it is longer still.
fn name(name: &str, y: f64) -> Markup {
    let room = LEFT - 6.0;
    let letters: Vec<char> = name.chars().collect();
    let short = ems(name) * 16.0 <= room;
    let half = if short { letters.len() } else { letters.len().div_ceil(2) }.max(1);
    let size = if short { 16.0 } else { 10.0 };
    let lines: Vec<String> = letters.chunks(half).map(|part| part.iter().collect()).collect();
    html! {
        @for (line, down) in lines.iter().zip([if short { 16.0 } else { 9.0 }, 19.0]) {
            text x="2" y=(at(y + down)) font-size=(size) lengthAdjust="spacingAndGlyphs"
                textLength=[(ems(line) * size > room).then(|| at(room))] { (typed_svg(line)) }
        }
    }
}

/// Text of a person's in a picture: its own direction, as `bdi` is for HTML.
fn typed_svg(text: &str) -> Markup {
    html! { tspan style="unicode-bidi:isolate" { (crate::shop::line::visible(text)) } }
}

fn run(wall: &Wall, run: &Run, y: f64) -> Markup {
    let lot = run.bars.first().map_or("", |(.., bar)| &bar.lot);
    html! {
        g style=(hue(wall, lot)) {
            @for (from, until, bar) in &run.bars {
                rect.bar.future[bar.future] x=(at(*from)) y=(at(y)) width=(at(until - from)) height=(ROW - 4.0)
                    data-kind=(bar.kind) data-lot=(bar.lot) {
                    title { (bar.about) }
                }
            }
            text.halo x=(at(run.label_at)) y=(at(y + 15.0)) font-size=(LETTER) { (typed_svg(&run.label)) }
        }
    }
}

fn lanes(wall: &Wall, x: &impl Fn(Instant) -> f64) -> Vec<Lane> {
    let steps = wall.steps.iter().map(|wall| Bar {
        lot: wall.step.lot.clone(),
        from: wall.step.start.at(),
        until: wall.step.end.at(),
        future: wall.step.to_start,
        label: format!("{} {}", wall.step.lot, wall.words),
        about: format!(
            "{} {}, {} to {}",
            wall.step.lot,
            wall.words,
            full(&wall.step.start),
            full(&wall.step.end)
        ),
        kind: "step",
    });
    let hands = Lane::new("hands", steps.collect(), x);
    let racks = wall.racks.iter().map(|rack| {
        let stays = wall.stays.iter().filter(|stay| stay.rack == *rack).map(|stay| Bar {
            lot: stay.lot.clone(),
            from: stay.from.at(),
            until: stay.until.at(),
            future: false,
            label: format!(
                "{} ({}){}",
                stay.lot,
                stay.pieces,
                if stay.cures { " cures" } else { "" }
            ),
            about: format!("{} on {rack}, {} to {}", stay.lot, full(&stay.from), full(&stay.until)),
            kind: "stay",
        });
        let mut stays: Vec<Bar> = stays.collect();
        stays.sort_by_key(|stay| stay.from);
        Lane::new(rack, stays, x)
    });
    std::iter::once(hands).chain(racks).collect()
}

/// From when until when the shop is closed.
fn closed(wall: &Wall) -> Vec<(Instant, Instant)> {
    let begins = wall.open.iter().map(|open| open.from.at()).chain([wall.until.at()]);
    let ends = std::iter::once(wall.from.at()).chain(wall.open.iter().map(|open| open.until.at()));
    ends.zip(begins).filter(|(from, until)| from < until).collect()
}

/// The first moment of each day that begins within a stretch.
pub(super) fn days_of(from: Stamp, until: Stamp) -> impl Iterator<Item = Stamp> {
    let first = move |day| until.other(crate::time::first_instant_of(day, until.zone()));
    let days = from.day().iter_days().map(first);
    days.skip_while(move |day| day.at() < from.at()).take_while(move |day| day.at() < until.at())
}

pub(super) fn curing(wall: &Wall) -> Markup {
    let wide = LEFT + WIDE + 10.0;
    let full_age = 700.0;
    let lots = wall.curing.iter();
    let tall = f64::from(u32::try_from(lots.len()).unwrap_or(u32::MAX)) * 30.0 + 8.0;
    html! {
        svg.chart viewBox=(format!("0 0 {wide} {tall}")) role="img" aria-label="Each curing lot's age against what it needs; the same stands in the table below" {
            @for (number, lot) in (0_u32..).zip(lots) {
                @let y = f64::from(number) * 30.0 + 4.0;
                @let share = if lot.needs_hours > 0.0 { (lot.age_hours / lot.needs_hours).clamp(0.0, 1.0) } else { 1.0 };
                (name(&lot.lot, y))
                g style=(hue(wall, &lot.lot)) {
                    rect.bar x=(LEFT) y=(at(y)) width=(at(share * full_age)) height="22" {}
                    line.rest x1=(at(share.mul_add(full_age, LEFT))) x2=(at(LEFT + full_age)) y1=(at(y + 20.0)) y2=(at(y + 20.0)) {}
                    line.lane x1=(at(LEFT + full_age)) x2=(at(LEFT + full_age)) y1=(at(y)) y2=(at(y + 22.0)) {}
                }
                text.halo x=(at(LEFT + 8.0)) y=(at(y + 16.0)) font-size="15" {
                    (days(lot.age_hours)) " of " (days(lot.needs_hours)) ": " (lot.reached())
                }
            }
        }
    }
}
