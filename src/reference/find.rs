//! Finding a topic and its statements by free text.
//!
//! A question and the texts are brought to the same terms (synonyms, stems, spelling); a term weighs more the fewer topics
//! it points to, and more in a topic's name and search words than in its body. With ten topics this takes no index on disk
//! and no time worth naming.

use std::collections::{BTreeMap, BTreeSet};

use super::statement::{Heard, Statement};
use super::topic::Topic;
use super::words::Words;

/// How much a term weighs by where it stands.
const IN_NAME: f64 = 4.0;
const IN_SEARCH: f64 = 3.0;
const IN_SHORT: f64 = 2.0;
const IN_BODY: f64 = 1.0;
/// What a whole phrase of the search words adds, for each of its terms.
const PHRASE: f64 = 1.5;
/// A topic is a hit from this share of the best one's score.
const SHARE: f64 = 0.25;
/// The most statements and claims a hit brings.
const STATEMENTS: usize = 3;
const CLAIMS: usize = 2;

/// What a question found.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// Topics, best first.
    pub hits: Vec<Hit>,
    /// Whether the question asks for a verdict; none is given, and the topic says why and who gives it.
    pub verdict_asked: bool,
}

/// A topic that a question found.
#[derive(Debug, Clone, PartialEq)]
pub struct Hit {
    pub topic: &'static Topic,
    /// The statements that fit best, best first; empty where only the topic as a whole fits.
    pub statements: Vec<&'static Statement>,
    /// Claims often heard that the question may have in mind.
    pub heard: Vec<&'static Heard>,
    /// How well it fits; comparable within one question only.
    pub score: f64,
}

/// The terms of all topics, weighed.
#[derive(Debug)]
pub(super) struct Index {
    words: Words,
    topics: Vec<Terms>,
    /// What a term is worth among topics.
    worth: BTreeMap<String, f64>,
    /// What a term is worth among statements.
    statement_worth: BTreeMap<String, f64>,
}

#[derive(Debug, Default)]
struct Terms {
    weights: BTreeMap<String, f64>,
    phrases: BTreeSet<BTreeSet<String>>,
    statements: Vec<BTreeSet<String>>,
    heard: Vec<BTreeSet<String>>,
}

impl Index {
    pub(super) fn new(topics: &[Topic], mut words: Words) -> Self {
        for topic in topics {
            for text in name(topic).into_iter().chain(body(topic)) {
                words.learn(&text);
            }
        }
        let topics: Vec<Terms> = topics.iter().map(|topic| Terms::of(topic, &words)).collect();
        let all = topics.iter().flat_map(|terms| &terms.statements);
        let statement_worth =
            worth(all.map(|terms| terms.iter().map(|t| (t.clone(), 1.0)).collect()));
        let worth = worth(topics.iter().map(|terms| {
            terms.weights.iter().map(|(term, weight)| (term.clone(), *weight)).collect()
        }));
        Self { words, topics, worth, statement_worth }
    }

    pub(super) fn find(&self, topics: &'static [Topic], text: &str) -> Found {
        let (terms, verdict_asked) = self.words.question(text);
        let asked: BTreeSet<String> = terms.into_iter().collect();
        let mut hits: Vec<Hit> = topics
            .iter()
            .zip(&self.topics)
            .map(|(topic, terms)| self.hit(topic, terms, &asked))
            .filter(|hit| hit.score > 0.0)
            .collect();
        hits.sort_by(|a, b| b.score.total_cmp(&a.score));
        let least = hits.first().map_or(0.0, |best| best.score * SHARE);
        hits.retain(|hit| hit.score >= least);
        Found { hits, verdict_asked }
    }

    fn hit(&self, topic: &'static Topic, terms: &Terms, asked: &BTreeSet<String>) -> Hit {
        let worth = |term: &String| self.worth.get(term).copied().unwrap_or(0.0);
        let single: f64 = asked
            .iter()
            .map(|term| worth(term) * terms.weights.get(term).copied().unwrap_or(0.0))
            .sum();
        let phrases: f64 = terms
            .phrases
            .iter()
            .filter(|phrase| phrase.len() > 1 && phrase.is_subset(asked))
            .flat_map(|phrase| phrase.iter().map(|term| worth(term) * PHRASE))
            .sum();
        Hit {
            topic,
            statements: best(
                &topic.statements,
                &terms.statements,
                |set| self.fit(set, asked),
                STATEMENTS,
            ),
            heard: best(&topic.heard, &terms.heard, |set| self.fit(set, asked), CLAIMS),
            score: single + phrases,
        }
    }

