//! A coat that is begun: its groups, when each is to be wiped, and what the room's air says to it.

use schemars::JsonSchema;
use serde::Serialize;

use crate::report::Page;
use crate::report::refusal::quoted;
use crate::shop::air::{Against, CoatAir};
use crate::shop::clash::Clash;
use crate::shop::group::SoakGroup;
use crate::shop::{Count, Entry, Fact, Shop, all_of};
use crate::time::{Instant, Span, Stamp, Viewpoint};
use crate::units::{Shown, Warmer};

/// One coat that was begun.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Coating {
    pub(crate) lot: String,
    /// The most pieces that one group may have; null where no piece fits the soak or the finish is not wiped.
    pub(crate) most_in_a_group: Option<u32>,
    /// Hands' minutes for all of it, the waiting in the groups included.
    pub(crate) minutes: u32,
    /// Its groups, each straight after the one before.
    pub(crate) groups: Vec<GroupShown>,
    /// Set where even a single piece takes longer than the sheet's longest soak: why.
    pub(crate) too_slow: Option<String>,
    /// What soaked before it, where the hands there are can't wipe both in time.
    pub(crate) clash: Option<Clash>,
    /// The room's air.
    pub(crate) air: AirShown,
    /// What is said where no open can is within its time: `done` takes none of them.
    #[serde(skip)]
    can: Option<String>,
}

#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct GroupShown {
    /// Which, from 1.
    pub(crate) group: u32,
    pub(crate) pieces: u32,
    pub(crate) begins: Stamp,
    /// Wiping may begin then, with the first piece.
    pub(crate) wipe_from: Stamp,
    /// Wiping must begin by then for every piece to be off in time.
    pub(crate) wipe_by: Stamp,
    /// The first piece must be off by then.
    pub(crate) first_off_by: Stamp,
    /// The last piece must be off by then.
    pub(crate) last_off_by: Stamp,
}

/// What the room's last reading says to a coat.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct AirShown {
    /// The room; null for a lot on no rack.
    pub(crate) room: Option<String>,
    /// Its last reading; null where there is none.
    pub(crate) read: Option<Stamp>,
    /// Whether that is fresh enough to say anything.
    pub(crate) fresh: bool,
    /// How far the pieces are above the dew point.
    pub(crate) margin_c: Option<Shown<Warmer>>,
    /// Whether the air's temperature stands in for the pieces'.
    pub(crate) surface_assumed: bool,
    /// What speaks against the coat: too cold, too damp, near dew point.
    pub(crate) against: Vec<&'static str>,
    #[serde(skip)]
    warnings: Vec<String>,
}

impl Coating {
    pub(crate) fn all(entries: &[Entry], shop: &Shop, view: Viewpoint) -> Vec<Self> {
        entries.iter().filter_map(|entry| Self::new(entry, shop, view)).collect()
    }

    fn new(entry: &Entry, shop: &Shop, view: Viewpoint) -> Option<Self> {
        let Fact::StepBegun(begun) = &entry.fact else { return None };
        let lot = shop.lots.get(&begun.lot)?;
        let step = lot.recipe.step(begun.step)?;
        let finish = shop.setup.as_ref()?.finish(step.coat()?)?;
        let (work, too_slow) = match shop.coat_work(step, lot.pieces).transpose() {
            Ok(work) => (work, None),
            Err(error) => (None, Some(error.to_string())),
        };
        let groups = work.map(|work| work.schedule(entry.at)).unwrap_or_default();
        Some(Self {
            lot: lot.name.to_string(),
            most_in_a_group: work.map(|work| work.soak.most_in_a_group()),
            minutes: shop.worked_minutes(step, lot.pieces),
            groups: groups.iter().map(|group| GroupShown::new(group, view)).collect(),
            too_slow,
            clash: shop.clash(lot, view),
            air: AirShown::new(&shop.coat_air(lot.rack(), finish, entry.at), entry.at, view),
            can: no_can(shop, &finish.name, entry.at),
        })
    }

    pub(crate) fn text(&self, page: &mut Page) {
        let Self { lot, groups, .. } = self;
        if let Some(why) = &self.too_slow {
            page.hang(format!("! {lot}: no piece fits the soak: {why}"));
        }
        if let (Some(most), Some(first)) = (self.most_in_a_group, groups.first()) {
            let pieces = Count(first.pieces, "piece");
            let many = match groups.as_slice() {
                [_] => format!("{pieces} in one group"),
                [.., last] if last.pieces == first.pieces => {
                    format!("{} of {pieces}", Count(groups.len() as u64, "group"))
                }
                _ => format!("{}, the largest of {pieces}", Count(groups.len() as u64, "group")),
            };
            page.hang(format!(
                "{lot}: {many} (no more than {most} can be wiped in time), {} min of work",
                self.minutes
            ));
        }
        for group in groups {
            group.text(groups.len(), page);
        }
        if groups.len() > 1 {
            page.item("each group straight after the one before; a pause moves the later ones");
        }
        if let Some(clash) = &self.clash {
            clash.text(lot, page);
        }
        for warning in self.air.warnings.iter().chain(&self.can) {
            page.hang(warning);
        }
    }
}

