//! The kit: what to lay out before a session.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::Serialize;

use crate::craft::cover::kit::{METAL_CAN, PIECES_A_CLOTH};
use crate::craft::cover::{Abrading, Coating, kit};
use crate::craft::grit::Grade;
use crate::report::{Page, Report, Tone, row};
use crate::shop::cover::Left;
use crate::shop::setup::Recipe;
use crate::shop::{Count, LotName, Shop, all_of};
use crate::time::Viewpoint;
use crate::units::{Litres, Shown};

pub use crate::craft::cover::kit::KitError;

/// One step on some pieces.
#[derive(Debug, Clone)]
pub(crate) struct Task<'a> {
    /// The lot, if it is one's.
    pub(crate) lot: Option<LotName>,
    pub(crate) recipe: &'a Recipe,
    /// The step, from 1.
    pub(crate) step: u32,
    pub(crate) pieces: u32,
}

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct KitShown {
    /// The steps it is for, in order.
    pub(crate) tasks: Vec<TaskLine>,
    /// Strips to cut before starting, coarsest first.
    pub(crate) strips: Vec<StripLine>,
    /// Oil by finish.
    pub(crate) oil: Vec<OilLine>,
    /// Cloths, to apply and to wipe.
    pub(crate) cloths: u32,
    /// Pairs of gloves.
    pub(crate) gloves: u32,
    /// The lidded metal can with water, where a finish is used.
    pub(crate) metal_can: Option<&'static str>,
    /// Whether cloths of one of the finishes heat up by themselves, or may.
    pub(crate) self_heating: bool,
}

/// One step the kit is for.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct TaskLine {
    pub(crate) lot: Option<String>,
    pub(crate) recipe: String,
    /// The step, from 1.
    pub(crate) step: u32,
    /// What a person calls it.
    pub(crate) name: String,
    #[serde(skip)]
    words: String,
    pub(crate) pieces: u32,
}

/// Strips of one grit.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct StripLine {
    pub(crate) grade: Grade,
    /// How many to cut, as far as recipes say how many pieces one does; null where none does.
    pub(crate) strips: Option<u32>,
    /// Whether some recipe does not say.
    pub(crate) more_unknown: bool,
}

/// Oil of one finish.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct OilLine {
    pub(crate) finish: String,
    /// What it takes, as far as that is known; null where nothing is.
    pub(crate) litres: Option<Shown<Litres>>,
    /// Why some of it is not known.
    pub(crate) unknown: Vec<String>,
    /// Open cans of it.
    pub(crate) cans: Vec<CanLeft>,
    /// enough, short, unknown, no can.
    pub(crate) verdict: &'static str,
    /// With short: by how much.
    pub(crate) short_by_litres: Option<Shown<Litres>>,
}

/// What is left in a can.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct CanLeft {
    pub(crate) can: String,
    /// Null where nobody said what it held.
    pub(crate) left_litres: Option<Shown<Litres>>,
    /// about, at most, unknown.
    pub(crate) left: &'static str,
    /// Whether it is past its time and not counted.
    pub(crate) past_its_time: bool,
}

