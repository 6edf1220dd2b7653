//! A topic of the reference: what to do, why, the statements behind it, what is wrongly said, and who decides.

use std::collections::BTreeSet;

use serde::Serialize;

use super::blocks::{Block, Section, blocks, items, paragraph, phrases, sections};
use super::fault::{Fault, FaultKind};
use super::never::line_never_printed;
use super::place::{ByPlace, Jurisdiction, order};
use super::statement::{self, CheckKind, Heard, Statement};

/// The most lines of a short form.
const SHORT_LINES: usize = 3;
/// The widest line of a short form, so that it fits 80 columns with a mark in front.
const SHORT_COLUMNS: usize = 76;

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Topic {
    /// Its name, as `caution NAME` takes it.
    pub name: String,
    pub title: String,
    /// When its short form appears by itself.
    pub when: String,
    /// Other names it answers to, lower case.
    pub also: Vec<String>,
    /// What governs above this page; printed with every topic.
    pub governs: String,
    /// What to do in at most three lines.
    pub short: Vec<String>,
    /// What to do, whole.
    pub what_to_do: Vec<String>,
    pub why: String,
    /// Why no verdict is given, for a question that asks for one.
    pub no_verdict: String,
    /// Who has the last word.
    pub who_decides: Vec<String>,
    /// The statements, in the order of the file.
    pub statements: Vec<Statement>,
    /// Claims often heard that are wrong.
    pub heard: Vec<Heard>,
    /// Words and questions that lead here; not printed.
    #[serde(skip)]
    pub(super) search: Vec<String>,
}

/// How many statements were checked in which way.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
pub struct Tally {
    pub read: usize,
    /// Part read, part from memory.
    pub part_read: usize,
    pub from_memory: usize,
    /// Worked out here.
    pub worked_out: usize,
}

impl Topic {
    /// The statements in the order for one jurisdiction.
    pub fn for_jurisdiction(&self, jurisdiction: Jurisdiction) -> ByPlace<'_> {
        order(&self.statements, jurisdiction)
    }

    /// How the statements were checked, counted.
    pub fn tally(&self) -> Tally {
        let mut tally = Tally::default();
        for statement in &self.statements {
            match statement.check.kind() {
                CheckKind::Read => tally.read += 1,
                CheckKind::PartRead => tally.part_read += 1,
                CheckKind::FromMemory => tally.from_memory += 1,
                CheckKind::WorkedOut => tally.worked_out += 1,
            }
        }
        tally
    }
}

const SECTIONS: &[&str] =
    &["short", "do", "why", "no verdict", "who decides", "search", "statements", "often heard"];

/// Reads one topic file and holds it to the schema.
pub(super) fn read(file: &str, text: &str) -> Result<Topic, Fault> {
    refuse_never_printed(file, text)?;
    let parts = sections(text);
    refuse_unknown_sections(file, &parts)?;
    let header = header(file, &parts)?;
    let need = |key| header.need(file, "the topic", key).map(|field| field.value.clone());
    let part = |name: &'static str| section(file, &parts, name);
    let short = short(file, part("short")?)?;
    let topic = Topic {
        name: need("topic")?,
        title: need("title")?,
        when: need("when")?,
        also: phrases(&need("also")?).iter().map(|name| name.to_lowercase()).collect(),
        governs: need("governs")?,
        short,
        what_to_do: items(file, &part("do")?.lines)?,
        why: paragraph(&part("why")?.lines),
        no_verdict: paragraph(&part("no verdict")?.lines),
        who_decides: items(file, &part("who decides")?.lines)?,
        search: phrases(&paragraph(&part("search")?.lines)),
        statements: blocks(file, &part("statements")?.lines)?
            .iter()
            .map(|block| statement::read(file, block))
            .collect::<Result<_, _>>()?,
        heard: blocks(file, &part("often heard")?.lines)?
            .iter()
            .map(|block| statement::read_heard(file, block))
            .collect::<Result<_, _>>()?,
    };
    Ok(topic)
}

/// Holds the topics to what only shows when they stand together: ids are given once, and what is referred to is there.
pub(super) fn check_together(topics: &[Topic]) -> Result<(), Fault> {
    let mut ids = BTreeSet::new();
    let mut names = BTreeSet::new();
    for topic in topics {
        let file = format!("{}.txt", topic.name);
        for name in std::iter::once(&topic.name).chain(&topic.also) {
            if !names.insert(name) {
                return Err(Fault::at(&file, 1, FaultKind::Twice(name.clone())));
            }
        }
        for statement in &topic.statements {
            if !ids.insert(statement.id.as_str()) {
                let twice = FaultKind::Twice(statement.id.clone());
                return Err(Fault::at(&statement.file, statement.line, twice));
            }
        }
    }
    for topic in topics {
        for heard in &topic.heard {
            if let Some(id) = heard.see.iter().find(|id| !ids.contains(id.as_str())) {
                let file = format!("{}.txt", topic.name);
                return Err(Fault::at(&file, heard.line, FaultKind::See(id.clone())));
            }
        }
    }
    Ok(())
}

fn refuse_never_printed(file: &str, text: &str) -> Result<(), Fault> {
    match line_never_printed(text) {
        Some((line, phrase)) => Err(Fault::at(file, line, FaultKind::NeverPrinted(phrase))),
        None => Ok(()),
    }
}

fn refuse_unknown_sections(file: &str, parts: &[Section<'_>]) -> Result<(), Fault> {
    let mut seen = BTreeSet::new();
    for part in parts.iter().skip(1) {
        if !SECTIONS.contains(&part.name) {
            return Err(Fault::at(file, part.line, FaultKind::Unknown(part.name.to_owned())));
        }
        if !seen.insert(part.name) {
            return Err(Fault::at(file, part.line, FaultKind::Twice(part.name.to_owned())));
        }
    }
    Ok(())
}

fn header(file: &str, parts: &[Section<'_>]) -> Result<Block, Fault> {
    let missing = || FaultKind::Missing { what: "the file".to_owned(), field: "topic" };
    let lines = parts.first().map(|part| part.lines.as_slice()).unwrap_or_default();
    let block =
        blocks(file, lines)?.into_iter().next().ok_or_else(|| Fault::at(file, 1, missing()))?;
    block.only(file, &["topic", "title", "when", "also", "governs"])?;
    Ok(block)
}

fn section<'a, 'b>(
    file: &str,
    parts: &'b [Section<'a>],
    name: &'static str,
) -> Result<&'b Section<'a>, Fault> {
    parts
        .iter()
        .skip(1)
        .find(|part| part.name == name && part.lines.iter().any(|(_, line)| !line.is_empty()))
        .ok_or_else(|| {
            let kind = FaultKind::Missing { what: "the topic".to_owned(), field: name };
            Fault::at(file, 1, kind)
        })
}

fn short(file: &str, part: &Section<'_>) -> Result<Vec<String>, Fault> {
    let lines: Vec<String> = part
        .lines
        .iter()
        .filter(|(_, line)| !line.is_empty())
        .map(|(_, line)| (*line).to_owned())
        .collect();
    let columns = lines.iter().map(|line| line.chars().count()).max().unwrap_or(0);
    if lines.len() > SHORT_LINES || columns > SHORT_COLUMNS {
        return Err(Fault::at(file, part.line, FaultKind::Short { lines: lines.len(), columns }));
    }
    Ok(lines)
}
