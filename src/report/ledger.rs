//! The ledger, as it is shown.

use serde::Serialize;

use crate::report::count::{Count, all_of};
use crate::report::{Page, Report};
use crate::shop::Shop;
use crate::shop::entry::{Entry, EntryId, Fact};
use crate::shop::fold::voided;
use crate::shop::name::LotName;
use crate::shop::setup::Step;
use crate::time::{Stamp, Viewpoint};

#[derive(Debug, Clone, Serialize)]
pub struct EntryLine {
    pub entry: EntryId,
    pub at: Stamp,
    /// When it was written down.
    pub recorded: Stamp,
    /// What kind of thing it is.
    pub what: &'static str,
    /// In words.
    pub about: String,
    /// Why it was recorded against the rules.
    pub anyway: Option<String>,
    /// Whether it was taken back.
    pub voided: bool,
    /// The fact as the ledger holds it.
    pub fact: serde_json::Value,
}

/// `ledger list`.
#[derive(Debug, Clone, Serialize)]
pub struct EntryList {
    /// Oldest first.
    pub entries: Vec<EntryLine>,
}

/// `ledger check`.
#[derive(Debug, Clone, Serialize)]
pub struct CheckReport {
    pub database: String,
    /// Entries read.
    pub entries: usize,
    /// Whether nothing is wrong.
    pub whole: bool,
    /// The last entry's hash.
    pub last_hash: String,
    pub faults: Vec<String>,
}

impl EntryLine {
    /// Lines for the entries chosen; `all` is where their taking back is looked for, `shop` knows what steps are called.
    pub fn all<'a>(
        chosen: impl IntoIterator<Item = &'a Entry>,
        all: &[Entry],
        shop: &Shop,
        view: Viewpoint,
    ) -> Vec<Self> {
        let gone = voided(all);
        let line = |entry: &Entry| Self::new(entry, gone.contains(&entry.id), shop, view);
        chosen.into_iter().map(line).collect()
    }

    fn new(entry: &Entry, voided: bool, shop: &Shop, view: Viewpoint) -> Self {
        Self {
            entry: entry.id,
            at: view.stamp(entry.at),
            recorded: view.stamp(entry.recorded),
            what: entry.fact.word(),
            about: about(&entry.fact, shop),
            anyway: entry.anyway.as_ref().map(|anyway| anyway.reason.clone()),
            voided,
            fact: serde_json::to_value(&entry.fact).unwrap_or(serde_json::Value::Null),
        }
    }

    /// The lines as a table.
    pub fn table(lines: &[Self], page: &mut Page) {
        let rows: Vec<Vec<String>> = lines
            .iter()
            .map(|line| {
                let mut about = line.about.clone();
                if let Some(reason) = &line.anyway {
                    about = format!("{about}; anyway: {reason}");
                }
                if line.voided {
                    about = format!("{about} (taken back)");
                }
                vec![line.entry.to_string(), line.at.moment(), line.what.to_owned(), about]
            })
            .collect();
        page.table(&["entry", "when", "what", "about"], &rows);
    }
}

/// What a step of a lot is called; its number where the lot was taken back.
fn step_name(shop: &Shop, lot: &LotName, step: u32) -> String {
    let known = shop.lots.get(lot).and_then(|lot| lot.recipe.step(step));
    known.map_or_else(|| format!("step {step}"), Step::name)
}

/// A fact in words.
fn about(fact: &Fact, shop: &Shop) -> String {
    let on = |rack: &Option<String>| {
        rack.as_ref().map_or_else(String::new, |rack| format!(", on {rack}"))
    };
    match fact {
        Fact::SetupLoaded { setup, .. } => {
            let (racks, recipes) = (setup.racks.len(), setup.recipes.len());
            format!("{racks} racks, {recipes} recipes")
        }
        Fact::CanOpened { can, finish, maker_lot, .. } => {
            let lot =
                maker_lot.as_ref().map_or_else(String::new, |lot| format!(", maker's lot {lot}"));
            format!("{can} of {finish}{lot}")
        }
        Fact::CanEmptied { can } => can.clone(),
        Fact::BatchOpened { batch, recipe, pieces, .. } => {
            format!("{batch}: {} by {recipe}", Count(*pieces, "piece"))
        }
        Fact::BatchClosed { batch } => batch.clone(),
        Fact::LotStarted { lot, pieces, rack, .. } => {
            format!("{lot}: {}{}", Count(*pieces, "piece"), on(rack))
        }
        Fact::LotSplit { lot, into, pieces, rack } => {
            format!("{} of {lot} go on as {into}{}", Count(*pieces, "piece"), on(rack))
        }
        Fact::LotMoved { lot, rack: Some(rack) } => format!("{lot} to {rack}"),
        Fact::LotMoved { lot, rack: None } => format!("{lot} off the racks"),
        Fact::LotHeld { lot, why } => format!("{lot}: {why}"),
        Fact::LotReleased { lot } => lot.to_string(),
        Fact::PiecesRejected { lot, pieces, why, .. } => {
            format!("{lot}: {}, {why}", Count(*pieces, "piece"))
        }
        Fact::StepBegun { lot, step, rack } => {
            format!("{lot} {}{}", step_name(shop, lot, *step), on(rack))
        }
        Fact::StepDone { lot, step, coat, minutes, rack, .. } => {
            let can = coat.as_ref().and_then(|coat| coat.can.as_ref());
            let can = can.map_or_else(String::new, |can| format!(", can {can}"));
            let minutes = minutes.map_or_else(String::new, |minutes| format!(", {minutes} min"));
            format!("{lot} {}{}{can}{minutes}", step_name(shop, lot, *step), on(rack))
        }
        Fact::PaceTimed { lot, splits, .. } => {
            let steps: Vec<String> = splits
                .iter()
                .map(|split| format!("{} of {}", split.seconds.len(), split.step.name))
                .collect();
            format!("{lot}: times of {}", all_of(&steps))
        }
        Fact::ReadingsAdded { room, readings, file, .. } => {
            let file = file.as_ref().map_or_else(String::new, |file| format!(" from {file}"));
            format!("{room}: {}{file}", Count(*readings, "reading"))
        }
        Fact::Touched { lot, stage, .. } => format!("{lot}: {stage}"),
        Fact::RagsDealtWith { rags, how } => {
            let coats: Vec<String> =
                rags.iter().map(|rags| format!("{} ({})", rags.coat, rags.lot)).collect();
            format!("rags of {}: {how}", all_of(&coats))
        }
        Fact::Shipped { to, lots } => {
            let lots: Vec<String> =
                lots.iter().map(|(lot, pieces)| format!("{pieces} of {lot}")).collect();
            format!("{} to {to}", all_of(&lots))
        }
        Fact::PlanKept { plan } => {
            format!("{} planned", Count(plan.steps.len() as u64, "step"))
        }
        Fact::Voided { entry, why, .. } => format!("entry {entry}: {why}"),
    }
}

impl Report for EntryList {
    fn text(&self, page: &mut Page) {
        if self.entries.is_empty() {
            page.line(0, "The ledger is empty.");
            return;
        }
        EntryLine::table(&self.entries, page);
    }
}

impl Report for CheckReport {
    fn text(&self, page: &mut Page) {
        for fault in &self.faults {
            page.hanging(0, 2, fault);
        }
        if self.whole {
            page.line(
                0,
                &format!(
                    "The history is whole: {} in {}.",
                    Count(self.entries as u64, "entry"),
                    self.database
                ),
            );
            page.line(0, &format!("Last hash: {}", self.last_hash));
        }
    }
}
