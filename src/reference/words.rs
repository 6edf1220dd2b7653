//! How questions are understood: words that mean the same, words without weight, and misspelt ones.

use std::collections::{BTreeMap, BTreeSet};

use serde::Deserialize;

use super::place::Jurisdiction;
use super::spelling::{one_letter_off, split, stem};
use super::topic::Answer;

/// The longest phrase that can stand for one word, in words.
const LONGEST: usize = 4;

/// Words dropped before anything else, so that "skin on my oil" is "skin on oil".
const ARTICLES: &[&str] = &[
    "a", "an", "the", "my", "our", "your", "his", "her", "their", "this", "that", "these", "those",
    "some",
];

/// `reference/words.toml`.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct WordFile {
    /// Words that carry no weight.
    ignored: String,
    /// A word, and the words and phrases it stands for.
    same: BTreeMap<String, Vec<String>>,
    /// How a place is named in a question.
    places: BTreeMap<Jurisdiction, Vec<String>>,
    /// What the reference doesn't cover, and whom to ask.
    pub(super) elsewhere: Vec<Answer>,
}

/// The words, ready for questions.
#[derive(Debug, Default)]
pub(super) struct Words {
    /// A phrase in stems, and what it stands for.
    same: BTreeMap<Vec<String>, Vec<String>>,
    places: BTreeMap<String, Jurisdiction>,
    heads: BTreeSet<String>,
    ignored: BTreeSet<String>,
    /// The stems of the reference's words.
    known: BTreeSet<String>,
    /// What a misspelt word may be bent to: those, and with their endings.
    shapes: BTreeSet<String>,
    /// Those of them that tell of an emergency: of two that are as near, the one meant.
    urgent: BTreeSet<String>,
    /// The stems of other words of the language that look like one of them.
    others: BTreeSet<&'static str>,
}

/// A question, understood.
#[derive(Debug)]
pub(super) struct Asked {
    pub(super) terms: BTreeSet<String>,
    pub(super) place: Option<Jurisdiction>,
}

impl Words {
    pub(super) fn new(file: &WordFile, others: &'static str) -> Self {
        let mut words =
            Self { ignored: split(&file.ignored).into_iter().collect(), ..Self::default() };
        words.others = others.lines().filter(|line| !line.starts_with('#')).collect();
        for (word, phrases) in &file.same {
            words.heads.insert(word.clone());
            for phrase in std::iter::once(word).chain(phrases) {
                words.means(phrase, word);
            }
        }
        for (place, phrases) in &file.places {
            let term = format!("place {place}");
            for phrase in phrases.iter().map(String::as_str).chain([place.name()]) {
                words.means(phrase, &term);
            }
            words.places.insert(term, *place);
        }
        words
    }

    fn means(&mut self, phrase: &str, term: &str) {
        let stems: Vec<String> = without_articles(split(phrase)).iter().map(|w| stem(w)).collect();
        self.learn(phrase);
        self.same.entry(stems).or_default().push(term.to_owned());
    }

    /// Counts the words of a text among those a misspelt one may be bent to.
    pub(super) fn learn(&mut self, text: &str) {
        for word in split(text).into_iter().filter(|word| !self.ignored.contains(word)) {
            let stem = stem(&word);
            let endings: &[&str] =
                if stem.len() > 3 { &["", "ing", "ed", "s"] } else { &["", "s"] };
            self.shapes.extend(endings.iter().map(|ending| format!("{stem}{ending}")));
            self.shapes.insert(word);
            self.known.insert(stem);
        }
    }

    /// Takes note of what an emergency is asked with, and of all that means the same.
    pub(super) fn press(&mut self, terms: &BTreeSet<&String>) {
        let all =
            self.same.iter().filter(|(_, heads)| heads.iter().any(|head| terms.contains(head)));
        let stems = all.flat_map(|(phrase, _)| phrase).chain(terms.iter().copied());
        self.urgent = stems.map(|word| stem(word)).collect();
    }

    /// What a word of an ask wants: where it heads a list of others, what that stands for and nothing else.
    pub(super) fn wanted(&self, word: &str) -> BTreeSet<String> {
        if self.heads.contains(word) {
            return BTreeSet::from([word.to_owned()]);
        }
        self.terms(&split(word))
    }

    pub(super) fn ask(&self, text: &str) -> Asked {
        let words: Vec<String> = split(text).into_iter().map(|word| self.corrected(word)).collect();
        let terms = self.terms(&without_articles(words));
        let named = terms.iter().find_map(|term| self.places.get(term).copied());
        // The pronoun isn't a country.
        let us = || text.split(|c: char| !c.is_alphanumeric()).any(|w| w == "US" || w == "USA");
        let place = named.or_else(|| us().then(|| "US".parse().ok()).flatten());
        Asked { terms, place }
    }

    /// The word, or the one of the reference that it is one letter away from.
    fn corrected(&self, word: String) -> String {
        let other = self.others.contains(stem(&word).as_str());
        if other || self.ignored.contains(&word) { word } else { self.bent(&word).unwrap_or(word) }
    }

    /// The word of the reference that one letter makes of this one; `None` where it is one of them itself, or like none.
    pub(super) fn bent(&self, word: &str) -> Option<String> {
        let digit = word.chars().any(|c| c.is_ascii_digit());
        if word.len() < 3 || digit || self.known.contains(&stem(word)) {
            return None;
        }
        // The first letter is right, or stands second.
        let near = word.chars().take(2).flat_map(|initial| {
            let from = self.shapes.range(initial.to_string()..);
            from.take_while(move |shape| shape.starts_with(initial))
        });
        near.filter(|shape| shape.len() >= 3 && one_letter_off(word, shape))
            .min_by_key(|shape| {
                let second = shape.as_bytes().first() != word.as_bytes().first();
                (second, !self.urgent.contains(&stem(shape)), shape.len())
            })
            .cloned()
    }

    /// What words are about: the stem of each that carries weight, and what it or a phrase of them stands for.
    pub(super) fn terms(&self, words: &[String]) -> BTreeSet<String> {
        let stems: Vec<String> = words.iter().map(|word| stem(word)).collect();
        let mut terms = BTreeSet::new();
        let mut at = 0;
        while let (Some(word), Some(root)) = (words.get(at), stems.get(at)) {
            let phrase = (2..=LONGEST.min(stems.len() - at)).rev().find_map(|length| {
                self.same.get(stems.get(at..at + length)?).map(|means| (length, means))
            });
            if let Some((length, means)) = phrase {
                terms.extend(means.iter().cloned());
                at += length;
                continue;
            }
            if !self.ignored.contains(word) {
                let means = self.same.get(std::slice::from_ref(root));
                terms.extend(means.into_iter().flatten().cloned());
                terms.insert(root.clone());
            }
            at += 1;
        }
        terms
    }
}

fn without_articles(mut words: Vec<String>) -> Vec<String> {
    words.retain(|word| !ARTICLES.contains(&word.as_str()));
    words
}