impl KitShown {
    pub(crate) fn new(shop: &Shop, tasks: &[Task<'_>], view: Viewpoint) -> Result<Self, KitError> {
        let coats: Vec<Coating> =
            tasks.iter().filter_map(|t| shop.coating(t.recipe, t.step, t.pieces)).collect();
        let abrading: Vec<Abrading> =
            tasks.iter().filter_map(|t| t.recipe.abrading(t.step, t.pieces)).collect();
        let kit = kit(&coats, &abrading)?;
        let finishes: BTreeSet<&str> = coats.iter().map(|coat| coat.of.as_str()).collect();
        let oil =
            finishes.iter().map(|finish| oil_line(shop, tasks, finish, kit.oil.get(*finish), view));
        let grades: BTreeSet<Grade> = abrading.iter().map(|work| work.grade).collect();
        let strips = grades.into_iter().map(|grade| StripLine {
            grade,
            strips: kit.strips.get(&grade).copied(),
            more_unknown: kit.strips_unknown.contains(&grade),
        });
        Ok(Self {
            tasks: tasks.iter().map(TaskLine::new).collect(),
            strips: strips.collect(),
            oil: oil.collect(),
            cloths: kit.cloths,
            gloves: kit.gloves,
            metal_can: kit.metal_can.then_some(METAL_CAN),
            self_heating: kit.self_heating,
        })
    }

    /// What to lay out in two lines, without what it is for.
    pub(crate) fn in_short(&self, page: &mut Page) {
        let oil = self.oil.iter().map(|line| {
            let (past, kept): (Vec<_>, Vec<_>) =
                line.cans.iter().partition(|can| can.past_its_time);
            let names = |cans: &[&CanLeft]| all_of(cans.iter().map(|can| &can.can));
            let from = match (kept.as_slice(), past.as_slice()) {
                ([], []) => "no open can".to_owned(),
                ([], past) => format!("open another can: {} past its time", names(past)),
                (kept, _) => format!("can {}", names(kept)),
            };
            let short = if line.verdict == "short" { ", which is too little" } else { "" };
            format!("{} of {} ({from}{short})", line.amount(), line.finish)
        });
        let mut beside: Vec<String> = oil.collect();
        if self.metal_can.is_some() {
            beside.push(Count(self.cloths, "cloth").to_string());
            beside.push(format!("{} of gloves", Count(self.gloves, "pair")));
            beside.push("a lidded metal can with water".to_owned());
        }
        if !beside.is_empty() {
            page.item(beside.join(", "));
        }
        let strips = self.strips.iter().map(|line| match line.strips {
            Some(strips) => format!("{strips} of {}", line.grade),
            None => format!("{} (how many pieces a strip does isn't known)", line.grade),
        });
        let strips: Vec<String> = strips.collect();
        if !strips.is_empty() {
            page.item(format!("cut strips: {}", strips.join(", ")));
        }
    }

    fn strips_text(&self, page: &mut Page) {
        if self.strips.is_empty() {
            return;
        }
        page.section(Tone::Strong, "STRIPS, CUT BEFORE STARTING");
        for line in &self.strips {
            let unknown = "the recipe does not say how many pieces one does";
            let count = match (line.strips, line.more_unknown) {
                (Some(strips), false) => Count(strips, "strip").to_string(),
                (Some(strips), true) => format!("{}, and more: {unknown}", Count(strips, "strip")),
                (None, _) => format!("not known: {unknown}"),
            };
            page.item(format!("{}: {count}", line.grade));
        }
    }

    fn oil_text(&self, page: &mut Page) {
        let Some(metal_can) = self.metal_can else { return };
        page.section(Tone::Strong, "OIL");
        for line in &self.oil {
            page.item(format!("{}: {}; {}", line.finish, line.amount(), line.says()));
            for why in &line.unknown {
                page.hanging(4, 6, format!("not known: {why}"));
            }
            for can in line.cans.iter().filter(|can| can.past_its_time) {
                page.hanging(4, 6, format!("{} is past its time and not counted", can.can));
            }
        }
        page.section(Tone::Strong, "ALSO");
        let cloths = format!(
            "{}: one to apply each finish, one to wipe every {PIECES_A_CLOTH} pieces (common practice)",
            Count(self.cloths, "cloth")
        );
        page.item(&cloths);
        page.item(format!("{} of gloves", Count(self.gloves, "pair")));
        page.item(metal_can);
        if self.self_heating {
            page.item("cloths with this on them can catch fire by themselves: put each into the can as soon as it is used",
            );
        }
    }
}

impl TaskLine {
    fn new(task: &Task<'_>) -> Self {
        let step = task.recipe.step(task.step);
        Self {
            lot: task.lot.as_ref().map(LotName::to_string),
            recipe: task.recipe.name.clone(),
            step: task.step,
            name: step.map_or_else(String::new, crate::shop::setup::Step::name),
            words: task.recipe.words(task.step),
            pieces: task.pieces,
        }
    }
}

fn oil_line(
    shop: &Shop,
    tasks: &[Task<'_>],
    finish: &str,
    needed: Option<&Litres>,
    view: Viewpoint,
) -> OilLine {
    let coats =
        tasks.iter().filter(|t| t.recipe.step(t.step).and_then(|s| s.coat()) == Some(finish));
    let unknown = coats.filter_map(|t| shop.oil_for(t.recipe, t.step, t.pieces)?.err());
    let unknown: BTreeSet<String> = unknown.map(|why| why.to_string()).collect();
    let open = shop.open_cans(finish);
    let cans: Vec<CanLeft> = open.map(|can| CanLeft::new(shop, can, view)).collect();
    let (verdict, short_by_litres) = verdict(needed.filter(|_| unknown.is_empty()), &cans);
    OilLine {
        finish: finish.to_owned(),
        litres: needed.map(|litres| view.shown(*litres)),
        unknown: unknown.into_iter().collect(),
        cans,
        verdict,
        short_by_litres: short_by_litres.and_then(|litres| view.known(litres)),
    }
}

/// Whether the open cans together hold what is needed.
fn verdict(needed: Option<&Litres>, cans: &[CanLeft]) -> (&'static str, Option<f64>) {
    let counted = || cans.iter().filter(|can| !can.past_its_time);
    let sum = |kind: &str| -> f64 {
        counted()
            .filter(|can| can.left == kind)
            .filter_map(|can| Some(can.left_litres?.quantity.get()))
            .sum()
    };
    if counted().next().is_none() {
        return ("no can", None);
    }
    let Some(needed) = needed else { return ("unknown", None) };
    let (sure, at_most) = (sum("about"), sum("at most"));
    if sure >= needed.get() {
        ("enough", None)
    } else if counted().any(|can| can.left == "unknown") || sure + at_most >= needed.get() {
        ("unknown", None)
    } else {
        ("short", Some(needed.get() - sure - at_most))
    }
}

impl CanLeft {
    pub(crate) fn new(shop: &Shop, can: &crate::shop::Can, view: Viewpoint) -> Self {
        let (left, litres) = match can.left() {
            Left::Unknown => ("unknown", None),
            Left::About(litres) => ("about", Some(view.shown(litres))),
            Left::AtMost(litres) => ("at most", Some(view.shown(litres))),
        };
        Self {
            can: can.name.clone(),
            left_litres: litres,
            left,
            past_its_time: shop.past_its_time(can, view.now).is_some(),
        }
    }

    /// "about 0.62 L", "unknown".
    pub(crate) fn words(&self) -> String {
        match self.left_litres {
            Some(litres) => format!("{} {}", self.left, litres.down()),
            None => "an unknown amount".to_owned(),
        }
    }
}

impl OilLine {
    fn amount(&self) -> String {
        match (self.litres, self.unknown.is_empty()) {
            (Some(litres), true) => litres.up(),
            (Some(litres), false) => format!("{} and an unknown amount", litres.up()),
            (None, _) => "an unknown amount".to_owned(),
        }
    }

    /// "K7 has enough: about 0.62 L left".
    fn says(&self) -> String {
        let counted: Vec<&CanLeft> = self.cans.iter().filter(|can| !can.past_its_time).collect();
        let names = all_of(counted.iter().map(|can| &can.can));
        let left = all_of(counted.iter().map(|can| can.words()));
        let have = if counted.len() == 1 { "has" } else { "together have" };
        match (self.verdict, self.short_by_litres) {
            ("no can", _) => "no open can within its time holds any".to_owned(),
            ("enough", _) => format!("{names} {have} enough: {left} left"),
            ("short", Some(by)) => {
                let is = if counted.len() == 1 { "is" } else { "together are" };
                format!("{names} {is} short by {by}: {left} left")
            }
            _ => format!("whether {names} {have} enough is not known: {left} left"),
        }
    }
}

impl Report for KitShown {
    fn text(&self, page: &mut Page) {
        if self.tasks.is_empty() {
            page.say("Nothing to lay out: none of these steps can be done now.");
            return;
        }
        page.heading(Tone::Strong, "KIT FOR");
        let row = |task: &TaskLine| {
            let whose = task.lot.as_ref().unwrap_or(&task.recipe);
            row![whose, task.words, Count(task.pieces, "piece")]
        };
        let rows: Vec<_> = self.tasks.iter().map(row).collect();
        page.rows(2, &rows);
        self.strips_text(page);
        self.oil_text(page);
    }
}
