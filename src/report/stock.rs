//! `stock`: what is on hand, what open orders still need, when each runs out, how damp the blanks are.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use crate::report::climate::ReadingShown;
use crate::report::{Page, Report, row};
use crate::shop::fact::StockChange;
use crate::shop::plan::{ShopPlan, StepPlan};
use crate::shop::stock::{CLOTHS, GLOVES, OnHand, Taken};
use crate::shop::{Entry, Shop};
use crate::time::{Stamp, Viewpoint};
use crate::units::{Shown, WoodMoisture};

/// `stock`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct StockShown {
    /// The moment it speaks of.
    pub(crate) now: Stamp,
    pub(crate) items: Vec<StockLine>,
}

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct StockLine {
    /// The piece, the grit, cloths or gloves.
    pub(crate) item: String,
    /// blanks, strips, cloths, pairs of gloves.
    pub(crate) kind: &'static str,
    /// Null where it was never counted, or more was used than there can have been.
    pub(crate) on_hand: Option<u32>,
    /// From when on what is done is taken off; null where it was never counted.
    pub(crate) counted_at: Option<Stamp>,
    /// What was done since took.
    pub(crate) used: u32,
    /// What open orders still take, by the plan.
    pub(crate) needed: u32,
    /// How many are missing for that.
    pub(crate) short_by: u32,
    pub(crate) runs_out: Option<RunsOut>,
    pub(crate) moisture: Option<Moisture>,
}

/// The first step there isn't enough for.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct RunsOut {
    pub(crate) at: Stamp,
    pub(crate) lot: String,
    /// What a person calls it.
    pub(crate) step: String,
}

/// How damp blanks were when it was measured last.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Moisture {
    pub(crate) at: Stamp,
    /// % of the dry mass.
    pub(crate) percent: Shown<WoodMoisture>,
    pub(crate) room: String,
    /// What wood settles at in that room, by its last reading; null where none says.
    pub(crate) room_percent: Option<Shown<WoodMoisture>>,
    /// When that was read.
    pub(crate) room_read: Option<Stamp>,
}

impl StockShown {
    /// What is known, by the entries since the last counts; `plan` is what is still to come, where there is a plan.
    pub(crate) fn new(
        shop: &Shop,
        entries: &[Entry],
        plan: Option<&ShopPlan>,
        view: Viewpoint,
    ) -> Self {
        let mut lines: BTreeMap<String, StockLine> = BTreeMap::new();
        for (item, on_hand) in shop.on_hand(entries) {
            let line = StockLine::new(shop, &item, Some(on_hand), view);
            lines.insert(item, line);
        }
        for item in shop.stock.keys() {
            let line = || StockLine::new(shop, item, None, view);
            lines.entry(item.clone()).or_insert_with(line);
        }
        let mut steps: Vec<&StepPlan> = plan.iter().flat_map(|plan| &plan.steps).collect();
        steps.sort_by_key(|step| step.start);
        for step in steps {
            for (item, count) in taken(shop, step) {
                let line = || StockLine::new(shop, &item, None, view);
                lines.entry(item.clone()).or_insert_with(line).need(count, step, view);
            }
        }
        let mut items: Vec<StockLine> = lines.into_values().collect();
        items.sort_by_key(StockLine::order);
        Self { now: view.stamp(view.now), items }
    }
}

/// What a step still to come takes: of a lot still to start the blanks too, with its first step.
fn taken(shop: &Shop, step: &StepPlan) -> Taken {
    let lot = step.lot.parse().ok().and_then(|lot| shop.lots.get(&lot));
    let batch = || shop.batches.get(&step.batch).and_then(|batch| shop.recipe_of(batch));
    let Some(recipe) = lot.map(|lot| &lot.recipe).or_else(batch) else { return Vec::new() };
    let first = step.to_start && step.step == 1;
    let blanks = first.then(|| shop.blanks_for(recipe, step.pieces)).flatten();
    shop.takes(recipe, step.step, step.pieces).into_iter().chain(blanks).collect()
}

