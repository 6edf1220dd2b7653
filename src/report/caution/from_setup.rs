//! What the user's own data sheets say, as the setup has it: it stands above the reference, and what nobody knows is said
//! to be unknown.

use schemars::JsonSchema;
use serde::Serialize;

use crate::report::Page;
use crate::shop::all_of;
use crate::shop::setup::{AirLimit, Finish, Setup};
use crate::units::{Shown, System};

/// What the setup says of one finish on one topic.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema, Serialize)]
pub(crate) struct FromSetup {
    pub(crate) finish: String,
    /// What is said of it.
    pub(crate) says: String,
    /// Who says so: the sheet, the finish class, or nobody.
    pub(crate) by: String,
}

impl FromSetup {
    /// What the setup says on a topic, finish by finish.
    pub(crate) fn all(topic: &str, setup: Option<&Setup>) -> Vec<Self> {
        let setup = setup.into_iter();
        let finishes = setup.flat_map(|s| s.finishes.iter().map(|finish| (finish, s.shop.units)));
        finishes.filter_map(|(finish, units)| Self::of(topic, finish, units)).collect()
    }

    /// What the setup says of a finish on a topic; `None` where a setup has nothing to do with it.
    pub(crate) fn of(topic: &str, finish: &Finish, units: System) -> Option<Self> {
        let (key, known, says) = match topic {
            "rags" => ("self_heating", finish.self_heating.is_some(), heating(finish)),
            "air" => ("voc", finish.voc.is_some(), solvent(finish, units)),
            "allergens" => ("contains", finish.contains.is_some(), allergens(finish)),
            "food" => ("cure", true, cure(finish, units)),
            "storage" => ("use_within", finish.use_within.is_some(), keeps(finish)),
            _ => return None,
        };
        let by = match finish.from_class.get(key) {
            Some(mark) => format!("its class: {mark}"),
            None if known => sheet(finish),
            None => {
                class_of_air(key, finish).unwrap_or_else(|| "the setup says nothing".to_owned())
            }
        };
        Some(Self { finish: finish.name.clone(), says, by })
    }

    /// The same of a finish by its name; of one that is not in the setup, that nothing is known.
    pub(crate) fn named(topic: &str, finish: &str, setup: Option<&Setup>) -> Self {
        let said = setup.and_then(|s| Self::of(topic, s.finish(finish)?, s.shop.units));
        said.unwrap_or_else(|| Self {
            finish: finish.to_owned(),
            says: "nothing is known of it".to_owned(),
            by: "it is not in the setup".to_owned(),
        })
    }

    /// Writes lines, those finishes together of which the same is said.
    pub(crate) fn text(lines: &[Self], page: &mut Page) {
        Self::indented(0, lines, page);
    }

    pub(crate) fn indented(indent: usize, lines: &[Self], page: &mut Page) {
        let mut told: Vec<Vec<&Self>> = Vec::new();
        for line in lines {
            match told.iter_mut().find(|same| same.iter().all(|first| first.says == line.says)) {
                Some(same) => same.push(line),
                None => told.push(vec![line]),
            }
        }
        for same in told {
            page.hanging(indent, indent + 2, sentence(&same));
        }
    }
}

/// "house oil: contains walnut (its sheet)"; where two say the same by different sheets, each stands by its finish.
fn sentence(same: &[&FromSetup]) -> String {
    let Some(first) = same.first() else { return String::new() };
    if same.iter().all(|line| line.by == first.by) {
        let finishes = all_of(same.iter().map(|line| &line.finish));
        return format!("{finishes}: {} ({})", first.says, first.by);
    }
    let finishes = all_of(same.iter().map(|line| format!("{} ({})", line.finish, line.by)));
    format!("{finishes}: {}", first.says)
}

/// "maker's technical sheet, revised 2025-04-01".
pub(crate) fn sheet(finish: &Finish) -> String {
    match &finish.sheet {
        None => "the setup, which names no sheet".to_owned(),
        Some(sheet) => sheet.revised.map_or_else(
            || format!("{}, no date", sheet.title),
            |revised| format!("{}, revised {revised}", sheet.title),
        ),
    }
}

/// A class says whether a finish gives off solvent, never how much; so no value of the setup is from it.
fn class_of_air(key: &str, finish: &Finish) -> Option<String> {
    let class = finish.class().filter(|_| key == "voc")?;
    Some(format!("its class: {}", class.gives_off_solvent.mark))
}

fn heating(finish: &Finish) -> String {
    match finish.self_heating {
        Some(true) => "rags can catch fire by themselves".to_owned(),
        Some(false) if finish.from_class.contains_key("self_heating") => {
            "rags are taken not to catch fire by themselves; its data sheet and local rules decide".to_owned()
        }
        Some(false) => {
            "the setup says that rags don't catch fire by themselves; its data sheet and local rules decide what becomes of them"
                .to_owned()
        }
        None => "whether rags can catch fire by themselves is unknown: treat them as if they do".to_owned(),
    }
}

/// Whether a finish gives off solvent, by its sheet, else by its class; `None` is unknown.
pub(crate) fn gives_off_solvent(finish: &Finish) -> Option<bool> {
    match finish.voc {
        Some(given) => Some(given.get() > 0.0),
        None => finish.class().and_then(|class| class.gives_off_solvent.value),
    }
}

fn solvent(finish: &Finish, units: System) -> String {
    let given = match (finish.voc, gives_off_solvent(finish)) {
        (Some(voc), _) => format!("gives off {} of solvent", Shown::new(voc, units)),
        (None, Some(true)) => "gives off solvent, the setup does not say how much".to_owned(),
        (None, Some(false)) => "is taken to give off no solvent".to_owned(),
        (None, None) => {
            "whether it gives off solvent is unknown: read its data sheet, sections 3 and 9"
                .to_owned()
        }
    };
    match &finish.air_limit {
        Some(AirLimit { mg_m3, basis }) => {
            format!("{given}; breathing limit {}, {basis}", Shown::new(*mg_m3, units))
        }
        None if gives_off_solvent(finish) == Some(false) => given,
        None => format!("{given}; breathing limit unknown: its data sheet, section 8"),
    }
}

/// What is in a finish that people can be allergic to.
pub(crate) fn allergens(finish: &Finish) -> String {
    match finish.contains.as_deref() {
        Some([]) => {
            "the setup lists no allergens, which does not prove that there are none".to_owned()
        }
        Some(list) => format!("contains {}", all_of(list)),
        None => "nuts, seeds and other allergens are unknown: ask its maker".to_owned(),
    }
}

fn cure(finish: &Finish, units: System) -> String {
    match (finish.hardens(), finish.sheet_temp) {
        (Some(false), _) => {
            format!("does not harden: its {} are a rest and not a cure", finish.cure)
        }
        (_, Some(at)) => format!("cure time {} at {:.0}", finish.cure, Shown::new(at, units)),
        (_, None) => format!("cure time {}", finish.cure),
    }
}

fn keeps(finish: &Finish) -> String {
    match finish.use_within {
        Some(keeps) => format!("keeps {keeps} after opening or mixing"),
        None => "how long it keeps is unknown".to_owned(),
    }
}
