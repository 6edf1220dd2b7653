//! What a question in free text found: what to do now, the answer, who decides, and where the rest is.

use schemars::JsonSchema;
use serde::Serialize;

use crate::reference::{self, Found, Hit, Jurisdiction};
use crate::report::caution::from_setup::FromSetup;
use crate::report::caution::{TopicLine, country};
use crate::report::{Page, Report, Tone};
use crate::shop::setup::Setup;

/// The most answers; below what to do now, one.
const ANSWERS: usize = 2;
/// So many places are told apart where nobody said which, below an answer of at most one line.
const SHORT: usize = 1;

/// `caution "can I leave the rags in the bin"`.
#[derive(Debug, Clone, Default, JsonSchema, Serialize)]
pub struct Answer {
    /// What to do now, where something burns or somebody is hurt; before anything else.
    pub(crate) now: &'static [String],
    /// The answers, best first.
    pub(crate) answers: Vec<Answered>,
    /// What the user's own data sheets say, where they say one thing or the question names the finish.
    pub(crate) from_setup: Vec<FromSetup>,
    /// Where nothing answers: that it doesn't, and whom to ask.
    pub(crate) nothing: Option<String>,
    /// Whether a verdict was asked for; none is ever given.
    pub(crate) verdict_asked: bool,
    pub(crate) who_decides: Option<String>,
    /// Where the reader works, if said.
    #[serde(rename = "where")]
    pub(crate) place: Option<Jurisdiction>,
    /// The command that shows the rest.
    pub(crate) more: String,
    /// Every topic there is, where nothing was found.
    pub(crate) topics: Vec<TopicLine>,
}

/// One answer of a topic.
#[derive(Debug, Clone, JsonSchema, Serialize)]
pub(crate) struct Answered {
    pub(crate) topic: &'static str,
    pub(crate) says: Vec<String>,
    /// The statements behind it.
    pub(crate) see: &'static [String],
}

impl Answer {
    /// What the reference answers to a question; a place it names comes before the shop's.
    pub fn new(text: &str, place: Option<Jurisdiction>, setup: Option<&Setup>) -> Self {
        let found = reference::find(text);
        let place = place.or(found.place).or_else(|| country(setup));
        let Some(topic) = found.topic() else { return Self::nothing(&found, place) };
        let hit = found.emergency.as_ref().or(found.answers.first());
        let subject = hit.and_then(|hit| hit.answer.authority.as_ref()).unwrap_or(&topic.authority);
        let here = place.and_then(|place| Some((place, reference::authority(subject, place)?)));
        let anywhere = || topic.who_decides.iter().take(2).cloned().collect::<Vec<_>>().join("; ");
        let who_decides = match here {
            Some((place, who)) => format!("Who decides ({place}): {who}."),
            None => format!("Who decides: {}.", anywhere()),
        };
        let now = found.emergency.map_or(&[][..], |hit| &hit.answer.says);
        Self {
            now,
            answers: answers(&found, place),
            from_setup: if now.is_empty() {
                of_sheets(&topic.name, text, setup)
            } else {
                Vec::new()
            },
            verdict_asked: found.verdict,
            who_decides: Some(who_decides),
            place,
            more: format!("tackfree caution {} --sources", topic.name),
            ..Self::default()
        }
    }

    fn nothing(found: &Found, place: Option<Jurisdiction>) -> Self {
        let ask = found.elsewhere.unwrap_or(
            "Ask the maker of the finish, your local authority, or a doctor where health is concerned.",
        );
        Self {
            nothing: Some(format!("The reference has nothing on that. {ask}")),
            verdict_asked: found.verdict,
            place,
            more: "tackfree caution".to_owned(),
            topics: TopicLine::all(),
            ..Self::default()
        }
    }
}

fn answers(found: &Found, place: Option<Jurisdiction>) -> Vec<Answered> {
    if found.answers.is_empty() {
        let line = |(topic, line): &(&'static reference::Topic, &str)| Answered {
            topic: &topic.name,
            says: vec![(*line).to_owned()],
            see: &[],
        };
        return found.lines.iter().map(line).collect();
    }
    let answered = found.answers.iter().map(|hit| Answered {
        topic: &hit.topic.name,
        says: says(hit, place),
        see: &hit.answer.see,
    });
    answered.take(if found.emergency.is_some() { 1 } else { ANSWERS }).collect()
}

/// What an answer says in that place, first; every place's where none is known.
fn says(hit: &Hit, place: Option<Jurisdiction>) -> Vec<String> {
    let answer = hit.answer;
    let mut says = answer.says.clone();
    let here = place.and_then(|place| place.of(&answer.by_place));
    match (here, place) {
        (Some(here), _) => says.insert(0, here.clone()),
        (None, Some(place)) if !answer.by_place.is_empty() => {
            says.push(format!("Nothing made for {} itself stands here: ask there.", place.name()));
        }
        _ if says.len() <= SHORT => says.extend(answer.by_place.values().cloned()),
        _ if !answer.by_place.is_empty() => {
            says.push(
                "It differs from place to place: add --where UK, or where you are.".to_owned(),
            );
        }
        _ => {}
    }
    says
}

/// What the sheets say on a topic: of the finish named in the question, else where all say the same.
fn of_sheets(topic: &str, text: &str, setup: Option<&Setup>) -> Vec<FromSetup> {
    let all = FromSetup::all(topic, setup);
    let text = text.to_lowercase();
    let named = all.iter().filter(|line| text.contains(&line.finish.to_lowercase()));
    let named: Vec<FromSetup> = named.cloned().collect();
    match all.first() {
        Some(first) if named.is_empty() && all.iter().all(|line| line.says == first.says) => all,
        _ => named,
    }
}

impl Report for Answer {
    fn text(&self, page: &mut Page) {
        for line in self.now {
            page.toned(Tone::Late, 0, 0, line);
        }
        if let Some(nothing) = &self.nothing {
            page.say(nothing);
            let names: Vec<&str> = self.topics.iter().map(|topic| topic.name).collect();
            page.hang(format!("It holds: {}.", names.join(", ")));
        }
        if !self.answers.is_empty() {
            page.gap();
        }
        for line in self.answers.iter().flat_map(|answered| &answered.says) {
            page.say(line);
        }
        FromSetup::text(&self.from_setup, page);
        if self.verdict_asked {
            page.say("No verdict is given here.");
        }
        if let Some(who) = &self.who_decides {
            page.hang(who);
        }
        page.hang(format!("More: {}", self.more));
    }
}
