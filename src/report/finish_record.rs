//! The finish record of pieces that leave the shop: facts for whoever receives them, unknown ones said to be unknown, and
//! never a verdict.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::Serialize;

use crate::reference;
use crate::report::caution::from_setup::{FromSetup, gives_off_solvent, sheet};
use crate::report::origin::rest_not_cure;
use crate::report::{Page, unread};
use crate::shop::cure::Ground;
use crate::shop::setup::{Finish, Setup};
use crate::shop::{Count, Lot, Shop, all_of};
use crate::time::{Stamp, Viewpoint};
use crate::units::{Shown, System};

/// The finish record of one lot.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct FinishRecord {
    pub(crate) lot: String,
    /// Pieces shipped.
    pub(crate) pieces: u32,
    /// The piece, as the recipe names it.
    pub(crate) piece: String,
    /// The wood, if the setup says.
    pub(crate) wood: Option<String>,
    /// Allergens of all finishes together; none listed is `[]`, unknown for any of them is null.
    pub(crate) contains: Option<Vec<String>>,
    /// Allergens finish by finish, and who says so.
    pub(crate) allergens: Vec<FromSetup>,
    /// What it is finished with, in the order of the coats.
    pub(crate) finishes: Vec<FinishUsed>,
    pub(crate) coats: Vec<CoatLine>,
    /// When the cure time was reached, or the rest was over.
    pub(crate) cure_reached: Option<Stamp>,
    /// That time and whose it is.
    pub(crate) cure_by: Option<String>,
    /// Whether that rests on something assumed where nobody read the room.
    pub(crate) cure_assumed: bool,
    /// What of it was not read, with what would settle it.
    pub(crate) cure_unread: Option<String>,
    /// "common practice": set where the time is the finish class's and not a sheet's.
    pub(crate) cure_from_class: Option<String>,
    /// Whether the last coat's finish cures at all; null is unknown.
    pub(crate) hardens: Option<bool>,
    /// Finishes under the last one whose own cure time is not counted here.
    pub(crate) not_counted: Vec<String>,
    /// What was recorded against the rules.
    pub(crate) flags: Vec<String>,
    /// Pieces left of the lot.
    pub(crate) left: u32,
}

/// A finish that pieces were coated with.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema, Serialize)]
pub(crate) struct FinishUsed {
    /// Its name in the shop.
    pub(crate) finish: String,
    /// The finish class it belongs to.
    pub(crate) kind: Option<String>,
    /// The data sheet its facts are from.
    pub(crate) sheet: String,
    /// The solvent in it, or that it is unknown.
    pub(crate) solvent: String,
}

/// One coat of a finish record.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct CoatLine {
    pub(crate) finish: String,
    pub(crate) can: Option<String>,
    /// The maker's lot number.
    pub(crate) maker_lot: Option<String>,
    /// When the can was opened.
    pub(crate) opened: Option<Stamp>,
    /// When the coat was done; null where it was not recorded.
    pub(crate) at: Option<Stamp>,
    /// The lot it was laid on, where that was another than the one shipped.
    pub(crate) laid_on: Option<String>,
}

