//! The sources, each with how it was checked.

use serde::Serialize;

use crate::reference::{Jurisdiction, Tally, Topic};
use crate::report::caution::counted;
use crate::report::caution::topic::{Group, groups};
use crate::report::page::Tone;
use crate::report::{Page, Report};

/// `caution --sources`.
#[derive(Debug, Clone, Serialize)]
pub struct Sources {
    pub topics: Vec<TopicSources>,
}

/// The sources of one topic.
#[derive(Debug, Clone, Serialize)]
pub struct TopicSources {
    pub topic: &'static str,
    pub title: &'static str,
    /// How its statements were checked, counted.
    pub checked: Tally,
    /// Its statements, those of the place first.
    pub statements: Vec<Group>,
}

impl Sources {
    /// The sources of these topics.
    pub fn new(topics: &'static [Topic], place: Option<Jurisdiction>) -> Self {
        let of = |topic: &'static Topic| TopicSources {
            topic: &topic.name,
            title: &topic.title,
            checked: topic.tally(),
            statements: groups(topic, place),
        };
        Self { topics: topics.iter().map(of).collect() }
    }
}

impl Report for Sources {
    fn text(&self, page: &mut Page) {
        for topic in &self.topics {
            page.gap();
            page.heading(Tone::Strong, &format!("{}: {}", topic.topic, topic.title));
            page.line(0, &counted(&topic.checked));
            for group in &topic.statements {
                page.gap();
                page.heading(Tone::Strong, &group.heading);
                for statement in &group.statements {
                    statement.source_text(page);
                }
            }
        }
    }
}
