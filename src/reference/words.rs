//! How questions are understood: words that mean the same, words that ask for a verdict, words without weight.

use std::collections::{BTreeMap, BTreeSet};

use super::blocks::{blocks, paragraph, phrases, sections};
use super::fault::{Fault, FaultKind};
use super::spelling::{nearest, split, stem};

/// The longest phrase that can stand for one word, in words.
const LONGEST: usize = 4;

/// Words dropped before anything else, so that "skin on my oil" is "skin on oil".
const ARTICLES: &[&str] =
    &["a", "an", "the", "my", "our", "your", "this", "that", "these", "those"];

/// The file of words, read.
#[derive(Debug)]
pub(super) struct Words {
    /// A phrase in stems, and the stem it stands for.
    same: BTreeMap<Vec<String>, String>,
    verdict: Vec<Vec<String>>,
    ignored: BTreeSet<String>,
    /// Every word that counts as spelt right.
    known: BTreeSet<String>,
    known_stems: BTreeSet<String>,
}

/// Reads the file of words.
pub(super) fn read(file: &str, text: &str) -> Result<Words, Fault> {
    let parts = sections(text);
    let mut words = Words {
        same: BTreeMap::new(),
        verdict: Vec::new(),
        ignored: BTreeSet::new(),
        known: BTreeSet::new(),
        known_stems: BTreeSet::new(),
    };
    for part in parts.iter().skip(1) {
        match part.name {
            "same" => {
                for block in blocks(file, &part.lines)? {
                    for field in block.fields() {
                        words.same_words(file, field.line, &field.key, &field.value)?;
                    }
                }
            }
            "verdict" => {
                words.verdict = part.lines.iter().map(|(_, line)| split(line)).collect();
                words.verdict.retain(|phrase| !phrase.is_empty());
            }
            "ignored" => {
                words.ignored = split(&paragraph(&part.lines)).into_iter().collect();
            }
            other => {
                return Err(Fault::at(file, part.line, FaultKind::Unknown(other.to_owned())));
            }
        }
    }
    words.known.extend(words.ignored.iter().cloned());
    words.known.extend(words.verdict.iter().flatten().cloned());
    words.known_stems = words.known.iter().map(|word| stem(word)).collect();
    Ok(words)
}

impl Words {
    fn same_words(&mut self, file: &str, line: usize, key: &str, all: &str) -> Result<(), Fault> {
        let target = split(key).iter().map(|word| stem(word)).collect::<Vec<_>>().join("-");
        for phrase in std::iter::once(key.to_owned()).chain(phrases(all)) {
            let tokens = without_articles(split(&phrase));
            self.known.extend(tokens.iter().cloned());
            let stems: Vec<String> = tokens.iter().map(|word| stem(word)).collect();
            match self.same.insert(stems, target.clone()) {
                Some(other) if other != target => {
                    return Err(Fault::at(file, line, FaultKind::Twice(phrase)));
                }
                _ => {}
            }
        }
        Ok(())
    }

    /// Counts the words of a text as spelt right.
    pub(super) fn learn(&mut self, text: &str) {
        for word in split(text) {
            self.known_stems.insert(stem(&word));
            self.known.insert(word);
        }
    }

    /// The words of a question, misspelt ones set right.
    fn corrected(&self, text: &str) -> Vec<String> {
        split(text)
            .into_iter()
            .map(|word| {
                if self.known_stems.contains(&stem(&word)) {
                    word
                } else {
                    nearest(&word, &self.known).unwrap_or(word)
                }
            })
            .collect()
    }

    /// What a question is about, in stems, and whether it asks for a verdict.
    pub(super) fn question(&self, text: &str) -> (Vec<String>, bool) {
        let words = self.corrected(text);
        let asked = self
            .verdict
            .iter()
            .any(|phrase| words.windows(phrase.len()).any(|window| window == phrase.as_slice()));
        (self.terms(words), asked)
    }

    /// What a text of the reference is about, in stems; its spelling is taken as it stands.
    pub(super) fn text(&self, text: &str) -> Vec<String> {
        self.terms(split(text))
    }

    fn terms(&self, words: Vec<String>) -> Vec<String> {
        let words = without_articles(words);
        let stems: Vec<String> = words.iter().map(|word| stem(word)).collect();
        let mut terms = Vec::new();
        let mut at = 0;
        while at < stems.len() {
            let found = (1..=LONGEST.min(stems.len() - at)).rev().find_map(|length| {
                // A word without weight is not looked up by itself: "can" the verb is no tin.
                let weightless =
                    length == 1 && words.get(at).is_some_and(|w| self.ignored.contains(w));
                let phrase = stems.get(at..at + length).filter(|_| !weightless)?;
                self.same.get(phrase).map(|target| (length, target.clone()))
            });
            if let Some((length, target)) = found {
                terms.push(target);
                at += length;
                continue;
            }
            if let (Some(word), Some(stem)) = (words.get(at), stems.get(at))
                && !self.ignored.contains(word)
            {
                terms.push(stem.clone());
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
