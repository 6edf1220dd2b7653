//! Lots to carry to another rack, and lots that can't be planned, as they are shown.

use schemars::JsonSchema;
use serde::Serialize;

use crate::plan::carry_off::CarryOff;
use crate::report::Page;
use crate::report::plan::no_plan::not_planned;
use crate::report::refusal::Sentence;
use crate::shop::plan::{MovePlan, NotPlanned, ShopPlan};
use crate::time::Stamp;

/// Lots or steps shown one by one.
const SHOWN: usize = 6;

/// A lot that can't get through its rests.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct NotPlannedLine {
    pub(crate) lot: String,
    pub(crate) pieces: u32,
    /// In words, with what would help.
    pub(crate) why: String,
}

impl MovePlan<Stamp> {
    /// What is carried, where to and why.
    pub(crate) fn what(&self) -> String {
        let Self { lot, pieces, from, to, why, .. } = self;
        format!("move {lot} ({pieces}) from {from} to {to}: {why}")
    }

    /// The first of them, and how they are recorded.
    pub(super) fn text(lines: &[Self], page: &mut Page) {
        let Some(first) = lines.first() else { return };
        some(2, lines, page, |line| format!("{}  {}", line.at.moment(), line.what()));
        page.under(format!("Record it: tackfree lot move {} --rack '{}'", first.lot, first.to));
    }
}

impl CarryOff {
    /// The first of them, and how it is recorded.
    pub(super) fn text(lines: &[Self], page: &mut Page) {
        let Some(first) = lines.first() else { return };
        some(2, lines, page, |line| {
            let (by, lot, pieces, rack) = (line.by.moment(), &line.lot, line.pieces, &line.rack);
            let others = &line.makes_room_for;
            format!("by {by}  move {lot} ({pieces}) off {rack}, to make room for {others}")
        });
        page.under(format!("Record it: tackfree lot move {} --off", first.lot));
    }
}

/// The first lines, and how many more there are.
pub(super) fn some<T>(indent: usize, lines: &[T], page: &mut Page, said: impl Fn(&T) -> String) {
    for line in lines.iter().take(SHOWN) {
        page.hanging(indent, indent + 4, said(line));
    }
    if lines.len() > SHOWN {
        page.line(indent, format!("and {} more", lines.len() - SHOWN));
    }
}

impl NotPlannedLine {
    fn new(unfit: &NotPlanned) -> Self {
        let Sentence { message, next } = not_planned(unfit);
        let why = format!("{message}; {next}");
        Self { lot: unfit.lot.clone(), pieces: unfit.pieces, why }
    }

    pub(crate) fn all(plan: &ShopPlan) -> Vec<Self> {
        plan.not_planned.iter().map(Self::new).collect()
    }

    /// Those with one reason together.
    pub(crate) fn text(lines: &[Self], page: &mut Page) {
        let mut whys: Vec<(&str, Vec<String>)> = Vec::new();
        for line in lines {
            let lot = format!("{} ({})", line.lot, line.pieces);
            match whys.iter_mut().find(|(why, _)| *why == line.why) {
                Some((_, lots)) => lots.push(lot),
                None => whys.push((&line.why, vec![lot])),
            }
        }
        for (why, lots) in whys {
            let more = lots.len().saturating_sub(SHOWN);
            let named = lots[..lots.len() - more].join(", ");
            let more = if more > 0 { format!(" and {more} more") } else { String::new() };
            page.hang(format!("Not planned: {named}{more}: {why}"));
        }
    }
}