impl StockLine {
    fn new(shop: &Shop, item: &str, known: Option<OnHand>, view: Viewpoint) -> Self {
        let piece = shop.setup.as_ref().is_some_and(|setup| setup.piece(item).is_some());
        Self {
            item: item.to_owned(),
            kind: match item {
                CLOTHS => "cloths",
                GLOVES => "pairs of gloves",
                _ if piece => "blanks",
                _ => "strips",
            },
            on_hand: known.and_then(OnHand::left),
            counted_at: known.map(|known| view.stamp(known.since)),
            used: known.map_or(0, |known| known.used),
            needed: 0,
            short_by: 0,
            runs_out: None,
            moisture: moisture(shop, item, view),
        }
    }

    /// Blanks first, then strips from coarse to fine, then the rest.
    fn order(&self) -> (u8, u32, String) {
        let place = match self.kind {
            "blanks" => 0,
            "strips" => 1,
            _ => 2,
        };
        (place, self.item.trim_start_matches('P').parse().unwrap_or(0), self.item.clone())
    }

    fn need(&mut self, count: u32, step: &StepPlan, view: Viewpoint) {
        self.needed = self.needed.saturating_add(count);
        let Some(on_hand) = self.on_hand else { return };
        self.short_by = self.needed.saturating_sub(on_hand);
        if self.short_by > 0 && self.runs_out.is_none() {
            let at = view.stamp(step.start);
            self.runs_out = Some(RunsOut { at, lot: step.lot.clone(), step: step.name.clone() });
        }
    }

    /// "9 blanks of pinch bowl", "15 cloths".
    fn missing(&self) -> String {
        let Self { short_by, kind, item, .. } = self;
        match item.as_str() {
            CLOTHS | GLOVES => format!("{short_by} {kind}"),
            _ => format!("{short_by} {kind} of {item}"),
        }
    }

    fn on_hand_said(&self) -> String {
        match (self.on_hand, self.counted_at) {
            (Some(on_hand), _) => on_hand.to_string(),
            (None, Some(_)) => "count again".to_owned(),
            (None, None) => "not counted".to_owned(),
        }
    }
}

fn moisture(shop: &Shop, item: &str, view: Viewpoint) -> Option<Moisture> {
    let changes = shop.stock.get(item)?.iter();
    let measured = changes.filter_map(|(at, change)| match change {
        StockChange::Moisture { percent, room } => Some((*at, *percent, room)),
        _ => None,
    });
    let (at, percent, room) = measured.max_by_key(|(at, ..)| *at)?;
    let log = shop.climate.get(room);
    let latest = log.and_then(|log| log.iter().rev().find(|reading| reading.at <= view.now));
    let latest = latest.map(|latest| ReadingShown::new(latest, view));
    Some(Moisture {
        at: view.stamp(at),
        percent: view.shown(percent),
        room: room.clone(),
        room_percent: latest.as_ref().and_then(|latest| latest.wood_moisture_percent),
        room_read: latest.map(|latest| latest.at),
    })
}

impl Moisture {
    fn said(&self, item: &str) -> String {
        let Self { at, percent, room, room_percent, room_read } = self;
        let there = match (room_percent, room_read) {
            (Some(settles), Some(read)) => {
                format!("wood settles at {settles} there, by the reading of {}", read.moment())
            }
            _ => format!(
                "nobody read how damp {room} is: tackfree climate add '{room}' --temp … --humidity …"
            ),
        };
        format!("Blanks of {item}: {percent} moisture in {room}, {}; {there}", at.moment())
    }
}

impl Report for StockShown {
    fn text(&self, page: &mut Page) {
        if self.items.is_empty() {
            page.say("Nothing is counted yet, and no open order needs anything.");
            page.say("Count what is there: tackfree stock count P180 40");
            return;
        }
        page.say(format!("On hand, {}", self.now.moment()));
        page.gap();
        let row = |line: &StockLine| {
            let out = line.runs_out.as_ref();
            let out = out.map(|out| format!("{}, {} of {}", out.at.moment(), out.step, out.lot));
            row![line.item, line.kind, line.on_hand_said(), line.needed, out]
        };
        page.table(
            ["of", "what", "on hand", "open orders need", "runs out"],
            self.items.iter().map(row),
        );
        let damp =
            self.items.iter().filter_map(|line| Some(line.moisture.as_ref()?.said(&line.item)));
        for said in damp {
            page.gap();
            page.hang(&said);
        }
        let short: Vec<String> =
            self.items.iter().filter(|line| line.short_by > 0).map(StockLine::missing).collect();
        if !short.is_empty() {
            page.gap();
            page.hang(format!("Get {}", short.join(", ")));
        }
    }
}
