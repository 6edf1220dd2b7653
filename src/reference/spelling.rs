//! Words as people type them: splitting, stems, and the nearest word to a misspelt one.

use std::collections::BTreeSet;

/// Splits a text into lower-case words of letters and digits; an apostrophe joins ("don't" is `dont`).
pub(super) fn split(text: &str) -> Vec<String> {
    text.to_lowercase()
        .replace(['\'', '’'], "")
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}

/// Cuts the endings that do not change what a word is about: rags, drying, cured, allergies.
///
/// The first step of M. F. Porter's suffix stripping (Program 14, 1980, pages 130-137) in a simpler form, and a final e.
pub(super) fn stem(word: &str) -> String {
    let mut stem = word.to_owned();
    if !word.is_ascii() || word.len() <= 3 {
        return stem;
    }
    if let Some(root) = word.strip_suffix("ies").filter(|root| root.len() > 1) {
        stem = format!("{root}y");
    } else if word.ends_with('s') && !["ss", "us", "is"].iter().any(|end| word.ends_with(end)) {
        stem.pop();
    }
    for ending in ["ing", "ed"] {
        let root = stem.strip_suffix(ending).filter(|root| root.len() > 2 && has_vowel(root));
        if let Some(root) = root.map(str::to_owned) {
            stem = undouble(root);
            break;
        }
    }
    if stem.len() > 3 && stem.ends_with('e') {
        stem.pop();
    }
    stem
}

fn has_vowel(root: &str) -> bool {
    root.contains(['a', 'e', 'i', 'o', 'u', 'y'])
}

/// "shipp" is "ship", but "spill" stays.
fn undouble(mut root: String) -> String {
    let mut last = root.chars().rev();
    if let (Some(one), Some(two)) = (last.next(), last.next())
        && one == two
        && !['l', 's', 'z', 'e', 'o'].contains(&one)
    {
        root.pop();
    }
    root
}

/// The known word nearest to a misspelt one, where one is near enough: one change in four or five letters, two in more.
pub(super) fn nearest(word: &str, known: &BTreeSet<String>) -> Option<String> {
    let length = word.chars().count();
    if word.chars().any(|c| c.is_ascii_digit()) {
        return None;
    }
    let most = match length {
        0..=3 => return None,
        4..=5 => 1,
        _ => 2,
    };
    known
        .iter()
        .filter(|other| other.chars().count() >= 3)
        .map(|other| (changes(word, other), first_differs(word, other), other))
        .filter(|(changes, _, _)| *changes <= most)
        .min()
        .map(|(_, _, other)| other.clone())
}

fn first_differs(one: &str, other: &str) -> bool {
    one.chars().next() != other.chars().next()
}

/// Changes that turn one word into the other: a letter put in, left out, replaced, or two neighbours swapped
/// (optimal string alignment, after F. J. Damerau, Communications of the ACM 7, 1964, pages 171-176).
pub(super) fn changes(one: &str, other: &str) -> usize {
    let other: Vec<char> = other.chars().collect();
    let mut before: Vec<usize> = Vec::new();
    let mut row: Vec<usize> = (0..=other.len()).collect();
    let mut last: Option<char> = None;
    for (i, letter) in one.chars().enumerate() {
        let mut next = vec![i + 1];
        let mut left: Option<char> = None;
        for (j, &against) in other.iter().enumerate() {
            let get = |row: &[usize], at: usize| row.get(at).copied().unwrap_or(usize::MAX / 2);
            let replaced = get(&row, j) + usize::from(letter != against);
            let mut fewest = replaced.min(get(&row, j + 1) + 1).min(get(&next, j) + 1);
            if j > 0 && last == Some(against) && left == Some(letter) {
                fewest = fewest.min(get(&before, j - 1) + 1);
            }
            next.push(fewest);
            left = Some(against);
        }
        before = std::mem::replace(&mut row, next);
        last = Some(letter);
    }
    row.last().copied().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::{changes, stem};

    #[test]
    fn the_same_word_has_one_stem() {
        for (one, other) in [
            ("rags", "rag"),
            ("curing", "cured"),
            ("breathing", "breathe"),
            ("allergies", "allergy"),
            ("shipping", "ship"),
            ("drying", "dry"),
            ("wiped", "wipe"),
        ] {
            assert_eq!(stem(one), stem(other), "{one} and {other}");
        }
        assert_ne!(stem("glass"), stem("gla"));
    }

    /// Distances worked by hand.
    #[test]
    fn changes_are_counted_as_by_hand() {
        for (one, other, count) in [
            ("rag", "rag", 0),
            ("rgas", "rags", 1),
            ("lindseed", "linseed", 1),
            ("turpintine", "turpentine", 1),
            ("kitten", "sitting", 3),
            ("", "oil", 3),
            ("oil", "", 3),
        ] {
            assert_eq!(changes(one, other), count, "{one} to {other}");
        }
    }
}
