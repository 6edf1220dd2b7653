//! Words as people type them: splitting, stems, and the distance between two.

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
/// The first step of M. F. Porter's suffix stripping (Program 14, 1980, pages 130-137) in a simpler form, and a final e;
/// "fire" keeps its own, or it would be the tree.
pub fn stem(word: &str) -> String {
    let mut stem = word.to_owned();
    if !word.is_ascii() || word.len() <= 3 {
        return stem;
    }
    if word.starts_with("clothe") || word == "clothing" {
        return "clothing".to_owned(); // else a coat were a rag
    }
    for ending in ["ies", "ied"] {
        if let Some(root) = word.strip_suffix(ending).filter(|root| root.len() > 1) {
            return format!("{root}y");
        }
    }
    if word.ends_with('s') && !["ss", "us", "is"].iter().any(|end| word.ends_with(end)) {
        stem.pop();
    }
    for ending in ["ing", "ed"] {
        let root = stem.strip_suffix(ending).filter(|root| root.len() > 2 && has_vowel(root));
        if let Some(root) = root.map(str::to_owned) {
            stem = whole(root);
            break;
        }
    }
    if stem.len() > 4 && stem.ends_with('e') {
        stem.pop();
    }
    stem
}

fn has_vowel(root: &str) -> bool {
    root.contains(['a', 'e', 'i', 'o', 'u', 'y'])
}

/// "shipp" is "ship", but "spill" stays; "wip" is "wipe", but "oil" and "wax" stay.
fn whole(mut root: String) -> String {
    let vowel = |c: &char| "aeiouy".contains(*c);
    let letters: Vec<char> = root.chars().collect();
    match letters[..] {
        [.., one, two] if one == two && !['l', 's', 'z', 'e', 'o'].contains(&two) => {
            root.pop();
        }
        [a, b, c] if !vowel(&a) && vowel(&b) && !vowel(&c) && !['w', 'x'].contains(&c) => {
            root.push('e');
        }
        _ => {}
    }
    root
}

/// Whether one letter put in, left out, replaced, or swapped with its neighbour turns one word into the other.
pub(super) fn one_letter_off(one: &str, other: &str) -> bool {
    strsim::osa_distance(one, other) == 1
}

#[cfg(test)]
mod tests {
    use super::{one_letter_off, stem};

    #[test]
    fn the_same_word_has_one_stem() {
        for (one, other) in [
            ("rags", "rag"),
            ("curing", "cured"),
            ("breathing", "breathe"),
            ("allergies", "allergy"),
            ("shipping", "ship"),
            ("drying", "dry"),
            ("dried", "dry"),
            ("wiped", "wipe"),
            ("smoking", "smoke"),
            ("fires", "fire"),
        ] {
            assert_eq!(stem(one), stem(other), "{one} and {other}");
        }
        for (one, other) in
            [("glass", "gla"), ("fir", "fire"), ("waxed", "waxe"), ("cloths", "clothes")]
        {
            assert_ne!(stem(one), stem(other), "{one} and {other}");
        }
    }

    #[test]
    fn one_letter_is_one_letter() {
        for other in ["smke", "smokee", "smoje", "msoke", "smoek", "moke", "smok"] {
            assert!(one_letter_off("smoke", other) && one_letter_off(other, "smoke"), "{other}");
        }
        for other in ["smoke", "smk", "smokers", "moek", "kitten", ""] {
            assert!(!one_letter_off("smoke", other), "{other}");
        }
    }
}
