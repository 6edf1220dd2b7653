//! The statements behind the reference, each with who says it and how that was checked.

use schemars::JsonSchema;
use serde::Serialize;

use crate::reference::{Heard, Jurisdiction, Met, Statement, Tally, Topic};
use crate::report::{Page, Report, Tone};

/// `caution --sources`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Sources {
    pub(crate) topics: Vec<TopicSources>,
}

/// The statements of one topic.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct TopicSources {
    pub(crate) topic: &'static str,
    pub(crate) title: &'static str,
    pub(crate) why: &'static str,
    /// How its statements were checked, counted.
    pub(crate) checked: Tally,
    /// Its statements, those of the place first.
    pub(crate) statements: Vec<Group>,
    /// Claims often heard that are wrong.
    pub(crate) often_heard: &'static [Heard],
}

/// Statements that hold in the same way where the reader works.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Group {
    /// Where they hold, in words.
    pub(crate) heading: String,
    pub(crate) statements: Vec<&'static Statement>,
}

/// `caution R14`.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct StatementShown {
    /// The topic it belongs to.
    pub(crate) topic: &'static str,
    pub(crate) statement: &'static Statement,
    /// What governs above it.
    pub(crate) governs: &'static str,
}

impl Sources {
    pub(crate) fn new(topics: Vec<&'static Topic>, place: Option<Jurisdiction>) -> Self {
        let of = |topic: &'static Topic| TopicSources {
            topic: &topic.name,
            title: &topic.title,
            why: &topic.why,
            checked: topic.tally(),
            statements: groups(topic, place),
            often_heard: &topic.heard,
        };
        Self { topics: topics.into_iter().map(of).collect() }
    }
}

/// The statements of a topic; with a place, its own first, then what holds there too, then what was made for others.
fn groups(topic: &'static Topic, place: Option<Jurisdiction>) -> Vec<Group> {
    let all = topic.statements.iter();
    let Some(place) = place else {
        let heading = "What is known, and who says so".to_owned();
        return vec![Group { heading, statements: all.collect() }];
    };
    let name = place.name();
    let headings = [
        format!("Made for {name}"),
        "Holding there too".to_owned(),
        format!("Made for other places: no law in {name}"),
    ];
    let group = |(distance, heading)| {
        let statements = all.clone().filter(|s| s.distance(place) == distance).collect();
        Group { heading, statements }
    };
    let groups = (0..).zip(headings).map(group);
    groups.filter(|group| !group.statements.is_empty()).collect()
}

/// "60 read, 20 part read, 12 from memory, 2 worked out here".
pub(crate) fn counted(tally: &Tally) -> String {
    let Tally { read, part_read, from_memory, worked_out } = tally;
    format!(
        "{read} read, {part_read} part read, {from_memory} from memory, {worked_out} worked out here"
    )
}

/// Writes it: what it says, who says so, and how that was checked.
fn statement(statement: &Statement, page: &mut Page) {
    let Statement { id, says, source, clause, year, read, memory, worked_out, second, .. } =
        statement;
    let places: Vec<String> = statement.places.iter().map(ToString::to_string).collect();
    page.hanging(0, 5, format!("{id} ({}): {says}", places.join(", ")));
    let clause = clause.as_ref().map_or_else(String::new, |clause| format!("; {clause}"));
    let year = year.as_deref().unwrap_or("undated");
    page.hanging(5, 7, format!("source: {source}{clause}; {year}"));
    let read = read.as_ref().map(|page| format!("read in {page}"));
    let memory = memory.as_ref().map(|what| format!("from memory, look it up: {what}"));
    let worked_out = worked_out.as_ref().map(|from| format!("worked out here from {from}"));
    let checked: Vec<String> = [read, memory, worked_out].into_iter().flatten().collect();
    page.hanging(5, 7, format!("checked: {}", checked.join("; ")));
    if let Some(second) = second {
        page.hanging(5, 7, format!("second source: {second}"));
    }
}

impl Report for Sources {
    fn text(&self, page: &mut Page) {
        for topic in &self.topics {
            page.section(Tone::Strong, &format!("{}: {}", topic.topic, topic.title));
            page.say(topic.why);
            page.say(format!("Statements: {}.", counted(&topic.checked)));
            for group in &topic.statements {
                page.section(Tone::Strong, &group.heading);
                for each in &group.statements {
                    statement(each, page);
                }
            }
            for Heard { claim, right, met, see } in topic.often_heard {
                page.gap();
                let met = if *met == Met::Seen { "seen in print" } else { "expected, not seen" };
                page.hang(format!("WRONG: \"{claim}\" ({met})"));
                page.item(format!("right: {right} See {}.", see.join(", ")));
            }
        }
    }
}

impl Report for StatementShown {
    fn text(&self, page: &mut Page) {
        statement(self.statement, page);
        page.gap();
        page.say(self.governs);
        page.say(format!("All of it: tackfree caution {} --sources", self.topic));
    }
}
