//! `[[recipe]]` and its steps.

use super::key::LONGEST_WAIT;
use super::page::{Page, Read, Table, optional};
use super::value::{Value, shown};
use crate::shop::setup::fault::quoted;
use crate::shop::setup::recipe::GRADES;
use crate::shop::setup::{Recipe, Rest, Step, StepWork};
use crate::time::{Span, SpanRange};

/// The keys of which each step has exactly one.
const KINDS: [&str; 6] = ["work", "sand", "raise", "coat", "rub", "cure"];
/// Every key of a step.
const KEYS: [&str; 10] =
    ["work", "sand", "raise", "coat", "rub", "cure", "each", "wipe", "strip", "rest"];
/// A working day and more; one piece does not take longer in one step.
const LONGEST_EACH: Span = Span::hours(24);
/// More pieces than one strip lasts for.
const MOST_STRIP: u32 = 10_000;

/// The names that recipes refer to; `None` where some could not be read, so that any name may be right.
pub(super) struct Known<'n> {
    pub(super) pieces: Option<&'n [&'n str]>,
    pub(super) finishes: Option<&'n [&'n str]>,
}

/// What the order of a recipe turns on: where coats and cures stand and of which finish, if that could be read.
struct Mark<'a> {
    kind: &'static str,
    finish: Option<&'a str>,
    value: &'a Value<'a>,
}

/// Reads a recipe.
pub(super) fn recipe<'a>(
    page: &mut Page<'a>,
    table: &Table<'a>,
    known: &Known<'_>,
) -> Read<Recipe> {
    const EXPECTED: &str =
        "steps = [ { work = \"turn\", each = \"6m\" }, … ], in the order of work";
    page.only(table, &["name", "piece", "steps"]);
    let name = page
        .required(table, "name", "name = \"…\", what the recipe is called")
        .and_then(|value| page.name(value));
    let piece = page
        .required(table, "piece", "piece = \"…\", the name of a [[piece]]")
        .and_then(|value| page.named(value, "piece", known.pieces));
    let steps = page.required(table, "steps", EXPECTED).and_then(|value| steps(page, value, known));
    Ok(Recipe { name: name?.to_owned(), piece: piece?.to_owned(), steps: steps? })
}

fn steps<'a>(page: &mut Page<'a>, value: &'a Value<'a>, known: &Known<'_>) -> Read<Vec<Step>> {
    const EXPECTED: &str = "a list of at least one step, each in braces";
    let list = page.list(value, EXPECTED)?;
    if list.is_empty() {
        return Err(page.fault(value.span(), shown(value), EXPECTED));
    }
    let mut marks = Vec::new();
    let mut steps = Vec::new();
    for value in list {
        let (mark, step) = step(page, value, known);
        marks.push(mark);
        steps.push(step);
    }
    // A step that does not say what it is may be the cure that the order lacks.
    let order = match marks.into_iter().collect::<Option<Vec<_>>>() {
        Some(marks) => cure_follows(page, &marks),
        None => Ok(()),
    };
    let steps = steps.into_iter().collect::<Read<Vec<_>>>()?;
    order.map(|()| steps)
}

fn step<'a>(
    page: &mut Page<'a>,
    value: &'a Value<'a>,
    known: &Known<'_>,
) -> (Option<Mark<'a>>, Read<Step>) {
    let table = match page.table(value, "a step") {
        Ok(table) => table,
        Err(faulted) => return (None, Err(faulted)),
    };
    page.only(&table, &KEYS);
    let kind = match kind_of(page, &table) {
        Ok(kind) => kind,
        Err(faulted) => return (None, Err(faulted)),
    };
    misplaced(page, &table, kind);
    let subject = page.required(&table, kind, kind).and_then(|value| match kind {
        "work" => page.text(value, "what is done, as \"turn\""),
        "raise" => page.text(value, "what the grain is raised with, as \"water\""),
        "sand" | "rub" => grit(page, value),
        _ => page.named(value, "finish", known.finishes),
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
        if name == kind || own.contains(&name) || !KEYS.contains(&name) {
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
    Err(page.fault_near(value.span(), found, expected, nearest_grade(text).map(str::to_owned)))
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
    let last_coat = marks.iter().rposition(|mark| mark.kind == "coat");
    let mut cures = 0;
    let mut faulted = None;
    for (index, mark) in marks.iter().enumerate().filter(|(_, mark)| mark.kind == "cure") {
        cures += 1;
        let coat = last_coat.and_then(|at| marks.get(at));
        let wrong = match (coat, last_coat) {
            (None, _) => Some(("a cure without a coat".to_owned(), "a coat before it".to_owned())),
            (Some(_), Some(last)) if index < last => Some((
                "a cure with a coat after it".to_owned(),
                "one cure, after the last coat".to_owned(),
            )),
            (Some(_), _) if cures > 1 => {
                Some(("a second cure".to_owned(), "one cure, after the last coat".to_owned()))
            }
            (Some(coat), _) => match (coat.finish, mark.finish) {
                (Some(coat), Some(cure)) if coat != cure => Some((
                    format!("a cure of {}", quoted(cure)),
                    format!("{}, the finish of the last coat", quoted(coat)),
                )),
                _ => None,
            },
        };
        if let Some((found, expected)) = wrong {
            faulted = Some(page.fault(mark.value.span(), found, expected));
        }
    }
    if let (0, Some(coat)) = (cures, last_coat.and_then(|at| marks.get(at))) {
        let finish = coat.finish.unwrap_or("…");
        let expected = format!("a step {{ cure = \"{finish}\" }} after it");
        faulted = Some(page.fault(coat.value.span(), "a last coat and no cure", expected));
    }
    faulted.map_or(Ok(()), Err)
}