impl FinishRecord {
    pub(crate) fn new(shop: &Shop, lot: &Lot, pieces: u32, view: Viewpoint) -> Self {
        let setup = shop.setup.as_ref();
        let coats = coats(shop, lot, view);
        let mut seen = BTreeSet::new();
        let names: Vec<&str> = coats
            .iter()
            .map(|coat| coat.finish.as_str())
            .filter(|name| seen.insert(*name))
            .collect();
        let known: Vec<&Finish> = names.iter().filter_map(|name| setup?.finish(name)).collect();
        let last = coats.last().and_then(|coat| setup?.finish(&coat.finish));
        let cure = shop.cure_by_the_sheet(lot, view.now);
        Self {
            lot: lot.name.to_string(),
            pieces,
            piece: lot.recipe.piece.clone(),
            wood: setup.and_then(|setup| setup.piece(&lot.recipe.piece)?.wood.clone()),
            contains: contains(&names, &known),
            allergens: names
                .iter()
                .map(|name| FromSetup::named("allergens", name, setup))
                .collect(),
            finishes: names.iter().map(|name| FinishUsed::new(name, setup)).collect(),
            cure_reached: cure.as_ref().and_then(|cure| cure.at).map(|at| view.stamp(at)),
            cure_by: last.map(cure_by),
            cure_unread: cure
                .as_ref()
                .filter(|_| last.is_some_and(|finish| finish.hardens() != Some(false)))
                .and_then(|cure| {
                    let room = lot.rack().and_then(|rack| shop.room_of(rack));
                    unread::of(cure, shop, room, view)
                }),
            cure_assumed: cure.is_some_and(|cure| cure.ground() != Ground::Readings),
            cure_from_class: last.and_then(|finish| finish.marked("cure")).map(str::to_owned),
            hardens: last.and_then(Finish::hardens),
            not_counted: not_counted(&known, last),
            flags: lot
                .flags
                .iter()
                .map(|flag| format!("step {}: {}: {}", flag.step, flag.rules(), flag.reason))
                .collect(),
            coats,
            left: lot.pieces,
        }
    }

    /// Writes it: what people can be allergic to first.
    pub(crate) fn text(&self, page: &mut Page) {
        let wood = self.wood.as_deref().unwrap_or("wood not recorded");
        let left = if self.left > 0 { format!(", {} left", self.left) } else { String::new() };
        let pieces = Count(self.pieces, "piece");
        page.hang(format!("{}: {pieces}, {}, {wood}{left}", self.lot, self.piece));
        if self.finishes.is_empty() {
            page.under("no finish recorded");
        }
        FromSetup::indented(2, &self.allergens, page);
        for used in &self.finishes {
            page.item(used.line());
        }
        for coat in &self.coats {
            page.item(coat.line());
        }
        if let Some(line) = self.cure_line(|at| at.moment()) {
            page.item(&line);
        }
        if !self.not_counted.is_empty() {
            let names = all_of(&self.not_counted);
            let line = format!("under the last finish: {names}; not counted in that time");
            page.item(&line);
        }
        for flag in &self.flags {
            page.item(format!("! {flag}"));
        }
    }

    /// How the cure was reached; the moment as the screen or the page has it.
    pub(super) fn cure_line(&self, moment: impl Fn(Stamp) -> String) -> Option<String> {
        let (reached, by) = (self.cure_reached?, self.cure_by.as_ref()?);
        let what = match (self.hardens, &self.cure_from_class) {
            (Some(false), _) => "the rest after the last coat is over",
            (_, None) => "the sheet's cure time is reached",
            (_, Some(_)) => "the finish class's cure time is reached",
        };
        let assumed = if self.cure_assumed && self.hardens != Some(false) {
            "; in part or whole assumed: nobody read the room"
        } else {
            ""
        };
        Some(format!("{what}: {} ({by}{assumed})", moment(reached)))
    }
}

pub(super) fn coats(shop: &Shop, lot: &Lot, view: Viewpoint) -> Vec<CoatLine> {
    let lots = std::iter::once(lot).chain(&lot.joined);
    let laid = lots.flat_map(|part| part.done.iter().map(move |done| (part, done)));
    laid.filter_map(|(part, done)| {
        let coat = done.coat.as_ref()?;
        let can = coat.can.as_ref().and_then(|can| shop.cans.get(can));
        Some(CoatLine {
            finish: coat.finish.clone(),
            can: coat.can.clone(),
            maker_lot: can.and_then(|can| can.maker_lot.clone()),
            opened: can.map(|can| view.stamp(can.opened)),
            at: done.recorded.then(|| view.stamp(done.ended)),
            laid_on: (part.name != lot.name).then(|| part.name.to_string()),
        })
    })
    .collect()
}

