//! The steps of a day, clipped to it; what may be done before its time; and films to abrade.

use schemars::JsonSchema;
use serde::Serialize;

use crate::report::plan::InWords;
use crate::report::refusal::quoted;
use crate::report::row;
use crate::report::today::{Day, Line, UnfitLine};
use crate::shop::due::{Action, Item};
use crate::shop::plan::{MissedWindow, ShopPlan, StepPlan};
use crate::shop::setup::{Rest, StepWork};
use crate::shop::{Count, Shop};
use crate::time::{Instant, Span, Stamp, Viewpoint};

/// One step of the day.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub struct DayStep {
    #[serde(flatten)]
    pub step: InWords<StepPlan<Stamp>>,
    /// The last start that day with which a coat is wiped before closing, or any step keeps the dates; null where it may
    /// wait for another day.
    pub(crate) last_safe_start: Option<Stamp>,
    /// Whether it may be done now, before its time: hands are free, and nothing holds it back.
    pub may_begin_now: bool,
    #[serde(skip)]
    now: Instant,
}

/// A film to abrade before the coat on it.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub struct Abrading {
    pub(crate) lot: String,
    pub(crate) pieces: u32,
    pub(crate) from: Stamp,
    pub(crate) until: Stamp,
    /// The grit the recipe rubs with, if it does.
    pub(crate) grit: Option<String>,
}

impl DayStep {
    /// The steps of a day but those begun, which stand before all others.
    pub(super) fn all(
        shop: &Shop,
        plan: &ShopPlan,
        items: &[Item],
        unfit: &[UnfitLine],
        day: &Day,
        view: Viewpoint,
    ) -> Vec<Self> {
        let of_day = |step: &&StepPlan| {
            step.start < day.until && step.end > day.from && !(step.begun && day.is_today)
        };
        let mut steps: Vec<&StepPlan> = plan.steps.iter().filter(of_day).collect();
        steps.retain(|step| !unfit.iter().any(|unfit| unfit.stops(step)));
        let early = early(shop, &steps, items, day, view);
        let new = |step: &&StepPlan| Self::new(shop, step, day, &early, view);
        steps.iter().map(new).collect()
    }

    fn new(
        shop: &Shop,
        step: &StepPlan,
        day: &Day,
        early: &[(&str, u32)],
        view: Viewpoint,
    ) -> Self {
        let latest = Some(step.latest_start).filter(|latest| *latest < day.until);
        let last = if step.kind == "coat" && !step.begun {
            let length = Span::between(step.start, step.end);
            let fits = |(from, until): &(Instant, Instant)| {
                let last = length.before(*until);
                (last >= *from).then_some(last)
            };
            let closing = day.open.iter().rev().find_map(fits);
            [latest, closing].into_iter().flatten().min()
        } else {
            latest
        };
        Self {
            step: InWords::new(shop, step, view),
            last_safe_start: last.map(|last| view.stamp(last)),
            may_begin_now: early.contains(&(step.lot.as_str(), step.step)),
            now: view.now,
        }
    }

    /// When it is to be begun.
    pub(super) fn begins(&self) -> Instant {
        if self.may_begin_now { self.now } else { self.step.plan.start.at() }
    }

    pub(super) fn line(&self, day: &Day) -> Line {
        let (start, end) = (self.step.plan.start, self.step.plan.end);
        let closes = day.open.last().map(|(_, until)| *until);
        let when = match (self.may_begin_now, start.at() < day.from, end.at() > day.until) {
            (true, ..) => "now".to_owned(),
            (_, true, true) => "all day".to_owned(),
            (_, true, false) => format!("until {}", end.clock()),
            (_, false, true) => {
                let closes = closes.map_or_else(String::new, |at| start.other(at).clock());
                format!("{}-{closes}", start.minute_up().clock())
            }
            (_, false, false) => self.step.clock(),
        };
        let on = match (start.at() < day.from, end.at() > day.until) {
            (true, _) => format!(", since {}", start.weekday()),
            (false, true) => format!(", and on until {}", end.weekday()),
            _ => String::new(),
        };
        let begin = self.may_begin_now || self.step.plan.starts_lot();
        let then = begin.then(|| self.begin());
        let [lot, words, pieces] = self.step.what();
        Line { parts: [when, lot, words, format!("{pieces}{on}"), self.last()], then }
    }

    /// How what may be done now is begun, or a lot is started.
    fn begin(&self) -> String {
        let StepPlan { lot, batch, pieces, to_start, .. } = &self.step.plan;
        if *to_start {
            format!("first: tackfree lot start {batch} --pieces {pieces}")
        } else {
            format!("then: tackfree begin {lot}")
        }
    }

