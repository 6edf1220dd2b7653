//! One topic whole: what to do now first, then why, who says so, and who decides. And one statement by its id.

use serde::Serialize;

use crate::reference::{Jurisdiction, Statement, Tally, Topic};
use crate::report::caution::from_setup::FromSetup;
use crate::report::caution::statement::{HeardLine, StatementLine};
use crate::report::caution::{Place, counted};
use crate::report::page::Tone;
use crate::report::{Page, Report};
use crate::shop::setup::Setup;

/// `caution TOPIC`.
#[derive(Debug, Clone, Serialize)]
pub struct TopicShown {
    pub topic: &'static str,
    pub title: &'static str,
    /// What the user's own data sheets say; it stands above the reference.
    pub from_setup: Vec<FromSetup>,
    /// What to do in at most three lines.
    pub short: &'static [String],
    /// What to do, whole.
    pub what_to_do: &'static [String],
    pub why: &'static str,
    /// Why no verdict is given.
    pub no_verdict: &'static str,
    /// Who has the last word.
    pub who_decides: &'static [String],
    /// What governs above this page.
    pub governs: &'static str,
    /// Where the reader works, if said.
    #[serde(rename = "where")]
    pub place: Option<Place>,
    /// The statements, those of the place first.
    pub statements: Vec<Group>,
    /// Claims often heard that are wrong.
    pub often_heard: Vec<HeardLine>,
    /// How the statements were checked, counted.
    pub checked: Tally,
}

/// Statements that hold in the same way where the reader works.
#[derive(Debug, Clone, Serialize)]
pub struct Group {
    /// Where they hold, in words.
    pub heading: String,
    /// The statements, in the order of the file.
    pub statements: Vec<StatementLine>,
}

/// `caution R14`.
#[derive(Debug, Clone, Serialize)]
pub struct StatementShown {
    /// The topic it belongs to.
    pub topic: &'static str,
    pub statement: StatementLine,
    /// What governs above it.
    pub governs: &'static str,
}

impl TopicShown {
    /// A topic, for a place, below what the setup says.
    pub fn new(topic: &'static Topic, place: Option<Jurisdiction>, setup: Option<&Setup>) -> Self {
        let heard = topic.heard.iter().map(|heard| HeardLine::new(&topic.name, heard));
        Self {
            topic: &topic.name,
            title: &topic.title,
            from_setup: FromSetup::all(&topic.name, setup),
            short: &topic.short,
            what_to_do: &topic.what_to_do,
            why: &topic.why,
            no_verdict: &topic.no_verdict,
            who_decides: &topic.who_decides,
            governs: &topic.governs,
            place: place.map(Place::new),
            statements: groups(topic, place),
            often_heard: heard.collect(),
            checked: topic.tally(),
        }
    }
}

impl StatementShown {
    /// A statement with its topic.
    pub fn new(topic: &'static Topic, statement: &'static Statement) -> Self {
        let governs = &topic.governs;
        Self { topic: &topic.name, statement: StatementLine::new(statement), governs }
    }
}

/// The statements of a topic; with a place, its own first, then what holds there too, then what was made for others.
pub(super) fn groups(topic: &'static Topic, place: Option<Jurisdiction>) -> Vec<Group> {
    let group = |heading: String, statements: &[&'static Statement]| Group {
        heading,
        statements: statements.iter().map(|statement| StatementLine::new(statement)).collect(),
    };
    let Some(place) = place else {
        let all: Vec<&Statement> = topic.statements.iter().collect();
        return vec![group("What is known, and who says so".to_owned(), &all)];
    };
    let by = topic.for_jurisdiction(place);
    let name = place.name();
    let wider = if place.in_eu() { "the European Union's, and what holds" } else { "what holds" };
    let mut groups = vec![
        group(format!("Made for {name}"), &by.here),
        group(format!("Holding there too: {wider} anywhere"), &by.wider),
        group(format!("Made for other places: no law in {name}"), &by.elsewhere),
    ];
    groups.retain(|group| !group.statements.is_empty());
    groups
}

fn list(items: &[String], page: &mut Page) {
    for item in items {
        page.hanging(0, 2, &format!("- {item}"));
    }
}

impl Report for TopicShown {
    fn text(&self, page: &mut Page) {
        page.heading(Tone::Strong, self.title);
        FromSetup::text(&self.from_setup, page);
        for (number, line) in self.short.iter().enumerate() {
            page.toned(if number == 0 { Tone::Late } else { Tone::Plain }, 0, 2, line);
        }
        page.gap();
        page.heading(Tone::Strong, "What to do");
        list(self.what_to_do, page);
        page.gap();
        page.heading(Tone::Strong, "Why");
        page.line(0, self.why);
        page.gap();
        page.heading(Tone::Strong, "Who decides");
        list(self.who_decides, page);
        page.line(0, self.governs);
        page.line(0, self.no_verdict);
        self.place_text(page);
        for group in &self.statements {
            page.gap();
            page.heading(Tone::Strong, &group.heading);
            for statement in &group.statements {
                page.gap();
                statement.text(page);
            }
        }
        page.gap();
        page.heading(Tone::Strong, "Often heard, and wrong");
        for heard in &self.often_heard {
            page.gap();
            heard.text(page);
        }
        page.gap();
        page.line(0, &format!("Statements: {}.", counted(&self.checked)));
    }
}

impl TopicShown {
    fn place_text(&self, page: &mut Page) {
        let Some(place) = self.place.as_ref() else { return };
        if place.nothing_on.contains(&self.topic) {
            page.gap();
            let text = format!(
                "The reference has nothing on this that was made for {}. Ask those named above, there.",
                place.name
            );
            page.toned(Tone::Late, 0, 2, &text);
        }
    }
}

impl Report for StatementShown {
    fn text(&self, page: &mut Page) {
        self.statement.text(page);
        page.gap();
        page.line(0, self.governs);
        page.line(0, &format!("All of it: tackfree caution {}", self.topic));
    }
}
