//! The words that are never printed about a piece, held against what is.

/// Verdicts no output of the program holds, in the form [`never_printed`] compares: lower case, one space between words.
pub(crate) const NEVER_PRINTED: &[&str] = &[
    "food safe",
    "foodsafe",
    "fda approved",
    "non toxic",
    "nontoxic",
    "allergen free",
    "child safe",
    "childsafe",
    "fully cured",
    "safe to bin",
];

/// The first of [`NEVER_PRINTED`] that a text holds, whatever stands between its words.
pub(crate) fn never_printed(text: &str) -> Option<&'static str> {
    let words = text.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    let words = format!(" {} ", words.collect::<Vec<_>>().join(" ").to_lowercase());
    NEVER_PRINTED.iter().copied().find(|phrase| words.contains(&format!(" {phrase} ")))
}