fn no_can(shop: &Shop, finish: &str, at: Instant) -> Option<String> {
    let (kept, past) = shop.kept_and_past(finish, at);
    let (what, open) = match past.as_slice() {
        _ if !kept.is_empty() => return None,
        [] => (format!("No can of {finish} is open"), "open one"),
        past => {
            let names = all_of(past.iter().map(|can| &can.name));
            (format!("{names}: past its time"), "open another")
        }
    };
    let finish = quoted(finish);
    Some(format!("! {what}. Before you pour, {open}: tackfree can open {finish} --name NAME"))
}

impl Clash {
    fn text(&self, lot: &str, page: &mut Page) {
        let Self { with, from, until, begin_at } = self;
        let (with, from, until) = (all_of(with), from.clock(), until.minute_up().clock());
        let said = format!(
            "! Your hands are at {with} {from}-{until}: not every piece of {lot} can be wiped in time."
        );
        let next = begin_at.map_or_else(
            || "Take it back (tackfree undo), or get another pair of hands.".to_owned(),
            |at| {
                let at = at.minute_up().clock();
                format!("Take it back (tackfree undo) and begin at {at}.")
            },
        );
        page.hang(format!("{said} {next}"));
    }
}

impl GroupShown {
    fn new(group: &SoakGroup, view: Viewpoint) -> Self {
        let stamp = |at| view.stamp(at);
        Self {
            group: group.number,
            pieces: group.pieces,
            begins: stamp(group.begins),
            wipe_from: stamp(group.times.wipe_from),
            wipe_by: stamp(group.times.wipe_by),
            first_off_by: stamp(group.times.first_off_by),
            last_off_by: stamp(group.times.last_off_by),
        }
    }

    fn text(&self, of: usize, page: &mut Page) {
        let which = if of > 1 {
            format!("group {} ({}): ", self.group, Count(self.pieces, "piece"))
        } else {
            String::new()
        };
        let pieces = if self.pieces > 1 {
            format!(
                "; first off by {}, last by {}",
                self.first_off_by.clock(),
                self.last_off_by.clock()
            )
        } else {
            format!("; off by {}", self.last_off_by.clock())
        };
        // Rounded to minutes a short window would have no time in it, or less.
        let window = if Span::between(self.wipe_from.at(), self.wipe_by.at()) < Span::minutes(2) {
            let (from, by) = (self.wipe_from.to_the_second(), self.wipe_by.to_the_second());
            format!("from {from}, by {by}")
        } else {
            format!("from {}, by {}", self.wipe_from.minute_up().moment(), self.wipe_by.clock())
        };
        let said = format!("{which}start wiping {window}{pieces}");
        page.item(&said);
    }
}

impl AirShown {
    fn new(air: &CoatAir, begun: Instant, view: Viewpoint) -> Self {
        let word = |against: &Against| match against {
            Against::TooCold { .. } | Against::ColdOfLate { .. } => "too cold",
            Against::TooDamp { .. } => "too damp",
            Against::NearDewPoint { .. } => "near dew point",
        };
        Self {
            room: air.room.clone(),
            read: air.last.map(|at| view.stamp(at)),
            fresh: air.reading.is_some(),
            margin_c: air.margin.and_then(|margin| margin.margin).map(|margin| view.shown(margin)),
            surface_assumed: air.reading.is_some_and(|reading| reading.surface.is_none()),
            against: air.against.iter().map(word).collect(),
            warnings: warnings(air, begun, view),
        }
    }
}

/// What a person is told of the air; nothing where a fresh reading speaks against nothing.
fn warnings(air: &CoatAir, begun: Instant, view: Viewpoint) -> Vec<String> {
    let Some(room) = &air.room else { return Vec::new() };
    let Some(reading) = air.reading else {
        if let Some(against) = air.against.first() {
            return vec![format!("! {room} is {}", against.said(view))];
        }
        let last = air.last.map_or_else(
            || format!("{room} has no reading"),
            |last| format!("{room}: last read {} before", Span::between(last, begun)),
        );
        return vec![format!(
            "{last}: whether it is too cold or too near the dew point for a coat is not known"
        )];
    };
    let assumed = if reading.surface.is_some() { "" } else { " (the air's temperature assumed)" };
    let said = |against: &Against| {
        let assumed = if matches!(against, Against::TooDamp { .. }) { "" } else { assumed };
        format!("! {room} is {}{assumed}", against.said(view))
    };
    let mut lines: Vec<String> = air.against.iter().map(said).collect();
    if let Some(margin) = air.margin.and_then(|margin| margin.margin)
        && lines.is_empty()
    {
        let at = view.stamp(reading.at).moment();
        lines.push(format!(
            "{room}, read {at}: {}, pieces {} above the dew point{assumed}",
            reading.temp.map_or_else(String::new, |temp| view.shown(temp).to_string()),
            view.shown(margin)
        ));
    }
    lines
}
