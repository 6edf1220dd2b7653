//! `[[recipe]]` and its steps.

use super::held::{Held, LONGEST_WAIT};
use super::key::{Key, Section, key};
use super::page::{Page, Read, Table, optional};
use super::value::{Value, shown};
use crate::shop::setup::change::Kind;
use crate::shop::setup::fault::quoted;
use crate::shop::setup::recipe::GRADES;
use crate::shop::setup::{Recipe, Rest, Step, StepWork, write};
use crate::time::{Span, SpanRange};
use crate::units::System;

/// The keys of which each step has exactly one.
const KINDS: [&str; 6] = ["work", "sand", "raise", "coat", "rub", "cure"];
/// The other keys of steps.
const BESIDE: [&str; 4] = ["each", "wipe", "strip", "rest"];
/// A working day and more; one piece does not take longer in one step.
const LONGEST_EACH: Span = Span::hours(24);
/// More pieces than one strip lasts for.
const MOST_STRIP: u32 = 10_000;

/// What the order of a recipe turns on: where coats and cures stand and of which finish, if that could be read.
struct Mark<'a> {
    kind: &'static str,
    finish: Option<&'a str>,
    value: &'a Value<'a>,
}

impl Section for Recipe {
    const HEADER: &'static str = "[[recipe]]";
    const KIND: Kind = Kind::Recipe;
    const NAME: fn(&Self) -> &str = |recipe| &recipe.name;
    const KEYS: &'static [Key<Self>] = &[
        key!(name).needed("name = \"…\", what the recipe is called"),
        key!(piece, |page, value, _| page.named(value, "piece").map(str::to_owned))
            .needed("piece = \"…\", the name of a [[piece]]"),
        key!(steps)
            .about("a list of at least one step, each in braces")
            .needed("steps = [ { work = \"turn\", each = \"6m\" }, … ], in the order of work"),
    ];
}

impl Held for Vec<Step> {
    fn read<'a>(page: &mut Page<'a>, value: &'a Value<'a>, wanted: &str) -> Read<Self> {
        let list = page.list(value, wanted)?;
        if list.is_empty() {
            return Err(page.fault(value.span(), shown(value), wanted));
        }
        let (mut marks, mut steps) = (Vec::new(), Vec::new());
        for value in list {
            let (mark, step) = step(page, value);
            marks.push(mark);
            steps.push(step);
        }
        // A step that does not say what it is may be the cure that the order lacks.
        let order = match marks.into_iter().collect::<Option<Vec<_>>>() {
            Some(marks) => cure_follows(page, &marks),
            None => Ok(()),
        };
        let steps = steps.into_iter().collect::<Read<Self>>()?;
        order.map(|()| steps)
    }

    fn toml(&self, _: System) -> Option<String> {
        let step = |step| format!("  {},\n", write::step_text(step));
        Some(format!("[\n{}]", self.iter().map(step).collect::<Vec<_>>().concat()))
    }
}

fn step<'a>(page: &mut Page<'a>, value: &'a Value<'a>) -> (Option<Mark<'a>>, Read<Step>) {
    let table = match page.table(value, "a step") {
        Ok(table) => table,
        Err(faulted) => return (None, Err(faulted)),
    };
    page.only(&table, &[&KINDS[..], &BESIDE].concat());
    let kind = match kind_of(page, &table) {
        Ok(kind) => kind,
        Err(faulted) => return (None, Err(faulted)),
    };
    misplaced(page, &table, kind);
    let subject = page.required(&table, kind, kind).and_then(|value| match kind {
        "work" => page.text(value, "what is done, as \"turn\""),
        "raise" => page.text(value, "what the grain is raised with, as \"water\""),
        "sand" | "rub" => grit(page, value),
        _ => page.named(value, "finish"),
    });
    let mark = Mark { kind, finish: subject.ok(), value };
    let work = work(page, &table, kind, subject);
    let rest = if matches!(kind, "coat" | "cure") {
        Ok(None)
    } else {
        optional(&table, "rest").map(|value| rest(page, value)).transpose()
    };
    (Some(mark), work.and_then(|work| Ok(Step { work, rest: rest? })))
}

/// The one key that says what is done.
fn kind_of<'a>(page: &mut Page<'a>, table: &Table<'a>) -> Read<&'static str> {
    let kinds: Vec<&str> =
        KINDS.into_iter().filter(|kind| table.entries.contains_key(*kind)).collect();
    let expected = format!("exactly one of {}", KINDS.join(", "));
    match *kinds {
        [kind] => Ok(kind),
        [] => {
            // A misspelt kind has its fault already.
            if let Some(misspelt) = page.misspelt_one(table, &KINDS) {
                return Err(misspelt);
            }
            Err(page.lacking(table, "a step that does not say what is done", &expected))
        }
        _ => {
            let found = format!("a step with {}", kinds.join(" and "));
            Err(page.fault(table.span.clone(), found, expected))
        }
    }
}

/// The keys that a step of a kind takes beside the kind itself.
fn keys_of(kind: &str) -> &'static [&'static str] {
    match kind {
        "sand" | "rub" => &["each", "strip", "rest"],
        "coat" => &["each", "wipe"],
        "cure" => &[],
        _ => &["each", "rest"],
    }
}