/// The allergens of every finish laid; unknown as soon as one finish's are.
fn contains(names: &[&str], known: &[&Finish]) -> Option<Vec<String>> {
    if known.len() < names.len() {
        return None;
    }
    let mut all = BTreeSet::new();
    for finish in known {
        all.extend(finish.contains.clone()?);
    }
    Some(all.into_iter().collect())
}

fn cure_by(finish: &Finish) -> String {
    let whose = match (finish.hardens(), finish.from_class.get("cure")) {
        (Some(false), mark) => {
            let mark = mark.map_or_else(|| sheet(finish), |mark| format!("its class: {mark}"));
            format!("{}; {mark}", rest_not_cure(&finish.name))
        }
        (_, Some(mark)) => format!("its class: {mark}; the setup has no cure time of the sheet"),
        (_, None) => sheet(finish),
    };
    format!("{} after the last coat; {whose}", finish.cure)
}

/// The cure counts for the finish of the last coat; another that hardens under it has a time of its own.
fn not_counted(known: &[&Finish], last: Option<&Finish>) -> Vec<String> {
    let other = |finish: &&&Finish| last.is_some_and(|last| last.name != finish.name);
    let hardens = |finish: &&&Finish| finish.hardens() != Some(false);
    let said = |finish: &&Finish| format!("{}, cure time {}", finish.name, finish.cure);
    known.iter().filter(other).filter(hardens).map(said).collect()
}

impl FinishUsed {
    fn new(name: &str, setup: Option<&Setup>) -> Self {
        let finish = setup.and_then(|setup| setup.finish(name));
        Self {
            finish: name.to_owned(),
            kind: finish.and_then(|finish| finish.kind.clone()),
            sheet: finish.map_or_else(|| "it is not in the setup any more".to_owned(), sheet),
            solvent: finish.map_or_else(|| "unknown".to_owned(), solvent),
        }
    }

    fn line(&self) -> String {
        let kind = self.kind.as_ref().map_or_else(String::new, |kind| format!(", {kind}"));
        format!(
            "finished with {}{kind} ({}); solvent: {}; driers and second part: not recorded, \
             see its safety data sheet, section 3",
            self.finish, self.sheet, self.solvent
        )
    }
}

fn solvent(finish: &Finish) -> String {
    let mark = finish.class().map_or("", |class| class.gives_off_solvent.mark.as_str());
    match (finish.voc, gives_off_solvent(finish)) {
        (Some(voc), _) => Shown::new(voc, System::Metric).to_string(),
        (None, Some(true)) => format!("yes, how much is unknown (its class: {mark})"),
        (None, Some(false)) => format!("none (its class: {mark})"),
        (None, None) => "unknown".to_owned(),
    }
}

impl CoatLine {
    pub(super) fn line(&self) -> String {
        let can = match (&self.can, &self.maker_lot) {
            (Some(can), Some(maker)) => format!("can {can}, maker's lot {maker}"),
            (Some(can), None) => format!("can {can}, maker's lot unknown"),
            (None, _) => "can and maker's lot unknown".to_owned(),
        };
        let opened = self.opened.map_or_else(String::new, |at| format!(", opened {}", at.moment()));
        let at = self.at.map_or_else(|| "when not recorded".to_owned(), |at| at.moment());
        let on = self
            .laid_on
            .as_ref()
            .map_or_else(String::new, |lot| format!(", on the pieces of {lot}"));
        format!("coat of {}, {at}{on}: {can}{opened}", self.finish)
    }
}

/// How whoever receives pieces looks after them, in the reference's words.
pub(crate) fn care() -> &'static str {
    let topic = reference::topic("record");
    let mut lines = topic.into_iter().flat_map(|topic| &topic.what_to_do);
    lines.find_map(|line| line.strip_prefix("Care: ")).unwrap_or_default()
}