    fn fit(&self, set: &BTreeSet<String>, asked: &BTreeSet<String>) -> f64 {
        set.intersection(asked).filter_map(|term| self.statement_worth.get(term)).sum()
    }
}

impl Terms {
    fn of(topic: &Topic, words: &Words) -> Self {
        let set = |text: &str| words.text(text).into_iter().collect::<BTreeSet<String>>();
        let mut weights: BTreeMap<String, f64> = BTreeMap::new();
        let mut weigh = |texts: Vec<String>, weight: f64| {
            for term in texts.iter().flat_map(|text| words.text(text)) {
                let old = weights.entry(term).or_insert(0.0);
                *old = old.max(weight);
            }
        };
        weigh(name(topic), IN_NAME);
        weigh(topic.search.clone(), IN_SEARCH);
        weigh(topic.short.clone(), IN_SHORT);
        weigh(body(topic), IN_BODY);
        Self {
            weights,
            phrases: topic.search.iter().map(|phrase| set(phrase)).collect(),
            statements: topic
                .statements
                .iter()
                .map(|s| set(&format!("{} {} {}", s.says, s.words, s.source)))
                .collect(),
            heard: topic.heard.iter().map(|h| set(&format!("{} {}", h.claim, h.right))).collect(),
        }
    }
}

fn name(topic: &Topic) -> Vec<String> {
    let mut texts = vec![topic.name.clone(), topic.title.clone()];
    texts.extend(topic.also.iter().cloned());
    texts
}

fn body(topic: &Topic) -> Vec<String> {
    let mut texts = vec![topic.why.clone(), topic.no_verdict.clone()];
    texts.extend(topic.what_to_do.iter().chain(&topic.who_decides).chain(&topic.short).cloned());
    texts.extend(topic.search.iter().cloned());
    texts.extend(topic.statements.iter().map(|s| format!("{} {}", s.says, s.words)));
    texts.extend(topic.heard.iter().map(|h| format!("{} {}", h.claim, h.right)));
    texts
}

/// What each term is worth: ln((N + 1) / (n + ½)), where n counts the N texts that hold it, each as its weight's share of
/// the term's greatest weight. A term that stands large in one topic and small in nine still points to the one.
fn worth(texts: impl Iterator<Item = Vec<(String, f64)>>) -> BTreeMap<String, f64> {
    let mut sums: BTreeMap<String, (f64, f64)> = BTreeMap::new();
    let mut count = 0.0;
    for text in texts {
        count += 1.0;
        for (term, weight) in text {
            let (sum, greatest) = sums.entry(term).or_insert((0.0, 0.0));
            *sum += weight;
            *greatest = greatest.max(weight);
        }
    }
    sums.into_iter()
        .map(|(term, (sum, greatest))| {
            (term, ((count + 1.0) / (sum / greatest + 0.5)).ln().max(0.0))
        })
        .collect()
}

/// The things that fit best, best first, at most so many; those that do not fit at all are left out.
fn best<'a, T>(
    things: &'a [T],
    sets: &[BTreeSet<String>],
    fit: impl Fn(&BTreeSet<String>) -> f64,
    most: usize,
) -> Vec<&'a T> {
    let mut fitting: Vec<(f64, &T)> =
        things.iter().zip(sets).map(|(thing, set)| (fit(set), thing)).collect();
    fitting.retain(|(fit, _)| *fit > 0.0);
    fitting.sort_by(|(a, _), (b, _)| b.total_cmp(a));
    let least = fitting.first().map_or(0.0, |(fit, _)| fit * 0.5);
    fitting
        .into_iter()
        .filter(|(fit, _)| *fit >= least)
        .take(most)
        .map(|(_, thing)| thing)
        .collect()
}
