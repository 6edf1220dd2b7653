//! Finding what answers a question in free text.
//!
//! Each answer says which words ask for it. The one whose rarest words are all in the question answers; where none is, the
//! lines of the reference that hold most of the question do; and where those hold too little of it, nothing does.

use std::collections::{BTreeMap, BTreeSet};

use super::place::Jurisdiction;
use super::spelling::split;
use super::topic::{Answer, Topic};
use super::words::{Asked, WordFile, Words};

/// The most answers, and the share of the best one's score from which a further one counts.
const ANSWERS: usize = 2;
const SHARE: f64 = 0.6;
/// The most lines of the reference in place of an answer, and how much of the question's weight they must hold.
const LINES: usize = 3;
const HOLDS: f64 = 0.6;

/// What a question found.
#[derive(Debug, Default)]
pub struct Found {
    /// What to do now, where something burns or somebody is hurt.
    pub emergency: Option<Hit>,
    /// The answers, best first.
    pub answers: Vec<Hit>,
    /// Lines of the reference that hold what is asked, where nothing answers it whole.
    pub(crate) lines: Vec<(&'static Topic, &'static str)>,
    /// Whom to ask about what the reference doesn't cover.
    pub(crate) elsewhere: Option<&'static str>,
    /// Whether a verdict is asked for.
    pub(crate) verdict: bool,
    /// The place the question names.
    pub place: Option<Jurisdiction>,
}

/// An answer that a question found.
#[derive(Debug, Clone, Copy)]
pub struct Hit {
    pub(crate) topic: &'static Topic,
    pub answer: &'static Answer,
}

impl Found {
    /// The topic that answers first.
    pub fn topic(&self) -> Option<&'static Topic> {
        let hit = self.emergency.as_ref().or(self.answers.first());
        hit.map(|hit| hit.topic).or_else(|| self.lines.first().map(|(topic, _)| *topic))
    }
}

/// Everything that can be asked for, in the terms of questions.
#[derive(Debug)]
pub(super) struct Index {
    words: Words,
    emergencies: Vec<Asks>,
    answers: Vec<Asks>,
    elsewhere: Vec<Asks>,
    lines: Vec<(&'static Topic, &'static str, BTreeSet<String>)>,
    /// In how many of them a term stands.
    count: BTreeMap<String, u32>,
}

/// An answer and the combinations of words that ask for it.
#[derive(Debug)]
struct Asks {
    topic: Option<&'static Topic>,
    answer: &'static Answer,
    ways: Vec<Vec<Wanted>>,
}

/// One place in a combination: any of these terms, or none of them.
#[derive(Debug)]
struct Wanted {
    any: BTreeSet<String>,
    absent: bool,
}

impl Index {
    pub(super) fn new(
        topics: impl Iterator<Item = &'static Topic> + Clone,
        file: &'static WordFile,
        others: &'static str,
    ) -> Self {
        let mut words = Words::new(file, others);
        let of_topics = topics.clone().flat_map(|t| t.emergencies.iter().chain(&t.answers));
        for ask in of_topics.chain(&file.elsewhere).flat_map(|answer| &answer.asks) {
            words.learn(ask);
        }
        let read = |topic: Option<&'static Topic>, answers: &'static [Answer]| {
            answers.iter().map(|answer| Asks::new(topic, answer, &words)).collect::<Vec<_>>()
        };
        let emergencies: Vec<Asks> =
            topics.clone().flat_map(|topic| read(Some(topic), &topic.emergencies)).collect();
        let answers: Vec<Asks> =
            topics.clone().flat_map(|topic| read(Some(topic), &topic.answers)).collect();
        let elsewhere = read(None, &file.elsewhere);
        let lines: Vec<_> = topics.flat_map(|topic| lines(topic, &words)).collect();
        words.press(&emergencies.iter().flat_map(Asks::terms).collect());
        let mut count = BTreeMap::new();
        let asks = emergencies.iter().chain(&answers).chain(&elsewhere).map(Asks::terms);
        for term in asks.chain(lines.iter().map(|(_, _, terms)| terms.iter().collect())).flatten() {
            *count.entry(term.clone()).or_insert(0) += 1;
        }
        Self { words, emergencies, answers, elsewhere, lines, count }
    }

    /// The word of the reference that one letter makes of this one.
    pub(super) fn bent(&self, word: &str) -> Option<String> {
        self.words.bent(word)
    }

    /// Whether a text holds a word that stands under that head.
    pub(super) fn holds(&self, text: &str, head: &str) -> bool {
        self.words.ask(text).terms.contains(head)
    }

