//! Small matters of grammar: how many of what, and lists in a sentence.

use std::fmt;

/// So many of something, with the plural where it belongs: "1 piece", "36 pieces".
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Count<N>(pub(crate) N, pub(crate) &'static str);

impl<N: fmt::Display + PartialEq + From<u8>> fmt::Display for Count<N> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self(number, noun) = self;
        if *number == N::from(1) {
            return write!(f, "{number} {noun}");
        }
        match noun {
            noun if noun.ends_with("ch") || noun.ends_with("sh") || noun.ends_with('s') => {
                write!(f, "{number} {noun}es")
            }
            noun if noun.ends_with("ry") => write!(f, "{number} {}ies", noun.trim_end_matches('y')),
            noun => write!(f, "{number} {noun}s"),
        }
    }
}

/// "a", "a and b", "a, b and c".
pub(crate) fn all_of<W: fmt::Display>(words: impl IntoIterator<Item = W>) -> String {
    listed(words, "and")
}

/// "a", "a or b", "a, b or c".
pub(crate) fn one_of<W: fmt::Display>(words: impl IntoIterator<Item = W>) -> String {
    listed(words, "or")
}

fn listed<W: fmt::Display>(words: impl IntoIterator<Item = W>, joint: &str) -> String {
    let words: Vec<String> = words.into_iter().map(|word| word.to_string()).collect();
    match &words[..] {
        [] => "nothing".to_owned(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} {joint} {last}", first.join(", ")),
    }
}
