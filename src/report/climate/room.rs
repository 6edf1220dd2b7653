//! A room's last days, as they are shown.

use schemars::JsonSchema;
use serde::Serialize;

use crate::report::climate::ReadingShown;
use crate::report::climate::chart::{Bin, Chart};
use crate::report::{Page, Report, Tone, row};
use crate::shop::Count;
use crate::shop::air::{DayOfAir, STALE, Spread, days};
use crate::shop::climate::RoomReading;
use crate::time::{Instant, Span, Stamp, Viewpoint, words};
use crate::units::{Celsius, Humidity, Said, Shown};

/// `climate show`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct RoomsShown {
    /// The moment it speaks of.
    pub(crate) now: Stamp,
    /// In the setup's order.
    pub(crate) rooms: Vec<RoomShown>,
}

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct RoomShown {
    pub(crate) room: String,
    /// Its last reading; null where its log is empty.
    pub(crate) latest: Option<ReadingShown>,
    /// How old that is, hours.
    pub(crate) latest_hours_ago: Option<f64>,
    /// Whether it is over 3 h old, so that what is reckoned from then on counts as assumed.
    pub(crate) stale: bool,
    /// The days looked at, those without a reading left out.
    pub(crate) days: Vec<DayOfAir>,
    /// The temperature over those days.
    pub(crate) chart: Vec<Bin>,
    #[serde(skip)]
    view: Viewpoint,
}

impl RoomShown {
    /// A room by its log since `since`, and its last reading ever.
    pub(crate) fn new(
        room: &str,
        latest: Option<&RoomReading>,
        log: &[RoomReading],
        since: Instant,
        view: Viewpoint,
    ) -> Self {
        let age = latest.map(|latest| Span::between(latest.at, view.now));
        Self {
            room: room.to_owned(),
            latest: latest.map(|latest| ReadingShown::new(latest, view)),
            latest_hours_ago: age.map(Span::as_hours),
            stale: age.is_some_and(|age| age > STALE),
            days: days(log, view.zone),
            chart: Bin::all(log, since, view),
            view,
        }
    }

    fn text(&self, page: &mut Page) {
        page.heading(Tone::Strong, &self.room);
        let Some(latest) = &self.latest else {
            page.under("no readings yet: rests and cure go by the sheet's own interval");
            let next =
                "tackfree climate add ROOM --temp … --humidity …, or climate import ROOM FILE";
            page.item(format!("record one: {next}"));
            return;
        };
        let at = if latest.at.is_now() { "now".to_owned() } else { latest.at.both() };
        page.item(format!("{at}: {}", latest.air()));
        for line in [latest.dew(), latest.wood()].into_iter().flatten() {
            page.item(&line);
        }
        if self.stale {
            let hours = Count(STALE.as_seconds().unsigned_abs() / 3600, "hour");
            page.item(format!(
                "stale: over {hours} old; what follows from later hours counts as assumed"
            ));
        }
        page.gap();
        if self.days.is_empty() {
            page.under("nothing was read in the days asked for");
            return;
        }
        let degrees = latest.temp_c.or(latest.lowest_c).map_or("", Shown::symbol);
        let headings = ["day", degrees, "mean", "humidity %", "mean", "readings"];
        page.table(headings, self.days.iter().map(|day| day.row(self.view)));
        if let Some(chart) = Chart::fitting(&self.chart, page.width()) {
            page.gap();
            page.verbatim(&chart.drawn());
        }
    }
}

impl Report for RoomsShown {
    fn text(&self, page: &mut Page) {
        page.say(format!("Room climate, {}", self.now.moment()));
        for room in &self.rooms {
            page.gap();
            room.text(page);
        }
        if self.rooms.is_empty() {
            page.gap();
            page.say("The setup names no room.");
        }
    }
}

impl DayOfAir {
    fn row(&self, view: Viewpoint) -> [String; 6] {
        let [temps, mean] = range_and_mean::<Celsius>(Some(self.temp_c), view);
        let [damp, mean_damp] = range_and_mean::<Humidity>(self.humidity_percent, view);
        let date = words::date(self.date, view.now, view.zone);
        row![date, temps, mean, damp, mean_damp, self.readings]
    }
}

fn range_and_mean<Q: Said>(spread: Option<Spread>, view: Viewpoint) -> [String; 2] {
    let bare = |number| view.known::<Q>(number).map_or_else(String::new, Shown::bare);
    let Some(Spread { min, mean, max }) = spread else { return Default::default() };
    let (min, max) = (bare(min), bare(max));
    [if min == max { min } else { format!("{min} to {max}") }, bare(mean)]
}
