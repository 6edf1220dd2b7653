//! A room's temperature drawn with plain characters: it fits sixty columns, and says in numbers what it draws.

use schemars::JsonSchema;
use serde::Serialize;

use crate::shop::climate::RoomReading;
use crate::time::{Instant, Span, Stamp, Viewpoint, words};
use crate::units::{Celsius, Shown};

/// Into so many stretches the time is cut.
const BINS: usize = 48;

/// So many lines the chart is high.
const LINES: usize = 7;

/// "-12.5 |" before the drawing.
const MARGIN: usize = 8;

/// A stretch of time: the coldest and the warmest of it.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Bin {
    pub(crate) from: Stamp,
    /// Null where nothing was read.
    pub(crate) min_c: Option<Shown<Celsius>>,
    /// Null where nothing was read.
    pub(crate) max_c: Option<Shown<Celsius>>,
    #[serde(skip)]
    day: String,
}

impl Bin {
    /// The stretches from `since` until now.
    pub(crate) fn all(log: &[RoomReading], since: Instant, view: Viewpoint) -> Vec<Self> {
        let seconds = Span::between(since, view.now).as_seconds();
        let count = i64::try_from(BINS).unwrap_or(i64::MAX);
        let edge = |place: i64| Span::seconds(seconds.saturating_mul(place) / count).after(since);
        let bin = |place: i64| {
            let (from, until) = (edge(place), edge(place + 1));
            let last = place + 1 == count;
            let inside = log.iter().filter(|reading| {
                reading.at >= from && (reading.at < until || (last && reading.at == until))
            });
            let temps: Vec<Celsius> = inside.flat_map(RoomReading::temps).collect();
            let by = |a: &&Celsius, b: &&Celsius| a.get().total_cmp(&b.get());
            Self {
                from: view.stamp(from),
                min_c: temps.iter().min_by(by).map(|temp| view.shown(*temp)),
                max_c: temps.iter().max_by(by).map(|temp| view.shown(*temp)),
                day: words::date(crate::time::local_date(from, view.zone), view.now, view.zone),
            }
        };
        if seconds < count { Vec::new() } else { (0..count).map(bin).collect() }
    }
}

/// A drawing of stretches.
#[derive(Debug, Clone)]
pub(crate) struct Chart<'a> {
    bins: &'a [Bin],
    /// So many stretches share a column.
    shared: usize,
}

impl<'a> Chart<'a> {
    /// The widest drawing for so many columns; `None` where none fits or nothing was read.
    pub(crate) fn fitting(bins: &'a [Bin], width: usize) -> Option<Self> {
        let fits = |shared: &usize| MARGIN + bins.len().div_ceil(*shared) <= width;
        let shared = [1, 2, 4].into_iter().find(fits)?;
        bins.iter().any(|bin| bin.min_c.is_some()).then_some(Self { bins, shared })
    }

    /// The drawing: a sign wherever the temperature was, the scale beside it, the days below.
    pub(crate) fn drawn(&self) -> String {
        let columns: Vec<Option<(f64, f64)>> = self.bins.chunks(self.shared).map(range).collect();
        let read = || columns.iter().flatten();
        let low = read().map(|(min, _)| *min).min_by(f64::total_cmp).unwrap_or(0.0);
        let high = read().map(|(_, max)| *max).max_by(f64::total_cmp).unwrap_or(0.0);
        // A steady room is drawn as a line in the middle and not as noise blown up.
        let step = ((high - low) / lines(LINES - 1)).max(0.5);
        let top = f64::midpoint(low, high) + step * lines(LINES - 1) / 2.0;
        let mut drawing = String::new();
        for line in 0..LINES {
            let middle = top - step * lines(line);
            let label = format!("{middle:>6.1} |");
            let signs = columns.iter().map(|column| match column {
                Some((min, max)) if *min < middle + step / 2.0 && *max >= middle - step / 2.0 => {
                    '*'
                }
                _ => ' ',
            });
            let signs: String = signs.collect();
            drawing.push_str(format!("{label}{signs}").trim_end());
            drawing.push('\n');
        }
        let degrees = self.bins.iter().find_map(|bin| bin.min_c).map_or("", Shown::symbol);
        let axis = format!("{degrees:>6} +{}", "-".repeat(columns.len()));
        drawing.push_str(&axis);
        drawing.push('\n');
        drawing.push_str(&self.days(columns.len()));
        drawing
    }

    /// The days under the drawing, as far as there is room for their names.
    fn days(&self, columns: usize) -> String {
        let mut line = " ".repeat(MARGIN);
        let mut before = None;
        for (column, bins) in self.bins.chunks(self.shared).enumerate() {
            let Some(bin) = bins.first() else { continue };
            if before.is_some_and(|before| before != &bin.day) {
                let mark = format!("|{}", bin.day);
                let place = MARGIN + column;
                let used = line.chars().count();
                if used < place + usize::from(used == MARGIN)
                    && place + mark.chars().count() <= MARGIN + columns
                {
                    line.push_str(&" ".repeat(place - used));
                    line.push_str(&mark);
                }
            }
            before = Some(&bin.day);
        }
        line.trim_end().to_owned()
    }
}

#[expect(clippy::cast_precision_loss, reason = "a handful of lines")]
fn lines(count: usize) -> f64 {
    count as f64
}

fn range(bins: &[Bin]) -> Option<(f64, f64)> {
    let min = bins.iter().filter_map(|bin| Some(bin.min_c?.number())).min_by(f64::total_cmp)?;
    let max = bins.iter().filter_map(|bin| Some(bin.max_c?.number())).max_by(f64::total_cmp)?;
    Some((min, max))
}
