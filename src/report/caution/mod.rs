//! The safety reference as it is shown: its topics, one topic whole, what a question found, the sources, and the short
//! forms that stand by themselves where the risk is.
//!
//! Every statement is shown with its id and the line of its file, so that whoever reads it can look where it comes from.
//! Nothing here repeats what was asked: a question may hold words that no screen says of a piece.

pub mod answer;
pub mod from_setup;
pub mod short;
pub mod sources;
pub mod statement;
pub mod topic;

use serde::Serialize;

use crate::reference::{self, Jurisdiction, Tally, Topic};
use crate::report::page::Tone;
use crate::report::{Page, Report};
use crate::shop::count::{Count, all_of};

/// `caution` without a topic.
#[derive(Debug, Clone, Serialize)]
pub struct TopicList {
    /// The topics, in the order of the reference.
    pub topics: Vec<TopicLine>,
    /// Where the reader works, if said.
    #[serde(rename = "where")]
    pub place: Option<Place>,
}

/// One topic in a list.
#[derive(Debug, Clone, Serialize)]
pub struct TopicLine {
    pub name: &'static str,
    pub title: &'static str,
    /// When its short form appears.
    pub when: &'static str,
    /// How its statements were checked, counted.
    pub checked: Tally,
}

/// A jurisdiction, and what the reference lacks on it.
#[derive(Debug, Clone, Serialize)]
pub struct Place {
    pub code: Jurisdiction,
    pub name: &'static str,
    /// The topics that hold nothing made for it.
    pub nothing_on: Vec<&'static str>,
}

impl TopicList {
    /// All topics, and what the reference lacks on a jurisdiction.
    pub fn new(place: Option<Jurisdiction>) -> Self {
        Self { topics: TopicLine::all(), place: place.map(Place::new) }
    }
}

impl TopicLine {
    /// Every topic of the reference.
    pub fn all() -> Vec<Self> {
        let line = |topic: &'static Topic| Self {
            name: &topic.name,
            title: &topic.title,
            when: &topic.when,
            checked: topic.tally(),
        };
        reference::topics().iter().map(line).collect()
    }

    /// Writes topics as a table.
    pub fn table(lines: &[Self], page: &mut Page) {
        let row = |line: &Self| [line.name, line.title].map(str::to_owned).to_vec();
        let rows: Vec<Vec<String>> = lines.iter().map(row).collect();
        page.table(&["topic", "what it holds"], &rows);
    }
}

impl Place {
    /// The jurisdiction as the reference knows it.
    pub fn new(code: Jurisdiction) -> Self {
        let nothing_on = reference::nothing_on(code).into_iter();
        Self { code, name: code.name(), nothing_on: nothing_on.map(|t| t.name.as_str()).collect() }
    }
}

/// "60 read, 20 part read, 12 from memory, 2 worked out here".
pub fn counted(tally: &Tally) -> String {
    let Tally { read, part_read, from_memory, worked_out } = tally;
    format!(
        "{read} read, {part_read} part read, {from_memory} from memory, {worked_out} worked out here"
    )
}

impl Report for TopicList {
    fn text(&self, page: &mut Page) {
        page.heading(Tone::Strong, "Cautions: what to do, why, who says so, who decides");
        page.gap();
        TopicLine::table(&self.topics, page);
        page.gap();
        if let Some(place) = &self.place {
            let text = match &place.nothing_on[..] {
                [] => format!("Every topic holds something made for {}.", place.name),
                topics => format!(
                    "Nothing made for {} itself on {}: the local authority knows its own rules.",
                    place.name,
                    all_of(topics)
                ),
            };
            page.hanging(0, 2, &text);
            page.gap();
        }
        let statements: usize = self.topics.iter().map(|topic| count(&topic.checked)).sum();
        let line = format!(
            "{}, each with its source and how it was checked.",
            Count(statements as u64, "statement")
        );
        page.line(0, &line);
        page.hanging(2, 4, "One topic: tackfree caution rags");
        page.hanging(2, 4, "A question: tackfree caution \"can oily cloths go in the bin\"");
        page.hanging(2, 4, "For one country first: tackfree caution dust --where UK");
        page.hanging(2, 4, "Where it comes from: tackfree caution rags --sources");
    }
}

const fn count(tally: &Tally) -> usize {
    tally.read + tally.part_read + tally.from_memory + tally.worked_out
}