    fn last(&self) -> String {
        match self.last_safe_start {
            _ if self.step.plan.begun => "goes on".to_owned(),
            Some(last) if last.at() <= self.step.plan.start.at() => "no slack".to_owned(),
            Some(last) => format!("start by {}", last.clock()),
            None => "may wait".to_owned(),
        }
    }
}

/// Steps that hands may do now though they are planned for later: as many as there are hands with nothing to do. A coat is
/// left at its time, and so is what the recipe wants followed up within a time: beginning early would move their windows.
fn early<'a>(
    shop: &Shop,
    steps: &[&'a StepPlan],
    items: &[Item],
    day: &Day,
    view: Viewpoint,
) -> Vec<(&'a str, u32)> {
    let Some(setup) = &shop.setup else { return Vec::new() };
    if !day.is_today || !setup.shop.hours.is_open(setup.shop.zone, view.now) {
        return Vec::new();
    }
    // A plan begins with the next whole minute.
    let soon = Span::minutes(1).after(view.now);
    let at_work = steps.iter().filter(|step| step.start <= soon).count()
        + items.iter().filter(|item| matches!(item.action, Action::Wipe | Action::Finish)).count();
    let idle = usize::try_from(setup.shop.hands).unwrap_or(1).saturating_sub(at_work);
    let free = |step: &&&StepPlan| {
        let Some(recipe) = shop.recipe_planned(step) else { return false };
        let Some(known) = recipe.step(step.step) else { return false };
        let moves_a_window = matches!(known.rest, Some(Rest::Between(_)))
            || matches!(known.work, StepWork::Coat { .. });
        let item = items.iter().find(|item| item.lot.to_string() == step.lot);
        let next = match item.filter(|_| !step.to_start) {
            Some(item) => item.step == step.step && item.action == Action::Do && item.open,
            None => step.starts_lot(),
        };
        step.start > soon && next && !moves_a_window
    };
    steps.iter().filter(free).take(idle).map(|step| (step.lot.as_str(), step.step)).collect()
}

impl UnfitLine {
    /// Coats planned for the day in a room whose air, as it was read last, will still speak against them then.
    pub(super) fn all(shop: &Shop, plan: &ShopPlan, day: &Day, view: Viewpoint) -> Vec<Self> {
        let mut coats = plan.steps.iter().filter(|step| {
            step.kind == "coat" && !step.begun && step.start < day.until && step.end > day.from
        });
        let mut lines: Vec<Self> = Vec::new();
        for step in &mut coats {
            let known = shop.recipe_planned(step).and_then(|recipe| recipe.step(step.step));
            let unfit = known.and_then(|known| {
                shop.unfit_for(known, step.rack.as_deref(), step.start.max(plan.now))
            });
            let Some(unfit) = unfit.filter(|_| !lines.iter().any(|line| line.lot == step.lot))
            else {
                continue;
            };
            let (lot, words) = (step.lot.clone(), shop.planned_words(step));
            lines.push(Self { lot, step: step.step, words, room_unfit: unfit.said(view) });
        }
        lines
    }

    /// Whether a planned step can't be done that day because of it.
    fn stops(&self, step: &StepPlan) -> bool {
        step.lot == self.lot && step.step >= self.step
    }
}

impl Abrading {
    pub(super) fn all(shop: &Shop, plan: &ShopPlan, day: &Day, view: Viewpoint) -> Vec<Self> {
        let of_day = |missed: &&MissedWindow| {
            missed.coat && missed.abrade_from < day.until && missed.abrade_until > day.from
        };
        let missed = plan.missed.iter().filter(of_day);
        let abrading = missed.filter_map(|missed| {
            let step = plan.steps.iter().find(|step| step.lot == missed.lot)?;
            let recipe = shop.recipe_planned(step)?;
            let grit = recipe.steps.iter().find_map(|step| match &step.work {
                StepWork::Rub { grit, .. } => Some(grit.clone()),
                _ => None,
            });
            Some(Self {
                lot: missed.lot.clone(),
                pieces: step.pieces,
                from: view.stamp(missed.abrade_from),
                until: view.stamp(missed.abrade_until),
                grit,
            })
        });
        abrading.collect()
    }

    pub(super) fn line(&self) -> Line {
        let Self { lot, pieces, from, until, grit } = self;
        let with = grit.as_ref().map_or_else(String::new, |grit| format!(" with {grit}"));
        let why = quoted(&format!("abraded{with}"));
        let when = format!("{}-{}", from.minute_up().clock(), until.clock());
        let (what, pieces) = (format!("abrade the film{with}"), Count(*pieces, "piece"));
        Line {
            parts: row![when, lot, what, pieces, "its window closes first"],
            then: Some(format!("then the coat: tackfree begin {lot} --anyway {why}")),
        }
    }
}
