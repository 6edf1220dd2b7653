//! The short forms that stand by themselves where the risk is: after a coat, before solvent, before sanding, at shipping.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::Serialize;

use crate::reference::finishes::TWO_PART_OIL;
use crate::reference::{self, Statement};
use crate::report::caution::from_setup::{FromSetup, gives_off_solvent};
use crate::report::{Page, Tone};
use crate::shop::setup::{Finish, Step, StepWork};
use crate::shop::{Entry, Fact, Shop};

/// A topic's short form, below what the user's own data sheet says.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct ShortForm {
    pub(crate) topic: &'static str,
    /// What the setup says of the finishes concerned.
    pub(crate) from_setup: Vec<FromSetup>,
    /// The reference's lines; none where the setup says that the risk is not there.
    pub(crate) lines: &'static [String],
    /// What else is known here.
    pub(crate) notes: Vec<String>,
}

impl ShortForm {
    /// The short form of a topic by itself.
    pub(crate) fn of(topic: &'static str) -> Self {
        let lines = reference::short(topic);
        Self { topic, from_setup: Vec::new(), lines, notes: Vec::new() }
    }

    /// What goes with entries just recorded: rags after a coat, air before one, dust before sanding.
    pub(crate) fn all(entries: &[Entry], shop: &Shop) -> Vec<Self> {
        let begun: Vec<(&Step, Option<&str>)> =
            entries.iter().filter_map(|entry| begun(entry, shop)).collect();
        let beginning = begun.iter().filter_map(|(step, _)| step.coat());
        let coated = entries.iter().filter_map(|entry| match &entry.fact {
            Fact::StepDone(done) => done.coat.as_ref().map(|coat| coat.finish.as_str()),
            _ => None,
        });
        let woods = begun.iter().filter(|(step, _)| is_dusty(step)).map(|(_, wood)| *wood);
        let beginning: BTreeSet<&str> = beginning.collect();
        let two_part = parts(&beginning, shop);
        [air(&beginning, shop), two_part, dust(&woods.collect()), rags(&coated.collect(), shop)]
            .into_iter()
            .flatten()
            .collect()
    }

    /// Writes it, with where the rest of it is.
    pub(crate) fn text(&self, page: &mut Page) {
        self.lines_text(page);
        page.hang(format!("More: tackfree caution {}", self.topic));
    }

    pub(crate) fn lines_text(&self, page: &mut Page) {
        page.gap();
        FromSetup::text(&self.from_setup, page);
        for (number, line) in self.lines.iter().enumerate() {
            page.toned(if number == 0 { Tone::Late } else { Tone::Plain }, 0, 2, line);
        }
        for note in &self.notes {
            page.hang(note);
        }
    }
}

/// The step an entry says was begun, and the wood it is done to.
fn begun<'s>(entry: &Entry, shop: &'s Shop) -> Option<(&'s Step, Option<&'s str>)> {
    let Fact::StepBegun(begun) = &entry.fact else { return None };
    let lot = shop.lots.get(&begun.lot)?;
    let piece = shop.setup.as_ref().and_then(|setup| setup.piece(&lot.recipe.piece));
    Some((lot.recipe.step(begun.step)?, piece.and_then(|piece| piece.wood.as_deref())))
}

const fn is_dusty(step: &Step) -> bool {
    matches!(step.work, StepWork::Sand { .. } | StepWork::Rub { .. })
}

/// Each finish by name, as the setup has it; one that is no longer in it is known by name alone.
fn finishes<'a>(
    names: &'a BTreeSet<&str>,
    shop: &'a Shop,
) -> impl Iterator<Item = (&'a str, Option<&'a Finish>)> {
    names.iter().map(|name| (*name, shop.setup.as_ref().and_then(|setup| setup.finish(name))))
}

/// Before a coat, where its finish gives off solvent or nobody knows whether it does.
fn air(names: &BTreeSet<&str>, shop: &Shop) -> Option<ShortForm> {
    let concerned = finishes(names, shop)
        .filter(|(_, finish)| finish.and_then(gives_off_solvent) != Some(false));
    let said = |(name, _): (&str, _)| FromSetup::named("air", name, shop.setup.as_ref());
    let from_setup: Vec<FromSetup> = concerned.map(said).collect();
    (!from_setup.is_empty()).then(|| ShortForm { from_setup, ..ShortForm::of("air") })
}

/// Before a coat of a finish with a second part.
fn parts(names: &BTreeSet<&str>, shop: &Shop) -> Option<ShortForm> {
    let hardener = |finish: &Finish| finish.class().is_some_and(|class| class.kind == TWO_PART_OIL);
    finishes(names, shop)
        .any(|(_, finish)| finish.is_some_and(hardener))
        .then(|| ShortForm::of("driers"))
}

/// Before sanding, with what the reference says of the wood by name.
fn dust(woods: &BTreeSet<Option<&str>>) -> Option<ShortForm> {
    let notes: Vec<String> = woods.iter().flat_map(|wood| of_wood(*wood)).collect();
    (!notes.is_empty()).then(|| ShortForm { notes, ..ShortForm::of("dust") })
}

fn of_wood(wood: Option<&str>) -> Vec<String> {
    let Some(wood) = wood else {
        return vec![
            "The setup does not name the wood: look it up before it is sanded.".to_owned(),
        ];
    };
    let known = reference::dust_of(wood);
    if known.is_empty() {
        return vec![format!(
            "The reference names few woods, and not {wood}: that says nothing of its dust."
        )];
    }
    let said = known.iter().map(|statement| {
        let Statement { id, says, .. } = statement;
        format!("{wood}: {says} ({id})")
    });
    said.collect()
}

/// After a coat: the rags, unless nothing that was laid self-heats; the rag entry stays open all the same.
fn rags(names: &BTreeSet<&str>, shop: &Shop) -> Option<ShortForm> {
    let said = |name: &&str| FromSetup::named("rags", name, shop.setup.as_ref());
    let from_setup: Vec<FromSetup> = names.iter().map(said).collect();
    let heats = |finish: Option<&Finish>| finish.and_then(|f| f.self_heating) != Some(false);
    let any = finishes(names, shop).any(|(_, finish)| heats(finish));
    let lines = |short: &ShortForm| if any { short.lines } else { &[] };
    (!from_setup.is_empty()).then(|| {
        let short = ShortForm::of("rags");
        ShortForm {
            from_setup,
            lines: lines(&short),
            notes: vec!["Then: tackfree rags done --how \"…\"".to_owned()],
            ..short
        }
    })
}
