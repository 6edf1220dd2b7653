//! The words that are never printed about a piece.

/// Verdicts no output of the program holds, in the form [`never_printed`] compares: lower case, one space between words.
pub const NEVER_PRINTED: &[&str] = &[
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
pub fn never_printed(text: &str) -> Option<&'static str> {
    line_never_printed(text).map(|(_, phrase)| phrase)
}

/// The same, with the line on which the phrase begins, counted from 1; it may go on over line ends.
pub(super) fn line_never_printed(text: &str) -> Option<(usize, &'static str)> {
    let words: Vec<(usize, String)> = text
        .lines()
        .enumerate()
        .flat_map(|(at, line)| {
            let words = line.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
            words.map(move |word| (at + 1, word.to_lowercase()))
        })
        .collect();
    NEVER_PRINTED.iter().copied().find_map(|phrase| {
        let phrase_words: Vec<&str> = phrase.split(' ').collect();
        let holds = |window: &[(usize, String)]| {
            window.iter().map(|(_, word)| word).eq(phrase_words.iter().copied())
        };
        let found = words.windows(phrase_words.len()).find(|window| holds(window))?;
        found.first().map(|(line, _)| (*line, phrase))
    })
}
