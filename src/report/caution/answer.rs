//! What a question in free text found: the best one to three topics, and where a verdict was asked for, why none is given.

use serde::Serialize;

use crate::reference::{self, Found, Hit, Jurisdiction, Statement, Topic};
use crate::report::caution::from_setup::FromSetup;
use crate::report::caution::statement::{HeardLine, StatementLine};
use crate::report::caution::{Place, TopicLine};
use crate::report::page::Tone;
use crate::report::{Page, Report};
use crate::shop::count::all_of;
use crate::shop::setup::Setup;

/// The most topics shown.
const TOPICS: usize = 3;
/// A further topic is shown from this share of the best one's score: below it the words met by chance.
const SHARE: f64 = 1.0 / 3.0;

/// `caution "can I leave the rags in the bin"`.
#[derive(Debug, Clone, Serialize)]
pub struct Answer {
    /// Why no verdict is given and who gives it, where one was asked for.
    pub no_verdict: Option<NoVerdict>,
    /// The topics found, best first; empty where nothing fits.
    pub found: Vec<Finding>,
    /// Where the reader works, if said.
    #[serde(rename = "where")]
    pub place: Option<Place>,
    /// Every topic there is, where nothing was found.
    pub topics: Vec<TopicLine>,
}

/// Why no verdict is given.
#[derive(Debug, Clone, Serialize)]
pub struct NoVerdict {
    /// The topic that says so.
    pub topic: &'static str,
    pub why: &'static str,
    pub who_decides: &'static [String],
}

/// One topic found.
#[derive(Debug, Clone, Serialize)]
pub struct Finding {
    pub topic: &'static str,
    pub title: &'static str,
    /// What the user's own data sheets say.
    pub from_setup: Vec<FromSetup>,
    /// What to do in at most three lines.
    pub short: &'static [String],
    /// The statements that fit best, best first; with a place its own before the others.
    pub statements: Vec<StatementLine>,
    /// Claims often heard that the question may have in mind.
    pub often_heard: Vec<HeardLine>,
}

impl Answer {
    /// What the reference answers to a question.
    pub fn new(text: &str, place: Option<Jurisdiction>, setup: Option<&Setup>) -> Self {
        let found = reference::find(text);
        let verdict = reference::no_verdict(&found).map(|topic| NoVerdict {
            topic: &topic.name,
            why: &topic.no_verdict,
            who_decides: &topic.who_decides,
        });
        let nothing = found.hits.is_empty() && verdict.is_none();
        Self {
            found: findings(found, place, setup),
            no_verdict: verdict,
            place: place.map(Place::new),
            topics: if nothing { TopicLine::all() } else { Vec::new() },
        }
    }
}

fn findings(found: Found, place: Option<Jurisdiction>, setup: Option<&Setup>) -> Vec<Finding> {
    let least = found.hits.first().map_or(0.0, |best| best.score * SHARE);
    let best = found.hits.into_iter().filter(|hit| hit.score >= least).take(TOPICS);
    let mut findings: Vec<Finding> = best.map(|hit| Finding::new(hit, place, setup)).collect();
    // The first topic answers; of a further one its best statement tells whether it is meant too.
    for further in findings.iter_mut().skip(1) {
        further.statements.truncate(1);
        further.often_heard.truncate(1);
    }
    findings
}

impl Finding {
    fn new(hit: Hit, place: Option<Jurisdiction>, setup: Option<&Setup>) -> Self {
        let Hit { topic, mut statements, heard, .. } = hit;
        if let Some(place) = place {
            statements.sort_by_key(|statement| nearness(topic, statement, place));
        }
        Self {
            topic: &topic.name,
            title: &topic.title,
            from_setup: FromSetup::all(&topic.name, setup),
            short: &topic.short,
            statements: statements.into_iter().map(StatementLine::new).collect(),
            often_heard: heard.into_iter().map(|h| HeardLine::new(&topic.name, h)).collect(),
        }
    }
}

/// 0 for a statement made for the place, 1 for one that holds there too, 2 for another's.
fn nearness(topic: &Topic, statement: &Statement, place: Jurisdiction) -> u8 {
    let by = topic.for_jurisdiction(place);
    let among = |all: &[&Statement]| all.iter().any(|other| other.id == statement.id);
    match (among(&by.here), among(&by.wider)) {
        (true, _) => 0,
        (false, true) => 1,
        (false, false) => 2,
    }
}

impl Report for Answer {
    fn text(&self, page: &mut Page) {
        if let Some(verdict) = &self.no_verdict {
            page.heading(Tone::Late, "No verdict is given here.");
            page.line(0, verdict.why);
            page.hanging(0, 2, &format!("Who gives it: {}.", verdict.who_decides.join("; ")));
        }
        for finding in &self.found {
            page.gap();
            finding.text(page);
        }
        self.place_text(page);
        if self.found.is_empty() && self.no_verdict.is_none() {
            page.line(0, "Nothing in the reference fits that. It holds these topics:");
            page.gap();
            TopicLine::table(&self.topics, page);
            page.gap();
            page.line(
                0,
                "What it does not hold is for the maker's data sheet and the authorities.",
            );
        }
    }
}

impl Answer {
    fn place_text(&self, page: &mut Page) {
        let Some(place) = &self.place else { return };
        let lacking: Vec<&str> = self.found.iter().map(|finding| finding.topic).collect();
        let lacking: Vec<&str> =
            lacking.into_iter().filter(|topic| place.nothing_on.contains(topic)).collect();
        if !lacking.is_empty() {
            page.gap();
            let text = format!(
                "Nothing made for {} itself on {}: the authorities there know their own rules.",
                place.name,
                all_of(&lacking)
            );
            page.hanging(0, 2, &text);
        }
    }
}

impl Finding {
    fn text(&self, page: &mut Page) {
        page.heading(Tone::Strong, self.title);
        FromSetup::text(&self.from_setup, page);
        for (number, line) in self.short.iter().enumerate() {
            page.toned(if number == 0 { Tone::Late } else { Tone::Plain }, 0, 2, line);
        }
        for statement in &self.statements {
            page.gap();
            statement.text(page);
        }
        for heard in &self.often_heard {
            page.gap();
            heard.text(page);
        }
        page.gap();
        page.line(0, &format!("All of it: tackfree caution {}", self.topic));
    }
}
