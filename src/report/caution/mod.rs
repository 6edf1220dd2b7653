//! The safety reference as it is shown: its topics, one topic, what a question found, the sources, and the short forms that
//! stand by themselves where the risk is.
//!
//! Nothing here repeats what was asked: a question may hold words that no screen says of a piece.

pub mod answer;
pub(crate) mod from_setup;
pub(crate) mod short;
pub(crate) mod sources;
pub(crate) mod topic;

use schemars::JsonSchema;
use serde::Serialize;

use crate::reference::{self, Jurisdiction, Tally, Topic};
use crate::report::{Page, Report, Tone, row};
use crate::shop::Count;
use crate::shop::setup::Setup;

/// `caution` without a topic.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct TopicList {
    /// The topics, in the order of the reference.
    pub(crate) topics: Vec<TopicLine>,
    /// Where the reader works, if said.
    #[serde(rename = "where")]
    pub(crate) place: Option<Jurisdiction>,
}

/// One topic in a list.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct TopicLine {
    pub(crate) name: &'static str,
    pub(crate) title: &'static str,
    /// When its short form appears.
    pub(crate) when: &'static str,
    /// How its statements were checked, counted.
    pub(crate) checked: Tally,
}

/// Where the shop works, as its setup has it; `None` where the reference has no code for that country.
pub(crate) fn country(setup: Option<&Setup>) -> Option<Jurisdiction> {
    setup?.shop.country.as_ref()?.parse().ok()
}

impl TopicLine {
    pub(crate) fn all() -> Vec<Self> {
        let line = |topic: &'static Topic| Self {
            name: &topic.name,
            title: &topic.title,
            when: &topic.when,
            checked: topic.tally(),
        };
        reference::topics().map(line).collect()
    }
}

impl Report for TopicList {
    fn text(&self, page: &mut Page) {
        page.heading(Tone::Strong, "Cautions: what to do, why, who says so, who decides");
        page.gap();
        let rows = self.topics.iter().map(|line| row![line.name, line.title]);
        page.table(["topic", "what it holds"], rows);
        page.gap();
        let count = |Tally { read, part_read, from_memory, worked_out }: Tally| {
            read + part_read + from_memory + worked_out
        };
        let statements: usize = self.topics.iter().map(|topic| count(topic.checked)).sum();
        let line = format!(
            "{}, each with its source and how it was checked.",
            Count(statements as u64, "statement")
        );
        page.say(&line);
        page.item("A question: tackfree caution \"can oily cloths go in the bin\"");
        page.item("One topic: tackfree caution rags");
        page.item("For one country: tackfree caution dust --where UK");
        page.item("Who says so: tackfree caution rags --sources");
    }
}
