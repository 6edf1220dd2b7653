//! A room's air over the last days, with its dew point and the sheets' limits.

use maud::{Markup, html};
use schemars::JsonSchema;
use serde::Serialize;

use super::chart::days_of;
use super::full;
use crate::craft::climate::dew_point;
use crate::report::climate::ReadingShown;
use crate::report::paper::typed;
use crate::shop::Shop;
use crate::shop::climate::RoomReading;
use crate::time::{Instant, Span, Stamp, Viewpoint};
use crate::units::{Celsius, DewPoint, Humidity, Shown};

/// How far back is drawn.
const BACK: Span = Span::days(7);

const WIDE: f64 = 1450.0;
const LEFT: f64 = 150.0;
const TALL: f64 = 180.0;

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct WallRoom {
    pub(crate) room: String,
    /// Its last reading.
    pub(crate) latest: Option<ReadingShown>,
    /// What the sheets ask of it.
    pub(crate) limits: Vec<WallLimit>,
    /// The last days' readings.
    pub(crate) readings: Vec<WallReading>,
}

/// What a finish's sheet asks of the air.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct WallLimit {
    pub(crate) finish: String,
    pub(crate) min_temp_c: Option<Shown<Celsius>>,
    pub(crate) max_humidity_percent: Option<Shown<Humidity>>,
}

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct WallReading {
    pub(crate) at: Stamp,
    pub(crate) temp_c: Shown<Celsius>,
    pub(crate) dew_point_c: Option<Shown<DewPoint>>,
}

impl WallRoom {
    pub(super) fn all(shop: &Shop, view: Viewpoint) -> Vec<Self> {
        let Some(setup) = &shop.setup else { return Vec::new() };
        let limits = setup.finishes.iter().map(|finish| WallLimit {
            finish: finish.name.clone(),
            min_temp_c: finish.min_temp.map(|temp| view.shown(temp)),
            max_humidity_percent: finish.max_humidity.map(|damp| view.shown(damp)),
        });
        let limits: Vec<WallLimit> = limits
            .filter(|limit| limit.min_temp_c.is_some() || limit.max_humidity_percent.is_some())
            .collect();
        let since = BACK.before(view.now);
        let shown = |room: &crate::shop::setup::Room| {
            let log = shop.climate.get(&room.name).into_iter().flat_map(|log| log.iter());
            let log: Vec<&RoomReading> = log.filter(|reading| reading.at <= view.now).collect();
            Self {
                room: room.name.clone(),
                latest: log.last().map(|latest| ReadingShown::new(latest, view)),
                limits: limits.clone(),
                readings: log
                    .iter()
                    .filter(|reading| reading.at >= since)
                    .filter_map(|reading| WallReading::new(reading, view))
                    .collect(),
            }
        };
        setup.rooms.iter().map(shown).collect()
    }

    pub(super) fn html(&self, now: Stamp) -> Markup {
        html! {
            section {
                h2 { (typed(&self.room)) }
                @match &self.latest {
                    Some(latest) => {
                        p { (full(&latest.at)) ": " (latest.air()) }
                        @if let Some(dew) = latest.dew() { p { (dew) } }
                    }
                    None => { p { "Nobody reads it." } }
                }
                ul.note { @for limit in &self.limits { li { (limit.line()) } } }
                @if self.readings.len() > 1 {
                    p.note { "Full line: air; dashed: dew point; dotted: coldest the sheets allow" }
                    div.scroll tabindex="0" role="region" aria-label="The room's air" { (self.chart(now)) }
                    details.data {
                        summary { "The same as a table" }
                        table {
                            thead { tr { th { "When" } th { "Air" } th { "Dew point" } } }
                            tbody { @for reading in &self.readings { tr {
                                td { (full(&reading.at)) } td { (reading.temp_c) }
                                td { @if let Some(dew) = reading.dew_point_c { (dew) } }
                            } } }
                        }
                    }
                }
            }
        }
    }

    fn chart(&self, now: Stamp) -> Markup {
        let first = BACK.before(now.at());
        let degrees = self.readings.first().map_or("", |reading| reading.temp_c.symbol());
        let temps = self
            .readings
            .iter()
            .flat_map(|r| [Some(r.temp_c.number()), r.dew_point_c.map(Shown::number)])
            .flatten();
        let limits = self.limits.iter().filter_map(|limit| limit.min_temp_c.map(Shown::number));
        let all: Vec<f64> = temps.chain(limits.clone()).collect();
        let low = all.iter().copied().fold(f64::INFINITY, f64::min).floor() - 1.0;
        let high = all.iter().copied().fold(f64::NEG_INFINITY, f64::max).ceil() + 1.0;
        let x = |at: Instant| LEFT + Span::between(first, at).as_hours() / BACK.as_hours() * WIDE;
        let y = |temp: f64| 10.0 + (high - temp) / (high - low) * (TALL - 20.0);
        let points = |value: &dyn Fn(&WallReading) -> Option<f64>| {
            let points = self.readings.iter().filter_map(|reading| {
                Some(format!("{:.1},{:.1}", x(reading.at.at()), y(value(reading)?)))
            });
            points.collect::<Vec<_>>().join(" ")
        };
        // A limit's number stands beside its line where it has room among those there already.
        let marks = limits.fold(vec![low, high], |mut marks, limit| {
            if marks.iter().all(|mark| (y(*mark) - y(limit)).abs() >= 14.0) {
                marks.push(limit);
            }
            marks
        });
        html! {
            svg.chart viewBox=(format!("0 0 {} {}", LEFT + WIDE + 10.0, TALL + 18.0)) role="img" aria-label="The room's temperature and dew point over seven days; the same stands in the table below" {
                @for day in days_of(now.other(first), now) {
                    line.lane x1=(format!("{:.1}", x(day.at()))) x2=(format!("{:.1}", x(day.at()))) y1="0" y2=(TALL + 18.0) {}
                    text.axis x=(format!("{:.1}", x(day.at()) + 4.0)) y=(TALL + 12.0) font-size="14" { (day.day().format("%a %-d %b").to_string()) }
                }
                @for mark in marks {
                    text.axis x="100" y=(format!("{:.1}", y(mark) + 5.0)) font-size="14" { (format!("{mark:.0} {degrees}")) }
                }
                @for limit in &self.limits { @if let Some(least) = limit.min_temp_c.map(Shown::number) {
                    line.limit x1=(LEFT) x2=(LEFT + WIDE) y1=(format!("{:.1}", y(least))) y2=(format!("{:.1}", y(least))) {}
                } }
                polyline.air points=(points(&|reading| Some(reading.temp_c.number()))) {}
                polyline.dew points=(points(&|reading| reading.dew_point_c.map(Shown::number))) {}
            }
        }
    }
}

impl WallLimit {
    fn line(&self) -> Markup {
        let cold = self.min_temp_c.map(|temp| format!("not below {temp:.0}"));
        let damp = self.max_humidity_percent.map(|damp| format!("not above {damp} humidity"));
        let said: Vec<String> = cold.into_iter().chain(damp).collect();
        html! { (typed(&self.finish)) ": " (said.join(", ")) }
    }
}

impl WallReading {
    fn new(reading: &RoomReading, view: Viewpoint) -> Option<Self> {
        let temp = reading.temp?;
        let dew = reading.humidity.and_then(|humidity| dew_point(temp, humidity));
        Some(Self {
            at: view.stamp(reading.at),
            temp_c: view.shown(temp),
            dew_point_c: dew.map(|dew| view.shown(dew)),
        })
    }
}