    pub(super) fn find(&self, text: &str) -> Found {
        let Asked { terms, place } = self.words.ask(text);
        let emergency = self.hits(&self.emergencies, &terms).into_iter().next();
        let mut found = Found {
            emergency: emergency.and_then(|(asks, _)| asks.hit()),
            verdict: terms.contains("verdict"),
            place,
            ..Found::default()
        };
        let answers = self.hits(&self.answers, &terms);
        let top = answers.first().map_or(0.0, |(_, score)| *score);
        let elsewhere = self.hits(&self.elsewhere, &terms).into_iter().next();
        if let Some((asks, _)) = elsewhere.filter(|(_, score)| *score > top) {
            found.elsewhere = asks.answer.says.first().map(String::as_str);
            return found;
        }
        let close = answers.into_iter().filter(|(_, score)| *score >= top * SHARE);
        found.answers = close.filter_map(|(asks, _)| asks.hit()).take(ANSWERS).collect();
        if found.answers.is_empty() && found.emergency.is_none() {
            found.lines = self.lines(&terms);
        }
        found
    }

    /// What is asked for, best first.
    fn hits<'a>(&self, asks: &'a [Asks], terms: &BTreeSet<String>) -> Vec<(&'a Asks, f64)> {
        let scored = asks.iter().map(|asks| (asks, self.score(asks, terms)));
        let mut hits: Vec<(&Asks, f64)> = scored.filter(|(_, score)| *score > 0.0).collect();
        hits.sort_by(|(_, a), (_, b)| b.total_cmp(a));
        hits
    }

    /// The weight of the heaviest combination that the question holds whole, and a little for each further one.
    fn score(&self, asks: &Asks, terms: &BTreeSet<String>) -> f64 {
        let held = asks.ways.iter().filter_map(|way| self.held(way, terms));
        let (most, sum) = held
            .fold((0.0, 0.0), |(most, sum): (f64, f64), weight| (most.max(weight), sum + weight));
        most + 0.1 * (sum - most)
    }

    fn held(&self, way: &[Wanted], terms: &BTreeSet<String>) -> Option<f64> {
        way.iter().try_fold(0.0, |sum, wanted| {
            let held = wanted.any.intersection(terms).map(|term| self.worth(term)).reduce(f64::max);
            match (held, wanted.absent) {
                (Some(worth), false) => Some(sum + worth),
                (None, true) => Some(sum),
                _ => None,
            }
        })
    }

    /// ln((N + 1) / (n + ½)) for a term that stands in n of the N things that can be asked for.
    fn worth(&self, term: &str) -> f64 {
        let all =
            self.emergencies.len() + self.answers.len() + self.elsewhere.len() + self.lines.len();
        let all = f64::from(u32::try_from(all).unwrap_or(u32::MAX));
        ((all + 1.0) / (f64::from(self.count.get(term).copied().unwrap_or(0)) + 0.5)).ln()
    }

    /// The lines that hold at least two words of the question, and most of its weight.
    fn lines(&self, terms: &BTreeSet<String>) -> Vec<(&'static Topic, &'static str)> {
        let asked: f64 =
            terms.iter().filter(|term| *term != "verdict").map(|term| self.worth(term)).sum();
        let fit = |held: &BTreeSet<String>| -> f64 {
            let held: Vec<&String> = held.intersection(terms).collect();
            if held.len() < 2 { 0.0 } else { held.into_iter().map(|term| self.worth(term)).sum() }
        };
        let scored = self.lines.iter().map(|(topic, line, held)| (fit(held), *topic, *line));
        let mut lines: Vec<_> =
            scored.filter(|(fit, ..)| *fit > 0.0 && *fit >= asked * HOLDS).collect();
        lines.sort_by(|(a, ..), (b, ..)| b.total_cmp(a));
        lines.into_iter().map(|(_, topic, line)| (topic, line)).take(LINES).collect()
    }
}

impl Asks {
    fn new(topic: Option<&'static Topic>, answer: &'static Answer, words: &Words) -> Self {
        let wanted = |part: &str| Wanted {
            absent: part.starts_with('-'),
            any: part.split(['/', '-']).flat_map(|word| words.wanted(word)).collect(),
        };
        let way = |ask: &String| ask.split_whitespace().map(wanted).collect();
        Self { topic, answer, ways: answer.asks.iter().map(way).collect() }
    }

    fn terms(&self) -> BTreeSet<&String> {
        self.ways
            .iter()
            .flatten()
            .filter(|wanted| !wanted.absent)
            .flat_map(|wanted| &wanted.any)
            .collect()
    }

    fn hit(&self) -> Option<Hit> {
        self.topic.map(|topic| Hit { topic, answer: self.answer })
    }
}

/// Every line of a topic that can answer: what to do, what is known, and what is wrongly said.
fn lines(
    topic: &'static Topic,
    words: &Words,
) -> Vec<(&'static Topic, &'static str, BTreeSet<String>)> {
    let title = format!("{} {}", topic.title, topic.also.join(" "));
    let statements = topic.statements.iter().map(|s| (s.says.as_str(), s.source.as_str()));
    let heard = topic.heard.iter().map(|h| (h.right.as_str(), h.claim.as_str()));
    let what_to_do = topic.what_to_do.iter().map(|line| (line.as_str(), title.as_str()));
    what_to_do
        .chain(statements)
        .chain(heard)
        .map(|(line, found_by)| {
            let text = format!("{line} {found_by}");
            (topic, line, words.terms(&split(&text)))
        })
        .collect()
}