/// Marks the keys that a step has, but not one of this kind.
fn misplaced<'a>(page: &mut Page<'a>, table: &Table<'a>, kind: &str) {
    let own = keys_of(kind);
    for key in table.entries.keys() {
        let name = key.get_ref().as_ref();
        if own.contains(&name) || !BESIDE.contains(&name) {
            continue;
        }
        let found = format!("{} in a {kind} step", quoted(name));
        let expected = match (kind, name) {
            ("coat", "rest") => "none here: after a coat the finish's recoat says how long".into(),
            ("cure", _) => {
                "nothing beside cure: it is over by itself when the finish has cured".into()
            }
            _ => format!("only {} beside {kind}", own.join(", ")),
        };
        let _ = page.fault(key.span(), found, expected);
    }
}

fn work<'a>(
    page: &mut Page<'a>,
    table: &Table<'a>,
    kind: &'static str,
    subject: Read<&'a str>,
) -> Read<StepWork> {
    if kind == "cure" {
        return Ok(StepWork::Cure { finish: subject?.to_owned() });
    }
    let each = page
        .required(table, "each", "each = \"…\", the time one piece takes, as \"40s\"")
        .and_then(|value| piece_time(page, value, true));
    let wipe = optional(table, "wipe").map(|value| piece_time(page, value, false)).transpose();
    let strip = optional(table, "strip")
        .map(|value| page.count(value, "pieces one strip does", MOST_STRIP))
        .transpose();
    let (subject, each) = (subject?.to_owned(), each?);
    Ok(match kind {
        "work" => StepWork::Work { name: subject, each },
        "sand" => StepWork::Sand { grit: subject, each, strip: strip? },
        "rub" => StepWork::Rub { grit: subject, each, strip: strip? },
        "raise" => StepWork::Raise { with: subject, each },
        _ => StepWork::Coat { finish: subject, each, wipe: wipe?.unwrap_or(Span::ZERO) },
    })
}

/// A time for one piece: some where it is labour, none to wipe a finish that is not wiped.
fn piece_time<'a>(page: &mut Page<'a>, value: &'a Value<'a>, some: bool) -> Read<Span> {
    let expected = if some {
        "the time one piece takes, as \"40s\" or \"6m10s\", more than nothing, at most 24h"
    } else {
        "the time one piece takes, as \"18s\", at most 24h"
    };
    let span: Span = page.parsed(value, expected)?;
    if span <= LONGEST_EACH && !(some && span.is_zero()) {
        Ok(span)
    } else {
        Err(page.fault(value.span(), shown(value), expected))
    }
}

fn grit<'a>(page: &mut Page<'a>, value: &'a Value<'a>) -> Read<&'a str> {
    let text = page.string(value, "a P grade in quotes, as \"P180\"")?;
    if GRADES.contains(&text) {
        return Ok(text);
    }
    let found = format!("the grit {}", quoted(text));
    let expected = format!("a P grade of FEPA, one of {}", GRADES.join(" "));
    Err(page.fault_near(value.span(), found, expected, nearest_grade(text)))
}

/// The grade whose number is nearest to the one typed.
fn nearest_grade(text: &str) -> Option<&'static str> {
    let number = |text: &str| text.trim().trim_start_matches(['P', 'p', ' ']).parse::<u16>().ok();
    let typed = number(text)?;
    GRADES.into_iter().min_by_key(|grade| number(grade).map(|number| number.abs_diff(typed)))
}

fn rest<'a>(page: &mut Page<'a>, value: &'a Value<'a>) -> Read<Rest> {
    const EXPECTED: &str =
        "the wait after the step, as \"4h\", or least..most, as \"4h..2d\"; at most 3650d";
    let text = page.string(value, EXPECTED)?;
    let (rest, longest) = if text.contains("..") {
        let range: SpanRange = page.parsed(value, EXPECTED)?;
        match range.longest() {
            Some(longest) => (Rest::Between(range), longest),
            None => (Rest::AtLeast(range.min), range.min),
        }
    } else {
        let span: Span = page.parsed(value, EXPECTED)?;
        (Rest::AtLeast(span), span)
    };
    if longest <= LONGEST_WAIT {
        Ok(rest)
    } else {
        Err(page.fault(value.span(), shown(value), EXPECTED))
    }
}

/// After the last coat there is exactly one cure, of that coat's finish, and without a coat there is none.
fn cure_follows<'a>(page: &mut Page<'a>, marks: &[Mark<'a>]) -> Read<()> {
    const ONE: &str = "one cure, after the last coat";
    let last_coat = marks.iter().enumerate().rfind(|(_, mark)| mark.kind == "coat");
    let mut cures = 0;
    let mut faulted = None;
    for (index, mark) in marks.iter().enumerate().filter(|(_, mark)| mark.kind == "cure") {
        cures += 1;
        let (found, expected) = match last_coat {
            None => ("a cure without a coat".to_owned(), "a coat before it".to_owned()),
            Some((last, _)) if index < last => {
                ("a cure with a coat after it".to_owned(), ONE.to_owned())
            }
            Some(_) if cures > 1 => ("a second cure".to_owned(), ONE.to_owned()),
            Some((_, coat)) => match (coat.finish, mark.finish) {
                (Some(coat), Some(cure)) if coat != cure => {
                    let expected = format!("{}, the finish of the last coat", quoted(coat));
                    (format!("a cure of {}", quoted(cure)), expected)
                }
                _ => continue,
            },
        };
        faulted = Some(page.fault(mark.value.span(), found, expected));
    }
    if let (0, Some((_, coat))) = (cures, last_coat) {
        let finish = coat.finish.unwrap_or("…");
        let expected = format!("a step {{ cure = \"{finish}\" }} after it");
        faulted = Some(page.fault(coat.value.span(), "a last coat and no cure", expected));
    }
    faulted.map_or(Ok(()), Err)
}
